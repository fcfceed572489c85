"""What lies on the desk: the workspace, the goal file in it, the texts that a request brings, and saving."""

from __future__ import annotations

import hashlib
import os
import re
from collections import Counter
from collections.abc import Mapping
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any, NamedTuple

from optimiser.files.in_use import files_in_use
from optimiser.files.kinds import NAMED, file_kind
from optimiser.files.workspace import folders_above, nearest_shelf
from optimiser.files.writing import refuse, write
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.held import Held, full, holding, is_inside
from optimiser.text.opening import kind_of_file, read_bytes
from optimiser.text.source import decode, parse_yaml

UNNAMED = "new-bar.yaml"
PLAIN_NAME = re.compile(r"[\w][\w .()-]{0,120}\.(?:yaml|yml|csv)", re.ASCII | re.IGNORECASE)
MOST_BESIDE = 4
BYTE_ORDER = "\ufeff"
BREAK = re.compile("(\r\n|[\n\r\x85\u2028\u2029])")
NEW = """\
# A bar made on the page. Every line can be changed here or in any editor.
title: A new bar
{shelf}batch: {{bars: 20, cured_weight: 100 g}}
goals:
  hardness: {{at_least: 50}}
"""


class Refused(Exception):
    """A request that makes no sense, and why."""


class Clash(Exception):
    """The file on the disk is not the one that the page knows."""

    def __init__(self, stamp: str, text: str) -> None:
        super().__init__("the file was changed elsewhere")
        self.stamp = stamp
        self.text = text


class Desk(NamedTuple):
    """The goal file (there or not yet), the folder that everything is read from and written into, and files beside it in use."""

    goal_file: Path
    workspace: Path
    also: frozenset[str]
    is_new: bool
    invented: str = ""

    def held(self, asked: Mapping[str, Any]) -> Held:
        """The texts of a request as those of files.

        Raises:
            Refused: they are none.
        """
        text, beside = asked.get("text"), asked.get("beside") or {}
        if not isinstance(text, str) or not isinstance(beside, dict) or len(beside) > MOST_BESIDE:
            raise Refused("no text was sent")
        texts = {full(self.goal_file): text}
        for name, content in beside.items():
            if not isinstance(content, str):
                raise Refused("no text was sent")
            texts[full(self.beside(name))] = content
        return Held(texts, self.workspace, self.also)

    def beside(self, name: object) -> Path:
        """A file of a plain name beside the goal file.

        Raises:
            Refused: it is no plain name, or leads out of the workspace.
        """
        if not isinstance(name, str) or not PLAIN_NAME.fullmatch(name):
            raise Refused("a file goes by a plain name, such as my-bar.yaml")
        path = self.goal_file.parent / name
        if not is_inside(path, self.workspace):
            raise Refused("that leads out of the workspace")
        return path

    def start(self) -> dict[str, Any]:
        """What the page begins with: the text of the file, or of a new one, and of the invented shelf where there is none.

        Raises:
            BadInput: the file cannot be read as text.
        """
        if not self.is_new:
            data = read_bytes(self.goal_file)
            return {"text": decode(data, str(self.goal_file)), "stamp": stamp_of(data), "beside": {}}
        shelf = f"shelf: {self.invented_name()}\n" if self.invented else ""
        beside = {self.invented_name(): self.invented} if self.invented else {}
        return {"text": NEW.format(shelf=shelf), "stamp": "", "beside": beside}

    def invented_name(self) -> str:
        """What the invented shelf is called beside the goal file."""
        return "kittiwake.yaml"

    def look(self, name: object = None) -> dict[str, Any]:
        """The stamps of the file as it is on the disk ("" where it is not there), and of the others in use."""
        path = self.goal_file if name is None else self.beside(name)
        others = sorted(files_in_use(path) - {path})
        found = [
            (str(one), *seen(one))
            for one in others
            if is_inside(one, self.workspace) or os.path.realpath(one) in self.also
        ]
        return {"stamp": self.stamp(path), "others": stamp_of(repr(found).encode())}

    def stamp(self, path: Path) -> str:
        """What tells one content of a file from another; "" where it cannot be read."""
        try:
            return stamp_of(read_bytes(path))
        except BadInput:
            return ""

    def text(self, name: object) -> dict[str, Any]:
        """The file as it is on the disk.

        Raises:
            BadInput: it cannot be read.
        """
        path = self.beside(name)
        data = read_bytes(path)
        return {"text": decode(data, str(path)), "stamp": stamp_of(data)}

    def save(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Write the text under its name, and texts beside it that are not there yet; never over what the page does not know.

        Line ends and a byte order mark stay as they are in the file that is written over.

        Raises:
            Refused: the request makes no sense, or another kind of file lies there.
            Clash: another text lies there than the page knows.
            BadInput: it cannot be written, or the answer is worked out from what lies there.
        """
        held = self.held(asked)
        target = self.beside(asked.get("name"))
        text = held.texts[full(self.goal_file)]
        others = {path: content for path, content in held.texts.items() if path != full(self.goal_file)}
        if target.suffix.lower() == ".csv" or full(target) in others:
            raise Refused("a goal file goes by a name of its own that ends in .yaml")
        if kind_of_file(target) != "missing":
            with holding(held):
                refuse(target, force=True, keep=sorted(files_in_use(self.goal_file) - {self.goal_file}))
            data = read_bytes(target)
            there = decode(data, str(target))
            _refuse_kind(target.name, text, there)
            if stamp_of(data) != asked.get("stamp"):
                raise Clash(stamp_of(data), there)
            text = with_ends(text, data)
        for path, content in others.items():
            _put_beside(Path(path), content)
        write(target, text, force=True)
        return {"stamp": stamp_of(text.encode()), "name": target.name}


def _refuse_kind(name: str, text: str, there: str) -> None:
    """Refuses to write goals over a shelf, a recipe or whatever else the maker has."""
    found = file_kind(parse_yaml(there, "").root)
    if found not in (None, "goals", file_kind(parse_yaml(text, "").root)):
        raise Refused(f"{name} is {NAMED[found]}, and no goal file is written over it: choose another name")


def with_ends(text: str, there: bytes) -> str:
    """The text as it is written over a file: each line that was there keeps its end, a new one has the commonest.

    Args:
        text: with line feeds for breaks.
        there: what the file holds, as UTF-8.
    """
    before = there.decode("utf-8")
    mark = BYTE_ORDER if before.startswith(BYTE_ORDER) else ""
    parts = BREAK.split(before.removeprefix(BYTE_ORDER))
    lines, ends = parts[::2], parts[1::2]
    if not set(ends) - {"\n"}:
        return mark + text
    usual = Counter(ends).most_common(1)[0][0]
    now = text.split("\n")
    kept = [usual] * (len(now) - 1)
    if len(set(ends)) > 1:
        for at, start, size in SequenceMatcher(None, lines, now).get_matching_blocks():
            kept[start : start + size] = ends[at : at + size][: len(kept) - start]
    return mark + "".join(line + end for line, end in zip(now, [*kept, ""], strict=True))


def _put_beside(path: Path, content: str) -> None:
    if kind_of_file(path) == "missing":
        write(path, content)
    elif read_bytes(path).replace(b"\r\n", b"\n") != content.replace("\r\n", "\n").encode():
        message = f"{path} is there already, and is another one"
        raise BadInput([Diagnostic(Code.FILE_EXISTS, message, "give the list that you dropped another name")])


def desk_of(goal_file: Path | None, invented: str) -> Desk:
    """The desk for a goal file, or for a new one in the folder that we stand in.

    Args:
        goal_file: as it was typed; it need not be there.
        invented: the text of the shelf that stands in where there is none.
    """
    path = Path(full(goal_file if goal_file is not None else Path(UNNAMED)))
    number = 2
    while goal_file is None and os.path.lexists(path):
        path = path.with_name(f"new-bar-{number}.yaml")
        number += 1
    is_new = kind_of_file(path) == "missing"
    inventories = (folder for folder in folders_above(path) if (folder / "inventory").is_dir())
    root = next(inventories, path.parent)
    also = frozenset(os.path.realpath(one) for one in files_in_use(path))
    return Desk(path, root, also, is_new, "" if not is_new or _has_shelf(path) else invented)


def _has_shelf(path: Path) -> bool:
    try:
        nearest_shelf(path)
    except BadInput:
        return False
    return True


def stamp_of(data: bytes) -> str:
    """What tells one content from another."""
    return hashlib.sha256(data).hexdigest()


def seen(path: Path) -> tuple[int, ...]:
    """What tells one state of a file from another without reading it; nothing where it is not there."""
    try:
        found = path.stat()
    except (OSError, ValueError):
        return ()
    return found.st_mtime_ns, found.st_size, found.st_ino
