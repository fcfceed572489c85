"""The script that puts faults into rooms: which faults it makes, and that it tells those noticed from those that are not."""

from __future__ import annotations

import ast
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from tools.mutants import Equivalent, find_room, main, read_equivalents
from tools.mutating import Mutant, mutants

TOOL = Path(__file__).parents[1] / "tools" / "mutants.py"
SHOP = '''"""A till."""

LEAST = 3


def price(count: int, each: float) -> float:
    """Ten per cent off from three on."""
    total = count * each
    if count >= LEAST:
        return 0.9 * total
    return total


def change(paid: float, due: float) -> float:
    """What is given back."""
    return paid - due


def days(left: int) -> int:
    """Counted down."""
    done = 0
    while left > 0:
        left -= 1
        done += 1
    return done
'''
TESTS = '''"""Of a till."""

from shop.till import days, price


def test_price():
    """Three are cheaper."""
    assert price(2, 5.0) == 10.0
    assert price(4, 5.0) == 18.0


def test_days():
    """As many as are left."""
    assert days(4) == 4
'''


def made(source: str) -> set[tuple[str, str]]:
    """The faults of a text as lines before and after."""
    return {(mutant.before, mutant.after) for mutant in mutants(source, "room")}


@pytest.mark.parametrize(
    ("line", "others"),
    [
        ("a = b < c", ["a = b <= c", "a = b >= c"]),
        ("a = (b) == (c)", ["a = (b) != (c)"]),
        ("a = b not in c", ["a = b in c"]),
        ("a = b + c * d", ["a = b - c * d", "a = b + c / d"]),
        ("a = -b", ["a = (b)"]),
        ("a = 0", ["a = 1"]),
        ("a = 2.5", ["a = 3.5", "a = 25.0"]),
        ("a = b and c", ["a = (b or c)"]),
        ("a = not b", ["a = (b)"]),
        (
            "a = min(b) + np.maximum(c, d)",
            ["max(b) + np.maximum(c, d)", "min(b) + np.minimum(c, d)", "min(b) - np.maximum(c, d)"],
        ),
        ("a = True", ["a = False"]),
        ("a = b[c:d]", ["a = b[:d]", "a = b[c:]"]),
        ("a = b if c else d", ["a = b if True else d", "a = b if False else d"]),
        ("a = [b for b in c if d]", ["a = [b for b in c if True]", "a = [b for b in c if False]"]),
        ("a(b)", ["pass"]),
        ("a += b", ["a -= b", "pass"]),
    ],
)
def test_each_sign_becomes_what_it_could_be_mistaken_for(line: str, others: list[str]) -> None:
    """A comparison its neighbour and its opposite, a sum a difference, and so on: these and no others."""
    assert made(line) == {
        (line, other if other == "pass" or other.startswith("a") else f"a = {other}") for other in others
    }


def test_early_ends_are_dropped() -> None:
    """A loop's `continue` and `break` and a return that is not the last are left out; the last return is not."""
    source = "def f(a):\n    for b in a:\n        if b:\n            continue\n        break\n    if a:\n        return b\n    return c\n"
    found = made(source)
    assert {("continue", "pass"), ("break", "pass"), ("return b", "pass")} <= found
    assert ("return c", "pass") not in found
    assert {("if b:", "if True:"), ("if b:", "if False:"), ("if a:", "if True:"), ("if a:", "if False:")} <= found


def test_words_and_types_are_left_alone() -> None:
    """No fault in a docstring, a hint, a message, an f-string, a decorator, `__all__`, or what only a type checker reads."""
    source = '''"""1 < 2"""
import a
__all__ = ["b"] + ["c"]
if TYPE_CHECKING:
    x = 1 < 2
@d(1, True)
def f(a: "1 + 2", *, b: int | None = None) -> c[1]:
    """1 < 2"""
    e: int | float
    assert 1 < a, 1 + 2
    g = zip(a, b, strict=True)
    h = f"{a + 1} and {not b}"
    raise ValueError(a + 1, f"{1 < 2}")
class C(D[1]):
    """1 < 2"""
    i: list[1] = field(repr=False)
'''
    assert made(source) == set()


def test_every_fault_is_a_module_that_reads_otherwise() -> None:
    """Each of a real module's faults can be read, differs, and changes the line that it says, which has its own id."""
    source = TOOL.with_name("lowest.py").read_text(encoding="utf-8")
    found = mutants(source, "lowest")
    assert len(found) >= 8
    assert len({mutant.id for mutant in found}) == len(found)
    for mutant in found:
        changed = mutant.put_into(source)
        assert ast.dump(ast.parse(changed)) != ast.dump(ast.parse(source))
        assert source.splitlines()[mutant.line - 1].strip() == mutant.before
        assert changed.splitlines()[mutant.line - 1].strip() == mutant.after


def test_ids_stay_where_other_lines_move() -> None:
    """A fault keeps its id when lines are put above it, and when its module gets another folder; two alike differ."""

    def ids(source: str, room: str = "till") -> list[str]:
        return [mutant.id for mutant in mutants(source, room) if "LEAST" not in mutant.before]

    assert ids(SHOP) == ids(SHOP.replace("LEAST = 3", "# more\n\nLEAST = 4 + 5"))
    assert ids(SHOP) == ids(SHOP, "front.till")
    assert len(set(ids("a = b < c\na = b < c\n"))) == 4


def test_what_runs_once_for_all_is_known() -> None:
    """A constant of the module and the inside of a cached function are marked, a plain function's inside is not."""
    source = "A = 1\n@cache\ndef f():\n    return 2\ndef g(a=3):\n    return 4\n"
    assert {mutant.before: mutant.is_broad for mutant in mutants(source, "room")} == {
        "A = 1": True,
        "return 2": True,
        "def g(a=3):": True,
        "return 4": False,
    }


def test_equivalents_are_read_whole() -> None:
    """Four lines an entry, comments aside; one without its reason is refused."""
    text = "# words\n\nroom: till\nline: a = b: c\nbecomes: a = d\nwhy: nothing is sold\n"
    assert read_equivalents(text) == [Equivalent("till", "a = b: c", "a = d", "nothing is sold")]
    with pytest.raises(ValueError, match="four lines"):
        read_equivalents("room: till\nline: a\nbecomes: b\n")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A package with one room and its tests."""
    for name, text in {
        "shop/__init__.py": '"""A shop."""\n',
        "shop/till.py": SHOP,
        "tests/test_till.py": TESTS,
        "tests/tools/equivalent_mutants.txt": "room: till\nline: if count >= LEAST:\nbecomes: if count > LEAST:\nwhy: to try it\n",
        "pyproject.toml": "[tool.pytest.ini_options]\naddopts = ['--import-mode=importlib']\n",
    }.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return tmp_path


def fault(before: str, after: str) -> Mutant:
    """One fault of the till by its lines."""
    return next(mutant for mutant in mutants(SHOP, "till") if (mutant.before, mutant.after) == (before, after))


def run(shop: Path, *asked: str) -> subprocess.CompletedProcess[str]:
    """The script on the shop."""
    command = [sys.executable, str(TOOL), "--root", str(shop), "--package", "shop", *asked]
    return subprocess.run(command, capture_output=True, check=False, text=True, timeout=60)


@pytest.mark.long
def test_faults_noticed_and_not_are_told_apart(shop: Path) -> None:
    """Of a till, the price at three goes unnoticed, what is given back is never asked, a day too many never ends."""
    done = run(shop, "till", "--spare", "1")
    assert done.returncode == 1, done.stderr
    change = fault("return paid - due", "return paid + due")
    assert (
        f"not covered: {change.id}  shop/till.py:{change.line}\n    - return paid - due\n    + return paid + due"
        in done.stdout
    )
    assert f"survived: {fault('LEAST = 3', 'LEAST = 4').id}" in done.stdout
    assert fault("total = count * each", "total = count / each").id not in done.stdout
    head, row = (line.split() for line in done.stdout.splitlines()[-2:])
    counts = [int(cell) for cell in row[1:6]]
    assert counts[0] == len(mutants(SHOP, "till")) - 1 == sum(counts[1:])
    assert counts[2:] == [1, 2, 1]
    assert row[-1] == "1"
    assert head[0] == "room"
    assert (shop / "shop" / "till.py").read_text(encoding="utf-8") == SHOP


@pytest.mark.parametrize("way", [[], ["--no-fork"]])
def test_one_fault_is_shown_and_tried(shop: Path, way: list[str]) -> None:
    """One fault by its id: what it changes, and the test that notices, in a fork or in a process of its own."""
    mutant = fault("return 0.9 * total", "return 0.9 / total")
    done = run(shop, "shop/till.py", "--only", mutant.id, "--tests", "tests/test_till.py", *way)
    assert done.returncode == 0, done.stderr
    assert "-        return 0.9 * total\n+        return 0.9 / total" in done.stdout
    assert "killed tests/test_till.py::test_price" in done.stdout


def test_a_sample_is_the_same_for_its_seed(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same seed draws the same faults, and listing runs nothing."""
    lists = []
    for seed in ("1", "1", "2"):
        given = ["till", "--list", "--sample", "5", "--seed", seed, "--root", str(shop), "--package", "shop"]
        assert main(given) == 0
        lists.append(capsys.readouterr().out)
    assert lists[0] == lists[1] != lists[2]
    assert lists[0].count("shop/till.py:") >= 4


def test_a_room_is_found_by_path_and_by_name(shop: Path) -> None:
    """By its path in the tree, its dotted name with or without the package; anything else is refused."""
    names = {find_room(shop, "shop", name).path for name in ("shop/till.py", "till", "shop.till")}
    assert names == {"shop/till.py"}
    for wrong in ("cellar", "tests/test_till.py"):
        with pytest.raises(SystemExit, match="no module"):
            find_room(shop, "shop", wrong)


@pytest.mark.parametrize("asked", [signal.SIGINT, signal.SIGTERM])
def test_an_interrupt_ends_it_with_what_was_tried(
    shop: Path, tmp_path_factory: pytest.TempPathFactory, asked: signal.Signals
) -> None:
    """In the middle of a fault that never ends: the table so far, exit 130, and nothing is left of the copy."""
    room = tmp_path_factory.mktemp("copies")
    mutant = fault("left -= 1", "pass")
    command = [sys.executable, str(TOOL), "--root", str(shop), "--package", "shop", "till", "--only", mutant.id]
    with subprocess.Popen(
        [*command, "--spare", "60"],
        env=os.environ | {"TMPDIR": str(room)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stderr is not None
        assert "measuring" in process.stderr.readline()
        until = time.monotonic() + 30.0
        while mutant.put_into(SHOP) not in {path.read_text() for path in room.glob("*/tree/shop/till.py")}:
            assert time.monotonic() < until
            time.sleep(0.05)
        process.send_signal(asked)
        out, err = process.communicate(timeout=30.0)
    assert process.returncode == 130, err
    assert "interrupted" in err
    assert out.splitlines()[-1].split()[:3] == ["till", "0", "0"]
    assert list(room.iterdir()) == []
