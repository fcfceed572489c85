"""What else is worth a word beside a blend: what was taken for granted."""

from __future__ import annotations

from optimiser.model.columns import Columns
from optimiser.problem.shelf import Shelf
from optimiser.recipe.evaluation import Recipe


def unpriced(shelf: Shelf, recipe: Recipe) -> tuple[str, ...]:
    """What must be said where the recipe holds sodium hydroxide and the shelf has none."""
    note = shelf.unpriced_alkali_note
    return (note,) if note and recipe.sodium_hydroxide > 0 else ()


def notes(shelf: Shelf, columns: Columns, weighed: Recipe) -> tuple[str, ...]:
    """What else is worth a word."""
    out: list[str] = []
    out.extend(
        f"The shelf does not say how pure its {item.name} is: taken as pure, "
        "which puts less alkali in the pot, never more."
        for item in shelf.alkalis.values()
        if item.assumed and item.is_priced
    )
    out.extend(
        f"The shelf says nothing of {item.name}: taken as free of charge."
        for item in columns.additives
        if item.name not in shelf.extras
    )
    out.extend(shelf.lot_notes(fat.name for fat, _ in weighed.fats))
    return tuple(out)
