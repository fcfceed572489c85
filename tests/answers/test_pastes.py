"""Pastes are told by weight and never in bars, and what is not known of them is said."""

from __future__ import annotations

from pathlib import Path

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.answers.weigh import weigh
from optimiser.report.terminal import text

SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
GOALS = (
    "batch: {fats: 1 kg}\ngoals: {potassium_share: POTASSIUM, superfat: 3 %}\nshares: {coconut oil: {at_least: 20 %}}\n"
)


def page(folder: Path, potassium: str) -> tuple[Blend, str]:
    """The blend for a share of potassium, and its page on one line."""
    path = folder / "bar.yaml"
    path.write_text(GOALS.replace("POTASSIUM", potassium), encoding="utf-8")
    story = answer(path, SHELF)
    assert isinstance(story, Blend)
    return story, " ".join(text.blend(story, 100).split())


def test_a_paste_is_grams_for_jars(tmp_path: Path) -> None:
    """All that is in the pot goes into jars: its weight, its price by the kilo as it is, and no bars."""
    story, told = page(tmp_path, "100 %")
    assert f"{story.weighed.batter_grams:.0f} g of paste for jars, filled by weight" in told
    assert f"{1000.0 * story.cost.batch / story.weighed.batter_grams:.2f} EUR a kilo as it is" in told
    assert "bars of" not in told
    assert "How long a paste is blended is not known here" in told


def test_a_bar_with_some_potassium_is_a_bar(tmp_path: Path) -> None:
    """A twentieth of potassium makes no paste."""
    _, told = page(tmp_path, "5 %")
    assert "bars of" in told
    assert "for jars" not in told


def test_a_paste_in_hand_is_grams_for_jars(tmp_path: Path) -> None:
    """The same of a recipe, with a price list or without."""
    path = tmp_path / "recipe.yaml"
    path.write_text(
        "fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 3 %\npotassium_share: 100 %\n", encoding="utf-8"
    )
    for shelf in (None, SHELF):
        told = " ".join(text.weighed(weigh(path, shelf_file=shelf), 100).split())
        assert "g of paste for jars, filled by weight" in told
        assert "bars of" not in told
