"""The reference fats: names and synonyms, and how a fat is built from its row and its published figures.

Which source wins, what is overridden and why is data: ``reference/fats.csv`` (one line per fat) beside
``reference/fat_facts.csv`` (every published figure) and ``reference/lot_spreads.csv`` (how far lots scatter). A fat is built
when it is first asked for.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import cache, cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING

from optimiser.materials.composition import (
    NEAREST,
    NEAREST_UNCERTAIN,
    Composition,
    Ends,
    Fact,
    Figure,
    acid_facts,
    acid_range,
    acid_value_figure,
    density_at_40,
    inside,
    iodine_figure,
    middle,
    picked,
    saponification_figure,
    typical_acids,
    unsaponifiable_figure,
    widened,
)
from optimiser.materials.fat import BY_IODINE, Fat, LabelNames, tagged
from optimiser.materials.lots import Known, holding, spread_of
from optimiser.reference import chapter, rows
from optimiser.text.names import COMMON, MOST_FOLDED

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_WORD = re.compile(r"[^\W_]+")
_LAST = COMMON | {"tallow"}
_MOSTLY = 50.0
"""Per cent of a fat's acids: above it the fat is known by what they are."""


def fold(name: str) -> str:
    """One form for comparing names: lower case without accents, words parted by single blanks, no other signs.

    A name of signs alone, such as a picture, keeps them; a text too long for a name is like nothing but itself.
    """
    if len(name) > MOST_FOLDED:
        return name
    if not name.isascii():
        name = "".join(sign for sign in unicodedata.normalize("NFKD", name) if not unicodedata.combining(sign))
    folded = name.casefold()
    return " ".join(_WORD.findall(folded)) or " ".join(folded.split())


@dataclass(frozen=True)
class FatTable:
    """The reference fats by name. `entries` are the rows they are built from, `index` finds a fat by folded name.

    `short` is the second chance: folded names without a trailing "oil" or "butter", where that leaves one fat only.
    """

    entries: Mapping[str, Mapping[str, str]]
    index: Mapping[str, str]
    short: Mapping[str, str]

    def names(self) -> tuple[str, ...]:
        """The canonical names, sorted."""
        return tuple(sorted(self.entries))

    def every_name(self) -> tuple[str, ...]:
        """Canonical names and synonyms, sorted: what to offer when a name is not known."""
        return self._every_name

    @cached_property
    def _every_name(self) -> tuple[str, ...]:
        listed = [name for entry in self.entries.values() for name in (entry["fat"], *_cells(entry["synonyms"]))]
        return tuple(sorted(listed))

    def tags(self) -> frozenset[str]:
        """Every tag that some reference fat bears."""
        listed = {tag for entry in self.entries.values() for tag in _cells(entry["tags"])}
        return frozenset(listed | BY_IODINE.keys())

    def find(self, name: str) -> Fat | None:
        """The fat of this name or synonym, whatever its case, blanks, hyphens and underscores; None when unknown.

        "coconut" finds coconut oil: where nothing else is called so, a trailing "oil" or "butter" may be left out. "Olive oil
        virgin" finds virgin olive oil, with a comma or without one.
        """
        folded = fold(name)
        found = (
            self.index.get(folded)
            or self.short.get(folded)
            or next(filter(None, map(self.index.get, _turned(name))), None)
        )
        return _built(found) if found else None

    def get(self, name: str) -> Fat:
        """As `find`, but KeyError for an unknown name."""
        fat = self.find(name)
        if fat is None:
            raise KeyError(name)
        return fat


MOST_WORDS = 12  # a name of more words is nobody's


@cache
def reference() -> FatTable:
    """The table of reference fats. Cheap: a fat is built when it is first found.

    Raises:
        ValueError: two fats of the table share a name (a fault of the data).
    """
    entries = {row["fat"]: row for row in rows("fats")}
    index: dict[str, str] = {}
    for name, entry in entries.items():
        for called in (name, *_cells(entry["synonyms"])):
            if index.setdefault(fold(called), name) != name:
                raise ValueError(f"{called!r} names both {index[fold(called)]} and {name}")
    return FatTable(MappingProxyType(entries), MappingProxyType(index), MappingProxyType(_shortened(index)))


def _turned(name: str) -> Iterator[str]:
    """The folded name with what stands behind its one comma, or behind an "oil" or the like in it, put in front."""
    first, comma, then = name.partition(",")
    if comma and "," not in then:
        yield fold(f"{then} {first}")
    words = fold(name).split(maxsplit=MOST_WORDS)
    if len(words) > MOST_WORDS:
        return
    for place in range(2, len(words)):
        if words[place - 1] in _LAST:
            yield " ".join((*words[place:], *words[:place]))


def _shortened(index: Mapping[str, str]) -> dict[str, str]:
    claims: dict[str, set[str]] = {}
    for called, name in index.items():
        stem, _, last = called.rpartition(" ")
        if stem not in {"", "oil", "butter"} and last in {"oil", "butter"}:
            claims.setdefault(stem, set()).add(name)
    return {stem: names.pop() for stem, names in claims.items() if len(names) == 1 and stem not in index}


def _cells(cell: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in cell.split(";") if part.strip())


def _number(cell: str) -> float | None:
    return float(cell) if cell else None


def _ends(cell: str) -> Ends:
    """A range written "188-193"; open at both ends when the cell is empty."""
    low, _, high = cell.partition("-")
    return _number(low), _number(high)


@cache
def _facts(name: str) -> tuple[Fact, ...]:
    return tuple(
        Fact(
            property=row["property"],
            low=_number(row["low"]),
            high=_number(row["high"]),
            unit=row["unit"],
            source=row["source"],
            locator=row["locator"],
            how=row["how"],
            note=row["note"],
            alternative=row["alternative"] == "yes",
            told_of=row["told_of"],
        )
        for row in chapter("fat_facts", name)
    )


@cache
def _labels() -> Mapping[str, LabelNames]:
    fields = ("oil", "in_eu", "sodium_soap", "potassium_soap", "origin", "allergen", "source", "how")
    return {
        row["fat"]: LabelNames(**{field: row[field] for field in fields}, verified=row["verified"] == "yes")
        for row in rows("label_names")
    }


@cache
def _built(name: str) -> Fat:
    """A reference fat from its row and its facts."""
    row = reference().entries[name]
    facts = _facts(name)
    figures = picked(facts, row["figures"])
    made_of, notes = _composition(row, facts, figures)
    known = _known(row, facts, made_of)
    worst, said = _saponification(row, made_of, figures, known)
    notes.append(said)
    iodine, said = _iodine(row, made_of, figures)
    notes.append(said)
    spread, said = spread_of(name, known, worst)
    notes.append(said)
    saponification = holding(worst, spread)
    density = _number(row["density"])
    return Fat(
        name=name,
        kind=row["kind"],
        tags=tagged(_cells(row["tags"]), iodine),
        synonyms=_cells(row["synonyms"]),
        acids=made_of.acids,
        acid_ranges=made_of.ranges,
        saponification=saponification,
        iodine=iodine,
        unsaponifiable=made_of.unsaponifiable,
        density=density or density_at_40(figures.get("relative_density"), saponification.value, iodine.value),
        soap_yield=_soap_yield(row, worst, figures),
        notes=(*(part.strip() for part in row["notes"].split(" | ") if part.strip()), *filter(None, notes)),
        facts=facts,
        label=_labels().get(name),
        spread=spread,
    )


def _composition(
    row: Mapping[str, str],
    facts: tuple[Fact, ...],
    figures: Mapping[str, Fact],
) -> tuple[Composition, list[str]]:
    """What the fat is made of, and what must be said about how that was arrived at."""
    told = acid_facts(picked(facts, row["acids"]))
    starts = _starts(row, facts, told)
    ranges = {name: acid_range(fact) for name, fact in told.items()}
    if row["typical_of"]:
        ranges = widened(ranges, starts)
    acids = typical_acids(starts, ranges)
    unsaponifiable, said = unsaponifiable_figure(
        figures.get("unsaponifiable"),
        ends=_ends(row["unsaponifiable_range"]),
        typical=_number(row["unsaponifiable"]),
    )
    notes = [said]
    if any(fact.low == fact.high and fact.low for fact in told.values()):
        notes.append("Some acids are told as one figure: its range is taken a tenth either way (our judgement).")
    if not inside(acids, ranges):
        notes.append("The ranges of its acids cannot sum to 100 %: the typical acids are scaled in proportion.")
    made_of = Composition(
        MappingProxyType({name: share for name, share in acids.items() if share}),
        MappingProxyType(ranges),
        unsaponifiable,
        free=row["kind"] == "fatty acid",
    )
    return made_of, notes


def _starts(row: Mapping[str, str], facts: tuple[Fact, ...], told: Mapping[str, Fact]) -> dict[str, float]:
    """Where the typical acids start from: middles of ranges, a typical source's figures, and those set by hand."""
    starts = {name: middle(fact) for name, fact in told.items()}
    if row["typical_of"]:
        typical = acid_facts(picked(facts, row["typical_of"]))
        starts = {name: middle(typical[name]) if name in typical else fact.low or 0.0 for name, fact in told.items()}
    by_hand = (part.split("=") for part in _cells(row["typical"]))
    return starts | {name: float(share) for name, share in by_hand}


def _known(row: Mapping[str, str], facts: tuple[Fact, ...], made_of: Composition) -> Known:
    """How well the fat is known.

    Of few samples where `ends` = "published", or where most of its acids are told as one figure or by an abstract.
    """
    told = acid_facts(picked(facts, row["acids"]))
    recalled = sum(share for name, share in made_of.acids.items() if told[name].how == "memory")
    thin = sum(share for name, share in made_of.acids.items() if _is_thin(told[name]))
    return Known(
        kind=row["kind"],
        tags=frozenset(_cells(row["tags"])),
        acids=made_of.acids,
        unsaponifiable=made_of.unsaponifiable.value,
        few_samples=row["ends"] == "published" or thin > _MOSTLY,
        recalled=recalled > _MOSTLY,
    )


def _is_thin(fact: Fact) -> bool:
    return fact.low == fact.high or fact.locator.startswith("abstract")


def _saponification(
    row: Mapping[str, str],
    made_of: Composition,
    figures: Mapping[str, Fact],
    known: Known,
) -> tuple[Figure, str]:
    """What counts towards alkali: for waxes the acid value alone, as published."""
    by_acid_value = row["kind"] in {"wax", "fatty acid"}
    published = _published(
        row["saponification"], figures.get("acid_value" if by_acid_value else "saponification_value")
    )
    nearest = NEAREST_UNCERTAIN if known.recalled or known.few_samples else NEAREST
    if row["kind"] == "wax":
        return acid_value_figure(published, nearest=nearest), ""
    measured = figures.get("saponification_measured")
    return saponification_figure(made_of, published, nearest=nearest, measured=middle(measured) if measured else None)


def _soap_yield(row: Mapping[str, str], counted: Figure, figures: Mapping[str, Fact]) -> float:
    """The share of the acids' soap that forms: all of it; of a wax what its free acids are of all it could take."""
    if row["kind"] != "wax":
        return 1.0
    return counted.value / middle(figures["saponification_value"])


def _iodine(row: Mapping[str, str], made_of: Composition, figures: Mapping[str, Fact]) -> tuple[Figure, str]:
    """Iodine value; a wax's is the published one, since half of it is no acid."""
    published = _published(row["iodine"], figures.get("iodine_value"))
    if row["kind"] != "wax":
        return iodine_figure(made_of, published)
    low, high = published[0] or 0.0, published[1] or 0.0
    return Figure((low + high) / 2, low, high), ""


def _published(override: str, fact: Fact | None) -> Ends:
    if override:
        return _ends(override)
    return (fact.low, fact.high) if fact else (None, None)
