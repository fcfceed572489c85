"""Laws of a swap: however the batch is told, what takes a recipe's place is as much of it, and its lye is for those very fats."""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser.answers import swap as swapping
from optimiser.answers.blend_result import Disagreement
from optimiser.answers.swap import swap
from optimiser.answers.swap_checks import hold_mass
from optimiser.answers.swap_results import ONE_FOR_ONE, Swapped
from optimiser.materials.alkali import alkali_mol
from optimiser.recipe.evaluation import fat_demand

ROOT = Path(__file__).parents[2]
SHELF = ROOT / "inventory" / "kittiwake.yaml"
PER_CENT = "{olive oil: 40 %, palm oil: 30 %, coconut oil: 25 %, castor oil: 5 %}"
BATCHES = (
    "{bars: 24, cured_weight: 105 g}",
    "{bars: 6, cured_weight: 80 g}",
    "{mould: {cavities: 6, volume: 80 ml}}",
    "{mould: {length: 10 in, width: 3.5 in, depth: 2.5 in}}",
    "{batter: 4 kg}",
    "{fats: 3 lb}",
    "{fats: 700 g}",
    "{fats: 12 kg}",
)
GOALS = ("", "goals: {hardness: {at_least: 44}}", "goals: {superfat: {exactly: 7 %}}\nbatch: {bars: 10}")


def asked(folder: Path, batch: str, superfat: int, goals: str = "") -> Swapped:
    """What takes the place of palm oil in a recipe in per cent of a batch."""
    recipe = folder / "recipe.yaml"
    recipe.write_text(
        f"title: A bar\nfats: {PER_CENT}\nbatch: {batch}\nsuperfat: {superfat} %\nlye_concentration: 33 %\n",
        encoding="utf-8",
    )
    against = folder / "goals.yaml"
    against.write_text(f"title: Goals\n{goals}\n", encoding="utf-8")
    return swap(recipe, "palm oil", shelf_file=SHELF, goal_file=against if goals else None)


@pytest.mark.long
@pytest.mark.parametrize("batch", BATCHES)
@pytest.mark.parametrize("goals", GOALS)
def test_however_the_batch_is_told_lye_is_for_the_fats_that_are_weighed(tmp_path: Path, batch: str, goals: str) -> None:
    """Fats weigh what the old ones did, and alkali by their own saponification values leaves the superfat that was asked for."""
    found = asked(tmp_path, batch, 6, goals)
    assert found.answers
    for answer in found.answers:
        recipe = answer.story.recipe
        assert recipe.fat_grams == pytest.approx(
            found.old.recipe.fat_grams, abs=2.01 if recipe.fat_grams > 1000 else 0.21
        )
        pure = (recipe.sodium_hydroxide * recipe.sodium_purity, recipe.potassium_hydroxide * recipe.potassium_purity)
        superfat = 100.0 * (1.0 - alkali_mol(*pure) / fat_demand(recipe))
        wanted = 7.0 if answer.sheet.superfat is None and "superfat" in goals else 6.0
        assert superfat == pytest.approx(wanted, abs=0.1 + 30.0 / recipe.sodium_hydroxide)


@settings(max_examples=examples(8))
@given(bars=st.integers(4, 400), weight=st.integers(40, 200), superfat=st.integers(0, 12))
def test_one_for_one_leaves_the_other_fats_to_the_gram(
    tmp_path_factory: pytest.TempPathFactory, bars: int, weight: int, superfat: int
) -> None:
    """What the words say of the other fats is so on the balance too."""
    folder = tmp_path_factory.mktemp("bars")
    found = asked(folder, f"{{bars: {bars}, cured_weight: {weight} g}}", superfat)
    old = {fat.name: grams for fat, grams in found.old.recipe.fats}
    singles = [answer for answer in found.answers if answer.label == ONE_FOR_ONE]
    assert singles
    for answer in singles:
        came = {item.fat for item in answer.changed}
        new = {fat.name: grams for fat, grams in answer.story.recipe.fats}
        assert {name: grams for name, grams in new.items() if name not in came} == {
            name: grams for name, grams in old.items() if name not in came
        }
        assert sum(new.values()) == pytest.approx(sum(old.values()), abs=1e-6)


def test_lye_for_other_fats_than_are_weighed_is_never_shown(tmp_path: Path) -> None:
    """The guard: half the alkali, a tenth more of it, or fats that weigh something else, are refused, and a hair is not."""
    found = asked(tmp_path, BATCHES[0], 5)
    old, story = found.old.recipe, found.answers[0].story
    hold = partial(hold_mass, old, story.recipe)
    hold(story.judgement, 5.0)
    for off in (-1.0, 1.0, 50.0, float("nan")):
        with pytest.raises(Disagreement):
            hold(story.judgement._replace(superfat=5.0 + off), 5.0)
    (fat, grams), *rest = story.recipe.fats
    with pytest.raises(Disagreement):
        hold_mass(old, story.recipe._replace(fats=((fat, grams + 50.0), *rest)), story.judgement, 5.0)


def test_every_answer_passes_the_guard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A swap whose guard refuses shows nothing at all."""

    def refuse(*_: object) -> None:
        raise Disagreement("no")

    monkeypatch.setattr(swapping, "hold_mass", refuse)
    with pytest.raises(Disagreement):
        asked(tmp_path, BATCHES[0], 5)


def test_a_bigger_batch_takes_more_lye(tmp_path: Path) -> None:
    """The alkali of each label grows with the bars."""
    alkali = [
        asked(tmp_path, f"{{bars: {bars}, cured_weight: 100 g}}", 5, GOALS[1]).answers[-1].story.recipe.sodium_hydroxide
        for bars in (5, 10, 20)
    ]
    assert all(more == pytest.approx(2.0 * less, rel=0.02) for less, more in pairwise(alkali))
