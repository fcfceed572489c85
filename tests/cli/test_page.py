"""The command `page`: what it needs, where it serves, and that Ctrl-C ends it at once."""

from __future__ import annotations

import http.client
import importlib.util
import json
import os
import re
import signal
import socket
import stat
import subprocess
import sys
import tempfile
import webbrowser
from contextlib import suppress
from importlib.machinery import ModuleSpec
from pathlib import Path

import pages
import pytest
import uvicorn

from optimiser.cli.main import main
from optimiser.web import serve
from optimiser.web.desk import desk_of


def test_without_its_extra_it_says_what_to_install(
    capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the server's libraries are missing the page says which, and how they are had."""
    found = importlib.util.find_spec

    def without(name: str, package: str | None = None) -> ModuleSpec | None:
        return None if name == "uvicorn" else found(name, package)

    monkeypatch.setattr("optimiser.cli.page.find_spec", without)
    assert main(["page", "--no-open"]) == 2
    told = capfd.readouterr().err
    assert "the page needs uvicorn, which is not installed" in told
    assert "pip install 'barwright[page]'" in told


@pytest.mark.parametrize("port", ["-1", "65536", "many"])
def test_a_port_is_a_number_that_there_is(port: str, capfd: pytest.CaptureFixture[str]) -> None:
    """Anything else is a fault of usage."""
    with pytest.raises(SystemExit) if port == "many" else pytest.MonkeyPatch.context():
        assert main(["page", "--no-open", "--port", port]) == 2
    assert port in capfd.readouterr().err


def test_a_port_that_is_taken_is_told(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another program's port is not shared; the fault names it."""
    monkeypatch.chdir(tmp_path)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        assert main(["page", "--no-open", "--port", port]) == 2
    assert f"port {port} of this machine cannot be had" in capfd.readouterr().err


def test_it_listens_on_this_machine_alone() -> None:
    """The socket is bound to the loopback address; its protocol is told, without which asyncio leaves answers to wait (Nagle)."""
    with serve.bound(0) as found:
        assert found.getsockname()[0] == "127.0.0.1"
        assert found.proto == socket.IPPROTO_TCP


def test_an_interrupt_ends_it(tmp_path: Path) -> None:
    """Ctrl-C ends it with no fault told, and nothing that it began is left."""
    goals = pages.workshop(tmp_path)
    with pages.served(goals.parent, goals.name) as server:
        assert re.fullmatch(r"http:..127\.0\.0\.1:\d+/#[\w-]{40,}", server.address)
        asking = http.client.HTTPConnection(server.base.split("/")[2])
        asking.request("GET", "/")
        assert asking.getresponse().status == 200  # the connection stays open, which keeps nobody
        server.process.send_signal(signal.SIGINT)
        _, told = server.process.communicate()
        asking.close()
        assert server.process.returncode == 0
        assert told == ""
    assert at_work_in(tmp_path) == [], "no process that it began is left in its folder"


def at_work_in(folder: Path) -> list[str]:
    """The processes of this machine that work in a folder, as far as it may be asked after them."""
    found = []
    for one in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):  # it has ended meanwhile, or is not ours to ask after
            found += [one.name] if str((one / "cwd").readlink()).startswith(str(folder)) else []
    return found


HEAVY = """\
shelf: ../inventory/kittiwake.yaml
goals: {hardness: {at_least: 45}, mildness: {at_least: 60}, lasting_lather: {at_least: 40}, rancidity: {at_most: 2.2}}
fats: {at_least: 9, at_most: 14, each_at_least: 3 %}
"""


def test_an_interrupt_waits_for_no_answer(tmp_path: Path) -> None:
    """Ctrl-C while an answer of seconds is worked out ends it at once: no grace is used up, and nothing is told on the way."""
    goals = pages.workshop(tmp_path)
    with pages.served(goals.parent, goals.name) as server:
        host = server.base.split("/")[2]
        heads = {"content-type": "application/json", "origin": server.base.rstrip("/"), "x-barwright-window": "one"}
        asking = http.client.HTTPConnection(host)
        asking.request("POST", "/api/begin", json.dumps({"once": server.address.split("#")[1]}), heads)
        heads["x-barwright-token"] = json.loads(asking.getresponse().read())["token"]
        asking.request("POST", "/api/answer", json.dumps({"text": HEAVY}), heads)
        looking = http.client.HTTPConnection(host)
        looking.request("POST", "/api/look", "{}", heads)  # answered after the other was taken up
        assert looking.getresponse().read()
        server.process.send_signal(signal.SIGINT)
        _, told = server.process.communicate()
        assert asking.getresponse().status == 409
        asking.close()
        looking.close()
    assert (server.process.returncode, told) == (0, "")


def test_the_token_goes_to_the_browser_by_a_file_of_its_owners(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The browser is started with a file that only its owner may read, never with the token itself; the file goes at the end."""
    seen: list[tuple[str, int, str]] = []

    def browse(address: str) -> bool:
        path = Path(address.removeprefix("file:" + "//"))
        seen.append((address, stat.S_IMODE(path.stat().st_mode), path.read_text(encoding="utf-8")))
        return True

    monkeypatch.setattr(webbrowser, "open_new", browse)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.setattr(uvicorn.Server, "run", lambda *_, **__: None)
    told: list[str] = []
    serve.serve(desk_of(tmp_path / "bar.yaml", ""), 0, told.append, opens=True)
    ((address, mode, text),) = seen
    token = re.search(r"#([\w-]{40,})", text)
    assert token is not None
    assert token.group(1) not in address
    assert token.group(1) not in told[0], "the one that is told is another"
    assert mode == 0o600
    assert list(tmp_path.iterdir()) == []


def test_the_page_is_begun_without_a_file(tmp_path: Path) -> None:
    """Without a goal file it begins a new one, under a name that is free."""
    (tmp_path / "new-bar.yaml").write_text("title: there\n", encoding="utf-8")
    code = (
        "from pathlib import Path\nfrom optimiser.web.desk import desk_of\n"
        "made = desk_of(None, 'fats: []')\nprint(made.goal_file.name, made.is_new, bool(made.invented))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(pages.ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split() == ["new-bar-2.yaml", "True", "True"]
