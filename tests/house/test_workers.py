"""A run of the tests starts as many workers as it pays for."""

from __future__ import annotations

from pathlib import Path

import pytest
from workers import FILES_EACH, cores, files_named, workers_for

TESTS = Path(__file__).parents[1]


@pytest.mark.parametrize(
    ("files", "most", "workers"),
    [
        *((1, 8, 0), (FILES_EACH, 8, 0), (2 * FILES_EACH - 1, 8, 0), (2 * FILES_EACH, 8, 2)),
        *((100, 1, 0), (100, 2, 2), (10 * FILES_EACH, 16, 10)),
    ],
)
def test_never_more_workers_than_cores_or_than_files_pay_for(files: int, most: int, workers: int) -> None:
    """A few files run in one process, and so do all of them on one core."""
    assert workers_for(files, most) == workers


def test_files_are_counted_by_what_is_named() -> None:
    """A file, a test of it and the same once more are one each; a folder is all that it holds."""
    assert files_named(["house/test_workers.py", "house/test_workers.py::test_x", "house/test_workers.py"], TESTS) == 2
    assert files_named(["house"], TESTS) == len(list((TESTS / "house").glob("test_*.py")))
    assert files_named([str(TESTS)], Path("/")) > 100
    assert cores() >= 1
