"""The whole road from a goal sheet and a shelf to the story of an answer."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from pathlib import Path

import pytest
from hypothesis import given, settings
from reading import read
from strategies import (
    Bar,
    at_least,
    at_most,
    bars,
    exactly,
    examples,
    sheet_of,
    shelf_of,
    wish_id,
    with_practice,
)

from optimiser.answers.blend import answer, answer_for, feasibility
from optimiser.answers.blend_result import Disagreement, reckon_twice
from optimiser.answers.results import Blend, Feasible, NoBlend
from optimiser.model.programme import build
from optimiser.problem.goals import GoalSheet
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Said
from optimiser.report.terminal import text
from optimiser.solve.optimum import Cheapest, least_ratio, solve
from optimiser.solve.solver import Live
from optimiser.solve.yielding import Asked, cheapest
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
SHELF = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0})


def blend_of(sheet: GoalSheet, shelf: Shelf = SHELF) -> Blend:
    """An answer that must be a blend."""
    found = answer_for(sheet, shelf)
    assert isinstance(found, Blend)
    return found


@settings(max_examples=examples(40))
@given(bars())
def test_an_answer_adds_up(bar: Bar) -> None:
    """Shares sum to 100, costs to the batch, the gap is nothing, every wish holds, and it is no dearer than the blend known."""
    blend = blend_of(bar.sheet, bar.shelf)
    assert sum(line.share for line in blend.fats) == pytest.approx(100.0, abs=1e-9)
    prices = {item.fat.name: item.price for item in bar.shelf.fats}
    sodium = bar.shelf.alkalis["sodium hydroxide"]
    money = sum(prices[line.fat] * line.grams for line in blend.fats) + sodium.price * blend.alkali.sodium_hydroxide
    assert blend.cost.batch == pytest.approx(money / 1000.0)
    assert blend.cost.per_kg == pytest.approx(money / blend.cost.cured_grams)
    assert blend.proof.gap < 1e-7
    assert blend.proof.cheapest_possible_per_kg <= blend.cost.per_kg
    for line in blend.goals:
        if line.side == "at_least":
            assert line.value >= line.limit - 1e-6
        elif line.side == "at_most":
            assert line.value <= line.limit + 1e-6
    known = sum(prices[name] * share for name, share in bar.shares.items())
    alkali = bar.judged.pure_sodium_hydroxide / 1000.0
    by_hand = (known + alkali * sodium.price / sodium.purity) / ((1.0 + alkali) / 0.9)
    assert blend.cost.per_kg <= by_hand + 1e-9


@settings(max_examples=examples(40))
@given(bars(least_slack=-3.0, most_fats=6, most_limits=8))
def test_there_is_an_answer_of_one_kind_or_the_other(bar: Bar) -> None:
    """Doubtful goals give a blend that keeps them, or a clash of wishes that were made."""
    found = answer_for(bar.sheet, bar.shelf)
    if isinstance(found, Blend):
        assert all(line.shortfall_ok for line in map(Kept, found.goals))
    else:
        assert found.clashes
        names = set(build(bar.sheet, bar.shelf).members)
        assert {member.id for clash in found.clashes for member in clash} <= names
        assert found.exact
        assert found.margin > 0.0


def test_a_rule_that_moved_is_told_at_the_end_that_it_moved_to() -> None:
    """Of a lye that moved, the figure told beside the blend is where it stands and not half way from where it stood."""
    fats = ("high oleic sunflower oil", "rice bran oil", "coconut oil", "babassu oil", "olive oil")
    blend = blend_of(
        sheet_of(at_least("wear_life", 22.94), at_most("hardness", 51.47)), shelf_of(dict.fromkeys(fats, 1.0))
    )
    (lye,) = (line for line in blend.goals if str(line.id) == "practice.lye concentration.exactly")
    assert lye.eased_from == "33 %"
    assert lye.limit == pytest.approx(lye.value, abs=0.1)
    assert lye.limit == next(item.at for item in blend.stood_aside if item.rule == str(lye.id))
    assert lye.side == "at_most"


class Kept:
    """Whether a goal line keeps its own limit."""

    def __init__(self, line: object) -> None:
        """Looks at the value, the limit and the side."""
        value, limit, side = (getattr(line, name) for name in ("value", "limit", "side"))
        room = 1e-6 * max(1.0, abs(limit))
        low, high = value >= limit - room, value <= limit + room
        self.shortfall_ok = {"at_least": low, "at_most": high, "exactly": low and high}[side]


@settings(max_examples=examples(20))
@given(bars(counted=True, most_fats=6))
def test_counted_answers_are_whole_answers(bar: Bar) -> None:
    """Where fats are counted the answer says so, keeps the count, and claims no exact proof."""
    blend = blend_of(bar.sheet, bar.shelf)
    assert blend.is_counted
    assert not blend.proof.exact
    assert blend.proof.gap < 1e-6
    assert len(blend.fats) <= bar.sheet.fat_count[0].value


def test_the_count_told_is_the_count_in_the_pot() -> None:
    """The number of fats that a count reports is the number of fats in the recipe."""
    blend = blend_of(sheet_of(at_least("short_saturated", 10.0), fat_count=(at_most("number of fats", 4.0, "count"),)))
    (line,) = [line for line in blend.goals if line.id == wish_id("fats.at_most")]
    assert line.value == len(blend.fats)


@pytest.mark.parametrize("number", [1.0, 2.0, 3.0, 4.0])
def test_just_so_many_fats(number: float) -> None:
    """Exactly n fats are n fats, each a real part of the bar, and a least share is kept by all."""
    counts = (exactly("number of fats", number, "count"), at_least("each fat", 7.0, "count"))
    blend = blend_of(sheet_of(fat_count=counts))
    assert len(blend.fats) == number
    assert all(line.share >= 7.0 - 1e-6 for line in blend.fats)


def test_a_preference_is_told_with_what_it_lacks() -> None:
    """A preference that goes too far is not met and says by how much; one within reach is met."""
    wishes = ((at_least("olive oil", 95.0, "fat"),), (at_least("hardness", 30.0),))
    blend = blend_of(sheet_of(prefer=wishes, shares=(at_most("olive oil", 80.0, "fat"),)))
    lacking, met = blend.preferences
    assert not lacking.met
    assert lacking.short_by == pytest.approx(15.0, abs=1e-4)
    assert met.met
    assert met.short_by == 0.0


def test_additives_off_the_shelf_are_said_to_be_free() -> None:
    """An additive without a price is used, and the answer says that it counted as free."""
    blend = blend_of(sheet_of(additives=(exactly("honey", 2.0, "additive"),)))
    assert [line.cost for line in blend.additives] == [0.0]
    assert any("honey" in note and "free" in note for note in blend.notes)


def test_an_additive_asked_for_without_end_stays_usual(tmp_path: Path) -> None:
    """At least 1 % of cheap sugar does not fill the pot with sugar."""
    (tmp_path / "shelf.yaml").write_text(
        "title: s\ncurrency: EUR\nfats:\n  - {fat: olive oil, price: 7 / kg}\nadditives:\n  - {additive: sugar, price: 0.5 / kg}\n",
        encoding="utf-8",
    )
    path = tmp_path / "goals.yaml"
    path.write_text("shelf: shelf.yaml\npractice: off\nadditives: {sugar: {at_least: 1 %}}\n", encoding="utf-8")
    found = answer(path)
    assert isinstance(found, Blend)
    assert found.additives[0].share <= 5.0


def test_model_and_judge_are_held_against_each_other() -> None:
    """A judge that comes to another figure than the model stops the answer."""
    from optimiser.recipe.compliance import verdicts
    from optimiser.recipe.evaluation import judge
    from optimiser.recipe.rounding import exact_grams, recipe_of

    sheet = sheet_of(at_least("hardness", 40.0))
    made = build(sheet, SHELF)
    _, found = solve(made)
    assert found is not None
    recipe = recipe_of(made.columns, exact_grams(made.columns, found.point), (0.98, 1.0))
    told = verdicts(sheet, recipe, judge(recipe))
    reckon_twice(made, found, told)
    with pytest.raises(Disagreement):
        reckon_twice(made, found, [item._replace(value=item.value + 0.01) for item in told])


def test_unused_fats_say_what_bars_them() -> None:
    """A fat kept out by an exclusion says so and has no price; every fat of the shelf is used or left."""
    blend = blend_of(
        with_practice(free_from=("palm",), shares=()),
        shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "beef tallow": 2.5, "castor oil": 5.0}),
    )
    left = {line.fat: line for line in blend.unused}
    assert left["palm oil"].barred_by == Said("free from palm")
    assert left["palm oil"].enters_below is None
    assert {line.fat for line in blend.fats} | set(left) == {
        "palm oil",
        "olive oil",
        "coconut oil",
        "beef tallow",
        "castor oil",
    }


@pytest.mark.parametrize("sheet", [sheet_of, with_practice])
def test_a_superfat_without_an_end_is_still_soap(sheet: Callable[..., GoalSheet]) -> None:
    """A least superfat alone never saves on alkali until the bar is fat: no more than 40 % is left unreacted."""
    dear = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0}, alkali_price=50.0)
    blend = blend_of(sheet(at_least("superfat", 4.0), at_least("hardness", 10.0)), dear)
    assert 4.0 - 1e-6 <= blend.alkali.superfat <= 40.0 + 1e-6


def test_feasibility_is_what_the_answer_is() -> None:
    """Only whether: none for goals with a blend, the clash for goals without."""
    assert feasibility(ROOT / "goals" / "everyday.yaml") == Feasible()
    none = feasibility(ROOT / "goals" / "cannot-be.yaml")
    assert isinstance(none, NoBlend)
    found = answer(ROOT / "goals" / "cannot-be.yaml")
    assert isinstance(found, NoBlend)
    assert {member.id for clash in none.clashes for member in clash} == {
        member.id for clash in found.clashes for member in clash
    }


def test_a_shelf_given_by_hand_takes_the_place_of_the_files(tmp_path: Path) -> None:
    """A shelf named on the way in is used in place of the one that the file names."""
    path = tmp_path / "one.yaml"
    path.write_text("title: one\ncurrency: EUR\nfats:\n  - {fat: olive oil, price: 7 / kg}\n", encoding="utf-8")
    sheet, shelf = read(ROOT / "goals" / "budget.yaml", path)
    assert sheet.shelf is not None
    assert [item.fat.name for item in shelf.fats] == ["olive oil"]


def test_another_currency_is_refused(tmp_path: Path) -> None:
    """A cost in dollars over a shelf in euros is bad input, not a guess."""
    (tmp_path / "shelf.yaml").write_text(
        "title: s\ncurrency: EUR\nfats:\n  - {fat: olive oil, price: 7 / kg}\n", encoding="utf-8"
    )
    path = tmp_path / "goals.yaml"
    path.write_text("shelf: shelf.yaml\ngoals: {cost: {at_most: 6 USD / kg}}\n", encoding="utf-8")
    with pytest.raises(BadInput, match="USD"):
        answer(path)


def test_an_answer_whose_proof_is_wide_is_solved_again_from_cold(monkeypatch: pytest.MonkeyPatch) -> None:
    """Prices that prove too little make the solver forget its basis and solve anew, and the answer is the proved one."""
    room = import_module("optimiser.answers.blend")
    sheet = sheet_of(at_least("hardness", 40.0), at_most("superfat", 8.0), at_least("superfat", 4.0))
    honest = blend_of(sheet)
    solved: list[Cheapest | None] = []
    forgot: list[bool] = []

    def spoilt(sheet: GoalSheet, shelf: Shelf) -> Asked:
        asked = cheapest(sheet, shelf)
        found = asked.found
        assert found is not None
        if not solved:
            outcome = found.outcome._replace(row_dual=0.0 * found.outcome.row_dual)
            found = found._replace(outcome=outcome)
        solved.append(found)
        return asked._replace(found=found)

    monkeypatch.setattr(room, "cheapest", spoilt)
    forget = Live.forget

    def forgetting(self: Live) -> None:
        forgot.append(True)
        forget(self)

    monkeypatch.setattr(Live, "forget", forgetting)
    blend = blend_of(sheet)
    assert len(solved) == 1
    assert forgot
    assert blend.proof.gap < 1e-7
    assert blend.proof.exact
    assert blend.cost.per_kg == pytest.approx(honest.cost.per_kg, rel=1e-9)
    assert {line.fat: line.share for line in blend.fats} == pytest.approx(
        {line.fat: line.share for line in honest.fats}
    )


def test_a_proof_that_stays_wide_is_told_as_wide(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the second solve proves no more, or finds nothing, the gap is told for what it is and the blend stands."""
    room = import_module("optimiser.answers.blend")
    sheet = sheet_of(at_least("hardness", 40.0))
    honest = blend_of(sheet)
    for again in (True, False):
        calls: list[int] = []

        def spoilt(found: Cheapest | None, calls: list[int] = calls) -> Cheapest:
            assert found is not None
            calls.append(1)
            return found._replace(outcome=found.outcome._replace(row_dual=0.0 * found.outcome.row_dual))

        def first(sheet: GoalSheet, shelf: Shelf, spoilt: Callable[..., Cheapest] = spoilt) -> Asked:
            asked = cheapest(sheet, shelf)
            return asked._replace(found=spoilt(asked.found))

        def second(live: Live, again: bool = again, spoilt: Callable[..., Cheapest] = spoilt) -> Cheapest | None:  # noqa: FBT001
            found = spoilt(least_ratio(live))
            return found if again else None

        monkeypatch.setattr(room, "cheapest", first)
        monkeypatch.setattr(room, "least_ratio", second)
        blend = blend_of(sheet)
        assert len(calls) == 2
        assert blend.proof.gap > 1e-3
        assert blend.cost.per_kg == pytest.approx(honest.cost.per_kg, rel=1e-9)


def test_a_house_rule_on_a_fat_catches_what_is_like_it_and_a_goal_does_not(tmp_path: Path) -> None:
    """A castor oil by another name is capped with castor oil; a goal on castor oil is about that very fat."""
    (tmp_path / "shelf.yaml").write_text(
        "fats:\n"
        "  - {fat: house castor, like: castor oil, price: 0.10 / kg}\n"
        "  - {fat: castor oil, price: 0.20 / kg}\n"
        "  - {fat: olive oil, price: 6 / kg}\n"
        "  - {fat: coconut oil, price: 3 / kg}\n"
        "  - {fat: lard, price: 2.40 / kg}\n"
        "alkalis: {sodium hydroxide: {price: 2 / kg, purity: 98 %}}\n",
        encoding="utf-8",
    )

    def shares(words: str) -> dict[str, float]:
        path = tmp_path / "goals.yaml"
        path.write_text(f"shelf: shelf.yaml\n{words}\n", encoding="utf-8")
        found = answer(path)
        assert isinstance(found, Blend)
        return {line.fat: line.share for line in found.fats}

    assert shares("title: a bar")["house castor"] == pytest.approx(10.0)
    both = shares("shares: {castor oil: {at_least: 4 %}}")
    assert both["castor oil"] == pytest.approx(4.0)
    assert both["house castor"] == pytest.approx(6.0)
    assert shares("shares: {castor oil: 0 %}")["house castor"] == pytest.approx(10.0)
    more = shares("practice: {castor oil: {at_most: 12 %}}\nshares: {castor oil: 0 %}")
    assert more["house castor"] == pytest.approx(12.0)


def test_the_strongest_lye_is_still_one_when_it_is_weighed() -> None:
    """A blend at the end of what dissolves stays one that can be made, whichever way a balance rounds its water."""
    sheet = sheet_of(
        at_least("wear_life", 47.68),
        at_least("hardness", 75.279),
        at_most("water_share_of_fats", 30.0),
        shares=(at_most("coconut oil", 100.0 / 3.0, "fat"),),
    )
    prices = dict.fromkeys(("coconut oil", "sesame oil", "soybean oil", "grapeseed oil", "palm stearin"), 1.0)
    found = answer_for(sheet, shelf_of(prices))
    assert isinstance(found, Blend)
    assert found.water.lye_concentration > 49.9
    assert "NO LYE" not in found.cautions[0]
    assert len(found.steps) > 5


def test_what_rounding_makes_of_a_goal_is_told(tmp_path: Path) -> None:
    """On a balance of 50 g a line names the shares that goals ask for as the grams to weigh have them."""
    shelf = "fats: [{fat: olive oil, price: 7 / kg}, {fat: lard, price: 3 / kg}, {fat: coconut oil, price: 4 / kg}]\n"
    (tmp_path / "shelf.yaml").write_text(shelf + "alkalis: {sodium hydroxide: {price: 2 / kg}}\n", encoding="utf-8")
    goals = tmp_path / "goals.yaml"
    shares = "shares: {lard: 10 %, coconut oil: 23 %}"
    goals.write_text(
        f"shelf: shelf.yaml\nbatch: {{fats: 3.07 kg, scale: 50 g}}\n{shares}\n"
        "goals: {hardness: {at_least: 20}}\npractice: off\n",
        encoding="utf-8",
    )
    found = answer(goals)
    assert isinstance(found, Blend)
    total = sum(line.to_weigh for line in found.fats)
    lard = next(line for line in found.fats if line.fat == "lard")
    weighed = 100.0 * lard.to_weigh / total
    assert weighed != pytest.approx(10.0, abs=0.05)
    hard = next(goal for goal in found.goals if goal.figure == "hardness")
    assert hard.holds_when_weighed
    assert hard.as_weighed == pytest.approx(found.weighed.values["hardness"])
    page = " ".join(text.blend(found).replace("\u00a0", " ").split())
    told = page.partition("As rounded for the balance: ")[2].partition(". ")
    assert f"hardness {hard.as_weighed:.1f}" in told[0] + told[1] + told[2][:2]
