"""Additives, and what stands for water, in words: all of them in a list, one of them on a card."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.materials.lye import KOH, NAOH
from optimiser.report import words
from optimiser.report.terminal.fats import HOW
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.materials.additives import Additive

WHERE = {
    "water": "into the water, before any alkali",
    "hot lye": "into the lye while it is hot",
    "lye": "into the cooled lye",
    "fats": "into the fats",
    "trace": "in at a light trace",
    "colour": "in at a light trace, or into the parts of a batter that is split for a design",
    "last": "in last of all, when everything else is stirred in",
    "split": "in at a light trace where plain water is enough for the alkali, else in place of the water, frozen",
}

HEATS = {
    "yes": "It heats the batter by itself: the steps keep such a batch cool and uncovered.",
    "may": "It may heat the batter by itself: watch it.",
}

SOLID = (
    *(Column("additive", wraps=True, least=18), Column("usual most", "right"), Column("NaOH", "right")),
    *(Column("tags", wraps=True), Column("does", wraps=True)),
)
POURED = (
    *(
        Column("liquid", wraps=True, least=16),
        Column("water", "right"),
        Column("sugar", "right"),
        Column("fat", "right"),
    ),
    *(Column("tags", wraps=True), Column("does", wraps=True)),
)


def listing(items: Sequence[Additive]) -> Iterator[Part]:
    """Every additive and liquid: what it takes of alkali, its usual most, its tags, what it does."""
    solid = [item for item in items if not item.is_liquid]
    poured = [item for item in items if item.is_liquid]
    if solid:
        yield Heading("Additives", words.counted(len(solid), "name"))
        yield Table(SOLID, [row(item) for item in solid])
        yield Line("Usual most in per cent of the fats; NaOH: grams of sodium hydroxide that 100 g take.", indent=0)
        yield Gap()
    if poured:
        yield Heading("What stands for water", words.counted(len(poured), "name"))
        yield Table(POURED, [poured_row(item) for item in poured])
        yield Line("In per cent of its weight.", indent=0)
        yield Gap()
    yield Line("One of your own stands on the shelf with 'like' and the name that comes nearest to it.", indent=0)
    yield Line("One of them with its sources: barwright additives NAME", style="bold", indent=0)


def row(item: Additive) -> tuple[str, ...]:
    """One additive in the list."""
    taken = f"{hydroxide(item.alkali_mol_per_kg):.1f}" if item.alkali_mol_per_kg else ""
    return item.name, f"{item.usual_high:g} %", taken, ", ".join(sorted(item.tags)), item.effect


def poured_row(item: Additive) -> tuple[str, ...]:
    """One liquid in the list."""
    parts = (f"{100.0 * part:.1f}" for part in (item.water_fraction, item.sugar_fraction, item.fat_fraction))
    return (item.name, *parts, ", ".join(sorted(item.tags)), item.effect)


def hydroxide(mol_per_kg: float, molar_mass: float = NAOH) -> float:
    """Grams of a hydroxide that 100 g take."""
    return mol_per_kg * molar_mass / 10.0


def card(item: Additive) -> Iterator[Part]:
    """Everything that is known of one of them, and from where."""
    yield Heading(item.name, "stands for water" if item.is_liquid else "an additive")
    if item.synonyms:
        yield Line(f"also called {', '.join(item.synonyms)}", hang=2)
    if item.tags:
        yield Line(f"tags: {', '.join(sorted(item.tags))}", hang=2)
    yield Line(words.sentence(item.effect), hang=2)
    if item.caution:
        yield Line(f"! {item.caution}", style="bold red", hang=2)
    yield Gap()
    yield Table((Column(), Column(justify="right"), Column(), Column(wraps=True)), list(figures(item)))
    yield Gap()
    yield Line(f"Goes {WHERE[item.goes_in]}.", hang=2)
    if item.advice:
        yield Line(words.sentence(item.advice), hang=2)
    if item.heats:
        yield Line(HEATS[item.heats], hang=2)
    yield from levers_told(item)
    if item.note:
        yield Line(words.sentence(item.note), hang=2)
    place = f", {item.locator}" if item.locator else ""
    yield Line(f"Source: {item.source}{place} [{HOW.get(item.how, item.how)}]", hang=2)


def figures(item: Additive) -> Iterator[tuple[str, str, str, str]]:
    """The figures that recipes are worked out with."""
    if item.is_liquid:
        yield "water", f"{100.0 * item.water_fraction:.1f}", "%", "counts as water of the lye"
        yield "sugar", f"{100.0 * item.sugar_fraction:.1f}", "%", "warms the batter, helps the lather"
        yield (
            "fat",
            f"{100.0 * item.fat_fraction:.1f}",
            "%",
            "left over beyond the superfat; never counted on for alkali",
        )
    else:
        yield "usual most", f"{item.usual_high:g}", "%", "of the fats (common practice, no source)"
        yield "stays in the bar", f"{100.0 * item.dry_fraction:.1f}", "%", ""
        yield "brings water", f"{100.0 * item.water_fraction:.1f}", "%", ""
    if item.alkali_mol_per_kg:
        for name, mass in (("sodium hydroxide", NAOH), ("potassium hydroxide", KOH)):
            yield (
                f"100 g take of {name}",
                f"{hydroxide(item.alkali_mol_per_kg, mass):.2f}",
                "g",
                f"{hydroxide(item.alkali_low_mol_per_kg, mass):.2f} g at its weakest",
            )


def levers_told(item: Additive) -> Iterator[Part]:
    """What one per cent of the fats of it adds to the measures."""
    from optimiser.measures.measures import levers, measures

    told = []
    for name, measure in measures().items():
        points = sum(each * item.acts_as(lever) for lever, each in levers(name).additives.items())
        if abs(points) >= LEAST_TOLD:
            told.append(f"{measure.words} {points:+.2g}".replace(" ", words.GLUE))
    if told:
        yield Line(f"One per cent of the fats of it adds points: {', '.join(told)}.", hang=2)


LEAST_TOLD = 0.05  # points
