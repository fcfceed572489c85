"""What a goal file may name, with what each is: for the page's lists of things to choose from."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from optimiser.files.designs import designs, own_designs, people
from optimiser.files.keys import tag_names
from optimiser.files.kinds import file_kind
from optimiser.files.writing import seen_from
from optimiser.materials.fat import GROUPS, PLURALS
from optimiser.measures.measures import measures
from optimiser.measures.quantities import quantities
from optimiser.text.diagnostics import BadInput
from optimiser.text.source import read_yaml

MOST_FILES = 200


class Word(NamedTuple):
    """A name and one line on it."""

    name: str
    about: str
    unit: str = ""


class Words(NamedTuple):
    """Designs, people, tags, figures that goals are set on, kinds of fats, and recipes of the workspace with the paths that the file names them by."""

    designs: tuple[Word, ...]
    people: tuple[Word, ...]
    tags: tuple[str, ...]
    figures: tuple[Word, ...]
    kinds: tuple[str, ...]
    recipes: tuple[Word, ...]


def words(goal_file: Path, workspace: Path) -> Words:
    """All of them, as they are for a goal file in a workspace."""
    try:
        own = own_designs(goal_file.parent)
    except BadInput:  # told with the answer to a file that names one
        own = ()
    every = [*designs(), *people(), *own]
    listed = [one for one in quantities().values() if not one.id.startswith("C") or one.id in measures()]
    return Words(
        designs=tuple(Word(one.name, one.about) for one in every if one.family == "design"),
        people=tuple(Word(one.name, one.about) for one in every if one.family != "design"),
        tags=tag_names(),
        figures=tuple(Word(one.id, one.words, one.unit) for one in listed),
        kinds=(*PLURALS.values(), *GROUPS),
        recipes=tuple(Word(one.stem, seen_from(goal_file, one)) for one in recipes_in(workspace)),
    )


def recipes_in(workspace: Path) -> tuple[Path, ...]:
    """Recipes in the workspace's folder `recipes`."""
    folder = workspace / "recipes"
    try:
        files = sorted(item for item in folder.iterdir() if item.suffix in (".yaml", ".yml") and item.is_file())
    except OSError:
        return ()
    return tuple(item for item in files[:MOST_FILES] if _is_recipe(item))


def _is_recipe(path: Path) -> bool:
    try:
        return file_kind(read_yaml(path).root) == "recipe"
    except BadInput:
        return False
