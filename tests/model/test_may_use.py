"""Levers that the optimiser may pull: what they cost, how far they go, and that the cheapest is pulled first."""

from __future__ import annotations

from pathlib import Path

import pytest
from strategies import SPAN, at_least, at_most, exactly, sheet_of, shelf_of, wish_id, with_practice

from optimiser.answers.blend import answer, answer_for
from optimiser.answers.results import Blend
from optimiser.files.goals import read_goals
from optimiser.files.question import lever_faults
from optimiser.files.shelf.shelf import read_shelf
from optimiser.materials.additives import additives
from optimiser.measures.practice import usual_most
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import SubjectKind
from optimiser.model.programme import build
from optimiser.problem.goals import GoalSheet, MayUse
from optimiser.problem.limits import Limit
from optimiser.problem.shelf import Shelf
from optimiser.recipe.compliance import wishes
from optimiser.report.terminal import text
from optimiser.text.diagnostics import BadInput

SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
PRICES = {
    "olive oil": 6.9,
    "high oleic sunflower oil": 2.6,
    "olive pomace oil": 2.9,
    "rapeseed oil": 2.05,
    "coconut oil": 3.1,
    "stearic acid": 6.4,
    "castor oil": 4.8,
}
EXTRA = {"sodium lactate": 9.0, "salt": 0.6, "sugar": 1.1, "citric acid": 5.2, "sodium citrate": 6.1, "kaolin": 30.0}


def may(*names: str) -> tuple[MayUse, ...]:
    """Things that may be used."""
    return tuple(MayUse(name, SubjectKind.ADDITIVE if name in additives() else SubjectKind.FAT, SPAN) for name in names)


def shelf() -> Shelf:
    """A small shelf with additives."""
    return shelf_of(PRICES, extra=EXTRA, potassium=True)


def blend(sheet: GoalSheet, on: Shelf | None = None) -> Blend:
    """The blend of a sheet."""
    found = answer_for(sheet, on or shelf())
    assert isinstance(found, Blend)
    return found


def share(found: Blend, name: str) -> float:
    """Per cent of the fats of a fat or an additive."""
    fats = {line.fat: line.share for line in found.fats}
    return fats.get(name, 0.0) + {line.additive: line.share for line in found.additives}.get(name, 0.0)


def harder(least: float, *more: Limit) -> Blend:
    """The cheapest bar of at least this hardness, hard oils capped, with every lever open."""
    goals = (
        *(at_least("hardness", least), at_least("superfat", 3.0), at_most("superfat", 8.0)),
        *(at_least("lye_concentration", 28.0), at_most("lye_concentration", 36.0), at_most("trace_speed", 60.0)),
    )
    shares = (at_most("hard oils", 25.0, "kind"), at_most("high oleic sunflower oil", 40.0, "fat"))
    return blend(with_practice(*goals, *more, shares=shares, may_use=may("sodium lactate", "stearic acid")))


def test_make_it_harder_pulls_the_cheapest_lever_first() -> None:
    """As hardness rises: less water, then lactate, then pomace, and stearic acid last, once a rule of the house gives way."""
    ladder = {least: harder(least) for least in (50.0, 58.0, 61.0, 64.0, 66.0)}
    costs = [found.cost.per_kg for found in ladder.values()]
    assert costs == sorted(costs)
    assert costs[-1] > costs[0]
    assert ladder[50.0].water.lye_concentration < 34.0
    assert ladder[58.0].water.lye_concentration > 35.0
    assert share(ladder[58.0], "sodium lactate") < 0.5 < share(ladder[61.0], "sodium lactate") < 3.0
    assert share(ladder[61.0], "olive pomace oil") == pytest.approx(share(ladder[50.0], "olive pomace oil"), abs=1e-4)
    assert share(ladder[64.0], "sodium lactate") == pytest.approx(3.0, abs=1e-6)
    assert share(ladder[64.0], "olive pomace oil") > share(ladder[61.0], "olive pomace oil") + 5.0
    assert share(ladder[64.0], "stearic acid") == pytest.approx(0.0, abs=1e-6)
    assert not ladder[64.0].stood_aside
    assert share(ladder[66.0], "stearic acid") > 0.0
    assert "practice.fatty acids.at_most" in {item.rule for item in ladder[66.0].stood_aside}
    for least, found in ladder.items():
        assert found.figures["hardness"] >= least - 1e-6


def test_less_superfat_is_a_lever_too() -> None:
    """With the fats settled and alkali dear, a harder bar costs superfat, from the most allowed to the least."""
    fats = (exactly("olive oil", 70.0, "fat"), exactly("coconut oil", 30.0, "fat"))
    dear = shelf_of({"olive oil": 6.9, "coconut oil": 3.1}, alkali_price=40.0)

    def made(least: float) -> Blend:
        limits = (at_least("hardness", least), at_least("superfat", 2.0), at_most("superfat", 8.0))
        return blend(sheet_of(*limits, shares=fats), dear)

    soft, hard = made(50.0), made(59.3)
    assert soft.alkali.superfat == pytest.approx(8.0)
    assert 2.0 <= hard.alkali.superfat < 6.0
    assert hard.figures["hardness"] == pytest.approx(59.3)


@pytest.mark.parametrize(
    ("name", "wish"),
    [
        ("sodium lactate", at_least("hardness", 61.0)),
        ("salt", at_least("hardness", 62.5)),
        ("sugar", at_least("quick_lather", 54.0)),
        ("sodium citrate", at_most("scum", 71.0)),
        ("citric acid", at_most("scum", 71.0)),
    ],
)
def test_each_lever_shows_with_and_without_it(name: str, wish: Limit) -> None:
    """Where it may be used it goes in and the same goals cost less, or can be met where they could not."""
    sheet = with_practice(wish, at_most("trace_speed", 60.0))
    without = answer_for(sheet, shelf())
    found = blend(sheet._replace(may_use=may(name)))
    assert share(found, name) > 0.1
    assert not isinstance(without, Blend) or found.cost.per_kg < without.cost.per_kg
    most = next(line for line in found.goals if line.figure == name)
    assert most.origin == "practice"
    assert share(found, name) <= most.limit + 1e-6
    assert most.why


def test_a_dear_lever_that_nothing_asks_for_is_left_alone() -> None:
    """What may be used need not be."""
    found = blend(with_practice(may_use=may("sodium lactate", "kaolin", "citric acid")))
    assert found.additives == ()


def test_citric_acid_brings_its_alkali() -> None:
    """Citric acid used as a chelant takes its three alkalis, which are in the lye, and the superfat stays."""
    sheet = with_practice(at_most("scum", 71.0), at_most("trace_speed", 60.0), may_use=may("citric acid"))
    found = blend(sheet)
    acid = next(line for line in found.additives if line.additive == "citric acid")
    moles = sum(fat.saponification.value * grams / 56106.0 for fat, grams in found.recipe.fats) * 0.95
    taken = 3.0 * acid.to_weigh / 192.123
    assert found.alkali.sodium_to_weigh * 0.98 / 39.997 == pytest.approx(moles + taken, rel=2e-3)
    assert taken * 39.997 > 1.0
    assert 5.0 - 1e-6 <= found.weighed.superfat <= 5.0 + 100.0 * 0.1 / found.alkali.sodium_to_weigh + 1e-6


def test_potassium_is_a_lever_when_it_is_given_a_range() -> None:
    """A potassium share between 0 and 10 % is pulled as far as a quick lather wants, and no further."""

    def made(least: float, *more: Limit) -> Blend:
        between = (at_least("potassium_share", 0.0), at_most("potassium_share", 10.0))
        return blend(sheet_of(at_least("quick_lather", least), *between, *more), shelf())

    ends = (at_most("coconut oil", 20.0, "fat"),)
    sheet = sheet_of(at_least("potassium_share", 0.0), at_most("potassium_share", 10.0), shares=ends)
    plain = blend(sheet, shelf())
    assert plain.figures["potassium_share"] == pytest.approx(0.0, abs=1e-6)
    top = plain.figures["quick_lather"]
    wished = sheet._replace(goals=(*sheet.goals, at_least("quick_lather", 46.0)))
    found = answer_for(wished, shelf())
    assert top < 46.0
    assert isinstance(found, Blend)
    assert 0.5 < found.figures["potassium_share"] <= 10.0 + 1e-6
    assert made(30.0).figures["potassium_share"] <= 10.0 + 1e-6


def test_an_amount_fixes_what_may_be_used() -> None:
    """Where additives give the amount, that is it, cheap or dear."""
    fixed = with_practice(additives=(exactly("sodium lactate", 1.5, "additive"),), may_use=may("sodium lactate"))
    assert share(blend(fixed), "sodium lactate") == pytest.approx(1.5)
    assert share(blend(fixed._replace(goals=(at_least("hardness", 62.0),))), "sodium lactate") == pytest.approx(1.5)


def test_every_lever_has_a_most() -> None:
    """Each additive that may be used is held by a rule: its own, or the usual most, also with practice switched off."""
    for practice_off in (False, True):
        sheet = with_practice(may_use=may("sodium lactate", "kaolin", "salt"))._replace(practice_off=practice_off)
        rows = {row.wish: row for row in build(sheet, shelf()).rows}
        assert rows[wish_id("practice.kaolin.at_most")].limit == additives()["kaolin"].usual_high
        assert rows[wish_id("practice.kaolin.at_most")].origin == "practice"
        assert {wish_id("practice.sodium lactate.at_most"), wish_id("practice.salt in the lye.at_most")} <= set(rows)
        assert {wish.id for wish in wishes(sheet, ())} >= {
            wish_id("practice.kaolin.at_most"),
            wish_id("practice.salt in the lye.at_most"),
        }
    assert usual_most(additives()["kaolin"]).why.endswith(".")


def test_the_makers_own_most_takes_the_rules_place() -> None:
    """An end given under additives stands for the usual most; with practice off also for the house's own rule."""
    sheet = sheet_of(additives=(at_most("salt", 1.0, "additive"),), may_use=may("salt", "kaolin"))
    ids = {row.wish for row in build(sheet, shelf()).rows}
    assert wish_id("additives.salt.at_most") in ids
    assert wish_id("practice.salt in the lye.at_most") not in ids
    assert share(blend(sheet), "salt") <= 1.0 + 1e-6


def test_what_is_cheaper_than_soap_is_no_padding() -> None:
    """Salt and sugar cost less than the bar: they stay out where nothing needs them, and the proof says of what it is."""
    found = blend(with_practice(may_use=may("salt", "sugar")))
    without = blend(with_practice())
    assert share(found, "salt") == 0.0
    assert found.cost.per_kg == pytest.approx(without.cost.per_kg, rel=1e-9)
    assert "with no more of what may be used than helps" in found.proof.covers
    assert "with no more of what may be used than helps, can be cheaper" in " ".join(text.blend(found, 100).split())
    assert "no more of what may be used" not in without.proof.covers


def test_what_helps_goes_in_as_far_as_it_helps() -> None:
    """Sugar buys lather that fats would be dearer for: so much of it as pays, far from its most, and cheaper than without."""
    goal = at_least("quick_lather", 52.0)
    found, without = blend(with_practice(goal, may_use=may("sugar", "salt"))), blend(with_practice(goal))
    assert share(found, "sugar") > 0.0
    assert found.cost.per_kg < without.cost.per_kg
    assert share(found, "sugar") == pytest.approx(1.7)
    assert share(found, "salt") == 0.0
    named = blend(with_practice(goal, additives=(exactly("sugar", 1.7, "additive"),)))
    assert found.cost.per_kg == pytest.approx(named.cost.per_kg, rel=1e-6)


def test_what_costs_nothing_is_no_padding_either() -> None:
    """An additive that is had for nothing goes in only where it helps."""
    free = shelf_of(PRICES, extra={**EXTRA, "salt": 0.0})
    assert share(blend(with_practice(may_use=may("salt")), free), "salt") == 0.0


def test_what_is_not_on_the_shelf_is_refused(tmp_path: Path) -> None:
    """An additive without a price, and a wax that is not there, are told with the place where they may be used."""
    path = tmp_path / "bar.yaml"
    path.write_text("may use: [kaolin, sodium lactate, candelilla wax, beeswax]\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        answer(path, SHELF)
    told = [(item.code, item.span.column if item.span else 0) for item in caught.value.diagnostics]
    assert told == [("not-on-the-shelf", 11), ("not-on-the-shelf", 35)]
    assert "additives" in caught.value.diagnostics[0].help
    assert "fats" in caught.value.diagnostics[1].help
    path.write_text("may use: [stearic acid, beeswax, sodium lactate]\n", encoding="utf-8")
    assert lever_faults(read_goals(path), read_shelf(SHELF)) == ()
    assert isinstance(answer(path, SHELF), Blend)


def test_a_most_can_be_moved_by_name(tmp_path: Path) -> None:
    """`practice: {sugar: 1 %}` moves the rule of a lever, and one without a rule of its own by the additive's name."""
    path = tmp_path / "bar.yaml"
    path.write_text(
        "may use: [sugar, salt]\ngoals: {quick_lather: {at_least: 55}, hardness: {at_least: 70}}\n"
        "practice: {sugar: 1 %, salt: 0.5 %}\n",
        encoding="utf-8",
    )
    found = answer(path, SHELF)
    assert isinstance(found, Blend)
    assert share(found, "sugar") == pytest.approx(1.0)
    (goal,) = [goal for goal in found.goals if goal.id == wish_id("practice.salt in the lye.at_most")]
    assert goal.limit == 0.5
    assert quantities()["potassium_share"].highest == 100
