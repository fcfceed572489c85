"""A recipe as the text that a batch is recorded with: whole, read back before it is kept, honest about what it cannot name."""

from __future__ import annotations

from pathlib import Path

import pytest
from benches import laid

from optimiser.files.question import shelf_for
from optimiser.files.recipe_file import read_recipe
from optimiser.problem.recipe import RecipeSheet
from optimiser.recipe.completion import complete
from optimiser.recipe.evaluation import judge
from optimiser.store.frozen import as_weighed, frozen_text, read_back, thawed
from optimiser.text.diagnostics import BadInput

SHELF = "fats: [{fat: lard, price: 2 / kg}, {fat: house oil, like: olive oil, price: 7 / kg}]\n"
RECIPE = """title: Bar
shelf: inventory/shelf.yaml
design: [fine swirl, my layers]
for: mature skin
fats: {lard: 500 g, house oil: 500 g}
superfat: 0 %
"""
DESIGN = "designs:\n  - {name: my layers, about: Layers., batter: Thick., pour_to: thick, steps: [Pour it all.]}\n"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A workshop with a fat, a shelf and a design of its own."""
    files = {"inventory/shelf.yaml": SHELF, "designs/own.yaml": DESIGN, "recipe.yaml": RECIPE}
    return laid(tmp_path / "shop", files)


def frozen(shop: Path, target: Path) -> tuple[str, RecipeSheet]:
    """The recipe as a record at `target` keeps it, and as its file has it."""
    sheet = read_recipe(shop / "recipe.yaml")
    recipe = complete(sheet, shelf_for(sheet))
    return frozen_text(sheet, recipe, judge(recipe), target, "2026-11-03"), as_weighed(sheet, recipe)


def test_what_a_record_can_name_it_names(shop: Path) -> None:
    """Designs, ours and the maker's, whom the bar is for, and the shelf, seen from the folder of the record."""
    text, weighed = frozen(shop, shop / "records" / "barwright.sqlite")
    assert "design: [fine swirl, my layers]\n" in text
    assert "for: [mature skin]\n" in text
    assert 'shelf: "../inventory/shelf.yaml"\n' in text
    (shop / "records").mkdir()
    sheet = thawed(text, shop / "records" / "barwright.sqlite")
    assert {design.name for design in sheet.techniques} == {"fine swirl", "my layers", "mature skin"}
    assert [(item.name, item.grams) for item in sheet.fats] == [(item.name, item.grams) for item in weighed.fats]


def test_a_design_that_is_not_found_from_the_record_is_left_out(shop: Path, tmp_path: Path) -> None:
    """A record elsewhere names our designs and not the maker's own, whose folder it does not see, and still finds the shelf."""
    text, _ = frozen(shop, tmp_path / "elsewhere" / "barwright.sqlite")
    assert "design: [fine swirl]\n" in text
    assert 'shelf: "../shop/inventory/shelf.yaml"\n' in text
    (shop / "recipe.yaml").write_text(RECIPE.replace("[fine swirl, my layers]", "my layers"), encoding="utf-8")
    assert "design:" not in frozen(shop, tmp_path / "elsewhere" / "barwright.sqlite")[0]


def test_its_head_keeps_to_the_page(shop: Path) -> None:
    """Cautions at the head are wrapped as in a saved recipe, and all of a likely lye-heavy warning is there."""
    text, _ = frozen(shop, shop / "records" / "barwright.sqlite")
    head = [line for line in text.splitlines() if line.startswith("#")]
    assert "LIKELY LYE-HEAVY" in " ".join(head)
    assert 100 < max(map(len, head[3:])) <= 119


def test_a_text_that_says_something_else_is_refused(shop: Path) -> None:
    """Other grams, another water or another shelf than was weighed with are told before anything is kept."""
    target = shop / "records" / "barwright.sqlite"
    text, weighed = frozen(shop, target)
    read_back(text, weighed, target)
    assert weighed.shelf is not None
    laid(shop, {"inventory/other.yaml": SHELF})
    for odd in (
        weighed._replace(fats=(weighed.fats[0]._replace(grams=501.0), weighed.fats[1])),
        weighed._replace(water_g=1.0),
        weighed._replace(fats=weighed.fats[:1]),
        weighed._replace(shelf=weighed.shelf.with_name("other.yaml")),
    ):
        with pytest.raises(BadInput, match="cannot be kept in the record"):
            read_back(text, odd, target)
    with pytest.raises(BadInput, match="could not be read again"):
        read_back(text.replace("lard: 500 g", "lrad: 500 g"), weighed, target)


def test_a_recipe_without_a_shelf_names_none(tmp_path: Path) -> None:
    """Where nothing of the maker's own is in it, the text stands alone."""
    laid(tmp_path, {"recipe.yaml": "fats: {lard: 500 g}\nsuperfat: 5 %\n"})
    text, weighed = frozen(tmp_path, tmp_path / "records" / "barwright.sqlite")
    assert "shelf" not in text
    assert "sodium hydroxide of 100 %" in text
    with pytest.raises(BadInput, match="cannot be kept"):
        read_back(text, weighed._replace(shelf=tmp_path / "shelf.yaml"), tmp_path / "records" / "barwright.sqlite")
