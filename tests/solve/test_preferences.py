"""Preferences: met in order as far as the goals allow, never at the cost of one."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import FIGURES, Bar, at_least, at_most, bars, exactly, examples, limit, sheet_of, shelf_of, wish_id

from optimiser.analysis.conflicts import all_clashes
from optimiser.analysis.ranges import extreme
from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend, NoBlend, PreferenceLine
from optimiser.files.goals import read_goals
from optimiser.files.shelf.shelf import read_shelf
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side
from optimiser.model.programme import build
from optimiser.problem.goals import GoalSheet, PracticeChange
from optimiser.problem.limits import NOWHERE, Limit
from optimiser.problem.shelf import Shelf
from optimiser.solve import optimum as cheapest
from optimiser.solve.oracle import Oracle
from optimiser.solve.outcomes import SolverFault
from optimiser.solve.solver import Live

SHELF = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0, "rapeseed oil": 2.1})
WISHED = (*FIGURES, "superfat", "cost")
OPEN = (
    *(at_least("superfat", 2.0), at_most("superfat", 9.0)),
    *(at_least("lye_concentration", 27.0), at_most("lye_concentration", 38.0)),
)
Preferences = tuple[tuple[Limit, ...], ...]


@st.composite
def preferences(draw: st.DrawFn) -> Preferences:
    """One to three wishes, each on a figure of its own, often out of reach."""
    keys = draw(st.lists(st.sampled_from(WISHED), min_size=1, max_size=3, unique=True))
    out = []
    for key in keys:
        side = draw(st.sampled_from(("at_least", "at_most", "exactly")))
        most = {"superfat": 30, "worst_case_superfat": 30, "cost": 12}.get(key, 90)
        out.append((limit(key, side, float(draw(st.integers(0, most)))),))
    return tuple(out)


def blend_of(sheet: GoalSheet, shelf: Shelf) -> Blend:
    """The answer, which is a blend."""
    told = answer_for(sheet, shelf)
    assert isinstance(told, Blend)
    return told


def short(line: PreferenceLine) -> float:
    """How far a preference falls short."""
    return 0.0 if line.met else line.short_by


@settings(max_examples=examples(40))
@given(bars(), preferences())
def test_a_preference_never_costs_a_goal(bar: Bar, prefer: Preferences) -> None:
    """Goals that a blend meets are met with any preferences beside them."""
    told = blend_of(bar.sheet._replace(prefer=prefer), bar.shelf)
    sided = [line for line in told.goals if line.side != "exactly"]
    assert sided
    for line in sided:
        step = 1e-6 * max(1.0, abs(line.limit))
        over = line.value - line.limit
        assert (over if line.side == "at_least" else -over) >= -step, line.id


@settings(max_examples=examples(15))
@given(bars(least_slack=-3.0, most_fats=5, most_limits=5), preferences())
def test_a_preference_never_changes_what_clashes(bar: Bar, prefer: Preferences) -> None:
    """The clashes, the ways out and whether there is a blend are the same with preferences and without."""
    wanted = bar.sheet._replace(prefer=prefer)
    with_them, without = all_clashes(build(wanted, bar.shelf)), all_clashes(build(bar.sheet, bar.shelf))
    assert [clash.members for clash in with_them.clashes] == [clash.members for clash in without.clashes]
    assert with_them.ways_out == without.ways_out
    assert isinstance(answer_for(wanted, bar.shelf), NoBlend if without.clashes else Blend)


def nearest(sheet: GoalSheet, shelf: Shelf, wish: Limit) -> float:
    """How far a wish falls short at least, by pushing its figure as far as the goals allow, without preferences."""
    made = build(sheet._replace(prefer=(), goals=sheet.goals), shelf)
    probe = build(sheet_of(wish), shelf)
    rows = [row for row in probe.rows if row.origin == "goal"]
    oracle = Oracle(made)
    lacks = []
    for row in rows:
        for side in ("at_least", "at_most") if row.side == "exactly" else (row.side,):
            end = extreme(oracle, row, -1 if side == "at_least" else 1)
            assert end is not None
            lacks.append(row.limit - end.value if side == "at_least" else end.value - row.limit)
    return max([0.0, *lacks])


@settings(max_examples=examples(30))
@given(bars(), preferences())
def test_each_is_met_as_far_as_those_before_it_allow(bar: Bar, prefer: Preferences) -> None:
    """The first falls short by no more than the goals force; each later one by no more once the earlier are held as goals.

    The earlier ones are held at the shortfall told, which another solver run then finds to be just enough.
    """
    off = (PracticeChange("likely superfat", (), NOWHERE),)
    sheet = bar.sheet._replace(
        goals=(*bar.sheet.goals, *OPEN), practice=off
    )  # so that no default of the house hangs on what is held
    told = blend_of(sheet._replace(prefer=prefer), bar.shelf)
    held: list[tuple[Limit, float]] = []
    ends: list[tuple[float, float, float]] = []
    for (wish,) in prefer:
        lack = max(short(line) for line in told.preferences if line.id.key == wish.key)
        if wish.side != "exactly":
            near, far = (nearest(with_held(sheet, held, slack), bar.shelf, wish) for slack in (1e-7, 2e-7))
            ends.append((lack, near, far))
        held.append((wish, lack))
    assume(ends)
    for lack, near, far in ends:
        assert lack == pytest.approx(near, abs=1e-5 + 3.0 * abs(near - far))


def with_held(sheet: GoalSheet, held: list[tuple[Limit, float]], slack: float) -> GoalSheet:
    """Goals and, as goals too, preferences at the shortfalls they are to have, give or take a slack."""
    more = []
    for wish, lack in held:
        room = lack + slack * max(1.0, abs(wish.value))
        if wish.side == "exactly" and quantities()[wish.key].unit == "index":
            room += 0.5
        if wish.side != "at_most":
            more.append(wish._replace(side=Side.AT_LEAST, value=wish.value - room))
        if wish.side != "at_least":
            more.append(wish._replace(side=Side.AT_MOST, value=wish.value + room))
    return sheet._replace(goals=(*sheet.goals, *more))


def test_the_earlier_comes_first() -> None:
    """Hard and soft at once cannot be: whichever stands first is met, and the other falls short by all the rest."""
    hard, soft = at_least("hardness", 60.0), at_most("hardness", 50.0)
    first = blend_of(sheet_of(prefer=((hard,), (soft,))), SHELF)
    other = blend_of(sheet_of(prefer=((soft,), (hard,))), SHELF)
    assert [line.met for line in first.preferences] == [True, False]
    assert [line.met for line in other.preferences] == [True, False]
    assert first.preferences[1].short_by == pytest.approx(10.0, abs=1e-4)
    assert other.preferences[1].short_by == pytest.approx(10.0, abs=1e-4)
    assert first.figures["hardness"] == pytest.approx(60.0, abs=1e-5)
    assert other.figures["hardness"] == pytest.approx(50.0, abs=1e-5)


def test_a_shortfall_is_what_is_missing() -> None:
    """A preference beyond the shelf falls short by its figure less the most that the shelf reaches."""
    told = blend_of(sheet_of(prefer=((at_least("hardness", 99.0),),)), SHELF)
    made = build(sheet_of(), SHELF)
    row = build(sheet_of(at_least("hardness", 0.0)), SHELF).row_of(wish_id("goals.hardness.at_least"))
    most = extreme(Oracle(made), row, -1)
    assert most is not None
    (line,) = told.preferences
    assert not line.met
    assert line.short_by == pytest.approx(99.0 - most.value, abs=1e-5)
    assert line.value == pytest.approx(most.value, abs=1e-5)


def test_a_preference_that_is_free_costs_nothing() -> None:
    """What the cheapest blend does anyhow is met at the same cost."""
    plain = blend_of(sheet_of(), SHELF)
    wish = at_most("hardness", plain.figures["hardness"] + 1.0)
    assert blend_of(sheet_of(prefer=((wish,),)), SHELF).cost.per_kg == pytest.approx(plain.cost.per_kg, rel=1e-9)


def test_a_preference_on_a_ratio_is_met() -> None:
    """A wish on the lye, which is a ratio, is met to its figure where goals leave room for it."""
    goals = (at_least("lye_concentration", 28.0), at_most("lye_concentration", 40.0))
    told = blend_of(sheet_of(*goals, prefer=((exactly("water_to_alkali", 2.2),),)), SHELF)
    assert told.water.water_to_alkali == pytest.approx(2.2, abs=1e-6)
    assert all(line.met for line in told.preferences)


def test_a_ratio_is_brought_as_near_as_its_figure_goes() -> None:
    """Of a cost that cannot be had the nearest is the least cost, and of a superfat the figure itself is brought near.

    A slack of the row would weigh more in a bar with more alkali, and end elsewhere.
    """
    least = blend_of(sheet_of(), SHELF).cost.per_kg
    wish = limit("cost", "at_most", 0.5)._replace(per="kg")
    told = blend_of(sheet_of(prefer=((wish,),)), SHELF)
    assert told.cost.per_kg == pytest.approx(least, rel=1e-7)
    goals = (at_least("superfat", 2.0), at_most("superfat", 9.0), at_least("hardness", 40.0))
    for key, asked in (("worst_case_superfat", 30.0), ("cost", 0.5)):
        wanted = limit(key, "at_least" if key != "cost" else "at_most", asked)
        told = blend_of(sheet_of(*goals, prefer=((wanted,),)), SHELF)
        lack = nearest(sheet_of(*goals), SHELF, wanted)
        assert told.preferences[0].short_by == pytest.approx(lack, abs=1e-6)


def test_several_wishes_in_one_step_are_met_as_they_are_written() -> None:
    """Two figures in one step are no sum of points and per cent: the first written comes first."""
    hard, soft = at_least("hardness", 62.0), at_most("iodine_value", 20.0)
    for first, other in ((hard, soft), (soft, hard)):
        together = blend_of(sheet_of(prefer=((first, other),)), SHELF)
        apart = blend_of(sheet_of(prefer=((first,), (other,))), SHELF)
        assert [line.short_by for line in together.preferences] == [
            pytest.approx(line.short_by, abs=1e-6) for line in apart.preferences
        ]


COUNTED = dict(
    zip(
        ("babassu oil", "goose fat", "palm oil", "sunflower oil", "olive oil", "castor oil", "coconut oil"),
        (10.13, 4.40, 13.66, 7.12, 18.67, 4.09, 19.90),
        strict=True,
    )
)


def test_counted_fats_and_several_preferences_never_lose_the_blend() -> None:
    """A blend that is there is found with preferences held one after another at the solver's finest tolerance."""
    shelf = shelf_of(COUNTED, alkali_price=2.25, potassium=True)
    sheet = sheet_of(
        at_most("saponification_value", 200.345),
        shares=(at_least("hard oils", 20.0, "kind"),),
        fat_count=(at_most("number of fats", 4.0, "count"),),
        prefer=(
            (at_least("quick_lather", 50.14),),
            (at_most("rancidity", 2.04),),
            (at_most("goose fat", 0.0, "fat"),),
        ),
    )
    assert len(blend_of(sheet, shelf).fats) <= 4


def test_a_blend_lost_to_rounding_is_looked_for_again_with_more_room(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once lost it is asked for from cold and found; if it stays lost that is a fault of the program, never "no blend"."""
    made = build(sheet_of(prefer=((at_least("hardness", 99.0),),)), SHELF)
    gives: list[float] = []
    real = cheapest.settle_preferences

    def loses(live: Live, give: float, *, spare: bool = False) -> tuple[float, ...] | None:
        gives.append(give)
        return None if len(gives) < 3 else real(live, give, spare=spare)

    monkeypatch.setattr(cheapest, "settle_preferences", loses)
    assert cheapest.solve(made)[1] is not None
    assert gives == sorted(set(gives))
    monkeypatch.setattr(cheapest, "settle_preferences", lambda *_, **_spare: None)
    with pytest.raises(SolverFault, match="there is a blend"):
        cheapest.solve(made)


def test_preferences_hold_where_fats_are_counted() -> None:
    """Among blends of one fat alone the hardest is taken when hardness is preferred."""
    counts = (exactly("number of fats", 1.0, "count"),)
    told = blend_of(sheet_of(fat_count=counts, prefer=((at_least("hardness", 100.0),),)), SHELF)
    assert len(told.fats) == 1
    singles = [blend_of(sheet_of(shares=(exactly(name, 100.0, "fat"),)), SHELF) for name in ("palm oil", "coconut oil")]
    assert told.figures["hardness"] == pytest.approx(max(one.figures["hardness"] for one in singles), abs=1e-4)
    assert np.isfinite(told.cost.per_kg)


LEANING = """shelf: shelf.yaml
design: drop swirl
goals: {trace speed: {at_least: 38.3}, worst case superfat: {at_most: 1.88 %}}
additives: {honey: {at_most: 3.37 %}}
may_use: [honey]
prefer: [short_saturated: 24.6 %, worst case superfat: 0.09 %]
practice: off
"""
ON_SHELF = """currency: EUR
fats:
  - {fat: beef tallow, price: 3.17 / kg}
  - {fat: carnauba wax, price: 10.10 / kg}
  - {fat: coconut oil, price: 10.49 / kg}
  - {fat: lard, price: 11.70 / kg}
  - {fat: moringa oil, price: 7.16 / kg, lot: {number: L13, saponification_value: 187.1, tolerance: 1.5}}
  - {fat: olive oil, price: 7.29 / kg}
  - {fat: rapeseed oil, price: 9.46 / kg}
  - {fat: shea butter, price: 6.21 / kg}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 96 %}}
additives: [{additive: honey, price: 1.16 / kg}]
"""


def test_room_left_for_one_preference_is_worth_nothing_to_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A hair of the first preference here moves the second ten thousand times as far: what is told is what no hair would give."""
    (tmp_path / "shelf.yaml").write_text(ON_SHELF, encoding="utf-8")
    (tmp_path / "bar.yaml").write_text(LEANING, encoding="utf-8")
    sheet, shelf = read_goals(tmp_path / "bar.yaml"), read_shelf(tmp_path / "shelf.yaml")
    first, second = blend_of(sheet, shelf).preferences
    assert short(first) > 1.0
    by_room = []
    for give in (1e-9, 2e-9):
        monkeypatch.setattr(cheapest, "GIVES", (give,))
        by_room.append(short(blend_of(sheet, shelf).preferences[1]))
    without = 2.0 * by_room[0] - by_room[1]
    assert without - by_room[0] > 1e-4
    assert short(second) == pytest.approx(without, abs=2e-6)
