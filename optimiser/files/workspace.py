"""Where a workspace keeps its files: the nearest shelf, the maker's own scales."""

from __future__ import annotations

from pathlib import Path

from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold
from optimiser.text.nodes import Node, Table, Text
from optimiser.text.opening import beside, kind_of_file, reason

FOLDER = "trials"
FILE = "scales.yaml"


def folders_above(path: Path) -> tuple[Path, ...]:
    """The folder that a file lies in, and every one above it, the nearest first."""
    return tuple(path.absolute().parents)


def nearest_scales(goal_file: Path) -> Path | None:
    """The scales of the nearest folder `trials` that has any, going up from the folder of a goal file."""
    candidates = (folder / FOLDER / FILE for folder in folders_above(goal_file))
    return next((path for path in candidates if kind_of_file(path) == "file"), None)


SUFFIXES = (".yaml", ".yml", ".csv")


def nearest_shelf(goal_file: Path) -> Path:
    """The only shelf of the nearest folder called inventory, going up from the goal file's folder.

    Raises:
        BadInput: there is no such folder, or it holds none or several.
    """
    name_it = "name the shelf: a line 'shelf: PATH' in the file, or --shelf PATH"
    for folder in folders_above(goal_file):
        inventory = folder / "inventory"
        try:
            found = shelves_in(inventory)
        except (FileNotFoundError, NotADirectoryError):
            continue
        except (OSError, ValueError) as error:
            message = f"{inventory} cannot be looked into: {reason(error)}"
            raise BadInput([Diagnostic(Code.WHICH_SHELF, message, name_it)]) from None
        if len({item.stem for item in found}) == 1:  # one shelf, perhaps in two forms: the YAML one says more
            return min(found, key=lambda item: item.suffix.lower() == ".csv")
        several = ", ".join(item.name for item in found)
        message = f"{inventory} holds several shelves: {several}" if found else f"{inventory} holds no shelf"
        raise BadInput([Diagnostic(Code.WHICH_SHELF, message, name_it)])
    raise BadInput(
        [
            Diagnostic(
                Code.WHICH_SHELF,
                f"no shelf is named, and no folder 'inventory' lies beside or above {goal_file}",
                name_it,
            )
        ]
    )


def shelf_of(root: Node | None, goal_file: Path) -> Path | None:
    """The shelf that a goal or recipe file names, or the nearest one; None where there is none to be found."""
    named = shelf_named(root)
    if named is not None and not named.is_blank and "\0" not in named:
        return beside(goal_file.parent, named)
    try:
        return nearest_shelf(goal_file)
    except BadInput:
        return None


def shelves_in(folder: Path) -> list[Path]:
    """What could be a shelf in a folder called inventory, sorted; a folder inside it is none.

    Raises:
        OSError: there is no such folder, or it cannot be looked into.
    """
    return sorted(
        item
        for item in folder.iterdir()
        if item.suffix.lower() in SUFFIXES and not item.name.startswith(".") and kind_of_file(item) != "folder"
    )


def shelf_named(root: Node | None) -> Text | None:
    """What a goal or recipe file says under `shelf`, however faulty the rest of it is."""
    return text_under(root, "shelf")


def text_under(root: Node | None, key: str) -> Text | None:
    """The text under a key of a file, however faulty the rest of it is."""
    named = next((node for name, node in root.items() if fold(name) == key), None) if isinstance(root, Table) else None
    return named if isinstance(named, Text) else None
