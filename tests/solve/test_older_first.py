"""Which lots go first: by their day, where that costs next to nothing, and as much as there is of them."""

from __future__ import annotations

from strategies import at_least, exactly, sheet_of, shelf_of

from optimiser.materials.fat import one_lot, with_certificate
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme, build, with_older_first
from optimiser.problem.limits import NOWHERE
from optimiser.problem.shelf import LotCertificate, Shelf, Stocked
from optimiser.problem.wishes import Section, WishId
from optimiser.solve.older_first import HAIR, in_turn, lots_in_turn
from optimiser.solve.optimum import Cheapest, solve
from optimiser.solve.yielding import cheapest

GOALS = (exactly("coconut oil", 40.0, "fat"), at_least("superfat", 5.0))


def shelf(*told: tuple[str, str, float | None, float, float]) -> Shelf:
    """Olive oil, and lots of coconut oil: number, day, stock, price, saponification value."""
    plain = shelf_of({"olive oil": 7.0, "coconut oil": 3.0})
    (oil,) = plain.of_fat("coconut oil")
    lots = [
        Stocked(
            one_lot(with_certificate(oil.fat, saponification_value=value, tolerance=1.0), number, certified=True),
            *(price, stock, (), LotCertificate(number, value, 1.0, None), NOWHERE),
            best_before=day,
        )
        for number, day, stock, price, value in told
    ]
    return plain._replace(fats=(*(item for item in plain.fats if item is not oil), *lots))


def solved(programme: Programme) -> Cheapest | None:
    """The cheapest blend."""
    return solve(programme)[1]


def turn(over: Shelf) -> dict[str, Side]:
    """What is settled for a kilo of fats."""
    programme = build(sheet_of(shares=GOALS[:1], goals=GOALS[1:]), over)
    found = solved(programme)
    assert found is not None
    return dict(lots_in_turn(programme, found, solved))


def name(number: str) -> str:
    """What a lot is called."""
    return f"coconut oil (lot {number})"


def test_the_newer_waits_where_the_older_does() -> None:
    """A tin that is large enough is taken alone, whichever the solver would take."""
    found = {
        tuple(turn(shelf(("A", "2027-01-01", 2.0, 3.0, one), ("B", "2027-06-01", 2.0, 3.0, other))).items())
        for one, other in ((252.0, 256.0), (256.0, 252.0))
    }
    assert found == {(), ((name("B"), Side.AT_MOST),)}


def test_one_too_small_is_used_up() -> None:
    """All of it goes in, and the rest from the newer."""
    both = [
        shelf(("A", "2027-01-01", 0.1, 3.0, one), ("B", "2027-06-01", 2.0, 3.0, other))
        for one, other in ((252.0, 256.0), (256.0, 252.0))
    ]
    found = [turn(one) for one in both]
    assert {} in found
    assert {name("A"): Side.AT_LEAST} in found
    for over in both:
        asked = cheapest(sheet_of(shares=GOALS[:1], goals=GOALS[1:]), over)
        assert asked.found is not None
        place = asked.programme.columns.index[name("A")]
        assert abs(float(asked.found.point[place]) - 0.1) < 1e-6


def test_nobody_pays_for_the_order() -> None:
    """A tenth dearer, the older waits; a hair dearer it does not."""
    dear = shelf(("A", "2027-01-01", 2.0, 3.3, 254.0), ("B", "2027-06-01", 2.0, 3.0, 254.0))
    assert turn(dear) == {}
    near = shelf(("A", "2027-01-01", 2.0, 3.0 * (1.0 + HAIR), 254.0), ("B", "2027-06-01", 2.0, 3.0, 254.0))
    assert turn(near) == {name("B"): Side.AT_MOST}


def test_lots_of_one_day_or_of_none_have_no_turn() -> None:
    """There is nothing to choose by."""
    for day in ("", "2027-01-01"):
        programme = build(sheet_of(), shelf(("A", day, 2.0, 3.0, 252.0), ("B", day, 2.0, 3.0, 256.0)))
        assert list(in_turn(programme)) == []


def test_what_is_held_is_held_by_rows_and_columns() -> None:
    """A lot that waits has no room, one that is used up has its stock for a floor."""
    programme = build(sheet_of(), shelf(("A", "2027-01-01", 0.2, 3.0, 252.0), ("B", "", None, 3.0, 256.0)))
    held = with_older_first(programme, {name("A"): Side.AT_LEAST, name("B"): Side.AT_MOST})
    (row,) = programme.members[WishId(Section.STOCK, name("A"), Side.AT_MOST)]
    assert held.row_low[row] == held.row_high[row] == 0.2
    assert held.column_high[programme.columns.index[name("B")]] == 0.0
    assert programme.row_low[row] == float("-inf")
