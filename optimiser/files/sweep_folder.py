"""A folder in which a sweep keeps its parts, with a manifest of what they were worked out from; so that it can be gone on with."""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from optimiser.files import writing
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.opening import kind_of_file, read_bytes

MANIFEST = "sweep.json"
FORMAT = "barwright-sweep/1"
MOST_BYTES = 1 << 30  # of a part
Arrays = Mapping[str, npt.NDArray[Any]]


class Manifest(NamedTuple):
    """What a sweep is worked out from.

    `version` of this program; `files`, each with the hash of what is in it; `asked` in words what was typed that matters; `cases`:
    the hash of what each goal file came to, which knows of designs, scales and tables too; `parts`: how many there are.
    """

    version: str
    files: Mapping[str, str]
    asked: Mapping[str, str]
    cases: Mapping[str, str]
    parts: int


def hash_of(data: bytes) -> str:
    """A hash (SHA-256)."""
    return hashlib.sha256(data).hexdigest()


def hash_of_file(path: Path) -> str:
    """The hash of what is in a file.

    Raises:
        BadInput: it cannot be read.
    """
    return hash_of(read_bytes(path))


class SweepFolder:
    """The folder of one sweep, ready to take and give parts by number."""

    def __init__(self, path: Path, manifest: Manifest, *, resume: bool) -> None:
        """Make the folder, or go on with what is in it.

        Raises:
            BadInput: there is a sweep and it is not to be gone on with, there is none, or it was worked out from something else.
        """
        self.path = path
        place = path / MANIFEST
        if kind_of_file(place) == "missing":
            if resume:
                raise BadInput(
                    [Diagnostic(Code.NO_SWEEP, f"{path} holds no sweep to go on with", "leave --resume out")]
                )
            if kind_of_file(path) not in ("missing", "folder"):
                raise BadInput([Diagnostic(Code.NO_FOLDER, f"{path} is no folder", "name a folder after --keep")])
            with writing.in_folder(path):
                writing.create(place, json.dumps({"format": FORMAT} | manifest._asdict(), indent=1) + "\n")
            return
        if not resume:
            message = f"{path} holds a sweep already"
            raise BadInput(
                [Diagnostic(Code.FILE_EXISTS, message, "add --resume to go on with it, or name another folder")]
            )
        changes = list(changed(_read(place), manifest))
        if changes:
            raise BadInput(
                Diagnostic(Code.CHANGED_SWEEP, f"{path}: {one}", "begin anew in another folder") for one in changes
            )

    def part(self, number: int) -> Arrays | None:
        """A part that was kept; None where it was not, or is damaged."""
        try:
            with np.load(io.BytesIO(read_bytes(self._place(number), MOST_BYTES)), allow_pickle=False) as found:
                return {name: found[name] for name in found.files}
        except Exception:  # noqa: BLE001  whatever a damaged file makes its reader do, the part is done anew
            return None

    def keep(self, number: int, arrays: Arrays) -> None:
        """Keep a part: whole, or not at all.

        Raises:
            BadInput: it cannot be written.
        """
        out = io.BytesIO()
        np.savez(out, **arrays)  # type: ignore[arg-type]  # the stubs take its names for options
        writing.write(self._place(number), out.getvalue(), force=True)

    def _place(self, number: int) -> Path:
        return self.path / f"part-{number:06d}.npz"


def changed(before: Mapping[str, Any], now: Manifest) -> Sequence[str]:
    """What a sweep was worked out from that is no longer so, in sentences."""
    if not is_manifest(before):
        return ["this is no manifest of a sweep that is known here"]
    out = []
    if before["version"] != now.version:
        out.append(f"the sweep was begun with {before['version']}, and this is {now.version}")
    old_files, new_files = before["files"], now.files
    out += [f"{name} was no part of it" for name in new_files if name not in old_files]
    out += [f"{name} was part of it, and is not asked now" for name in old_files if name not in new_files]
    out += [
        f"{name} has changed since it was begun"
        for name in new_files
        if old_files.get(name, new_files[name]) != new_files[name]
    ]
    old_asked = before["asked"]
    out += [
        f"it was begun with {name} {old_asked.get(name)}, and now it is {value}"
        for name, value in now.asked.items()
        if old_asked.get(name) != value
    ]
    if out:
        return out
    old_cases = before["cases"]
    out = [
        f"{name} comes to another question, though the file is as it was: a design, scales or tables have changed"
        for name, value in now.cases.items()
        if old_cases.get(name) != value
    ]
    return out or ([] if before["parts"] == now.parts else ["it has another number of parts"])


def is_manifest(found: Mapping[str, Any]) -> bool:
    """Whether all that a manifest has is there, and of its kind."""
    return (
        found.get("format") == FORMAT
        and isinstance(found.get("version"), str)
        and type(found.get("parts")) is int
        and all(_is_of_words(found.get(name)) for name in ("files", "asked", "cases"))
    )


def _is_of_words(found: object) -> bool:
    return isinstance(found, dict) and all(isinstance(value, str) for value in found.values())


def _read(place: Path) -> Mapping[str, Any]:
    try:
        found = json.loads(read_bytes(place))
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}
