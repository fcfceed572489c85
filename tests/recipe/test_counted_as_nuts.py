"""A bar asked to be free from nuts says what not everybody leaves out of that word."""

from __future__ import annotations

import pytest
from strategies import recipe_at

from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import liquids
from optimiser.recipe.counted_as_nuts import DEFER, doubtful_nuts
from optimiser.reference import rows


@pytest.mark.parametrize(
    ("fat", "barred", "told"),
    [
        ("shea butter", "nut", True),
        ("shea butter", "tree nut", True),
        ("coconut oil", "nut", True),
        ("apricot kernel oil", "nut", True),
        ("kukui oil", "tree nut", True),
        ("shea butter", "milk", False),
        ("olive oil", "nut", False),
    ],
)
def test_what_some_lists_count_as_nuts_is_told(fat: str, barred: str, told: bool) -> None:  # noqa: FBT001
    """Shea and coconut stood on the list of the United States until January 2025 (bulletin of Wisconsin's department, read)."""
    (*notes,) = doubtful_nuts(recipe_at({"sunflower oil": 80.0, fat: 20.0}), {barred})
    assert bool(notes) is told
    assert all(note.startswith(DEFER) and fat in note.casefold() for note in notes)


def test_fats_of_one_reason_are_told_together() -> None:
    """Several fats make one note, not a line each."""
    made = recipe_at({"shea butter": 20.0, "apricot kernel oil": 20.0, "peach kernel oil": 20.0, "coconut oil": 40.0})
    (note,) = doubtful_nuts(made, {"nut"})
    assert "pricot kernel oil and peach kernel oil" in note
    assert note.count("local rules") == 1


def test_every_row_is_of_something_known_without_the_tag() -> None:
    """What stands there is a fat or a liquid of ours, bears no tag that would keep it out anyhow, and is sourced."""
    found = rows("counted_as_nuts")
    assert found
    for row in found:
        assert row["source"]
        assert row["how"] in ("read", "memory")
        for name in row["what"].split(";"):
            tags = liquids()[name].tags if name in liquids() else reference().get(name).tags
            assert tags.isdisjoint(row["barred"].split(";"))
