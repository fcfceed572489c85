"""The making steps say what to do in the right order, with this batch's figures."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answer import answer
from optimiser.story import Blend
from optimiser.weigh import weigh

ROOT = Path(__file__).parents[1]


def blend(name: str) -> Blend:
    """The answer to one of the goal files."""
    found = answer(ROOT / "goals" / name)
    assert isinstance(found, Blend)
    return found


def place(steps: tuple[str, ...], words: str) -> int:
    """Which step says something."""
    (found,) = [number for number, step in enumerate(steps) if words in step]
    return found


@pytest.mark.parametrize("name", ["everyday.yaml", "design-fine-swirl.yaml", "design-chequer.yaml", "laundry.yaml"])
def test_gear_comes_first_and_testing_last(name: str) -> None:
    """Goggles before anything is weighed, lye before batter, unmoulding before cure, and testing left to practice."""
    steps = blend(name).steps
    assert "Goggles" in steps[0]
    assert "safety data sheet" in steps[0]
    order = ["Weigh the fats", "into the water", "the fats to about", "Pour the lye", "Unmould", "Cure on a rack"]
    places = [place(steps, words) for words in order]
    assert places == sorted(places)
    assert "licensed practice" in steps[-1]


def test_alkali_goes_into_water_and_never_the_other_way() -> None:
    """No step tells anyone to put water onto alkali."""
    step = blend("everyday.yaml").steps[place(blend("everyday.yaml").steps, "into the water")]
    assert "sprinkle the alkali into the water, never water onto alkali" in step


def test_figures_are_those_of_the_balance() -> None:
    """The steps name the grams to weigh, purity and all, as the tables do."""
    found = blend("everyday.yaml")
    text = " ".join(found.steps)
    assert f"{found.alkali.sodium_to_weigh:,.1f} g sodium hydroxide (98 % pure)" in text
    assert f"{found.water.to_weigh:,.1f} g water" in text
    assert f"{found.recipe.fat_grams:,.0f} g in all" in text


def test_a_design_says_where_to_stop_and_how_warm() -> None:
    """A fine swirl stops at a thin trace in a cool batter; a chequer is covered to gel."""
    swirl, chequer = blend("design-fine-swirl.yaml"), blend("design-chequer.yaml")
    assert "thin trace" in " ".join(swirl.steps)
    assert f"{swirl.recipe.batter_temperature:.0f} degC" in " ".join(swirl.steps)
    assert chequer.recipe.gel
    assert "gels through" in " ".join(chequer.steps)


def test_a_recipe_in_hand_has_steps_and_times(tmp_path: Path) -> None:
    """Steps and times are told of any recipe, not only of our own."""
    path = tmp_path / "in-hand.yaml"
    path.write_text(
        "title: thirds\nfats: {coconut oil: 500 g, palm oil: 500 g, olive oil: 500 g}\nsuperfat: 5 %\n",
        encoding="utf-8",
    )
    found = weigh(path)
    assert "Goggles" in found.steps[0]
    assert {item.measure for item in found.times} == {"trace", "set_up"}
    assert all(0 < item.low < item.high for item in found.times)
