"""The files that `blend` writes beside its answer: the recipe, and the programme for other solvers."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Protocol

from optimiser.answers.blend import Answered
from optimiser.answers.results import Blend
from optimiser.cli.streams import tell
from optimiser.files import writing
from optimiser.files.in_use import files_in_use
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.opening import kind_of_file


class Asked(Protocol):
    """What was asked on the command line."""

    goals: Path
    shelf: Path | None
    near: Path | None
    save: Path | None
    lp: Path | None
    force: bool


def refuse(asked: Asked) -> None:
    """Refuse, before any work is done, files that must not be written.

    Raises:
        BadInput: as `writing.refuse` has it; or both files are one.
    """
    keep = [path for path in (asked.goals, asked.shelf, asked.near) if path is not None]
    wanted = [path for path in (asked.save, asked.lp) if path is not None]
    for path in wanted:
        writing.refuse(path, force=asked.force, keep=keep)
    if len(wanted) == 2 and len({os.path.realpath(path) for path in wanted}) == 1:
        message = f"--save and --lp both name {wanted[0]}"
        raise BadInput([Diagnostic(Code.USAGE, message, "give each a file of its own")])


def refuse_target(target: Path | None, sources: Sequence[Path | None], *, force: bool) -> None:
    """Refuse, before any work is done, a file for a recipe that must not be written.

    Raises:
        BadInput: as `writing.refuse` has it.
    """
    if target is not None:
        writing.refuse(target, force=force, keep=[path for path in sources if path is not None])


def keep(target: Path, text: str, sources: tuple[Path, Path | None], *, force: bool) -> None:
    """Write a recipe worked out from another, which is never written over, and say so.

    Raises:
        BadInput: it cannot be written.
    """
    writing.write(target, text, force=force, keep=files_in_use(*sources))
    tell("Written: {path}", path=target)


def written(asked: Asked, found: Answered) -> Iterator[Path]:
    """Write what was asked for, both files or neither, and give those written; all texts are made before the first is.

    The programme is written with or without a blend, the recipe only of a blend.

    Raises:
        BadInput: a file cannot be written, or a recipe could not be read back.
    """
    texts: list[tuple[Path, str | bytes]] = []
    if asked.save is not None and isinstance(found.story, Blend):
        from optimiser.report.recipe_yaml import recipe_yaml

        texts.append((asked.save, recipe_yaml(found.story, asked.save)))
    if asked.lp is not None:
        from optimiser.answers.lp_file import lp_of

        texts.append((asked.lp, lp_of(found.programme, found.ratio, found.story)))
    kept = files_in_use(asked.goals, asked.shelf, asked.near) if texts else set()
    yield from write_all(texts, force=asked.force, keep=kept)


def write_all(texts: Sequence[tuple[Path, str | bytes]], *, force: bool, keep: set[Path]) -> Iterator[Path]:
    """Write several files, all of them or none, and give those written.

    Raises:
        BadInput: one of them cannot be written.
    """
    for path, _ in texts:
        writing.refuse(path, force=force, keep=keep)
    there = {path for path, _ in texts if kind_of_file(path) != "missing"}
    done: list[Path] = []
    try:
        for path, text in texts:
            writing.write(path, text, force=force, keep=keep)
            done.append(path)
    except BadInput:  # all or none: what was not there before goes again
        for path in done:
            if path not in there:
                path.unlink(missing_ok=True)
        raise
    yield from done
