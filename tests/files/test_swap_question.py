"""What is typed after --out and --keep: names told apart, and every fault of them at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.files.swap_question import read_swap, shelf_or_common
from optimiser.materials.standing_in import common_fats
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
RECIPE = ROOT / "examples" / "recipes" / "all-purpose.yaml"


def faults(out: list[str], keep: list[str] | None = None, recipe: Path = RECIPE) -> list[tuple[Code, str]]:
    """What is wrong with the names."""
    with pytest.raises(BadInput) as bad:
        read_swap(recipe, out, keep or [])
    return [(item.code, item.message) for item in bad.value.diagnostics]


def test_names_are_told_by_any_of_their_synonyms() -> None:
    """A short name, a synonym and another case name the same fat, and one name twice is one."""
    found = read_swap(RECIPE, ["Coconut", "copra oil"], ["ricinus oil"])
    assert found.out == ("coconut oil",)
    assert found.keep == ("castor oil",)


def test_a_fat_made_of_what_is_out_counts_as_the_same() -> None:
    """The calendula infusion of the shelf is olive oil: it stays out too, and that is said."""
    found = read_swap(RECIPE, ["olive oil"])
    assert found.barred == ("calendula olive infusion",)
    assert any("calendula olive infusion is made of olive oil" in note for note in found.notes)
    kept = read_swap(RECIPE, ["palm oil"], ["olive oil"])
    assert kept.barred == ("calendula olive infusion",)
    assert read_swap(RECIPE, ["palm oil"]).barred == ()


def test_every_fault_of_the_names_is_told_at_once() -> None:
    """Unknown, not in the recipe, and too little said: three faults, each with its own code."""
    found = faults(["plam oil", "lard"], ["soy wax"])
    assert [code for code, _ in found] == [Code.UNKNOWN_FAT, Code.UNKNOWN_FAT, Code.NEEDS_CERTIFICATE]
    assert "not in the recipe" in found[1][1]


def test_out_and_kept_at_once_is_a_contradiction() -> None:
    """The same fat under two names still contradicts itself."""
    assert faults(["palm oil"], ["Palm"]) == [(Code.CONTRADICTION, "palm oil is out and kept at once")]


def test_all_fats_out_is_no_swap() -> None:
    """Nothing would be left of the recipe."""
    ((code, message),) = faults(["olive", "coconut", "palm", "castor"])
    assert code == Code.CONTRADICTION
    assert "every fat of the recipe is out" in message


def test_no_fat_out_is_no_question() -> None:
    """A Python caller may give no names at all."""
    assert [code for code, _ in faults([])] == [Code.USAGE]


def test_without_a_shelf_the_common_fats_serve(tmp_path: Path) -> None:
    """No inventory far and wide: fats that any supplier has, those of the recipe too, and a note that says so."""
    recipe = tmp_path / "bar.yaml"
    recipe.write_text("fats: {olive oil: 700 g, kukui oil: 300 g}\nsuperfat: 5 %\n", encoding="utf-8")
    found = read_swap(recipe, ["kukui"])
    assert found.asked.shelf is None
    assert "without prices" in found.notes[0]
    names = {item.fat.name for item in shelf_or_common(None, found.asked.recipe).fats}
    assert names == {*common_fats(), "kukui oil"}


def test_the_nearest_inventory_is_taken(tmp_path: Path) -> None:
    """A recipe that names no shelf is swapped over the one that lies beside it."""
    (tmp_path / "inventory").mkdir()
    (tmp_path / "inventory" / "mine.yaml").write_text(
        "fats: [{fat: lard, price: 2.2 / kg}, {fat: olive oil, price: 7 / kg}, {fat: palm oil, price: 2 / kg}]\n",
        encoding="utf-8",
    )
    recipe = tmp_path / "bar.yaml"
    recipe.write_text("fats: {olive oil: 700 g, lard: 300 g}\nsuperfat: 5 %\n", encoding="utf-8")
    found = read_swap(recipe, ["lard"])
    assert found.asked.shelf is not None
    assert found.asked.shelf.path == str(tmp_path / "inventory" / "mine.yaml")
