"""The one way in which files are written: whole or not at all, and never over what an answer is worked out from.

The text goes into a file of its own beside the target, is forced to the disk and takes the target's name in one step. A
full disk, a size limit or a power cut leaves what was there as it was.
"""

from __future__ import annotations

import errno
import os
import signal
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.opening import kind_of_file, reason

NO_LINKS = {errno.EPERM, errno.EACCES, errno.ENOSYS, errno.EOPNOTSUPP, errno.ENOTSUP, errno.EMLINK, errno.EINVAL}


@contextmanager
def to_the_end() -> Iterator[None]:
    """While this lasts an interrupt waits, so that none leaves a file half made behind; it is a matter of moments."""
    mask = getattr(signal, "pthread_sigmask", None)  # not on Windows
    before = mask(signal.SIG_BLOCK, {signal.SIGINT}) if mask else None
    try:
        yield
    finally:
        if mask:
            mask(signal.SIG_SETMASK, before)


@contextmanager
def in_folder(folder: Path) -> Iterator[None]:
    """Write into a folder, made where it is not there; if that fails no folder is left that was not there before.

    Raises:
        BadInput: the folder, or what is written into it, cannot be written.
    """
    made: list[Path] = []
    try:
        with to_the_end():
            made_folders(folder, made)
            yield
    except (OSError, ValueError) as error:
        take_back(made)
        raise BadInput([cannot_write(folder, error)]) from None
    except BaseException:
        take_back(made)
        raise


def write(path: Path, text: str | bytes, *, force: bool = False, keep: Iterable[Path] = ()) -> None:
    """Write a file, or leave everything as it was and say why.

    Args:
        path: where to; a link is followed to the file that it leads to.
        text: what to write; a text a text as UTF-8.
        force: whether a file that is there may be written over; its mode and owner stay.
        keep: files that are never written over, by whatever name.

    Raises:
        BadInput: the file is there and may not be written over, or it cannot be written.
    """
    refuse(path, force=force, keep=keep)
    try:
        target = Path(os.path.realpath(path))
        with to_the_end():
            if target.is_file():
                _replace(target, _encoded(text))
            else:
                create(target, text)
    except FileExistsError:  # somebody else wrote it in this very moment
        raise BadInput([_is_there(path)]) from None
    except (OSError, ValueError) as error:
        raise BadInput([cannot_write(path, error)]) from None


def write_pieces(path: Path, pieces: Iterable[bytes], *, force: bool = False, keep: Iterable[Path] = ()) -> None:
    """Write a file that is too large to be held at once, piece by piece; whole, or not at all.

    Raises:
        BadInput: the file is there and may not be written over, or it cannot be written.
    """
    refuse(path, force=force, keep=keep)
    target = Path(os.path.realpath(path))
    try:
        staged = _staged(target.parent, b"")
        try:
            with staged.open("ab") as stream:
                for piece in pieces:
                    stream.write(piece)
                stream.flush()
                os.fsync(stream.fileno())
            with to_the_end():
                os.replace(staged, target)  # noqa: PTH105  as `write` does
                _settle(target.parent)
        except BaseException:
            with suppress(OSError):
                staged.unlink()
            raise
    except (OSError, ValueError) as error:
        raise BadInput([cannot_write(path, error)]) from None


def create(path: Path, text: str | bytes) -> None:
    """Write a file that is not there yet; a text as UTF-8.

    Raises:
        FileExistsError: it is there, be it as a link that leads nowhere; it stays as it is.
        OSError: it cannot be written.
        ValueError: no file can have this name, or the text cannot be written as UTF-8.
    """
    staged = _staged(path.parent, _encoded(text))
    try:
        _name_anew(staged, path)
    except BaseException:
        with suppress(OSError):
            staged.unlink()
        raise
    _settle(path.parent)


def take_name(staged: Path, path: Path) -> None:
    """Give a file that another library has written a name that nothing has yet, once all of it is on the disk.

    Raises:
        FileExistsError: the name is taken; both files stay as they are.
        OSError: it cannot be done; the staged file stays.
    """
    descriptor = os.open(staged, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
    _name_anew(staged, path)
    _settle(path.parent)


def refuse(path: Path, *, force: bool = False, keep: Iterable[Path] = ()) -> None:
    """Refuse a place that must not be written to, before any work is done for it.

    Raises:
        BadInput: a file to keep, a file that is there without `force`, a link that leads nowhere, or no plain file.
    """
    if str(path) == "-":
        message = "'-' is no name of a file here: nothing is written to the screen or a pipe in this way"
        raise BadInput([Diagnostic(Code.CANNOT_WRITE, message, "name a file, as in chart.svg or bar.yaml")])
    kind = kind_of_file(path)
    if kind == "missing":
        _refuse_missing(path)
        return
    if kind == "unusable":
        try:
            path.stat()
        except (OSError, ValueError) as error:
            raise BadInput([cannot_write(path, error)]) from None
    for other in keep:
        if same_file(path, other):
            told = "this answer is worked out from it" if path == other else f"it is {other}, which this is worked from"
            message = f"{path} is never written over: {told}"
            raise BadInput([Diagnostic(Code.FILE_IN_USE, message, "choose another name")])
    if kind == "folder":
        raise BadInput([Diagnostic(Code.FOLDER, f"{path} is a folder, not a file", "name a file inside it")])
    if kind != "file":
        message = f"cannot write {path}: it is a {kind}, not a file"
        raise BadInput([Diagnostic(Code.CANNOT_WRITE, message, "choose another name")])
    if not force:
        raise BadInput([_is_there(path)])


def _refuse_missing(path: Path) -> None:
    if os.path.islink(path):  # noqa: PTH114  raises nothing, whatever the name
        message = f"{path} is a link that leads to nothing: {os.path.realpath(path)} is not there"
        raise BadInput([Diagnostic(Code.DANGLING_LINK, message, "name the file itself, or take the link away")])
    if kind_of_file(path.parent) != "folder":
        message = f"cannot write {path}: there is no folder {path.parent}"
        raise BadInput([Diagnostic(Code.CANNOT_WRITE, message, "make the folder first, or name another place")])


def made_folders(folder: Path, made: list[Path]) -> None:
    """Make a folder and those above it that are not there yet; each is noted in `made` as it comes to be.

    Raises:
        OSError: one of them cannot be made.
        ValueError: no folder can have this name.
    """
    missing = []
    for above in (folder, *folder.parents):
        if os.path.lexists(above):
            break
        missing.append(above)
    if not missing and not folder.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder))
    for above in reversed(missing):
        above.mkdir(exist_ok=True)  # somebody else may have made it in this very moment
        made.append(above)


def take_back(made: list[Path]) -> None:
    """Take away folders that were made for nothing, as far as nothing is in them."""
    for folder in reversed(made):
        with suppress(OSError):
            folder.rmdir()


def cannot_write(path: Path, error: BaseException) -> Diagnostic:
    """The fault of a file that the system will not write."""
    if (
        isinstance(error, UnicodeEncodeError)
        and error.encoding.replace("_", "-") == "utf-8"
        and error.object != str(path)
    ):
        return Diagnostic(Code.CANNOT_WRITE, f"cannot write {path}: its text has letters that are no Unicode text")
    return Diagnostic(Code.CANNOT_WRITE, f"cannot write {path}: {reason(error)}")


def same_file(one: Path, other: Path) -> bool:
    """Whether two paths lead to one file: links, hard links and other spellings seen through."""
    try:
        return one.samefile(other)
    except (OSError, ValueError):
        return False


def seen_from(target: Path, path: Path) -> str:
    """A path as a file at `target` names it: from its folder where that leads there, and in full where it does not."""
    folder = target.parent
    full = path.absolute().as_posix()
    if os.path.islink(target):  # noqa: PTH114  read by either of its names, so that only a full path is right
        return full
    try:
        plain = Path(os.path.relpath(path, folder)).as_posix()
        straight = Path(os.path.relpath(os.path.realpath(path), os.path.realpath(folder))).as_posix()
    except ValueError:  # another drive
        return full
    if kind_of_file(path) == "missing" or kind_of_file(folder) != "folder":
        return plain
    return next((seen for seen in (plain, straight) if same_file(folder / seen, path)), full)


def _is_there(path: Path) -> Diagnostic:
    return Diagnostic(Code.FILE_EXISTS, f"{path} is there already", "choose another name, or add --force")


def _encoded(text: str | bytes) -> bytes:
    return text.encode("utf-8") if isinstance(text, str) else text


def _replace(target: Path, data: bytes) -> None:
    if not os.access(target, os.W_OK):  # a new file could take its name, but somebody made it read-only
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(target))
    staged = _staged(target.parent, data, like=target.stat())
    try:
        os.replace(staged, target)  # noqa: PTH105  the tests make this very call fail
    except BaseException:
        with suppress(OSError):
            staged.unlink()
        raise
    _settle(target.parent)


def _staged(folder: Path, data: bytes, like: os.stat_result | None = None) -> Path:
    """A file of its own that holds the data, forced to the disk; none is left where that fails."""
    staged = folder / f".barwright-{os.urandom(8).hex()}.tmp"
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    descriptor = os.open(staged, flags, 0o666)
    try:
        with open(descriptor, "wb") as stream:  # noqa: PTH123  a descriptor has no path
            stream.write(data)
            stream.flush()
            os.fsync(descriptor)
        if like is not None:
            with suppress(OSError, AttributeError):  # whose it is may be beyond us to say
                os.chown(staged, like.st_uid, like.st_gid)
            staged.chmod(like.st_mode & 0o7777)
    except BaseException:
        with suppress(OSError):
            staged.unlink()
        raise
    return staged


def _name_anew(staged: Path, path: Path) -> None:
    """Give a staged file a name that nothing has yet, in one step where the disk knows hard links."""
    try:
        os.link(staged, path)
    except FileExistsError:
        raise
    except OSError as error:
        if error.errno not in NO_LINKS:
            raise
    else:
        staged.unlink()
        return
    os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))  # the name is ours from here on
    try:
        os.replace(staged, path)  # noqa: PTH105
    except BaseException:
        with suppress(OSError):
            path.unlink()
        raise


def _settle(folder: Path) -> None:
    """Force the names of a folder to the disk, where the system can."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
