"""A folder for a new maker: goal files, a shelf, recipes, JSON Schemas, editor settings, and the way from one to the next."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path
from typing import Literal

from optimiser.cli.starter_texts import DESIGN, PLAN, RECIPE, START, START_FILE, TRIALS, WELCOME
from optimiser.files.writing import cannot_write, create, in_folder
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.signs import filled, for_shell

SHOWN = 3  # names of what is in the way
FOLDERS = ("goals", "inventory")
SCHEMAS: tuple[tuple[str, Literal["goals", "shelf", "recipe", "designs", "plan"]], ...] = (
    ("goals", "goals"),
    ("inventory", "shelf"),
    ("recipes", "recipe"),
    ("designs", "designs"),
    ("plans", "plan"),
)
EDITOR = {
    "yaml.schemas": {
        "goals/goals.schema.json": "goals/*.yaml",
        "inventory/shelf.schema.json": "inventory/*.yaml",
        "recipes/recipe.schema.json": "recipes/*.yaml",
        "designs/designs.schema.json": "designs/*.yaml",
        "plans/plan.schema.json": "plans/*.yaml",
    },
    "[yaml]": {"editor.insertSpaces": True, "editor.tabSize": 2},
}


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
    example = for_shell(str(folder / "goals" / "everyday.yaml"))
    return filled(WELCOME, folder=folder, start=START_FILE, example=example)


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
    files[Path("plans") / "october.yaml"] = PLAN
    files[Path("trials") / "about.txt"] = TRIALS
    files[Path(START_FILE)] = START
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
            if item.is_dir():
                shutil.rmtree(item, ignore_errors=True)
            else:
                item.unlink(missing_ok=True)
        raise


def starter() -> Path:
    """Where the starter files are: inside the installed package, or beside it in a checkout."""
    here = Path(__file__).parents[1]
    packed = here / "starter"
    return packed if packed.is_dir() else here.parent
