"""Opening what people name: a plain file, or what is piped in; anything that could block or never end is refused in words."""

from __future__ import annotations

import errno
import os
import re
import stat
from functools import cache
from pathlib import Path
from typing import Literal

from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.held import is_barred, text_of

MOST_BYTES = 1 << 20

Kind = Literal["file", "folder", "pipe", "device", "socket", "missing", "unusable"]

REASONS = {
    errno.ENOSPC: "there is no room left on the disk",
    errno.EDQUOT: "there is no room left for you on the disk",
    errno.EFBIG: "it would be larger than files may be here",
    errno.ENAMETOOLONG: "the name is too long",
    errno.EACCES: "you may not do that there",
    errno.EPERM: "you may not do that there",
    errno.EROFS: "the disk can only be read",
    errno.ELOOP: "links there lead in a circle",
    errno.EISDIR: "it is a folder",
    errno.ENOTDIR: "a part of the path is no folder",
    errno.ENOENT: "there is no such file or folder",
    errno.EXDEV: "it lies on another disk",
    errno.EEXIST: "it is there already",
}
_OTHER = {"pipe": "a named pipe", "device": "a device", "socket": "a socket"}
_DESCRIPTOR = re.compile(r"/dev/(?:std(?P<std>in)|fd/(?P<fd>\d{1,5}))|/proc/self/fd/(?P<proc>\d{1,5})")


def reason(error: BaseException) -> str:
    """Why the system refused, in words; for a name that no file can have, that."""
    if isinstance(error, UnicodeError):
        return "the name has letters that names of files cannot have here"
    if isinstance(error, OSError):
        return REASONS.get(error.errno or 0) or (error.strerror or "the system gives no reason").lower()
    return "no file can have this name"


def refused(error: OSError) -> BadInput | None:
    """What the system refused, as the fault of a path that was given; None where it was none of the maker's paths."""
    if error.filename is None:
        try:
            Path.cwd()
        except OSError:
            return BadInput([Diagnostic(Code.NO_FOLDER, "the folder that you are in is not there any more")])
        return None
    path = os.fsdecode(error.filename)
    if path.startswith(str(Path(__file__).parents[1])):
        return None
    return BadInput([Diagnostic(Code.UNREADABLE, f"{path} cannot be used: {reason(error)}")])


def beside(folder: Path, named: str) -> Path:
    """The path that a text names, as seen from a folder; right too where the locale knows fewer letters than the text."""
    try:
        return tidied(folder / os.fsdecode(named.encode("utf-8")))
    except UnicodeError:
        return folder / named


def tidied(path: Path) -> Path:
    """A path without the steps back up in it, as messages tell it: where a link makes the two different it stays as it is."""
    if ".." not in path.parts or "\0" in str(path):
        return path
    plain = Path(os.path.normpath(path))
    return plain if os.path.realpath(plain) == os.path.realpath(path) else path


def typed(text: str) -> str:
    """A path or an option as text that a file can hold, where it came as bytes that the locale does not know."""
    try:
        return os.fsencode(text).decode("utf-8")
    except UnicodeError:
        return text


def kind_of_file(path: Path) -> Kind:
    """What lies at a path, links followed; "unusable" where the system will not say, as for a name that is too long."""
    try:
        mode = path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        return "missing"
    except (OSError, ValueError):
        return "unusable"
    if stat.S_ISREG(mode):
        return "file"
    if stat.S_ISDIR(mode):
        return "folder"
    return "pipe" if stat.S_ISFIFO(mode) else "socket" if stat.S_ISSOCK(mode) else "device"


def read_bytes(path: Path, most: int = MOST_BYTES) -> bytes:
    """What a file holds, or what is piped into the program where the path is one of its own descriptors.

    Args:
        path: the file.
        most: the bytes that are read at the most.

    Raises:
        BadInput: no such file, no plain file, too large, or it cannot be read.
    """
    held = text_of(path)
    if held is None and is_barred(path):
        message = f"{path} lies outside of the workspace, and is not read from here"
        raise BadInput([Diagnostic(Code.UNREADABLE, message, "name a file inside it")])
    try:
        data = _read(path, most) if held is None else held
    except (FileNotFoundError, NotADirectoryError):
        raise BadInput([Diagnostic(Code.NO_SUCH_FILE, f"{path}: there is no such file", _help_for(path))]) from None
    except (OSError, ValueError) as error:
        raise BadInput([Diagnostic(Code.UNREADABLE, f"{path} cannot be read: {reason(error)}")]) from None
    if len(data) > most:
        message = f"{path} is larger than {most >> 20} MiB"
        raise BadInput([Diagnostic(Code.TOO_LARGE, message, "is this the right file?")])
    return data


def _read(path: Path, most: int) -> bytes:
    status = path.stat()
    if stat.S_ISFIFO(status.st_mode) and (number := _descriptor(path)) is not None:
        return _piped(number, status.st_ino, most)
    _refuse_odd(path, status.st_mode)
    # what lies there may be another thing by now, so the wait for a writer is ruled out and the kind looked at again
    descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with open(descriptor, "rb") as stream:  # noqa: PTH123  a descriptor has no path
        _refuse_odd(path, os.fstat(descriptor).st_mode)
        return stream.read(most + 1)


def _refuse_odd(path: Path, mode: int) -> None:
    if stat.S_ISREG(mode):
        return
    if stat.S_ISDIR(mode):
        raise BadInput([Diagnostic(Code.FOLDER, f"{path} is a folder, not a file", "name the file inside it")])
    called = _OTHER["pipe" if stat.S_ISFIFO(mode) else "socket" if stat.S_ISSOCK(mode) else "device"]
    raise BadInput([Diagnostic(Code.NO_PLAIN_FILE, f"{path} is {called}, not a file", "name a file with text in it")])


def _descriptor(path: Path) -> int | None:
    """The number of our own descriptor that a path stands for: whoever started us opened it and writes to it."""
    found = _DESCRIPTOR.fullmatch(str(path))
    if found is None:
        return None
    return 0 if found["std"] else int(found["fd"] or found["proc"])


@cache
def _piped(number: int, _pipe: int, most: int) -> bytes:
    """All that comes through a pipe, which can be read only once though it may be asked for again."""
    with os.fdopen(os.dup(number), "rb") as stream:
        return stream.read(most + 1)


def _help_for(path: Path) -> str:
    """What may have been meant by a path that leads nowhere."""
    from optimiser.text.names import nearest

    if str(path) == "-":
        return "to read what is piped in, write /dev/stdin"
    if (hint := slashes(str(path))) and os.sep == "/":
        return hint
    try:
        files = sorted(item for item in path.parent.iterdir() if item.suffix == path.suffix and item.is_file())
    except (OSError, ValueError):
        return ""
    beside = {item.stem: item.name for item in files}  # the suffix is shared, and says nothing of what was meant
    found = [beside[stem] for stem in nearest(path.stem, beside)]
    return f"did you mean {' or '.join(found)}?" if found else ""


def slashes(path: str) -> str:
    """What to write in place of a path whose parts are set off by backslashes; empty where it has none."""
    return f"part folders with /, as in {path.replace(chr(92), '/')}" if "\\" in path else ""
