"""Goals with a limit at another figure are those of a file with its line rewritten, and no line of the file any more."""

from __future__ import annotations

import pytest
from strategies import at_least, at_most, exactly, sheet_of

from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.limits import NOWHERE
from optimiser.problem.moved_limit import at_figure, limit_on, of_key, wish_of, with_limit, without_key


def test_a_limit_moves_in_its_place() -> None:
    """A limit that the goals have is exchanged where it stood, and the others stay."""
    sheet = sheet_of(at_least("hardness", 50.0), at_most("hardness", 70.0), at_least("mildness", 60.0))
    moved = with_limit(sheet, at_figure(sheet.goals[0], 55.0))
    assert [(one.key, one.side, one.value) for one in moved.goals] == [
        ("hardness", Side.AT_LEAST, 55.0),
        ("hardness", Side.AT_MOST, 70.0),
        ("mildness", Side.AT_LEAST, 60.0),
    ]


def test_a_limit_more_comes_last() -> None:
    """A limit that the goals have not is one more."""
    sheet = sheet_of(at_least("hardness", 50.0))
    limit = limit_on("palm oil", SubjectKind.FAT, Side.AT_MOST, "%", "palm oil")
    moved = with_limit(sheet, at_figure(limit, 12.5))
    assert [str(one.said) for one in moved.shares] == ["palm oil at most 12.5 %"]
    assert moved.goals == sheet.goals
    assert str(wish_of(limit)) == "shares.palm oil.at_most"


def test_a_moved_limit_is_no_line_of_the_file() -> None:
    """At its own figure a limit stays as it is written; at another it has no line to point at."""
    limit = at_least("hardness", 50.0)
    assert at_figure(limit, 50.0) is limit
    assert at_figure(limit, 51.0).span == NOWHERE


def test_limits_of_one_side_can_be_taken_away() -> None:
    """An exact figure makes room for one side of it."""
    sheet = sheet_of(shares=(exactly("castor oil", 5.0, "fat"),))
    assert of_key(sheet, "castor oil", SubjectKind.FAT)
    assert not of_key(without_key(sheet, "castor oil", SubjectKind.FAT, Side.EXACTLY), "castor oil", SubjectKind.FAT)


def test_what_is_no_figure_is_refused() -> None:
    """A key that nothing can be asked of is a slip of the caller."""
    with pytest.raises(KeyError):
        with_limit(sheet_of(), limit_on("sparkle", SubjectKind.QUANTITY, Side.AT_LEAST, "index", "sparkle"))
