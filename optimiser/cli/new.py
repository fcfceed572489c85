"""A folder for a new maker: goal files, a shelf, JSON Schemas and editor settings."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path
from typing import Literal

from optimiser.files.writing import cannot_write, create, in_folder
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.signs import filled, for_shell

SHOWN = 3  # names of what is in the way
FOLDERS = ("goals", "inventory")
SCHEMAS: tuple[tuple[str, Literal["goals", "shelf", "recipe", "designs"]], ...] = (
    ("goals", "goals"),
    ("inventory", "shelf"),
    ("recipes", "recipe"),
    ("designs", "designs"),
)
EDITOR = {
    "yaml.schemas": {
        "goals/goals.schema.json": "goals/*.yaml",
        "inventory/shelf.schema.json": "inventory/*.yaml",
        "recipes/recipe.schema.json": "recipes/*.yaml",
        "designs/designs.schema.json": "designs/*.yaml",
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
# yaml-language-server: $schema=designs.schema.json
# Designs of your own, in the format of ours (`barwright designs "fine swirl"` shows one). A goal file names them like ours:
# design: two-tone slab. This one is invented, as an example to change.
designs:
  - name: two-tone slab
    about: Two colours poured one after the other into a flat mould.
    batter: The first pour must bear the second without being broken by it.
    pour_to: medium
    parts: yes
    steps:
      - ready: Take a flat mould and lay out two jugs.
      - Split the batter in two by weight, colour both, and take the first to a medium trace.
      - Pour it, let it stand till it bears the tip of a spoon, and pour the second over a spatula held low.
    goals:
      trace_speed: {between: [33, 42], why: "Thick enough to bear the second colour, thin enough to lie flat.", status: prior}
      superfat: {between: [4 %, 6 %], why: "A wide flat surface shows every drop of oil that it sweats.", status: "common practice, no source"}
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
    """Write the starter files into a new or empty folder: all of them, or none.

    Returns:
        What to tell the maker.

    Raises:
        BadInput: the folder holds something already, or cannot be written.
    """
    refuse_in_use(folder)
    files = starter_files()
    with in_folder(folder):
        fill(folder, files)
    return filled(WELCOME, folder=folder, example=for_shell(str(folder / "goals" / "everyday.yaml")))


def refuse_in_use(folder: Path) -> None:
    """Refuse a folder that is not new and not empty.

    Raises:
        BadInput: something is there, or the system will not say what.
    """
    help_ = "name a new folder"
    try:
        held = sorted(item.name for item in folder.iterdir())
    except FileNotFoundError:
        if os.path.islink(folder):  # noqa: PTH114  raises nothing, whatever the name
            raise BadInput(
                [Diagnostic(Code.DANGLING_LINK, f"{folder} is a link that leads to nothing", help_)]
            ) from None
        return
    except NotADirectoryError:
        raise BadInput([Diagnostic(Code.CANNOT_WRITE, f"{folder} is no folder, or lies in none", help_)]) from None
    except (OSError, ValueError) as error:
        raise BadInput([cannot_write(folder, error)]) from None
    if held:
        rest = f" and {len(held) - SHOWN} more" if len(held) > SHOWN else ""
        message = f"{folder} is there and not empty: it holds {', '.join(held[:SHOWN])}{rest}"
        raise BadInput([Diagnostic(Code.FOLDER_IN_USE, message, help_)])


def starter_files() -> dict[Path, str]:
    """The text of every file of a new workspace, by its path inside it."""
    from optimiser.files.schema import schema
    from optimiser.files.shelf.shelf import extras_on, own_names

    files = {
        Path(name) / path.name: path.read_text(encoding="utf-8")
        for name in FOLDERS
        for path in sorted((starter() / name).iterdir())
        if path.is_file()
    }
    shelf = starter() / "inventory" / "kittiwake.yaml"
    own, extras = own_names(shelf), extras_on(shelf)
    for name, kind in SCHEMAS:
        files[Path(name) / f"{kind}.schema.json"] = json.dumps(schema(kind, own, extras), indent=1) + "\n"
    files[Path("recipes") / "in-hand.yaml"] = RECIPE
    files[Path("designs") / "our-designs.yaml"] = DESIGN
    files[Path(".vscode") / "settings.json"] = json.dumps(EDITOR, indent=2) + "\n"
    return files


def fill(folder: Path, files: dict[Path, str]) -> None:
    """Write files into an empty folder; where one cannot be written, the folder is empty again.

    They come to be in a folder of their own inside it, which is not seen, and are moved out when all of them are there.
    The folder itself stays the one that it is, since somebody may stand in it.

    Raises:
        OSError: one of them cannot be written.
    """
    staged = folder / f".barwright-{os.urandom(8).hex()}"
    moved: list[Path] = []
    try:
        for name in sorted({path.parent for path in files}):
            (staged / name).mkdir(parents=True)
        for path, text in files.items():
            create(staged / path, text)
        for item in sorted(staged.iterdir()):
            item.rename(folder / item.name)
            moved.append(folder / item.name)
        staged.rmdir()
    except BaseException:
        for item in (*moved, staged):
            shutil.rmtree(item, ignore_errors=True)
        raise


def starter() -> Path:
    """Where the starter files are: inside the installed package, or beside it in a checkout."""
    here = Path(__file__).parents[1]
    packed = here / "starter"
    return packed if packed.is_dir() else here.parent
