"""Work counted in steps: the same everywhere, never more left than was allowed, never less than nothing."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from optimiser.solve.outcomes import Work

SIZES = st.fixed_dictionaries(
    {
        "rows": st.integers(1, 2000),
        "columns": st.integers(1, 4000),
        "entries": st.integers(1, 100_000),
        "steps": st.integers(0, 50_000),
    }
)


@given(st.lists(SIZES, max_size=10), st.floats(0.0, 1e7))
def test_what_is_left_goes_down_to_nothing(questions: list[dict[str, int]], allowed: float) -> None:
    """Every question takes something, a search more than a linear one, and what is left stays between nothing and all."""
    work, searched = Work(allowed), Work(allowed)
    for question in questions:
        before = work.done
        rows, columns, entries, steps = (question[key] for key in ("rows", "columns", "entries", "steps"))
        work.count(rows=rows, columns=columns, entries=entries, steps=steps)
        searched.count(rows=rows, columns=columns, entries=entries, steps=steps, search=True)
        assert work.done > before
        assert 0.0 <= work.left <= allowed
    assert searched.done >= work.done
    assert searched.left <= work.left


def test_nodes_follow_what_is_left() -> None:
    """A search may have fewer nodes the less is left and the larger its programme; one it always has."""
    size = {"rows": 100, "columns": 200, "entries": 3000}
    full, spent = Work(1e7), Work(1e7, done=9e6)
    assert full.nodes(**size) > spent.nodes(**size) > 1
    assert full.nodes(**size) > full.nodes(rows=1000, columns=2000, entries=30_000)
    assert Work(0.0).nodes(**size) == 1


def test_giving_up_ends_it() -> None:
    """What was given up for want of work is remembered, and nothing further is asked."""
    work = Work(100.0, done=10.0)
    assert not work.gave_up
    work.end()
    assert work.gave_up
    assert work.left == 0.0
