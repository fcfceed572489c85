"""Bars side by side are what each is by itself, and differ where that is sure."""

from __future__ import annotations

from pathlib import Path

import pytest

import optimiser
from optimiser.answers.compare import Compared, compare
from optimiser.answers.results import Blend, NoBlend
from optimiser.answers.weigh import weigh
from optimiser.measures.differences import changes
from optimiser.measures.measures import measures
from optimiser.problem.units import Units
from optimiser.recipe.evaluation import judge
from optimiser.report.recipe_yaml import recipe_yaml
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
GOALS = ROOT / "goals"
SHELF = ROOT / "inventory" / "kittiwake.yaml"
SOFT = "title: Olive\nfats: {olive oil: 1000 g}\nsuperfat: 8 %\n"
HARD = "title: Coconut and tallow\nfats: {beef tallow: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n"


@pytest.fixture
def recipes(tmp_path: Path) -> tuple[Path, Path]:
    """A soft recipe and a hard one, without a shelf."""
    paths = tmp_path / "soft.yaml", tmp_path / "hard.yaml"
    for path, text in zip(paths, (SOFT, HARD), strict=True):
        path.write_text(text, encoding="utf-8")
    return paths


def test_each_column_is_what_weigh_says(recipes: tuple[Path, Path]) -> None:
    """Shares, alkali, superfats, measures and times are those of `weigh`, figure by figure."""
    found = compare(recipes, shelf_file=SHELF)
    for path, bar in zip(recipes, found.bars, strict=True):
        alone = weigh(path, shelf_file=SHELF)
        assert (bar.recipe, bar.judged, bar.cost, bar.times) == (alone.recipe, alone.judgement, alone.cost, alone.times)


def test_marks_are_differences_beyond_what_a_measure_is_sure_to(recipes: tuple[Path, Path]) -> None:
    """By hand from the two judgements: what is said is each difference beyond the measure's own plus or minus."""
    found = compare(recipes)
    first, second = (weigh(path).judgement.values for path in recipes)
    assert found.bars[0].differs == {}
    assert found.bars[1].differs == pytest.approx({name: second[name] - first[name] for name in measures()})
    says = found.bars[1].says
    for name, by in found.bars[1].differs.items():
        sure = measures()[name].uncertainty
        if sure is not None and name != "mildness":
            assert (changes()[name, "up" if by > 0 else "down"].brief in says) == (abs(by) > sure + 0.2), name
    assert {"harder", "lasts longer"} <= set(says)
    assert says[-1].endswith(" points less superfat")
    assert "softer" not in says


def test_a_goal_file_is_compared_as_its_blend_is_weighed(tmp_path: Path) -> None:
    """The column of a goal file, and that of the recipe that `blend --save` writes of it, say the same of the bar."""
    goals = GOALS / "budget.yaml"
    story = optimiser.blend(goals)
    assert isinstance(story, Blend)
    kept = tmp_path / "kept.yaml"
    kept.write_text(recipe_yaml(story, kept), encoding="utf-8")
    one, other = compare([goals, kept]).bars
    assert one.judged is not None
    assert other.judged is not None
    for name in ("superfat", "hardness", "trace_speed", "cost"):
        assert one.judged.values[name] == pytest.approx(other.judged.values[name], abs=1e-6)
    assert other.says == ()
    assert other.dearer == pytest.approx(0.0, abs=1e-9)
    assert one.recipe is not None
    assert one.judged == judge(one.recipe, optimiser.read_shelf(SHELF).prices)


def test_money_is_held_against_money_of_one_kind(recipes: tuple[Path, Path], tmp_path: Path) -> None:
    """Nothing is dearer or cheaper without a shelf, or in another currency."""
    assert [bar.dearer for bar in compare(recipes).bars] == [None, None]
    priced = compare(recipes, shelf_file=SHELF).bars
    assert priced[1].cost is not None
    assert priced[0].cost is not None
    assert priced[1].dearer == pytest.approx(priced[1].cost.per_kg - priced[0].cost.per_kg)
    other = tmp_path / "pounds.yaml"
    other.write_text("currency: GBP\nfats:\n  - {fat: olive oil, price: 6 / kg}\n", encoding="utf-8")
    named = tmp_path / "named.yaml"
    named.write_text(f"shelf: {other.name}\n{SOFT}", encoding="utf-8")
    mixed = compare([named, GOALS / "budget.yaml"]).bars
    assert mixed[1].cost is not None
    assert mixed[1].dearer is None


def test_goals_without_a_blend_have_a_column_of_their_own(recipes: tuple[Path, Path]) -> None:
    """The others stand, are held beside the first that there is, and the answer says that one is missing."""
    found = compare([GOALS / "cannot-be.yaml", *recipes])
    assert isinstance(found.bars[0].story, NoBlend)
    assert found.bars[0].recipe is None
    assert (found.bars[0].cost, found.bars[0].judged, found.bars[0].cautions) == (None, None, ())
    assert found.first is found.bars[1]
    assert not found.is_complete
    assert "harder" in found.bars[2].says


def test_what_is_of_animals_palm_and_nuts(recipes: tuple[Path, Path], tmp_path: Path) -> None:
    """By the tags of everything in the pot."""
    almond = tmp_path / "almond.yaml"
    almond.write_text(
        "fats: {sweet almond oil: 500 g, palm oil: 500 g}\nsuperfat: 5 %\nadditives: {honey: 10 g}\n", encoding="utf-8"
    )
    olive, tallow, nut = (bar.contains for bar in compare([*recipes, almond]).bars)
    assert olive == {"animal": (), "palm": (), "nut": ()}
    assert tallow["animal"] == ("beef tallow",)
    assert (nut["palm"], nut["nut"], nut["animal"]) == (("palm oil",), ("sweet almond oil",), ("honey",))


def faults(*files: Path) -> list[str]:
    """The codes of what is wrong."""
    with pytest.raises(BadInput) as caught:
        compare(files)
    return [item.code for item in caught.value.diagnostics]


def test_what_cannot_be_compared(recipes: tuple[Path, Path], tmp_path: Path) -> None:
    """One file, six, one twice by any name, a shelf, a file that is not there: all are told, those of several at once."""
    soft, hard = recipes
    six = [tmp_path / f"{place}.yaml" for place in range(6)]
    assert faults(soft) == faults() == faults(*six) == ["usage"]
    assert faults(soft, soft) == faults(soft, tmp_path / "." / "soft.yaml") == ["usage"]
    assert faults(soft, SHELF) == ["wrong-file"]
    assert faults(tmp_path / "a.yaml", hard, tmp_path / "b.yaml") == ["no-such-file", "no-such-file"]


def test_units_are_the_shelf_s_or_those_asked_for(recipes: tuple[Path, Path], tmp_path: Path) -> None:
    """`units: oz` on the shelf, and what is asked beside it comes first."""
    shelf = tmp_path / "shelf.yaml"
    shelf.write_text("units: oz\nfats:\n  - {fat: olive oil, price: 6 / kg}\n", encoding="utf-8")

    def units(found: Compared) -> Units:
        return found.units

    assert units(compare(recipes)) == Units.GRAMS
    assert units(compare(recipes, shelf_file=shelf)) == Units.OUNCES
    assert units(compare(recipes, shelf_file=shelf, units=Units.KILOGRAMS)) == Units.KILOGRAMS
