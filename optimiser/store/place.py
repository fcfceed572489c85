"""Where the batch record lies: the nearest `records` folder of the workspace; and whether that is a disk of this machine."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from optimiser.files.workspace import folders_above
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.opening import kind_of_file, read_bytes

FOLDER = "records"
FILE = "barwright.sqlite"
FOLDERS = ("inventory", "goals")
SHELVES = ("shelf.yaml", "shelf.yml", "shelf.csv")
DEEP = 3  # folders below that of a workspace in which further records are looked for
MOST_FOLDERS = 300  # looked into: whoever stands in a home folder does not wait
MOUNTS = Path("/proc/mounts")
OVER_THE_NETWORK = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "9p", "ceph", "glusterfs", "lustre", "ncpfs", "coda", "davfs"}
)
"""Types of file system (mount(8), "filesystem-specific mount options") that other machines may write to as well."""


def nearest_record(*starts: Path) -> Path | None:
    """The record of the nearest folder `records` that has one, going up from each of these files in turn."""
    for start in starts:
        for folder in folders_above(start):
            if kind_of_file(folder / FOLDER / FILE) != "missing":
                return folder / FOLDER / FILE
    return None


def workspace_of(start: Path) -> Path | None:
    """The nearest folder above a file that holds a maker's files: a folder `inventory` or `goals`, or a shelf by that name."""
    for folder in folders_above(start):
        if any(kind_of_file(folder / name) == "folder" for name in FOLDERS) or any(
            kind_of_file(folder / name) == "file" for name in SHELVES
        ):
            return folder
    return None


def new_record(*starts: Path) -> Path:
    """Where a first record belongs, so that it is found from the folder of each of these files where there is such a place.

    It lies in the nearest workspace above any of them; without one, in the folder of the last where that is above the first.
    """
    for start in starts:
        folder = workspace_of(start)
        if folder is not None:
            return folder / FOLDER / FILE
    first, last = folders_above(starts[0])[0], folders_above(starts[-1])[0]
    return (last if first.is_relative_to(last) else first) / FOLDER / FILE


def other_records(path: Path) -> tuple[Diagnostic, ...]:
    """A warning where further records lie in the workspace, or below the folder that one is in, or where none is found from here.

    Args:
        path: the record that is read or written, not one named with --store.
    """
    here = Path.cwd() / FILE
    own = os.path.realpath(path)
    nearest = nearest_record(here)
    roots = [folder for folder in (workspace_of(here), here.parent) if folder is not None]
    found = [*([nearest] if nearest is not None else []), *(item for root in roots for item in records_below(root))]
    others = {os.path.realpath(item): item for item in found if os.path.realpath(item) != own}
    if others:
        listed = ", ".join(str(from_here(item)) for item in others.values())
        message = f"{path} is meant here, and another record lies at {listed}: what is in one is not found in the other"
        help_ = (
            "ask the other with --store, or bring it in: 'barwright batch export --store OTHER', then 'batch import'"
        )
        return (Diagnostic(Code.SEVERAL_RECORDS, message, help_),)
    if nearest is None:
        message = f"{path} does not lie in this folder or above it: commands that are given here do not find it"
        return (Diagnostic(Code.SEVERAL_RECORDS, message, f"name it, as in --store {path}"),)
    return ()


def records_below(root: Path) -> Iterator[Path]:
    """The records in a folder and a few folders deep below it; a great many folders are not all looked into."""
    ahead, seen = [(root, 0)], 0
    while ahead and seen < MOST_FOLDERS:
        folder, depth = ahead.pop(0)
        seen += 1
        if kind_of_file(folder / FOLDER / FILE) != "missing":
            yield folder / FOLDER / FILE
        if depth < DEEP:
            ahead += [(item, depth + 1) for item in folders_in(folder)]


def folders_in(folder: Path) -> list[Path]:
    """The folders in a folder that are not hidden and no links, sorted; none where it cannot be looked into."""
    try:
        with os.scandir(folder) as items:
            found = [item.path for item in items if item.name[0] != "." and item.is_dir(follow_symlinks=False)]
    except OSError:
        return []
    return [Path(item) for item in sorted(found)]


def record_there(given: Path | None) -> Path:
    """The record that is meant where one must be there: the one given, or the nearest from the folder that one is in.

    Raises:
        BadInput: none is found.
    """
    if given is not None:
        return given
    here = Path.cwd() / FILE
    found = nearest_record(here)
    if found is None:
        message = f"no batch record {FOLDER}/{FILE} lies in this folder or above it"
        help_ = "record the first batch with 'barwright batch add RECIPE', or name the file with --store"
        below = next(records_below(workspace_of(here) or here.parent), None)
        if below is not None:
            help_ = f"one lies at {from_here(below)}: name it with --store {from_here(below)}"
        raise BadInput([Diagnostic(Code.NO_RECORD, message, help_)])
    return from_here(found)


def record_for(recipe: Path, given: Path | None) -> Path:
    """The record that a batch of this recipe goes into, be it there already or not."""
    if given is not None:
        return given
    here = Path.cwd() / FILE
    starts = (recipe, here) if kind_of_file(recipe) in ("file", "folder") else (here,)  # what is piped in lies nowhere
    return from_here(nearest_record(*starts) or new_record(*starts))


def from_here(path: Path) -> Path:
    """A path as it is seen from the folder that one is in, where it lies within."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path


def not_of_this_machine(path: Path, mounts: Path = MOUNTS) -> tuple[Diagnostic, ...]:
    """A warning where a record lies on a disk that is not this machine's alone; nothing where that cannot be known."""
    kind = file_system_of(path, mounts)
    through_program = kind == "fuse" or kind.startswith("fuse.")  # "fuseblk" is a disk of this machine
    if kind not in OVER_THE_NETWORK and not through_program:
        return ()
    how = "is reached over a network" if kind in OVER_THE_NETWORK else "is kept by another program, perhaps elsewhere"
    message = f"{path} lies in a folder that {how} ({kind}): two programs that write there at once may damage it"
    help_ = "keep the record on a disk of this machine (--store FILE), and copy what 'barwright batch export' writes"
    return (Diagnostic(Code.SHARED_FOLDER, message, help_),)


def file_system_of(path: Path, mounts: Path = MOUNTS) -> str:
    """The type of the file system that a path lies on, as the system names it; empty where it does not say."""
    try:
        table = os.fsdecode(read_bytes(mounts))
    except BadInput:
        return ""
    real = os.path.realpath(path)
    best = ("", "")
    for line in table.splitlines():
        fields = line.split(" ")
        if len(fields) < 3:
            continue
        point = unescaped(fields[1])
        within = point in ("/", real) or real.startswith(f"{point}/")
        if within and len(point) >= len(best[0]):  # of two on one place the later hides the earlier
            best = (point, fields[2])
    return best[1]


def unescaped(field: str) -> str:
    """A mount point as a path: blanks, tabs, line breaks and backslashes stand there in octal (proc(5))."""
    for code, sign in (("\\040", " "), ("\\011", "\t"), ("\\012", "\n"), ("\\134", "\\")):
        field = field.replace(code, sign)
    return field
