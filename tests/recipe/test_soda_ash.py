"""Advice against ash: what it wins, what it would break, and that it says nothing already done."""

from __future__ import annotations

import pytest
from strategies import at_least, at_most, exactly

from optimiser.files.designs import by_name
from optimiser.materials.additives import additives
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import liquids
from optimiser.measures.quantities import quantities
from optimiser.problem.designs import Design
from optimiser.recipe.evaluation import Recipe, fat_demand, judge
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


def design(name: str) -> Design:
    """A design of our own table."""
    return by_name("design")[name]


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
    """The points of beeswax are those of a blend that gives way to half a per cent of it, at the same superfat and lye."""
    here = recipe()
    waxed = tuple((fat, grams * 0.995) for fat, grams in here.fats)
    after = here._replace(fats=(*waxed, (reference().get("beeswax"), 5.0)))
    less = fat_demand(after) / fat_demand(here)  # the wax takes less alkali, so less is weighed
    after = after._replace(sodium_hydroxide=here.sodium_hydroxide * less, water=here.water * less)
    assert judge(after).superfat == pytest.approx(judge(here).superfat)
    assert tips(here)["beeswax"].points == pytest.approx(moved(here, after))


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
    assert set(tips(made)) == {"thicker", "film", "alcohol", "even"}


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
    assert "thicker" not in tips(recipe(), techniques=[design("embeds")])
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
    changed = more_of_a_fat("beeswax", 0.5, made)
    assert (changed is not None) is told
    assert told or "beeswax" not in tips(made)
    for item, grams in changed.recipe.fats[:-1] if changed is not None else ():
        first = next(weight for fat, weight in here.fats if fat.name == item.name)
        assert grams == pytest.approx(0.995 * first)


def test_less_water_stops_while_the_alkali_still_dissolves() -> None:
    """Water that solutions brought comes too late for the alkali: what is left in the jug dissolves it, or none is left out."""
    brought = ((additives()["sodium lactate"], 300.0),)  # 120 g of water
    told = tips(recipe()._replace(additives=brought))["water"]
    assert told.do == "a lye of 34 %"  # at 35 % there would be 125 g in the jug for 132 g of alkali
    left = 132.0 * 66.0 / 34.0 - 120.0
    assert judge(recipe(water=left)._replace(additives=brought)).lye_as_mixed < 50.0
    assert "water" not in tips(recipe(water=135.0)._replace(additives=((additives()["sodium lactate"], 620.0),)))


def test_a_fat_topped_up_takes_the_place_of_all_others_alike() -> None:
    """From 40 to 60 % of a fat every other fat keeps two thirds of its grams, and the superfat stays."""
    share = 0.4
    fats = tuple((fat, grams * (1.0 - share)) for fat, grams in recipe().fats)
    made = recipe()._replace(fats=(*fats, (reference().get("beeswax"), 1000.0 * share)), sodium_hydroxide=100.0)
    changed = more_of_a_fat("beeswax", 60.0, made)
    assert changed is not None
    assert changed.grams == pytest.approx(600.0)
    kept = {fat.name: grams for fat, grams in changed.recipe.fats}
    assert {name: kept[name] for name, _ in SWIRL} == pytest.approx({name: 0.4 * grams for name, grams in SWIRL})
    assert judge(changed.recipe).superfat == pytest.approx(judge(made).superfat)


# -- what holds it back ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["honey", "sugar", "goat milk powder", "milk powder"])
def test_nothing_warm_is_advised_with_what_heats_by_itself(name: str) -> None:
    """With milk, honey or sugar in it neither gel nor a warmer pour is advised; both are told apart, as unwise, with why.

    Common practice, no source.
    """
    made = recipe()._replace(additives=((additives()[name], 20.0),))
    told = tips(made)
    for lever in ("gel", "warm"):
        assert not told[lever].is_free
        assert told[lever].is_unwise
        assert name in told[lever].held_by
    assert told["film"].is_free
    text = printed(Paper(80, colour=False, ascii=False), block(ash_advice(made, judge(made)), None))
    assert "gel" not in text
    assert "pour at" not in text


@pytest.mark.parametrize("name", sorted(name for name, item in liquids().items() if item.heats == "yes"))
def test_liquids_that_heat_hold_warmth_back_too(name: str) -> None:
    """The same with every milk, beer or fruit that stands for water."""
    made = recipe()._replace(water=180.0, additives=((liquids()[name], 150.0),))
    assert not {tip.id for tip in ash_advice(made, judge(made)).tips if tip.is_free} & {"gel", "warm"}


def test_a_design_that_must_not_gel_is_respected() -> None:
    """A fine swirl is told neither to gel nor to be poured warmer nor thicker, and no film is laid on its lines."""
    told = tips(recipe(), techniques=[design("fine swirl")])
    assert {"gel", "warm"} <= {name for name, tip in told.items() if tip.is_unwise}
    assert told["thicker"].held_by == "fine swirl is poured at a light trace"
    assert "film" not in told
    assert told["lid"].is_free


def test_a_wax_that_a_design_forbids_is_not_advised() -> None:
    """A fine swirl has no wax at all, and a maker may want none either: beeswax is told as being against that."""
    for limits in (
        [row.limit for row in design("fine swirl").rows if row.limit.key == "waxes"],
        [at_most("beeswax", 0.0, "fat")],
    ):
        told = tips(recipe(), *limits)
        assert told["beeswax"].against == limits[0].said
    assert tips(recipe())["beeswax"].is_free


def test_wax_is_not_advised_for_a_cool_batter() -> None:
    """A piped top is poured at 30 degC, at which wax sets in grains; milk is kept cool too. Common practice, no source."""
    assert not tips(recipe(), techniques=[design("piped top")])["beeswax"].is_free
    milky = recipe()._replace(water=180.0, additives=((liquids()["goat milk"], 150.0),))
    assert not any(tip.id == "beeswax" and tip.is_free for tip in ash_advice(milky, judge(milky)).tips)


def test_an_additive_that_is_fixed_is_not_advised_beyond_it() -> None:
    """Where lactate is held to one per cent of the fats, two are told as being against it."""
    most = at_most("sodium lactate", 1.0, "additive")
    assert tips(recipe(), most)["lactate"].against == most.said


def test_what_the_maker_chose_is_told_apart_with_what_it_would_bring() -> None:
    """No gel and a heat of the maker's own stay, and the points that they cost are told."""
    told = tips(recipe(), given=["gel", "batter_temperature"])
    assert told["gel"].held_by == "you keep it from gel"
    assert told["warm"].held_by == "you pour it at 30 degC"
    assert not told["gel"].is_unwise
    assert told["gel"].points == pytest.approx(moved(recipe(), recipe()._replace(gel=True)))
    order = [tip.is_free for tip in ash_advice(recipe(), judge(recipe()), given=["gel"]).tips]
    assert order == sorted(order, reverse=True)


def test_a_lye_that_is_fixed_is_told_with_what_a_stronger_one_would_bring() -> None:
    """Where the maker fixed the lye the biggest lever is not hidden: what it would bring is told, and what holds it."""
    here = recipe(water=132.0 * 73.0 / 27.0)
    advice = ash_advice(here, judge(here), (exactly("lye_concentration", 27.0),))
    text = " ".join(printed(Paper(80, colour=False, ascii=False), block(advice, None)).split())
    points = next(tip.points for tip in advice.tips if tip.id == "water")
    assert points > 20.0
    assert "Held back by" in text
    assert f"a lye of 35 % ({points:.0f} points less)" in text


def test_a_lever_goes_as_far_as_a_wish_lets_it() -> None:
    """Under a lye of at most 31 % one of 31 % is advised, and one of 35 % is held back."""
    here = recipe()
    told = ash_advice(here, judge(here), (at_most("lye_concentration", 31.0),)).tips
    assert [(tip.do, tip.is_free) for tip in told if tip.id == "water"] == [
        ("a lye of 31 %", True),
        ("a lye of 35 %", False),
    ]


def test_alcohol_is_named_in_full_and_sprayed_again() -> None:
    """The spray is isopropyl alcohol, at once and again through the first hours, away from flames."""
    do = tips(recipe())["alcohol"].do
    for words in ("surface", "99 % isopropyl alcohol", "at once", "every half hour", "no flame"):
        assert words in do


def test_an_index_is_never_told_below_nothing() -> None:
    """A risk below the scale is told as 0."""
    made = recipe(water=200.0, gel=True, batter=60.0)
    advice = ash_advice(made, judge(made))._replace(risk=-12.0)
    assert "Ash risk 0:" in printed(Paper(80, colour=False, ascii=False), block(advice, None))


def test_nothing_that_the_maker_fixed_is_left_out() -> None:
    """With lye, gel and warmth of the maker's own all three are told with what they cost, and wax, which needs warmth; in full all the rest."""
    here = recipe(water=132.0 * 73.0 / 27.0)
    advice = ash_advice(
        here,
        judge(here),
        (exactly("lye_concentration", 27.0),),
        given=["gel", "batter_temperature"],
        techniques=[design("single pour")],
    )
    short, full = (
        " ".join(printed(Paper(80, colour=False, ascii=False), block(advice, None, full=whole)).split())
        for whole in (False, True)
    )
    assert short.count("Held back") == 3
    for why in ("since you keep it from gel", "since you pour it at 30 °C", "by lye_concentration exactly"):
        assert f"Held back{'' if why.startswith('by') else ','} {why}" in short
    assert "single pour is poured at a medium trace" not in short
    assert "single pour is poured at a medium trace" in full
    assert all(tip.do.replace("degC", "°C") in full for tip in advice.tips)
    free = [tip.do for tip in advice.tips if tip.is_free]
    assert [do in short for do in free] == [place < 3 for place in range(len(free))]
    assert f"{len(free) - 3} more with --full" in short


def test_beeswax_is_offered_where_it_can_be_had() -> None:
    """Not in a bar asked to be of one fat alone, nor where no beeswax lies on the shelf; held back by another wish it may be told."""
    olive = Recipe(((reference().get("olive oil"), 1000.0),), 128.0, 0.0, 330.0, batter_temperature=30.0)
    assert "beeswax" in tips(olive)
    assert "beeswax" not in tips(olive, exactly("olive oil", 100.0, "fat"))
    assert "beeswax" not in tips(olive, at_hand=("olive oil", "lard"))
    assert "beeswax" in tips(olive, at_hand=("olive oil", "beeswax"))
