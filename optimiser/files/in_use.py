"""Which files an answer is worked out from, as far as they can be read just now."""

from __future__ import annotations

from pathlib import Path

from optimiser.files.designs import FOLDER as DESIGNS
from optimiser.files.designs import design_files
from optimiser.files.workspace import FILE, folders_above, nearest_scales, shelf_of, text_under
from optimiser.files.workspace import FOLDER as TRIALS
from optimiser.text.diagnostics import BadInput
from optimiser.text.opening import beside
from optimiser.text.source import read_yaml

INVENTORY = "inventory"


def files_in_use(goal_file: Path, shelf_file: Path | None = None, near_file: Path | None = None) -> set[Path]:
    """The goal file, the shelf it is met from, the recipe in hand that it is near to, the maker's own scales and designs.

    Args:
        goal_file: the maker's YAML; what it says of its shelf counts even where the rest of it is faulty.
        shelf_file: used in place of the file's own shelf.
        near_file: used in place of the file's own recipe in hand.
    """
    try:
        root = read_yaml(goal_file).root
    except BadInput:
        root = None
    shelf = shelf_file
    if shelf is None:
        shelf = None if root is None else shelf_of(root, goal_file)
    named = text_under(root, "near")
    near = near_file or (None if named is None or named.is_blank or "\0" in named else beside(goal_file.parent, named))
    others = (shelf, near, nearest_scales(goal_file), *design_files(goal_file.parent))
    return {goal_file} | {path for path in others if path is not None}


def places_to_look(goal_file: Path) -> set[Path]:
    """Where files that are not in use yet would come to be: a shelf, designs and scales beside or above a goal file."""
    parts = (INVENTORY, DESIGNS, Path(TRIALS) / FILE)
    return {folder / part for folder in folders_above(goal_file) for part in parts}
