"""barwright from Python: goals and a shelf made without a file, the alkali checked by hand, a price curve, a swap; then files.

    python examples/library.py

Kittiwake Soapworks and its shelf are invented, and so are the prices here. Lye burns: these are figures, not a licence to
make soap. Follow the supplier's safety data sheet, the rules where you live and licensed practice.
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from optimiser import (
    Units,
    at_least,
    at_most,
    blend,
    blend_for,
    compare,
    goals_of,
    resize_recipe,
    shelf_of,
    swap_for,
    tradeoff_for,
)
from optimiser.answers.choice_results import Choices
from optimiser.answers.choices import choices_for
from optimiser.answers.curve_values import Curve
from optimiser.answers.results import Blend, NoBlend
from optimiser.problem.asking_near import as_it_is, changed_by, recipe_of
from optimiser.problem.goals import GoalSheet

ROOT = Path(__file__).parents[1]
SHELF = shelf_of(
    {
        "coconut oil": 3.1,
        "olive oil": 7.4,
        "high oleic sunflower oil": 3.3,
        "shea butter": 9.8,
        "cocoa butter": 12.0,
        "castor oil": 5.2,
        "rapeseed oil": 2.1,
    },
    sodium_hydroxide=2.4,
    purities=(0.98, 0.9),
    currency="EUR",
)


def goals_for(wear_life: float) -> GoalSheet:
    """A vegetable bar without palm that lasts so long, is mild, and holds a fifth of olive oil."""
    return goals_of(
        *(at_least("wear life", wear_life), at_least("hardness", 42), at_least("mildness", 62)),
        *(at_least("olive oil", 20), at_most("castor oil", 8)),
        free_from=["palm", "animal"],
        title="made in Python",
    )


def asked(wear_life: float) -> Blend | NoBlend:
    """The cheapest such bar, or why there is none."""
    return blend_for(goals_for(wear_life), SHELF)


def alkali_by_hand(answer: Blend) -> float:
    """Sodium hydroxide to weigh, from the grams of the answer and the saponification values alone."""
    values = {item.fat.name: item.fat.saponification.value for item in SHELF.fats}
    demand = sum(line.grams * values[line.fat] / 56106.0 for line in answer.fats)
    return demand * (1.0 - answer.alkali.superfat / 100.0) * 39.997 / answer.alkali.sodium_purity


def harder() -> Blend:
    """The nearest bar to a recipe in hand that is three points harder, as mild, and at most 0.80 a kilo dearer."""
    recipe = recipe_of(
        {"olive oil": 600, "coconut oil": 250, "rapeseed oil": 150}, superfat=5, title="a recipe in hand"
    )
    goals = goals_of(changed_by("hardness", 3), as_it_is("mildness"), changed_by("cost", 0.8))
    found = blend_for(goals, SHELF, near=recipe)
    assert isinstance(found, Blend)
    return found


def nearly_as_cheap() -> None:
    """Print a few blends nearly as cheap, where the price curve changes, and what may stand in for a butter."""
    others = choices_for(goals_for(24.0), SHELF, within="5 %", count=3)
    assert isinstance(others, Choices)
    for number, choice in enumerate(others.choices, start=1):
        print(f"  {number} {choice.says}: {choice.swapped:.0f} % of the fats swapped")
    print(f"no blend within {others.said} swaps more than {100.0 * others.most.share:.1f} %")
    curve = tradeoff_for(goals_for(24.0), SHELF, "wear life", side="at_least")
    assert isinstance(curve, Curve)
    print("and where that curve changes:")
    for point in curve.points:
        if point.breakpoint and point.comes_in:
            print(f"  above {point.limit:.1f}, {point.cost_per_kg:.2f} EUR: {' and '.join(point.comes_in)} comes in")
    swapped = swap_for(recipe_of({"olive oil": 500, "coconut oil": 250, "shea butter": 250}), SHELF, "shea butter")
    for answer in swapped.answers:
        weights = ", ".join(f"{fat.name} {grams:.0f} g" for fat, grams in answer.story.recipe.fats)
        print(f"without shea, {answer.label}: {weights}; alkali {answer.alkali_change:+.1f} g")


def beside_files() -> None:
    """Print a blend from a file, one near to a recipe, two files side by side, and a recipe resized."""
    told = blend(ROOT / "goals" / "palm-free-vegetable.yaml")
    assert isinstance(told, Blend)
    print(f"{told.title}, from a file: {told.cost.per_kg:.2f} {told.currency} a kilo")
    near = harder().near
    assert near is not None
    print(
        f"three points harder, {near.moved:.1f} % of the fats changed (no blend changes less than {near.proof.least:.1f} %):"
    )
    for change in near.fats:
        print(f"  {change.fat:24s} {change.before:5.1f} % to {change.after:5.1f} %")
    print(f"  alkali {near.alkali_change:+.1f} [g]: weigh it anew, never by the old recipe")
    for bar in compare([ROOT / "goals" / "budget.yaml", ROOT / "goals" / "everyday.yaml"]).bars:
        print(f"{bar.letter} {bar.title}: {', '.join(bar.says) or 'nothing that is sure to be noticed'}")
    with TemporaryDirectory() as folder:
        recipe = Path(folder) / "house.yaml"
        recipe.write_text("fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n", encoding="utf-8")
        larger = resize_recipe(recipe, "24 bars of 4 oz", units=Units.OUNCES)
    ounces = larger.story.recipe.sodium_hydroxide / Units.OUNCES.grams
    print(f"for {larger.asked}: {larger.times:.2f} times as much, {ounces:.2f} oz of sodium hydroxide")


def main() -> None:
    """Print the blend, the check, what a longer life costs and which goals clash, then the rest."""
    found = asked(24.0)
    assert isinstance(found, Blend)
    for line in found.fats:
        print(f"{line.fat:26s} {line.share:5.1f} %  {line.to_weigh:6.0f} g")
    print(f"sodium hydroxide {found.alkali.sodium_hydroxide:.2f} g, by hand {alkali_by_hand(found):.2f} g")
    for caution in found.cautions:
        print("!", caution)
    print("cost per kilo of cured bar as it must last longer:")
    for wear_life in (20.0, 24.0, 28.0, 32.0, 60.0):
        other = asked(wear_life)
        if isinstance(other, Blend):
            print(f"  wear life at least {wear_life:.0f}: {other.cost.per_kg:.2f} EUR")
        else:
            clash = " and ".join(str(member.said) for member in other.clashes[0])
            print(f"  wear life at least {wear_life:.0f}: no blend: {clash}")
    nearly_as_cheap()
    beside_files()


if __name__ == "__main__":
    main()
