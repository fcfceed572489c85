"""Nothing of any one machine is in the tree, and no address but those by which standards are named."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MACHINE = re.compile(r"(?<![\w.])/(?:work|root|home|Users|tmp/w|mnt|private)/[\w.]", re.IGNORECASE)
WINDOWS = re.compile(r"\b[A-Z]:\\(?:Users|work)", re.IGNORECASE)
STANDARDS = ("doi.org", "json-schema.org", "no-color.org", "w3.org", "yaml.org")
"""Hosts that are part of a standard's own name, or that name a publication."""
SCHEME = re.compile(r"\b[a-z][a-z0-9+.-]*://(?:[^\s/@]*@)?([^\s/:\"'<>()\[\]`?#]*)", re.IGNORECASE)
BARE = re.compile(
    r"(?<![\w/.-])((?:[a-z0-9-]+\.)+(?:com|org|net|io|dev|edu|gov|info|app|cloud|co|eu|uk|de|fr|ch|cn|jp|ru|int))(?![\w(]|\.\w)",
    re.IGNORECASE,
)
NUMBERED = re.compile(r"(?<![\d.])((?:\d{1,3}\.){3}\d{1,3})(?![\d.])")
BINARY = {".png", ".jpg", ".woff2", ".ico", ".gz"}
SELF = Path(__file__).name
LOOPBACK = "127.0.0.1"  # this machine itself, wherever it runs (RFC 1122, section 3)


def files() -> list[Path]:
    """The files of the tree: what is tracked or would be, where there is a repository; else all that is not hidden."""
    try:
        listed = subprocess.run(
            ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
            capture_output=True,
            cwd=ROOT,
            check=True,
        ).stdout
        found = [ROOT / name for name in listed.decode().split("\0") if name]
    except (OSError, subprocess.CalledProcessError):
        hidden = re.compile(r"/(\.|__pycache__)")
        found = [path for path in ROOT.rglob("*") if not hidden.search(f"/{path.relative_to(ROOT)}")]
    return [path for path in found if path.is_file() and path.suffix not in BINARY]


def hosts(text: str) -> list[str]:
    """Every host that a text names, with a scheme or bare; "" of a scheme that names none."""
    return [found for pattern in (SCHEME, BARE, NUMBERED) for found in pattern.findall(text)]


def is_standard(host: str) -> bool:
    """Whether a host is one of the few that standards need, or the machine itself."""
    folded = host.casefold().removeprefix("www.")
    return folded in STANDARDS or folded == LOOPBACK


def hits(pattern: re.Pattern[str]) -> list[str]:
    """Where a pattern stands in the tree."""
    return [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()[:100]}"
        for path in files()
        if path.name != SELF
        for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1)
        if pattern.search(line)
    ]


def test_the_tree_is_looked_through() -> None:
    """The search sees the sources, so that finding nothing means something."""
    assert {ROOT / "pyproject.toml", ROOT / "optimiser" / "cli" / "main.py"} <= set(files())


def test_no_path_of_a_machine() -> None:
    """No file names a folder of the machine that it was written on."""
    assert hits(MACHINE) == []
    assert hits(WINDOWS) == []


def test_no_address_but_a_standard_s() -> None:
    """No file, this one among them, names a scheme and a host, or a host alone, but the few that standards need."""
    named = {
        (str(path.relative_to(ROOT)), host)
        for path in files()
        for host in hosts(path.read_text(encoding="utf-8", errors="replace"))
    }
    assert {host for _, host in named} & set(STANDARDS), "the standards' own are seen"
    assert sorted((path, host) for path, host in named if not is_standard(host)) == []


@pytest.mark.parametrize(
    ("parts", "host"),
    [
        (("https", "://", "packages.example", ".", "org", "/simple/"), ("packages.example", "org")),
        (("ftp", "://", "me", "@", "here", ":21/x"), ("here",)),
        (("git+ssh", "://", "git", "@", "code.example", ".", "com", "/a.git"), ("code.example", "com")),
        (("file", "://", "/x"), ("",)),
        (("see registry.example", ".", "net", " for it"), ("registry.example", "net")),
        (("proxy = 10.0", ".", "0.7", ":8080"), ("10.0", "0.7")),
    ],
)
def test_an_address_would_be_seen(parts: tuple[str, ...], host: tuple[str, ...]) -> None:
    """The search finds hosts with any scheme, without one, and by number."""
    named = ".".join(host)
    assert named in hosts("".join(parts))
    assert not is_standard(named)


def test_the_wheel_has_its_starter() -> None:
    """What the wheel packs as starter files is there to be packed."""
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    packed = project["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    for source in packed:
        assert any((ROOT / source).iterdir())
