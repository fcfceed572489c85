"""The story of why there is no blend: what each member of a clash could reach, in figures and in words."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from scipy.optimize import linprog
from strategies import (
    PLAIN,
    SPAN,
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

from optimiser.analysis.conflicts import Clashes, all_clashes
from optimiser.answers import no_blend as explaining
from optimiser.answers.blend import answer_for, feasibility
from optimiser.answers.results import ClashMember, NoBlend
from optimiser.model.programme import Programme, build
from optimiser.problem.batch import Batch
from optimiser.problem.goals import GoalSheet, PracticeChange
from optimiser.problem.limits import Limit
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import WishId
from optimiser.report.json import documents as data
from optimiser.report.terminal import text
from optimiser.solve.easing import bare
from optimiser.solve.outcomes import SolverFault, Work

SHELF = shelf_of({"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0})
CANNOT = sorted((Path(__file__).parents[2] / "goals").glob("cannot-be*.yaml"))


def why(sheet: GoalSheet, shelf: Shelf = SHELF) -> NoBlend:
    """The story."""
    told = answer_for(sheet, shelf)
    assert isinstance(told, NoBlend)
    return told


def members(told: NoBlend) -> dict[WishId, ClashMember]:
    """The members of the first clash."""
    return {member.id: member for member in told.clashes[0]}


def best(made: Programme, member: WishId, others: set[WishId]) -> float:
    """How near a linear wish of one side comes to its limit with others held, by scipy."""
    row = made.row_of(member)
    gone = {place for name, places in made.members.items() if name not in others for place in places}
    kept = [place for place in range(len(made.matrix)) if place not in gone]
    above = [place for place in kept if np.isfinite(made.row_high[place])]
    below = [place for place in kept if np.isfinite(made.row_low[place])]
    sign = 1.0 if row.side == "at_most" else -1.0
    found = linprog(
        sign * np.pad(row.top, (0, len(made.money) - len(row.top))),
        A_ub=np.vstack([made.matrix[above], -made.matrix[below]]),
        b_ub=np.concatenate([made.row_high[above], -made.row_low[below]]),
        bounds=list(zip(made.column_low, made.column_high, strict=True)),
    )
    assert found.status == 0
    return float(sign * found.fun)


@settings(max_examples=examples(25))
@given(bars(least_slack=-3.0, most_fats=6, most_limits=6))
def test_each_member_reaches_what_another_solver_says(bar: Bar) -> None:
    """Beside every member of every clash stands how far it could go with the others held, and that is short of its limit."""
    told = answer_for(bar.sheet, bar.shelf)
    assume(isinstance(told, NoBlend))
    assert isinstance(told, NoBlend)
    made = build(bare(bar.sheet, frozenset()), bar.shelf)
    for clash in told.clashes:
        names = {member.id for member in clash}
        for member in clash:
            row = made.row_of(member.id)
            ends = [made.rows[place].limit for place in made.members[member.id]]
            assert member.reaches is not None
            assert member.reach
            if member.id.side == "at_least":
                assert member.reaches < member.limit
            elif member.id.side == "at_most":
                assert member.reaches > member.limit
            elif member.id.section == "practice":
                assert not min(ends) <= member.reaches <= max(ends)
                assert member.limit == (max(ends) if member.reaches > max(ends) else min(ends))
            if row.bottom is None and member.id.side != "exactly":
                truth = best(made, member.id, names - {member.id})
                assert member.reaches == pytest.approx(truth, rel=1e-6, abs=1e-5)


def test_a_rule_between_two_ends_is_held_against_the_end_it_passes() -> None:
    """A bar of palm kernel oil alone is softened by more superfat than the house's may move to: its limit is that end."""
    shelf = shelf_of(dict.fromkeys(("coconut oil", "babassu oil", "palm oil", "palm stearin", "palm kernel oil"), 1.0))
    told = members(why(sheet_of(at_most("hardness", 62.9)), shelf))
    superfat = told[wish_id("practice.superfat.exactly")]
    assert superfat.reaches is not None
    assert superfat.reaches > superfat.limit == 20.0


def test_the_clashes_told_are_those_found() -> None:
    """The story holds every clash, in the order of the search: the smallest first."""
    sheet = sheet_of(at_least("hardness", 90.0), at_most("hardness", 20.0), at_most("rancidity", 0.01))
    told = why(sheet)
    found = all_clashes(build(sheet, SHELF))
    assert [tuple(member.id for member in clash) for clash in told.clashes] == [one.members for one in found.clashes]
    assert [len(clash) for clash in told.clashes] == sorted(len(clash) for clash in told.clashes)
    assert told.complete == found.complete
    assert told.exact
    assert told.margin == pytest.approx(min(clash.margin for clash in found.clashes), rel=1e-9)


@pytest.mark.parametrize(("wished", "compare"), [(5.0, "above"), (95.0, "below")])
def test_a_bare_figure_is_neared_from_the_right_side(wished: float, compare: str) -> None:
    """Too soft a wish is told the softest blend, too hard a one the hardest, with the figure that the maker wrote."""
    member = members(why(sheet_of(exactly("hardness", wished))))[wish_id("goals.hardness.exactly")]
    assert member.limit == wished
    assert member.reaches is not None
    assert (member.reaches > wished) == (compare == "above")
    assert member.reach == f"hardness comes no nearer than {member.reaches:.1f}"


def test_sides_are_told_as_a_maker_speaks() -> None:
    """At least reaches, at most comes down; the unit stands with the figure and a name in the plural takes a plural verb."""
    told = members(why(sheet_of(at_least("hardness", 62.0), shares=(at_most("hard oils", 20.0, "kind"),))))
    hard, oils = told[wish_id("goals.hardness.at_least")], told[wish_id("shares.hard oils.at_most")]
    assert hard.reach == f"hardness reaches {hard.reaches:.1f} at most"
    assert oils.reach == f"hard oils come down to {oils.reaches:.1f} % at best"


def test_an_exclusion_tells_what_would_have_to_be_let_in() -> None:
    """Free from palm: the least share of palm that the others need."""
    sheet = sheet_of(at_least("hardness", 55.0), free_from=("palm",))
    told = members(why(sheet, shelf_of({"palm oil": 2.0, "olive oil": 7.0})))
    palm = told[wish_id("free_from.palm")]
    assert palm.reach == f"at least {palm.reaches:.1f} % of the fats would have to be palm"


def test_stock_tells_what_would_be_needed() -> None:
    """Half of two kilos is one."""
    shelf = shelf_of({"palm oil": 2.0, "olive oil": 7.0}, stock={"olive oil": 0.5})
    sheet = sheet_of(shares=(at_least("olive oil", 50.0, "fat"),), batch=Batch(fats_kg=2.0))
    told = members(why(sheet, shelf))
    assert told[wish_id("stock.olive oil")].reach == "at least 1.00 kg of olive oil would be needed"
    assert told[wish_id("stock.olive oil")].origin == "stock"
    assert told[wish_id("shares.olive oil.at_least")].reach == "olive oil reaches 25.0 % at most"


def test_a_rule_of_the_house_goes_by_its_name() -> None:
    """Rules that the maker gives a figure are called as practice calls them, and know why they stand."""
    own = (PracticeChange("castor oil", (at_most("castor oil", 10.0, "fat"),), SPAN),)
    told = members(why(with_practice(shares=(at_least("castor oil", 20.0, "fat"),), practice=own)))
    rule = told[wish_id("practice.castor oil.at_most")]
    assert rule.reach == "castor oil comes down to 20.0 % at best"
    assert rule.why


def test_a_number_of_fats_is_whole() -> None:
    """Three fats are asked for and two allowed: it takes three, not 3.0."""
    shares = tuple(at_least(name, 10.0, "fat") for name in ("palm oil", "olive oil", "castor oil"))
    told = members(why(sheet_of(shares=shares, fat_count=(at_most("number of fats", 2.0, "count"),))))
    assert told[wish_id("fats.at_most")].reach == "the number of fats comes down to 3 at best"


def test_one_wish_out_of_reach_stands_alone() -> None:
    """A wish that the shelf cannot meet is a clash of one, and is told what the shelf reaches."""
    told = members(why(sheet_of(at_least("hardness", 99.0))))
    assert list(told) == [wish_id("goals.hardness.at_least")]


@pytest.mark.parametrize("path", CANNOT, ids=lambda path: path.stem)
def test_the_goals_that_cannot_be_are_explained_whole(path: Path) -> None:
    """Every member has its words and what it reaches; a maker's goal has its line; there are ways out."""
    told = feasibility(path)
    assert isinstance(told, NoBlend)
    assert told.complete
    assert told.exact
    assert told.concessions
    for clash in told.clashes:
        for member in clash:
            assert str(member.said)
            assert member.reach
            assert (member.line is None) == (member.origin == "practice")


# -- two solves that do not agree, and work that ends -----------------------------------------------------------------

CLASHING = (at_least("hardness", 90.0), at_most("hardness", 20.0))


def nothing_found(monkeypatch: pytest.MonkeyPatch, times: int) -> list[bool]:
    """Let the search for clashes find that all can hold, so many times; whether each search was cold."""
    asked: list[bool] = []
    search = all_clashes

    def blind(programme: Programme, *, is_cold: bool = False) -> Clashes:
        asked.append(is_cold)
        return Clashes((), ((),), complete=True, solves=1) if len(asked) <= times else search(programme)

    monkeypatch.setattr(explaining, "all_clashes", blind)
    return asked


def test_no_clash_is_asked_for_again_from_cold(monkeypatch: pytest.MonkeyPatch) -> None:
    """No blend and nothing that clashes cannot both be: the search is made again, every question cold."""
    asked = nothing_found(monkeypatch, 1)
    assert why(sheet_of(*CLASHING)).clashes
    assert asked == [False, True]


def test_none_without_a_clash_is_a_fault_and_no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the disagreement stays it is the program's fault and is said to be; an empty list is never told."""
    asked = nothing_found(monkeypatch, 99)
    with pytest.raises(SolverFault, match="nothing that keeps them apart"):
        answer_for(sheet_of(*CLASHING), SHELF)
    assert asked == [False, True]


@pytest.mark.parametrize(
    ("module", "limit", "field", "sentence"),
    [
        ("answers.no_blend", "REACHES_WORK", "reaches_complete", "was not worked out for every clash"),
        ("analysis.relaxations", "MOST_WORK", "concessions_complete", "the search stopped before one was found"),
    ],
)
def test_what_was_left_out_is_said(
    monkeypatch: pytest.MonkeyPatch, module: str, limit: str, field: str, sentence: str
) -> None:
    """With no work allowed for them reaches or ways out are left out, and both text and JSON say so; else neither does."""
    full = why(sheet_of(*CLASHING))
    monkeypatch.setattr(f"optimiser.{module}.{limit}", 0.0)
    told = why(sheet_of(*CLASHING))
    assert (getattr(full, field), getattr(told, field)) == (True, False)
    assert (data.no_blend(full)[field], data.no_blend(told)[field]) == (True, False)
    shown = [" ".join(text.no_blend(one, width=80, colour=False, ascii=False).split()) for one in (full, told)]
    assert [sentence in one for one in shown] == [False, True]


def test_the_clashes_of_many_fats_are_told_the_same_every_time() -> None:
    """A counted bar with more clashes than the work allows: the same story twice, to the last digit, and said to be cut."""
    wished = (
        *(at_least("hardness", 70.0), at_least("wear_life", 40.0), at_least("quick_lather", 62.0)),
        *(at_least("mildness", 78.0), at_most("rancidity", 1.0), at_least("lasting_lather", 60.0)),
        *(at_most("iodine_value", 40.0), at_most("saponification_value", 195.0)),
    )
    made = build(
        sheet_of(*wished, fat_count=(at_most("number of fats", 3.0, "count"),)),
        shelf_of({name: 2.0 + place for place, name in enumerate(PLAIN)}),
    )
    whole = Work()
    every = all_clashes(made, work=whole)
    first, second = (all_clashes(made, work=Work(0.5 * whole.done)) for _ in range(2))
    assert first == second
    assert not first.complete
    assert 0 < len(first.clashes) <= len(every.clashes)


@pytest.mark.parametrize(
    ("goal", "comes", "said"),
    [
        (at_least("hardness", 66.0), 65.97, "hardness reaches 65.97 at most"),
        (at_least("likely_superfat", 0.0), -0.003, "likely superfat reaches -0.003 % at most"),
        (at_most("hardness", 20.0), 20.04, "hardness comes down to 20.04 at best"),
        (at_least("hardness", 66.0), 66.0 - 1e-6, "hardness reaches just under 66.0 at most"),
    ],
)
def test_what_falls_short_by_a_hair_is_told_short(goal: Limit, comes: float, said: str) -> None:
    """However narrow a clash, how far a figure comes is never printed as the limit that it misses."""
    made = build(sheet_of(goal), SHELF)
    row = next(row for row in made.rows if row.figure == goal.key and row.limit == goal.value)
    assert explaining.reach_words(row, comes) == said
