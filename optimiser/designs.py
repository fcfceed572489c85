"""A named design, or whom a bar is for, becomes limits with reasons: from our own tables and from the maker's folder.

What the maker writes under `goals` or `shares` replaces whatever a design has on the same key; whom the bar is for
replaces what a design leaves open to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from types import MappingProxyType

from optimiser.batch import Batch
from optimiser.design_form import Choice, Design, DesignFileForm, DesignRow, Family
from optimiser.limits import Limit
from optimiser.reference import FOLDER as REFERENCE
from optimiser.subjects import Known
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.forms import Faults, read_form
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Table, Text
from optimiser.text.opening import kind_of_file
from optimiser.text.source import parse_yaml, read_text
from optimiser.text.spans import Span

__all__ = ["Bringing", "Brought", "Choice", "Design", "DesignRow", "bring", "designs", "own_designs", "people"]

FOLDER = "designs"
SUFFIXES = (".yaml", ".yml")
ALIKE = (
    frozenset({"lye_concentration", "water_to_alkali", "water_share_of_fats"}),
    frozenset({"harshness", "mildness"}),
)
"""Keys that are one figure told in several ways: who names one of them has spoken of them all."""

CHOICE_WORDS = {"batter_temperature": "batter temperature", "gel": "gel"}


@dataclass(frozen=True, slots=True)
class Brought:
    """One limit that a design brings; `limit.said` names the design and `limit.span` is its name in the goal file."""

    design: str
    family: Family
    limit: Limit
    why: str
    status: str

    @property
    def prefix(self) -> str:
        """What its id starts with: "design.fine swirl"."""
        return f"{self.family}.{self.design}"


@dataclass(frozen=True, slots=True)
class Bringing:
    """What the designs of a goal file come to: the limits still in force, the batch, and what was replaced, in words."""

    rows: tuple[Brought, ...]
    batch: Batch
    notes: tuple[str, ...]


# -- what there is -------------------------------------------------------------------------------------------------


@cache
def designs() -> tuple[Design, ...]:
    """The techniques of our own table, in its order."""
    return _table("designs").designs


@cache
def people() -> tuple[Design, ...]:
    """Whom a bar may be for, by our own table, in its order."""
    return _table("people").people


def _table(name: str) -> DesignFileForm:
    file = f"{name}.yaml"
    source = parse_yaml((REFERENCE / file).read_text(encoding="utf-8"), file)
    return read_form(DesignFileForm, source, Known())


def own_designs(start: Path, known: Known | None = None) -> tuple[Design, ...]:
    """What the maker has in the nearest folder called designs, in or above `start`; none where there is no such folder.

    A folder of that name in which no YAML file has a list of designs or people is somebody else's, and is passed over.

    Args:
        start: the folder to start from.
        known: the maker's own fats.

    Raises:
        BadInput: with every fault of the files in it.
    """
    files = design_files(start)
    return _read_all(files, known or Known()) if files else ()


def design_files(start: Path) -> tuple[Path, ...]:
    """The files of the nearest folder called designs, in or above `start`, that has any of the maker's designs."""
    here = start.absolute()
    for folder in (here, *here.parents):
        files = _yaml_files(folder / FOLDER)
        if any(_is_ours(path) for path in files):
            return files
    return ()


def _yaml_files(folder: Path) -> tuple[Path, ...]:
    try:
        listed = sorted(folder.iterdir())
    except (OSError, ValueError):
        return ()
    wanted = (path for path in listed if path.suffix.lower() in SUFFIXES and not path.name.startswith("."))
    return tuple(path for path in wanted if kind_of_file(path) != "folder")


def _is_ours(path: Path) -> bool:
    try:
        root = parse_yaml(read_text(path), str(path)).root
    except BadInput:
        return False
    return isinstance(root, Table) and any(fold(key) in ("designs", "people") for key in root)


def _read_all(files: Iterable[Path], known: Known) -> tuple[Design, ...]:
    faults: list[Diagnostic] = []
    found: dict[tuple[Family, str], Design] = {}
    for path in files:
        try:
            form = read_form(DesignFileForm, parse_yaml(read_text(path), str(path)), known)
        except BadInput as bad:
            faults.extend(bad.diagnostics)
            continue
        for design in (*form.designs, *form.people):
            for name in design.names:
                first = found.setdefault((design.family, fold(name)), design)
                if first is not design:
                    note = (("first given here", first.span),)
                    message = f"there is a {shown(name)} already"
                    faults.append(Diagnostic("repeated-name", message, "keep one of the two", design.span, note))
    if faults:
        raise BadInput(faults)
    return tuple(dict.fromkeys(found.values()))


def by_name(family: Family, own: Iterable[Design] = ()) -> Mapping[str, Design]:
    """Every design of a family by folded name; the maker's own come before ours of the same name."""
    table = designs() if family == "design" else people()
    mine = [design for design in own if design.family == family]
    return MappingProxyType({fold(name): design for design in (*table, *mine) for name in design.names})


def named(text: Text, family: Family, own: Iterable[Design]) -> Design:
    """The design of this name.

    Raises:
        Faults: there is none; the nearest names are offered.
    """
    known = by_name(family, own)
    found = known.get(fold(text))
    if found is not None:
        return found
    raise Faults(replace(unknown(text, family, known.values()), span=text.span))


def unknown(name: str, family: Family, known: Iterable[Design]) -> Diagnostic:
    """The fault of a name that no design has."""
    every = tuple(dict.fromkeys(known))
    if family == "design":
        code, message = "unknown-design", f"{shown(name)} is no design that is known here"
    else:
        code, message = "unknown-user", f"{shown(name)} is nobody that a bar is made for here"
    names = [called for design in every for called in design.names]
    listed = ", ".join(design.name for design in every)
    return Diagnostic(code, message, offer(name, names, f"known here: {listed}"))


# -- what it brings ------------------------------------------------------------------------------------------------


def bring(
    chosen: Sequence[tuple[Design, Span]], goals: Sequence[Limit], shares: Sequence[Limit], batch: Batch
) -> Bringing:
    """What designs add to a maker's own wishes.

    Args:
        chosen: designs and people with the places where the goal file names them.
        goals: the maker's own limits on figures, which come first.
        shares: the same on shares.
        batch: the maker's own batch; what it gives comes before what a design would choose.
    """
    asked = {place for limit in (*goals, *shares) for place in told_by(limit)}
    for_whom = {
        place: design
        for design, _ in chosen
        if design.family == "for"
        for row in design.rows
        for place in told_by(row.limit)
    }
    rows: list[Brought] = []
    notes: list[str] = []
    for design, span in chosen:
        for key, sides in grouped(design.rows):
            place = (sides[0].limit.subject, key)
            if place in asked:
                notes.append(f"Your own limit on {words_of(key)} replaces {owner(design)} ({told(sides)}).")
            elif place in for_whom and design.family == "design" and all(side.gives_way for side in sides):
                whom = for_whom[place].name
                notes.append(f"The limit on {words_of(key)} for {whom} replaces {owner(design)} ({told(sides)}).")
            else:
                rows += [brought(design, row, span) for row in sides]
    settled, said = choose(batch, [design for design, _ in chosen])
    return Bringing(tuple(rows), settled, (*notes, *said))


def told_by(limit: Limit) -> Iterator[tuple[str, str]]:
    """What a limit speaks of: its own key and those that say the same in other words."""
    alike = next((group for group in ALIKE if limit.key in group), frozenset({limit.key}))
    return ((limit.subject, key) for key in alike)


def grouped(rows: Sequence[DesignRow]) -> list[tuple[str, list[DesignRow]]]:
    """The rows of a design by key, both sides of one together."""
    groups: dict[tuple[str, str], list[DesignRow]] = {}
    for row in rows:
        groups.setdefault((row.limit.subject, row.limit.key), []).append(row)
    return [(key, sides) for (_, key), sides in groups.items()]


def told(sides: Sequence[DesignRow]) -> str:
    """The limits of one key without its name: "at least 33 % and at most 36 %"."""
    return " and ".join(
        f"{side.limit.side.replace('_', ' ')} {side.limit.value:g}{' %' if side.limit.unit == '%' else ''}"
        for side in sides
    )


def owner(design: Design) -> str:
    """Whose limit it is, as a part of a sentence."""
    return f"that of {design.name}" if design.family == "design" else f"that for {design.name}"


def words_of(key: str) -> str:
    """A key as a person says it."""
    return key.replace("_", " ")


def brought(design: Design, row: DesignRow, span: Span) -> Brought:
    """A row of a design as a limit of the goal file that names it."""
    limit = replace(row.limit, said=f"{design.family} {design.name}: {row.limit.said}", span=span)
    return Brought(design.name, design.family, limit, row.why, row.status)


def choose(batch: Batch, chosen: Sequence[Design]) -> tuple[Batch, list[str]]:
    """The batch with what designs choose where the maker did not, and what to say of it; the first design goes first."""
    notes: list[str] = []
    taken: dict[str, str] = {}
    for design in chosen:
        for choice in design.choices:
            what = CHOICE_WORDS[choice.key]
            if choice.key in batch.given:
                notes.append(f"Your own {what} replaces {owner(design)} ({choice.said}).")
            elif choice.key in taken:
                notes.append(f"{design.name}: {choice.said} stands aside for the {what} of {taken[choice.key]}.")
            else:
                taken[choice.key] = design.name
                batch = replace(batch, **{choice.key: choice.value})  # type: ignore[arg-type]
                notes.append(f"{design.name}: {choice.said}. {choice.why}")
    return batch, [note[:1].upper() + note[1:] for note in notes]
