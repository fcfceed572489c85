"""Rows that are no wishes: what no blend can go without, and what keeps it within what is known of its levers."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.maths.arrays import Vector
from optimiser.measures.measures import lever_ranges
from optimiser.measures.sides import Side
from optimiser.model.columns import REFERENCE_DEMAND, Columns
from optimiser.model.pieces import ends
from optimiser.model.rows import SHARE_STEP, Row
from optimiser.problem.wishes import Said, Section, WishId

SOLUBILITY = "sodium hydroxide dissolves to about 50 % near room temperature (CRC Handbook, from memory)"
MOST_SUPERFAT = 0.40  # the highest superfat that may be asked for
MOST_UNASKED = 0.25  # the highest that a blend has where no more is asked for: beyond it its measures are not known


def physics(columns: Columns, beyond: frozenset[str] = frozenset()) -> list[Row]:
    """What no blend can go without; never relaxed.

    Args:
        columns: the columns.
        beyond: levers that are asked for beyond what is known of them; the others stay within it.
    """
    lye = columns.alkali + columns.mixing_water
    most = MOST_SUPERFAT if "free oil" in beyond else MOST_UNASKED
    fatty = columns.unreacted - most * columns.fat_demand
    words = f"at most {100 * most:.0f} % of the fats left unreacted"
    why = "with less alkali it is no soap" if "free oil" in beyond else UNTRIED.format("with less alkali", "it")
    table: list[Physical] = [
        ("shares", "the shares of the fats add up to 100 %", Side.EXACTLY, 1.0, columns.constant(1.0), None, "a whole"),
        ("superfat", "no more alkali than fat", Side.AT_LEAST, 0.0, columns.unreacted, None, "free alkali burns skin"),
        (
            "soap",
            words,
            Side.AT_MOST,
            0.0,
            fatty,
            None,
            why,
        ),
        ("lye solubility", "lye as mixed at most 50 %", Side.AT_MOST, 0.5, columns.alkali, lye, SOLUBILITY),
    ]
    if columns.water_brought.any():
        left = columns.at("water") - columns.water_brought
        table.append(
            ("water", "no less water than solutions bring", Side.AT_LEAST, 0.0, left, None, "none can be taken out")
        )
    table.extend(within_range(columns, beyond))
    return [
        Row(WishId(Section.PHYSICS, name, side), name, Said(words), side, limit, "", 1.0, why, top, bottom)
        for name, words, side, limit, top, bottom, why in table
    ]


UNTRIED = "{} nobody knows what a bar would be like; ask for {}, and it may be"
Physical = tuple[str, str, Side, float, Vector, Vector | None, str]


def within_range(columns: Columns, beyond: frozenset[str]) -> Iterator[Physical]:
    """What keeps water, potassium and the fat of liquids within what is known of them, where no more is asked for."""
    known = lever_ranges()
    if "water" not in beyond:
        water, why = columns.at("water"), UNTRIED.format("with more water", "a weaker lye")
        high, low = known["water"].high / 1000.0, known["water"].low / 1000.0
        yield "water", f"at most {high:g} kg of water to a kilo of fats", Side.AT_MOST, high, water, None, why
        why = UNTRIED.format("with less water", "so little")
        yield "water", f"at least {low:g} kg of water to a kilo of fats", Side.AT_LEAST, low, water, None, why
    if "potassium" not in beyond and columns.has_potassium:
        share = (100.0 * columns.potassium_mol, columns.alkali_mol)
        most, why = known["potassium"].high, "with more it is a paste; ask for it, and it may be"
        yield "potassium", f"potassium at most {most:g} % of the alkali's moles", Side.AT_MOST, most, *share, why
    hungriest = 100.0 * MOST_UNASKED / REFERENCE_DEMAND * float(columns.fat_demand.max())
    if "free oil" not in beyond and (columns.brings_fat or hungriest > known["free oil"].high):
        most, why = known["free oil"].high, UNTRIED.format("with more free oil", "more superfat")
        yield "free oil", f"free oil at most {most:g} %", Side.AT_MOST, most, columns.free_oil, None, why


def piece_rows(columns: Columns) -> list[Row]:
    """Rows that keep each lever that levels off within the piece of its curve that is laid."""
    rows = []
    for lever, side, limit in ends(columns.pulls, columns.levers_in_play):
        said = Said(f"{lever} within {limit:g} % of the fats, as far as its effect is known")
        if side == Side.AT_LEAST:
            said = Said(f"{lever} no less than the {limit:g} % of the fats that its effect is reckoned from")
        wish = WishId(Section.PHYSICS, lever, side)
        rows.append(Row(wish, lever, said, side, limit, "%", SHARE_STEP, LEVELS, columns.amount_of(lever)))
    return rows


LEVELS = "what more of it does was not tried; where more is asked for, it counts as so much"
