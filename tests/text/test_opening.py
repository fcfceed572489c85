"""Opening what people name: plain files and pipes are read, and nothing blocks or goes on for ever."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest

from optimiser.text import opening
from optimiser.text.diagnostics import BadInput
from optimiser.text.opening import MOST_BYTES, beside, kind_of_file, read_bytes, refused


def fault(path: Path) -> tuple[str, str, str]:
    """The one fault of reading a path."""
    with pytest.raises(BadInput) as caught:
        read_bytes(path)
    (item,) = caught.value.diagnostics
    return item.code, item.message, item.help


def test_a_pipe_without_a_writer_is_refused_at_once(tmp_path: Path) -> None:
    """A named pipe, a socket, devices and folders are told for what they are; a pipe is not waited for."""
    pipe = tmp_path / "pipe.yaml"
    os.mkfifo(pipe)
    assert fault(pipe)[:2] == ("no-plain-file", f"{pipe} is a named pipe, not a file")
    with socket.socket(socket.AF_UNIX) as bound:
        name = os.path.relpath(tmp_path / "s")  # the whole path may be too long for a socket
        place = os.open(tmp_path, os.O_RDONLY)
        bound.bind(f"/proc/self/fd/{place}/s" if len(name) > 90 else name)
        os.close(place)
        assert fault(tmp_path / "s")[:2] == ("no-plain-file", f"{tmp_path / 's'} is a socket, not a file")
    for device in ("/dev/zero", "/dev/null"):
        assert fault(Path(device))[:2] == ("no-plain-file", f"{device} is a device, not a file")
    assert fault(tmp_path)[0] == "folder"


def test_a_file_that_turns_into_a_pipe_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was a file when it was looked at and is a pipe when it is opened is refused too, at once."""
    plain, pipe = tmp_path / "a.yaml", tmp_path / "pipe.yaml"
    plain.write_text("x")
    os.mkfifo(pipe)
    opened = os.open
    monkeypatch.setattr("optimiser.text.opening.os.open", lambda _, *rest: opened(pipe, *rest))
    assert fault(plain)[0] == "no-plain-file"


def test_what_is_piped_in_is_read_as_often_as_it_is_asked_for() -> None:
    """A pipe that is one of our own descriptors is read to its end, and its text is kept."""
    reading, writing = os.pipe()
    os.write(writing, b"title: x\n")
    os.close(writing)
    path = Path(f"/dev/fd/{reading}")
    assert [read_bytes(path), read_bytes(path)] == [b"title: x\n"] * 2
    os.close(reading)


def test_a_file_without_end_is_refused(tmp_path: Path) -> None:
    """No more than a mebibyte is read, of however large a file."""
    path = tmp_path / "big.yaml"
    with path.open("wb") as stream:
        stream.truncate(10**12)
    assert fault(path)[0] == "too-large"
    path.write_bytes(b" " * MOST_BYTES)
    assert len(read_bytes(path)) == MOST_BYTES


@pytest.mark.parametrize("name", ["x" * 300, "nul\0name", "half\ud800"])
def test_names_that_no_file_can_have(name: str, tmp_path: Path) -> None:
    """Too long, a null byte, letters that are none: all are bad input, and looking at their kind raises nothing."""
    assert fault(tmp_path / name)[0] == "unreadable"
    assert kind_of_file(tmp_path / name) == "unusable"


def test_a_backslash_for_a_slash_is_told(tmp_path: Path) -> None:
    """A path written as on another system is offered with slashes, and a dash as a way to say standard input."""
    assert fault(Path("..\\inventory\\x.yaml"))[2] == "part folders with /, as in ../inventory/x.yaml"
    assert fault(Path("-"))[2] == "to read what is piped in, write /dev/stdin"
    (tmp_path / "everyday.yaml").write_text("")
    assert fault(tmp_path / "evryday.yaml")[2] == "did you mean everyday.yaml?"


def test_a_refusal_of_the_system_is_the_fault_of_a_path_of_the_makers() -> None:
    """An error with a path is bad input, one without or with a file of the program's own is not."""
    told = refused(OSError(5, "Input/output error", "goals.yaml"))
    assert told is not None
    assert told.diagnostics[0].message == "goals.yaml cannot be used: input/output error"
    assert refused(OSError(5, "Input/output error")) is None
    assert refused(OSError(2, "No such file or directory", str(Path(opening.__file__).parent / "x.csv"))) is None


def test_a_path_is_told_without_steps_back_up(tmp_path: Path) -> None:
    """`goals/../shelf.yaml` is `shelf.yaml`; not so where `goals` is a link elsewhere, from which `..` leads elsewhere too."""
    (tmp_path / "goals").mkdir()
    (tmp_path / "far" / "away").mkdir(parents=True)
    (tmp_path / "link").symlink_to(tmp_path / "far" / "away")
    assert beside(tmp_path / "goals", "../shelf.yaml") == tmp_path / "shelf.yaml"
    assert beside(tmp_path / "link", "../shelf.yaml") == tmp_path / "link" / ".." / "shelf.yaml"
    assert beside(Path("goals"), "shelf.yaml") == Path("goals/shelf.yaml")
