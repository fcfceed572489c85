"""barwright from Python: a blend, its alkali checked by hand, and the price of one goal as its limit moves.

    python examples/library.py

Kittiwake Soapworks and its shelf are invented. Lye burns: these are figures, not a licence to make soap.
"""

from __future__ import annotations

from pathlib import Path

from optimiser import blend, read_goals, read_shelf
from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.materials.fat_table import reference

ROOT = Path(__file__).parents[1]
GOALS = ROOT / "goals" / "palm-free-vegetable.yaml"


def alkali_by_hand(answer: Blend) -> float:
    """Sodium hydroxide to weigh, from the grams of the answer and the saponification values alone."""
    shelf = {item.fat.name: item.fat for item in read_shelf(ROOT / "inventory" / "kittiwake.yaml").fats}
    demand = sum(line.grams * shelf[line.fat].saponification.value / 56106.0 for line in answer.fats)
    return demand * (1.0 - answer.alkali.superfat / 100.0) * 39.997 / answer.alkali.sodium_purity


def cost_at(wear_life: float) -> float | None:
    """Cost per kilo when the bar must last this long; None where no blend does."""
    sheet = read_goals(GOALS)
    goals = tuple(goal._replace(value=wear_life) if goal.key == "wear_life" else goal for goal in sheet.goals)
    found = answer_for(sheet._replace(goals=goals), read_shelf(ROOT / "inventory" / "kittiwake.yaml"))
    return found.cost.per_kg if isinstance(found, Blend) else None


def main() -> None:
    """Print the blend, the check and the price curve."""
    found = blend(GOALS)
    assert isinstance(found, Blend)
    for line in found.fats:
        print(f"{line.fat:26s} {line.share:5.1f} %  {line.to_weigh:6.0f} g")
    print(f"sodium hydroxide {found.alkali.sodium_hydroxide:.2f} g, by hand {alkali_by_hand(found):.2f} g")
    for caution in found.cautions:
        print("!", caution)
    print(f"of {len(reference().names())} fats in the table; cost per kilo of cured bar as it must last longer:")
    for wear_life in (20.0, 24.0, 28.0, 32.0, 36.0, 40.0):
        cost = cost_at(wear_life)
        print(f"  wear life at least {wear_life:.0f}: {f'{cost:.2f} EUR' if cost else 'no blend'}")


if __name__ == "__main__":
    main()
