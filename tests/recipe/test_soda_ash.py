"""Advice against ash: what it wins, what it would break, and that it says nothing already done."""

from __future__ import annotations

import pytest
from strategies import at_least, at_most

from optimiser.materials.additives import additives
from optimiser.materials.fat_table import reference
from optimiser.measures.measures import levers
from optimiser.measures.profiles import fat_values
from optimiser.measures.quantities import quantities
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.soda_ash import AshTip, ash_advice
from optimiser.recipe.soda_ash import _more_of_a_fat as more_of_a_fat
from optimiser.reference import rows
from optimiser.report.terminal.advice import block
from optimiser.report.terminal.page import Paper, printed

SWIRL = (("olive oil", 450.0), ("high oleic sunflower oil", 250.0), ("coconut oil", 200.0), ("lard", 100.0))


def recipe(*, water: float = 330.0, gel: bool = False, batter: float = 30.0) -> Recipe:
    """A slow kilo with a weak lye, poured cool."""
    fats = tuple((reference().get(name), grams) for name, grams in SWIRL)
    return Recipe(fats, 132.0, 0.0, water, batter_temperature=batter, gel=gel)


def tips(made: Recipe, *limits: object, **more: object) -> dict[str, AshTip]:
    """Advice by id."""
    return {tip.id: tip for tip in ash_advice(made, judge(made), limits, **more).tips}  # type: ignore[arg-type]


def moved(before: Recipe, after: Recipe) -> float:
    """Points of ash risk that a change of the recipe wins, by the judge."""
    return judge(before).values["ash_risk"] - judge(after).values["ash_risk"]


def test_points_are_what_the_judge_says() -> None:
    """Doing what the advice says lowers the judge's own ash risk by the points promised."""
    here = recipe()
    told = tips(here)
    assert told["gel"].points == pytest.approx(moved(here, here._replace(gel=True)))
    assert told["warm"].points == pytest.approx(moved(here, here._replace(batter_temperature=40.0)))
    drier = here._replace(water=132.0 * 65.0 / 35.0)
    assert judge(drier).lye_concentration == pytest.approx(35.0)
    assert told["water"].points == pytest.approx(moved(here, drier))
    lactate = here._replace(water=here.water - 8.0, additives=((additives()["sodium lactate"], 20.0),))
    assert told["lactate"].points == pytest.approx(moved(here, lactate))


def test_beeswax_wins_what_half_a_per_cent_of_it_does() -> None:
    """The points of beeswax are those of a blend that gives way to half a per cent of it, alkali and water as before."""
    here = recipe()
    waxed = tuple((fat, grams * 0.995) for fat, grams in here.fats)
    after = here._replace(fats=(*waxed, (reference().get("beeswax"), 5.0)))
    free_oil = judge(here).superfat - judge(after).superfat  # the wax takes less alkali, so less oil is left free
    lever = levers("ash_risk").free_oil
    assert tips(here)["beeswax"].points == pytest.approx(moved(here, after) - lever * free_oil, abs=0.2)


def test_the_best_comes_first() -> None:
    """Advice is ranked by points, and cover and gel wins most on a cool, wet, thin batter."""
    ranked = [tip.points for tip in ash_advice(recipe(), judge(recipe())).tips]
    assert ranked == sorted(ranked, reverse=True)
    assert next(iter(tips(recipe()))) == "gel"


def test_nothing_is_advised_that_is_done_already() -> None:
    """A gelled, warm, strong-lyed batch with lactate and beeswax has only the mould left to hear of."""
    wax = (reference().get("beeswax"), 6.0)
    made = recipe(water=220.0, gel=True, batter=46.0)._replace(
        fats=(*recipe().fats, wax),
        additives=((additives()["sodium lactate"], 25.0),),
    )
    assert set(tips(made)) == {"thicker", "film", "alcohol"}


def test_what_would_break_a_wish_goes_to_the_end() -> None:
    """Where trace may not rise, warmth and less water are told as being against it, after all that is not."""
    here = recipe()
    most = at_most("trace_speed", judge(here).values["trace_speed"] + 1.0)
    told = ash_advice(here, judge(here), (most,)).tips
    against = {tip.id for tip in told if tip.against}
    assert against == {"warm", "water", "beeswax"}
    assert [bool(tip.against) for tip in told] == sorted(bool(tip.against) for tip in told)
    assert {tip.against for tip in told if tip.against} == {most.said}


def test_a_limit_on_the_lye_holds_back_less_water() -> None:
    """A lye that may not be stronger is not advised to be."""
    told = tips(recipe(), at_most("lye_concentration", 31.0))
    assert told["water"].against
    assert not told["gel"].against


def test_what_is_left_out_is_not_advised() -> None:
    """No beeswax where nothing of the bee may be in it, and no thicker trace for a design that pours thick."""
    assert "beeswax" not in tips(recipe(), barred=("bee",))
    assert "thicker" not in tips(recipe(), pour_to="thick")
    assert {"beeswax", "thicker"} <= set(tips(recipe()))


def test_the_lever_of_less_water_never_asks_for_more_than_there_is() -> None:
    """Where lactate already brings most of the water, none is asked to be left out that was never weighed."""
    solution = ((additives()["sodium lactate"], 900.0),)
    made = recipe(water=10.0)._replace(additives=solution)
    assert "water" not in tips(made)


def test_ash_and_water_are_told_in_six_lines() -> None:
    """The block takes six lines of 80 columns at most, ash and hard water together."""
    from optimiser.recipe.hard_water import hard_water

    here = recipe()
    judged = judge(here)
    paper = Paper(80, colour=False, ascii=False)
    told = printed(paper, block(ash_advice(here, judged), hard_water(here, judged, 250.0))).strip().splitlines()
    assert told[0].strip().startswith("Ash risk")
    assert len(told) <= 6
    assert printed(paper, block(None, None)).strip() == ""


def test_little_risk_is_told_as_such() -> None:
    """A gelled batch is told that there is little to fear, and still what takes ash off."""
    made = recipe(gel=True, water=250.0, batter=40.0)
    told = printed(Paper(80, colour=False, ascii=False), block(ash_advice(made, judge(made)), None))
    assert "little to fear" in told
    assert "steam" in told


def test_every_row_of_advice_says_where_it_comes_from() -> None:
    """Each row of the table has a status and a source, a stage, and either a lever with its end or points of its own."""
    stages = {row["stage"] for row in rows("ash_advice")}
    assert stages == {"before", "poured", "after"}
    for row in rows("ash_advice"):
        assert row["status"] in {"prior", "common practice"}
        assert row["source"]
        assert row["stage"] == "after" or bool(row["most"]) != bool(row["points"])


@pytest.mark.parametrize("water", [330.0, 280.0])
def test_points_are_what_the_judge_says_of_every_figure_that_a_limit_may_be_on(water: float) -> None:
    """A limit just beyond what less water would move a figure to is not broken by it, one just short of it is."""
    here = recipe(water=water)
    drier = judge(here._replace(water=132.0 * 65.0 / 35.0)).values
    now = judge(here).values
    for key in (
        "lye_concentration",
        "water_to_alkali",
        "water_share_of_fats",
        "hardness",
        "trace_speed",
        "set_up",
        "scum",
    ):
        move = drier[key] - now[key]
        if abs(move) < 0.3 * quantities()[key].scale:
            continue
        room = 0.05 * quantities()[key].scale
        limit = at_most if move > 0 else at_least
        away = room if move > 0 else -room
        assert not tips(here, limit(key, drier[key] + away))["water"].against, key
        assert tips(here, limit(key, drier[key] - away))["water"].against, key


@pytest.mark.parametrize(("share", "told"), [(0.0, True), (0.2, True), (0.5, False), (2.0, False)])
def test_beeswax_is_topped_up_and_never_taken_away(share: float, told: bool) -> None:  # noqa: FBT001
    """Beeswax is advised up to half a per cent of the fats; all other fats give way alike, whatever is there already."""
    here = recipe()
    fats = tuple((fat, grams * (100.0 - share) / 100.0) for fat, grams in here.fats)
    made = here._replace(fats=(*fats, (reference().get("beeswax"), 10.0 * share)))
    found = ash_advice(made, judge(made), ()).tips
    pull = more_of_a_fat("beeswax", 0.5, made)
    assert (pull is not None) is told
    if pull is not None:
        more = tuple((fat, grams * 99.5 / (100.0 - share)) for fat, grams in made.fats[:-1])
        after = made._replace(fats=(*more, (reference().get("beeswax"), 5.0)))
        for name in ("hardness", "ash_risk", "trace_speed"):
            free = levers(name).free_oil * (judge(after).superfat - judge(made).superfat)
            assert pull.moves[name] == pytest.approx(
                judge(after).values[name] - judge(made).values[name] - free, abs=0.15
            )
    assert all(tip.points >= 1.0 for tip in found if tip.id == "beeswax")


def test_less_water_stops_at_what_was_weighed() -> None:
    """Water that solutions brought cannot be left out: to the last gram weighed it is advised, beyond that it is not."""
    lactate = ((additives()["sodium lactate"], 300.0),)
    wanted = 132.0 * 65.0 / 35.0
    enough = 330.0 - wanted
    assert "water" in tips(
        recipe(water=enough + 0.1)._replace(additives=((additives()["sodium lactate"], (wanted - 0.05) / 0.4),))
    )
    assert "water" not in tips(
        recipe(water=enough)._replace(additives=((additives()["sodium lactate"], (wanted + 1.0) / 0.4),))
    )
    assert "water" in tips(recipe()._replace(additives=lactate))


def test_a_fat_topped_up_takes_the_place_of_all_others_alike() -> None:
    """From 40 to 60 % of a fat a measure of the fats goes a third of the way from the blend's to the fat's own."""
    share = 0.4
    fats = tuple((fat, grams * (1.0 - share)) for fat, grams in recipe().fats)
    made = recipe()._replace(fats=(*fats, (reference().get("beeswax"), 1000.0 * share)))
    pull = more_of_a_fat("beeswax", 60.0, made)
    assert pull is not None
    names = ["hardness", "trace_speed", "scum"]
    values = fat_values([fat for fat, _ in made.fats], names)
    blend = values @ [grams / 1000.0 for _, grams in made.fats]
    for name, here, alone in zip(names, blend, values[:, -1], strict=True):
        assert pull.moves[name] == pytest.approx((alone - here) / 3.0)
