"""Files are written whole or not at all, and never over what must stay."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from optimiser.files import writing
from optimiser.files.writing import create, made_folders, refuse, same_file, seen_from, take_back, write
from optimiser.text.diagnostics import BadInput

FULL = OSError(errno.ENOSPC, "No space left on device")


def failing(error: OSError) -> Callable[..., None]:
    """A call that the system refuses."""

    def call(*_: object, **__: object) -> None:
        raise error

    return call


def codes(caught: pytest.ExceptionInfo[BadInput]) -> list[str]:
    """The kinds of fault that were raised."""
    return [item.code for item in caught.value.diagnostics]


def test_a_file_is_written_and_nothing_else_is_left(tmp_path: Path) -> None:
    """The folder holds the one file with the text as UTF-8, its mode as the system gives any new file."""
    path, plain = tmp_path / "a.yaml", tmp_path / "b.yaml"
    write(path, "größer\n")
    plain.write_text("")
    assert path.read_bytes() == "größer\n".encode()
    assert path.stat().st_mode == plain.stat().st_mode
    assert {item.name for item in tmp_path.iterdir()} == {"a.yaml", "b.yaml"}


@pytest.mark.parametrize("call", ["fsync", "replace"])
def test_a_disk_that_fails_leaves_the_old_file(call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whichever step the system refuses, the file is as it was and nothing lies beside it."""
    path = tmp_path / "a.yaml"
    path.write_text("mine\n")
    monkeypatch.setattr(f"optimiser.files.writing.os.{call}", failing(FULL))
    with pytest.raises(BadInput, match="no room left on the disk") as caught:
        write(path, "yours\n", force=True)
    assert codes(caught) == ["cannot-write"]
    assert path.read_text() == "mine\n"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("call", ["open", "fsync", "link"])
def test_a_disk_that_fails_leaves_no_new_file(call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same where nothing was there: the folder stays empty."""
    monkeypatch.setattr(f"optimiser.files.writing.os.{call}", failing(FULL))
    with pytest.raises(BadInput, match="no room left on the disk"):
        write(tmp_path / "a.yaml", "yours\n")
    monkeypatch.undo()
    assert list(tmp_path.iterdir()) == []


def test_a_disk_without_hard_links_takes_files_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where links are not known the name is claimed first; a file that has it stays, and a failure leaves no empty one."""
    path = tmp_path / "a.yaml"
    monkeypatch.setattr("optimiser.files.writing.os.link", failing(OSError(errno.EPERM, "Operation not permitted")))
    create(path, "first\n")
    assert path.read_text() == "first\n"
    with pytest.raises(FileExistsError):
        create(path, "second\n")
    assert path.read_text() == "first\n"
    monkeypatch.setattr("optimiser.files.writing.os.replace", failing(FULL))
    with pytest.raises(OSError, match="No space"):
        create(tmp_path / "b.yaml", "third\n")
    assert list(tmp_path.iterdir()) == [path]


def test_the_mode_of_a_file_stays(tmp_path: Path) -> None:
    """Who may read a file is the same after it was written over."""
    path = tmp_path / "a.yaml"
    path.write_text("mine\n")
    path.chmod(0o640)
    write(path, "yours\n", force=True)
    assert (path.read_text(), stat.S_IMODE(path.stat().st_mode)) == ("yours\n", 0o640)


def test_a_file_that_may_not_be_written_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A new file could take the name of one that is made read-only, and does not."""
    path = tmp_path / "a.yaml"
    path.write_text("mine\n")
    path.chmod(0o444)
    monkeypatch.setattr("optimiser.files.writing.os.access", lambda *_: False)  # as it is for whoever is not root
    with pytest.raises(BadInput, match="may not do that"):
        write(path, "yours\n", force=True)
    assert path.read_text() == "mine\n"


def test_nothing_is_written_over_unasked(tmp_path: Path) -> None:
    """Without force a file stays; with it only a plain file is replaced, never a folder or a device."""
    path = tmp_path / "a.yaml"
    path.write_text("mine\n")
    with pytest.raises(BadInput) as caught:
        write(path, "yours\n")
    assert codes(caught) == ["file-exists"]
    os.mkfifo(tmp_path / "pipe")
    for odd, code in ((tmp_path, "folder"), (tmp_path / "pipe", "cannot-write"), (Path(os.devnull), "cannot-write")):
        with pytest.raises(BadInput) as caught:
            write(odd, "yours\n", force=True)
        assert codes(caught) == [code]
    assert path.read_text() == "mine\n"
    assert stat.S_ISCHR(Path(os.devnull).stat().st_mode)


def test_a_file_that_comes_to_be_meanwhile_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Between looking and writing somebody else's file may appear: it is not written over."""
    path = tmp_path / "a.yaml"
    settled = writing._staged

    def slow(*given: object, **named: object) -> Path:
        path.write_text("theirs\n")
        return settled(*given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(writing, "_staged", slow)
    with pytest.raises(BadInput) as caught:
        write(path, "yours\n")
    assert codes(caught) == ["file-exists"]
    assert path.read_text() == "theirs\n"
    assert list(tmp_path.iterdir()) == [path]


def test_a_link_is_followed_to_its_file_and_stays_a_link(tmp_path: Path) -> None:
    """With force the file that a link leads to is written over, in its own folder; a link to nothing is refused always."""
    (tmp_path / "far").mkdir()
    real, link, loose = tmp_path / "far" / "a.yaml", tmp_path / "link.yaml", tmp_path / "loose.yaml"
    real.write_text("mine\n")
    link.symlink_to(real)
    loose.symlink_to(tmp_path / "far" / "nothing.yaml")
    write(link, "yours\n", force=True)
    assert (link.is_symlink(), real.read_text()) == (True, "yours\n")
    for force in (False, True):
        with pytest.raises(BadInput, match="leads to nothing") as caught:
            write(loose, "yours\n", force=force)
        assert codes(caught) == ["dangling-link"]
    assert [item.name for item in (tmp_path / "far").iterdir()] == ["a.yaml"]
    round_one = tmp_path / "round.yaml"
    round_one.symlink_to(round_one)
    with pytest.raises(BadInput, match="circle"):
        write(round_one, "yours\n", force=True)


def test_what_is_to_be_kept_is_known_by_any_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A link, a hard link, a detour and another way to write the path all lead to the same file."""
    monkeypatch.chdir(tmp_path)
    goals = tmp_path / "goals.yaml"
    goals.write_text("mine\n")
    (tmp_path / "sub").mkdir()
    (tmp_path / "soft.yaml").symlink_to(goals)
    os.link(goals, tmp_path / "hard.yaml")
    for name in ("goals.yaml", "./goals.yaml", "sub/../goals.yaml", "soft.yaml", "hard.yaml"):
        with pytest.raises(BadInput, match="never written over") as caught:
            write(Path(name), "yours\n", force=True, keep=[goals])
        assert codes(caught) == ["file-in-use"]
    assert goals.read_text() == "mine\n"
    assert not same_file(goals, tmp_path / "nothing.yaml")


@pytest.mark.parametrize("name", ["x" * 300, "nul\0name", "far/off/a.yaml"])
def test_a_name_that_no_file_can_have_is_told(name: str, tmp_path: Path) -> None:
    """Too long, a null byte, no such folder: words, and nothing written."""
    with pytest.raises(BadInput) as caught:
        write(tmp_path / name, "x")
    assert codes(caught) == ["cannot-write"]
    with pytest.raises(BadInput):
        refuse(tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_letters_that_are_no_text_are_told(tmp_path: Path) -> None:
    """A surrogate half in the text stops the writing before anything is touched."""
    path = tmp_path / "a.yaml"
    path.write_text("mine\n")
    with pytest.raises(BadInput, match="no Unicode text"):
        write(path, "\udcff\n", force=True)
    assert path.read_text() == "mine\n"


def test_a_path_is_named_so_that_it_leads_there(tmp_path: Path) -> None:
    """From a folder, from one that is a link, and for a file that is read by two names."""
    shelf = tmp_path / "inventory" / "shelf.yaml"
    for folder in ("inventory", "recipes", "far/away"):
        (tmp_path / folder).mkdir(parents=True)
    shelf.write_text("")
    (tmp_path / "link").symlink_to(tmp_path / "far" / "away")
    (tmp_path / "recipes" / "there.yaml").write_text("")
    (tmp_path / "there.yaml").symlink_to(tmp_path / "recipes" / "there.yaml")
    assert seen_from(tmp_path / "recipes" / "a.yaml", shelf) == "../inventory/shelf.yaml"
    assert seen_from(tmp_path / "nowhere" / "a.yaml", shelf) == "../inventory/shelf.yaml"
    assert ((tmp_path / "link") / seen_from(tmp_path / "link" / "a.yaml", shelf)).samefile(shelf)
    named = seen_from(tmp_path / "there.yaml", shelf)
    assert (tmp_path / named).samefile(shelf)
    assert (tmp_path / "recipes" / named).samefile(shelf)


def test_folders_made_for_nothing_are_taken_back(tmp_path: Path) -> None:
    """Only what was made is taken away, and only where it is empty."""
    made: list[Path] = []
    made_folders(tmp_path / "a" / "b", made)
    assert made == [tmp_path / "a", tmp_path / "a" / "b"]
    (tmp_path / "a" / "mine.txt").write_text("")
    take_back(made)
    assert [item.name for item in (tmp_path / "a").iterdir()] == ["mine.txt"]
    with pytest.raises(NotADirectoryError):
        made_folders(tmp_path / "a" / "mine.txt", [])


INTERRUPTED = """
import os, signal, sys
from pathlib import Path
from optimiser.files import writing
from optimiser.__main__ import leave
signal.signal(signal.SIGINT, leave)
truly = os.fsync
def fsync(number):
    os.kill(os.getpid(), signal.SIGINT)
    truly(number)
os.fsync = fsync
writing.write(Path(sys.argv[1]), "new", force=True)
print("went on")
"""


@pytest.mark.parametrize("is_there", [False, True])
def test_an_interrupt_in_the_midst_of_writing_waits_for_its_end(tmp_path: Path, *, is_there: bool) -> None:
    """The file is whole and nothing lies beside it; then the program ends as an interrupt ends it."""
    target = tmp_path / "recipe.yaml"
    if is_there:
        target.write_text("old", encoding="utf-8")
    done = subprocess.run([sys.executable, "-c", INTERRUPTED, str(target)], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (130, "")
    assert [path.name for path in tmp_path.iterdir()] == ["recipe.yaml"]
    assert target.read_text(encoding="utf-8") == "new"


def test_a_file_in_pieces_is_whole_or_not_there(tmp_path: Path) -> None:
    """Pieces one after another; where making one of them fails, what was there stays, and nothing is left beside it."""
    path = tmp_path / "table.csv"
    writing.write_pieces(path, iter([b"a,b\n", b"1,2\n"]))
    assert path.read_bytes() == b"a,b\n1,2\n"

    def broken() -> Iterator[bytes]:
        yield b"half"
        raise RuntimeError("no more")

    with pytest.raises(RuntimeError, match="no more"):
        writing.write_pieces(path, broken(), force=True)
    assert path.read_bytes() == b"a,b\n1,2\n"
    assert [one.name for one in tmp_path.iterdir()] == ["table.csv"]
    with pytest.raises(BadInput) as bad:
        writing.write_pieces(path, iter([b"x"]))
    assert bad.value.diagnostics[0].code == "file-exists"
    with pytest.raises(BadInput):
        writing.write_pieces(tmp_path / "none" / "table.csv", iter([b"x"]))
