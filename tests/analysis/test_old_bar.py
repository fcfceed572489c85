"""A recipe in hand as goals for what takes its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.analysis.old_bar import OldBar, goals_of_bar, windows
from optimiser.files.recipe_file import read_recipe
from optimiser.files.shelf.shelf import read_shelf
from optimiser.measures.measures import measures
from optimiser.measures.sides import Side
from optimiser.model.programme import build
from optimiser.problem.asking import shelf_of
from optimiser.problem.asking_near import recipe_of
from optimiser.problem.shelf import Shelf
from optimiser.recipe.completion import complete
from optimiser.recipe.evaluation import judge
from optimiser.recipe.rounding import point_of

ROOT = Path(__file__).parents[2]
KITTIWAKE = ROOT / "inventory" / "kittiwake.yaml"
RECIPES = sorted((ROOT / "examples" / "recipes").glob("*.yaml"))


def bar_of(path: Path, out: str, keep: tuple[str, ...] = ()) -> tuple[OldBar, Shelf]:
    """A recipe of the tree, judged, and its shelf."""
    sheet, shelf = read_recipe(path), read_shelf(KITTIWAKE)
    recipe = complete(sheet, shelf)
    return OldBar(sheet, recipe, judge(recipe), (out,), keep), shelf


@pytest.mark.parametrize("path", RECIPES, ids=lambda path: path.stem)
def test_the_recipe_itself_meets_all_but_that_a_fat_is_out(path: Path) -> None:
    """Every row holds at the recipe's own figures, but the one that takes its first fat away: so it is no stricter than the bar."""
    sheet, shelf = read_recipe(path), read_shelf(KITTIWAKE)
    out = sheet.fats[0].name
    bar, _ = bar_of(path, out)
    programme = build(goals_of_bar(bar, shelf), shelf)
    point = point_of(programme.columns, bar.recipe)
    members = programme.members
    broken = {
        str(wish)
        for wish, places in members.items()
        for row in (programme.rows[place] for place in places)
        if row.shortfall(point) > 0.02 * row.scale and row.figure not in ("superfat", "likely_superfat")
    }
    assert broken == {f"shares.{out}.at_most"}
    assert len(members) > 20


def test_windows_stand_on_both_sides_or_on_the_bad_one() -> None:
    """Each function has two ends as far apart as it is sure; on the bad side alone those that may become better have one."""
    values = dict.fromkeys(measures(), 40.0)
    both = list(windows(values))
    assert len(both) == 16
    ends = {(limit.key, limit.side): limit.value for limit in both}
    assert ends["quick_lather", Side.AT_MOST] - ends["quick_lather", Side.AT_LEAST] == pytest.approx(12.0)
    one = {(limit.key, limit.side) for limit in windows(values, worse_only=True)}
    assert ("quick_lather", Side.AT_LEAST) in one
    assert ("quick_lather", Side.AT_MOST) not in one
    assert ("harshness", Side.AT_MOST) in one
    assert {("trace_speed", Side.AT_LEAST), ("trace_speed", Side.AT_MOST)} <= one


def test_what_the_bar_is_free_from_it_stays_free_from() -> None:
    """A vegetable bar with palm keeps out animal fat and nuts; one of lard keeps out palm as long as that can be."""
    bar, shelf = bar_of(ROOT / "examples" / "recipes" / "all-purpose.yaml", "palm oil")
    tags = {item.tag for item in goals_of_bar(bar, shelf).free_from}
    assert {"animal", "tree nut", "peanut"} <= tags
    assert "palm" not in tags
    bar, shelf = bar_of(ROOT / "examples" / "recipes" / "lard.yaml", "lard")
    assert "palm" in {item.tag for item in goals_of_bar(bar, shelf).free_from}
    assert "palm" not in {item.tag for item in goals_of_bar(bar, shelf, states=("firm",)).free_from}


def test_the_floor_of_the_likely_superfat_stands_aside_where_the_recipe_lies_below_it() -> None:
    """A laundry bar at 1 % superfat is its maker's choice: it gives way there, and nowhere else."""
    laundry, shelf = bar_of(ROOT / "examples" / "recipes" / "laundry.yaml", "lard")
    assert goals_of_bar(laundry, shelf).yielded == {"likely superfat"}
    house, shelf = bar_of(ROOT / "examples" / "recipes" / "all-purpose.yaml", "palm oil")
    assert goals_of_bar(house, shelf).yielded == frozenset()


def test_one_fat_may_take_the_whole_place_of_another() -> None:
    """Four fifths of olive oil may become four fifths of another oil, though house practice wants no more than half of one."""
    names = ("olive oil", "coconut oil", "high oleic sunflower oil")
    shelf = shelf_of(dict.fromkeys(names, 3.0), sodium_hydroxide=2.4)
    sheet = recipe_of({"olive oil": 800, "coconut oil": 200})
    recipe = complete(sheet, shelf)
    bar = OldBar(sheet, recipe, judge(recipe), ("olive oil",))
    eased = {wish.within: ends.high for wish, ends in goals_of_bar(bar, shelf).eased.items()}
    assert eased["high oleic sunflower oil"] == pytest.approx(80.0)
