"""What is weighed out and saved, put back on the balance: it meets every goal that it was asked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.answers.weigh import weigh
from optimiser.recipe.evaluation import Recipe
from optimiser.report.recipe_yaml import recipe_yaml

ROOT = Path(__file__).parents[2]
SHELF = ROOT / "inventory" / "kittiwake.yaml"
GOALS = {
    "exact": "goals: {superfat: 5 %, lye_concentration: 33 %}\n",
    "windows": "goals: {hardness: {at_least: 45}, superfat: {between: [3 %, 6 %]}, lye_concentration: {between: [30 %, 33 %]}}\n",
    "shares": "goals: {superfat: 5 %}\nshares: {castor oil: 6 %, coconut oil: {at_most: 22.5 %}}\n",
    "salted": "goals: {superfat: 5 %}\nadditives: {salt: 8 %, citric acid: 2 %}\n",
    "milk": "goals: {superfat: 6 %}\nliquids: {goat milk: 50 %}\n",
    "soft": "goals: {superfat: 5 %, potassium_share: 12 %}\n",
    "preferred": "goals: {superfat: 5 %}\nprefer: [{mildness: {at_least: 48}}, {quick_lather: {at_least: 41}}]\n",
}
BATCHES = (
    *(
        "{fats: 100 g, scale: 0.1 g}",
        "{fats: 300 g, scale: 1 g}",
        "{fats: 1 lb, scale: 0.1 oz}",
        "{fats: 1 kg, scale: 5 g}",
    ),
    *("{fats: 250 g}", "{bars: 6, cured_weight: 110 g, scale: 1 g}"),
    "{mould: {cavities: 6, volume: 100 ml, headroom: 5 %}, scale: 1 g}",
)


def weights(recipe: Recipe) -> list[tuple[str, float]]:
    """Everything that goes on the balance."""
    return [
        *((fat.name, round(grams, 6)) for fat, grams in recipe.fats),
        *(("sodium", recipe.sodium_hydroxide), ("potassium", recipe.potassium_hydroxide), ("water", recipe.water)),
        *((item.name, round(grams, 6)) for item, grams in recipe.additives),
    ]


@pytest.mark.parametrize("batch", BATCHES)
@pytest.mark.parametrize("name", sorted(GOALS))
def test_weights_put_back_meet_every_goal(tmp_path: Path, name: str, batch: str) -> None:
    """Saved, read and judged again a recipe holds the same weights, and misses just what the answer says it misses."""
    goals, kept = tmp_path / "goals.yaml", tmp_path / "recipe.yaml"
    goals.write_text(f"shelf: {SHELF}\nbatch: {batch}\n{GOALS[name]}", encoding="utf-8")
    story = answer(goals)
    assert isinstance(story, Blend)
    kept.write_text(recipe_yaml(story, kept), encoding="utf-8")
    again = weigh(kept, goal_file=goals)
    assert sorted(weights(again.recipe)) == sorted(weights(story.recipe))
    missed = {str(line.id) for line in again.goals if not line.holds_when_weighed}
    missed |= {str(line.id) for line in again.preferences if not line.met}
    unreached = {str(line.id) for line in story.preferences if not line.met}
    assert missed - unreached <= {str(wish) for wish in story.rounding.missed}
    own = {wish for wish in missed if wish.partition(".")[0] in ("goals", "shares", "additives", "liquids")}
    assert again.meets_goals == (not own)
    assert story.weighed.superfat >= story.alkali.superfat - 1e-6
    if own:
        assert story.rounding.finer or story.rounding.times


@pytest.mark.parametrize(
    ("told", "kept"), [("1 g", "1 g"), ("0.1 oz", "0.1 oz"), ("0.5 g", "0.5 g"), ("0.05 oz", "0.05 oz")]
)
def test_what_the_balance_shows_is_kept(tmp_path: Path, told: str, kept: str) -> None:
    """The step that a maker told stands in the recipe saved, and is read back as it is."""
    goals, saved = tmp_path / "goals.yaml", tmp_path / "recipe.yaml"
    goals.write_text(f"shelf: {SHELF}\nbatch: {{fats: 2 kg, scale: {told}}}\n", encoding="utf-8")
    story = answer(goals)
    assert isinstance(story, Blend)
    text = recipe_yaml(story, saved)
    assert f"batch:\n  scale: {kept}\n" in text
    assert f"# Rounded for a balance that reads {kept}.\n" in text
    saved.write_text(text, encoding="utf-8")
    from optimiser.files.recipe_file import read_recipe

    assert read_recipe(saved).scale_g == pytest.approx(story.rounding.scale_g, rel=1e-12)


def test_without_a_balance_told_none_is_kept(tmp_path: Path) -> None:
    """Where the maker says nothing of it, the recipe says nothing of it."""
    goals = tmp_path / "goals.yaml"
    goals.write_text(f"shelf: {SHELF}\nbatch: {{fats: 2 kg}}\n", encoding="utf-8")
    story = answer(goals)
    assert isinstance(story, Blend)
    assert "scale" not in recipe_yaml(story, tmp_path / "recipe.yaml")
