"""A blend as a recipe file that `weigh` reads."""

from __future__ import annotations

import os
from pathlib import Path

from optimiser.story import Blend
from optimiser.text.signs import filled
from optimiser.text.writing import lines, nameable

HEADER = """\
# Worked out by barwright from {goals}. Rounded for a balance that reads {step} g.
# Sodium and potassium hydroxide burn skin and blind. Check the figures, wear goggles and gloves, and follow the supplier's
# safety data sheet, the rules where you live and licensed practice.
"""


def recipe_yaml(blend: Blend, target: Path) -> str:
    """The recipe to weigh, as YAML; the shelf is named as seen from the folder of `target`."""
    recipe, batch = blend.recipe, {}
    if recipe.batter_temperature != 35.0:
        batch["batter_temperature"] = f"{recipe.batter_temperature:g} degC"
    if recipe.gel:
        batch["gel"] = "yes"
    if recipe.cured_water != 0.1:
        batch["cured_water"] = f"{100 * recipe.cured_water:g} %"
    alkali = {"sodium hydroxide": recipe.sodium_hydroxide, "potassium hydroxide": recipe.potassium_hydroxide}
    content: dict[str, str | dict[str, str]] = {
        "title": blend.title,
        "shelf": nameable(Path(os.path.relpath(blend.shelf_file, target.parent)).as_posix()),
        "fats": {fat.name: mass(grams) for fat, grams in recipe.fats},
        "alkali": {name: mass(grams) for name, grams in alkali.items() if grams},
        "water": mass(recipe.water),
        "cured_weight": mass(blend.cost.bar_grams),
        **batch,
    }
    if recipe.additives:
        content["additives"] = {item.name: mass(grams) for item, grams in recipe.additives}
    header = filled(HEADER, goals=blend.goal_file, step=f"{blend.step_grams:g}")
    return header + "".join(f"{line}\n" for line in lines(content))


def mass(grams: float) -> str:
    """Grams as people write them."""
    return f"{grams:.3f}".rstrip("0").rstrip(".") + " g"
