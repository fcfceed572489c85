"""A named design, or whom a bar is for, becomes limits with reasons: from our own tables and from the maker's folder.

What the maker writes under `goals` or `shares` replaces whatever a design has on the same key; whom the bar is for
replaces what a design leaves open to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from optimiser.files.design_file import DesignFileForm
from optimiser.files.keys import Known
from optimiser.files.pointers import near_place, place_of
from optimiser.files.workspace import folders_above
from optimiser.measures.quantities import find_quantity
from optimiser.problem.designs import Design, Family
from optimiser.reference import FOLDER as REFERENCE
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.forms import Faults, read_form
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Table, Text
from optimiser.text.opening import kind_of_file
from optimiser.text.source import parse_yaml, read_text

FOLDER = "designs"
SUFFIXES = (".yaml", ".yml")


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
    for folder in folders_above(start / FOLDER):
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
                    faults.append(Diagnostic(Code.REPEATED_NAME, message, "keep one of the two", design.span, note))
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
    raise Faults(unknown(text, family, known.values())._replace(span=text.span))


def unknown(name: str, family: Family, known: Iterable[Design]) -> Diagnostic:
    """The fault of a name that no design has."""
    every = tuple(dict.fromkeys(known))
    if family == "design":
        code, message = Code.UNKNOWN_DESIGN, f"{shown(name)} is no design that is known here"
    else:
        code, message = Code.UNKNOWN_USER, f"{shown(name)} is nobody that a bar is made for here"
    names = [called for design in every for called in design.names]
    help_ = place_of(name, family) or _elsewhere(name, family) or offer(name, names, near_place(name, family))
    help_ = help_ or "'barwright designs' lists them"
    return Diagnostic(code, message, help_)


def _elsewhere(name: str, family: Family) -> str:
    """Where a name stands that is a technique under `for`, one a bar is for under `design`, or a goal under either."""
    other: Family = "for" if family == "design" else "design"
    if fold(name) in by_name(other):
        return f"it stands under '{other}'"
    return "it stands under 'goals'" if find_quantity(name) is not None else ""
