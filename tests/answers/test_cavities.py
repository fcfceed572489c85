"""Bars that come out of the cavities of a mould: there are as many as cavities, and one weighs what a cavity gives."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.blend import answer
from optimiser.answers.label import Label, label
from optimiser.answers.resize import resize
from optimiser.answers.results import Blend
from optimiser.answers.sheet import MakingSheet, making_sheet
from optimiser.answers.weigh import weigh
from optimiser.problem.units import Units
from optimiser.report.page.contents import contents
from optimiser.report.recipe_yaml import kept_resized, kept_yaml, recipe_yaml

ROOT = Path(__file__).parents[2]
GOALS = """
title: Cavities
shelf: {shelf}
batch: {{mould: {mould}{more}}}
goals: {{superfat: 5 %{goal}}}
"""
CAVITIES = "{cavities: 12, volume: 100 ml}"


def asked(folder: Path, mould: str = CAVITIES, more: str = "", goal: str = "") -> Path:
    """A goal file over the shelf of the house."""
    path = folder / "goals.yaml"
    text = GOALS.format(shelf=ROOT / "inventory" / "kittiwake.yaml", mould=mould, more=more, goal=goal)
    path.write_text(text, encoding="utf-8")
    return path


def blended(path: Path) -> Blend:
    """The blend of a goal file."""
    found = answer(path)
    assert isinstance(found, Blend)
    return found


@pytest.mark.parametrize(
    ("mould", "bars"),
    [
        (CAVITIES, 12),
        ("{cavities: 6, volume: 100 ml, moulds: 3, headroom: 5 %}", 18),
        ("[{cavities: 6, volume: 100 ml}, {cavities: 4, volume: 80 ml}]", 10),
    ],
)
def test_there_are_as_many_bars_as_cavities(tmp_path: Path, mould: str, bars: int) -> None:
    """Twelve cavities make twelve bars, and together they weigh what the batch does: nothing is over."""
    cost = blended(asked(tmp_path, mould)).cost
    assert cost.bars == bars
    assert cost.bars * cost.bar_grams == pytest.approx(cost.cured_grams)
    assert cost.bars * cost.per_bar == pytest.approx(cost.batch, rel=2e-3)


def test_a_cavity_of_100_ml_gives_no_bar_of_100_g(tmp_path: Path) -> None:
    """The label tells what comes out of one, some 90 g, and so does that of the recipe that is kept."""
    path = asked(tmp_path)
    found = blended(path)
    assert 80.0 < found.cost.bar_grams < 98.0
    kept = tmp_path / "kept.yaml"
    kept.write_text(recipe_yaml(found, kept), encoding="utf-8")
    assert "\nbars: 12\n" in kept.read_text(encoding="utf-8")
    assert "cured_weight" not in kept.read_text(encoding="utf-8")
    for file in (path, kept):
        told = label(file)
        assert isinstance(told, Label)
        assert told.net_weight.bar_grams == pytest.approx(found.cost.bar_grams, rel=2e-3)


@pytest.mark.parametrize(
    ("mould", "more"),
    [
        ("{cavities: 2, volume: 1 l}", ", cured_weight: 100 g"),
        ("{volume: 1.2 l}", ""),
        ("[{cavities: 6, volume: 100 ml}, {volume: 1 l}]", ""),
    ],
)
def test_bars_are_cut_where_that_is_said_or_where_there_is_a_loaf(tmp_path: Path, mould: str, more: str) -> None:
    """A weight that the maker tells stands, and a mould that is no cavity is cut into bars."""
    assert blended(asked(tmp_path, mould, more)).cost.bar_grams == 100.0


def test_a_cost_per_bar_is_that_of_a_cavity(tmp_path: Path) -> None:
    """A goal on it is met to the very figure, and by the judge's sums as well."""
    free = blended(asked(tmp_path)).cost
    goal = f", cost: {{at_most: {1.01 * free.per_bar:.4f} / bar}}"
    line = next(one for one in blended(asked(tmp_path, goal=goal)).goals if one.figure == "cost")
    assert line.value == pytest.approx(free.per_bar, rel=5e-3)
    assert line.holds_when_weighed


def test_a_recipe_in_shares_fills_its_cavities(tmp_path: Path) -> None:
    """Weighed, it makes as many bars as there are cavities; and so does one that is resized, and kept."""
    path = tmp_path / "recipe.yaml"
    body = "title: R\nshelf: {}\nfats: {{olive oil: 70 %, coconut oil: 30 %}}\nsuperfat: 5 %\n"
    start = body.format(ROOT / "inventory" / "kittiwake.yaml")
    path.write_text(f"{start}batch: {{mould: {CAVITIES}}}\n", encoding="utf-8")
    cost = weigh(path).cost
    assert cost is not None
    assert cost.bars == 12
    assert cost.bar_grams == pytest.approx(cost.cured_grams / 12.0)
    other = resize(path, "6 cavities of 80 ml")
    assert other.story.cost is not None
    assert other.story.cost.bars == 6
    assert "\nbars: 6\n" in kept_yaml(kept_resized(other), tmp_path / "kept.yaml")
    loaf = resize(path, "2 moulds of 1.9 l").story.cost
    assert loaf is not None
    assert loaf.bars > 20


def test_what_comes_out_of_cavities_is_not_cut(tmp_path: Path) -> None:
    """The steps and the calendar of a salt bar in single moulds unmould it and say nothing of a knife; of a loaf they do."""
    shelf = tmp_path / "shelf.yaml"
    shelf.write_text(
        "fats: [{fat: coconut oil, price: 3 / kg}]\nadditives: [{additive: salt, price: 1 / kg}]\n"
        "alkalis: {sodium hydroxide: {price: 2 / kg}}\n",
        encoding="utf-8",
    )
    goals = tmp_path / "goals.yaml"
    for mould, cut in (("{cavities: 12, volume: 100 ml}", False), ("{length: 30 cm, width: 9 cm, depth: 7 cm}", True)):
        goals.write_text(
            f"shelf: shelf.yaml\nbatch: {{mould: {mould}}}\nadditives: {{salt: 50 %}}\npractice: off\n",
            encoding="utf-8",
        )
        sheet = making_sheet(goals)
        assert isinstance(sheet, MakingSheet)
        unmould = next(step for step in sheet.story.steps if step.startswith("Unmould"))
        assert ("cut" in unmould) == cut
        assert [event.what for event in sheet.events if event.key == "unmould"] == [
            "Unmould and cut" if cut else "Unmould"
        ]


def test_a_saved_recipe_keeps_its_cavities(tmp_path: Path) -> None:
    """Its bars come out of the cavities as the blend's do: nothing is lined or cut, and how full they are is told."""
    path, kept = asked(tmp_path), tmp_path / "recipe.yaml"
    found = blended(path)
    kept.write_text(recipe_yaml(found, kept), encoding="utf-8")
    assert "batch: {mould: {cavities: 12, volume: 100 ml}}\n" in kept.read_text(encoding="utf-8")
    story = weigh(kept)
    assert not story.times.cut
    assert len(story.steps) == len(found.steps)
    assert not any("Line the mould" in step or "; cut" in step for step in story.steps)
    assert story.filled == found.filled
    assert (story.recipe.fats, story.recipe.sodium_hydroxide) == (found.recipe.fats, found.recipe.sodium_hydroxide)


@pytest.mark.parametrize(
    "mould",
    [
        "{length: 12 in, width: 8 in, depth: 2 in, headroom: 0.25 in}",
        "{diameter: 3 in, depth: 10 in, headroom: 10 %}",
        "{length: 30 cm, width: 9 cm, depth: 7 cm, moulds: 2}",
        "[{cavities: 6, volume: 100 ml, moulds: 2}, {volume: 0.5 l}, {cavities: 4, length: 8 cm, width: 5.5 cm, depth: 2.5 cm}]",
    ],
)
def test_a_mould_is_read_back_as_it_was(tmp_path: Path, mould: str) -> None:
    """In cm whatever it was told in, several of them too; the masses of the recipe stay what they are."""
    kept = tmp_path / "recipe.yaml"
    found = blended(asked(tmp_path, mould))
    kept.write_text(recipe_yaml(found, kept), encoding="utf-8")
    story = weigh(kept)
    assert story.filled is not None
    assert found.filled is not None
    assert story.filled.mould.litres == pytest.approx(found.filled.mould.litres, rel=1e-9)
    assert story.filled.mould.every_cavity == found.filled.mould.every_cavity
    assert len(story.filled.mould.beside) == len(found.filled.mould.beside)
    assert story.recipe.fat_grams == found.recipe.fat_grams


def test_the_sheet_tells_the_mould(tmp_path: Path) -> None:
    """What it is poured into stands on the sheet, by number and measure, with how full it gets; in inches beside ounces."""
    sheet = making_sheet(asked(tmp_path))
    assert isinstance(sheet, MakingSheet)
    told = [line.replace("\xa0", " ") for line in contents(sheet).filled]
    assert told[0] == "Poured into: 12 cavities of 100 mL."
    assert told[1].startswith("To fill 1200 mL of mould: the batter takes up about 1")
    block = making_sheet(
        asked(tmp_path, "{length: 12 in, width: 8 in, depth: 2 in, headroom: 0.5 in}"), units=Units.OUNCES
    )
    assert isinstance(block, MakingSheet)
    assert (
        contents(block).filled[0].replace("\xa0", " ")
        == "Poured into: 1 mould of 12 x 8 x 2 in, 25 % of it left empty."
    )


def test_the_sheet_tells_what_is_to_be_bought(tmp_path: Path) -> None:
    """Who has the goals at hand and not the tins reads first of all which ones; where nothing is bought nothing is told."""
    path = asked(tmp_path)
    sheet = making_sheet(path)
    assert isinstance(sheet, MakingSheet)
    assert contents(sheet).bought == ()
    path.write_text(path.read_text(encoding="utf-8") + "buy: any\nshares: {castor oil: 5 %}\n", encoding="utf-8")
    sheet = making_sheet(path)
    assert isinstance(sheet, MakingSheet)
    (told,) = contents(sheet).bought
    assert told.startswith("To buy before it can be made: ")
    assert "kg of castor oil" in told.replace("\xa0", " ")
