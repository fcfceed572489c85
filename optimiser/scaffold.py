"""A folder for a new maker: goal files, a shelf, JSON Schemas and editor settings."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Literal

from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.signs import filled, for_shell

FOLDERS = ("goals", "inventory")
SCHEMAS: tuple[tuple[str, Literal["goals", "shelf", "recipe"]], ...] = (
    ("goals", "goals"),
    ("inventory", "shelf"),
    ("recipes", "recipe"),
)
EDITOR = {
    "yaml.schemas": {
        "goals/goals.schema.json": "goals/*.yaml",
        "inventory/shelf.schema.json": "inventory/*.yaml",
        "recipes/recipe.schema.json": "recipes/*.yaml",
    },
    "[yaml]": {"editor.insertSpaces": True, "editor.tabSize": 2},
}
RECIPE = """\
# yaml-language-server: $schema=recipe.schema.json
# A recipe in hand, invented like the shelf. The program works out alkali and water:
#   barwright weigh recipes/in-hand.yaml
title: Thirds
shelf: ../inventory/kittiwake.yaml
fats: {coconut oil: 500 g, palm oil: 500 g, olive oil: 500 g}
superfat: 5 %
"""
DESIGN = """\
# Designs of your own, in the format of ours (`barwright designs "fine swirl"` shows one). A goal file names them like ours:
# design: two-tone slab. This one is invented, as an example to change.
designs:
  - name: two-tone slab
    about: Two colours poured one after the other into a flat mould.
    batter: The first pour must bear the second without being broken by it.
    pour_to: medium
    goals:
      trace: {between: [33, 42], why: "Thick enough to bear the second colour, thin enough to lie flat.", status: prior}
      superfat: {between: [4 %, 6 %], why: "A wide flat face shows every drop of oil that it sweats.", status: "common practice, no source"}
    shares:
      butters: {at_most: 15 %, why: "Butters set in grains where a slab cools fast.", status: "common practice, no source"}
"""
WELCOME = """\
Laid out in {folder}:
  goals/      one file for each bar: copy one and change what the bar must be
  inventory/  an invented shelf, as YAML and as CSV: put your own fats,
              prices and lots there
  recipes/    recipes in hand, for `barwright weigh`
  designs/    a design of your own, beside those that `barwright designs` lists

The shelf's prices and lots are made up. Lye burns: before anything is made,
read the supplier's safety data sheet and the rules where you live.

Next: barwright blend {example}
"""


def lay_out(folder: Path) -> str:
    """Write the starter files into a new or empty folder.

    Returns:
        What to tell the maker.

    Raises:
        BadInput: the folder holds something already, or cannot be written.
    """
    from optimiser.schema import schema
    from optimiser.shelf import own_names

    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise BadInput([Diagnostic("folder-in-use", f"{folder} is there and not empty", "name a new folder")])
    try:
        for name in FOLDERS:
            copy(starter() / name, folder / name)
        for name, kind in SCHEMAS:
            own = own_names(folder / "inventory" / "kittiwake.yaml")
            put(folder / name / f"{kind}.schema.json", json.dumps(schema(kind, own), indent=1) + "\n")
        put(folder / "recipes" / "in-hand.yaml", RECIPE)
        put(folder / "designs" / "our-designs.yaml", DESIGN)
        put(folder / ".vscode" / "settings.json", json.dumps(EDITOR, indent=2) + "\n")
    except OSError as error:
        raise BadInput([Diagnostic("cannot-write", f"cannot write into {folder}: {error.strerror}")]) from error
    return filled(WELCOME, folder=folder, example=for_shell(str(folder / "goals" / "everyday.yaml")))


def starter() -> Path:
    """Where the starter files are: inside the installed package, or beside it in a checkout."""
    here = Path(__file__).parent
    packed = here / "starter"
    return packed if packed.is_dir() else here.parent


def copy(source: Path, target: Path) -> None:
    """Copy the plain files of one folder."""
    for path in sorted(source.iterdir()):
        if path.is_file():
            put(target / path.name, path.read_text(encoding="utf-8"))


def put(path: Path, text: str) -> None:
    """Write one file, with the folders above it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
