"""Where the batch record lies: the nearest `records` folder of the workspace; and whether that is a disk of this machine."""

from __future__ import annotations

import os
from pathlib import Path

from optimiser.files.workspace import folders_above
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.opening import kind_of_file, read_bytes

FOLDER = "records"
FILE = "barwright.sqlite"
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


def new_record(*starts: Path) -> Path:
    """Where a first record belongs: beside the nearest folder `inventory` above any of these files, or else beside the first."""
    for start in starts:
        for folder in folders_above(start):
            if kind_of_file(folder / "inventory") == "folder":
                return folder / FOLDER / FILE
    return folders_above(starts[0])[0] / FOLDER / FILE


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
