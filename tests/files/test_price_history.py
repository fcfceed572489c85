"""A history of prices: what its columns and rows stand for, and every fault with its place."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from sweeping import ROOT

from optimiser.files.price_file import Typed, read_prices
from optimiser.files.shelf.shelf import read_shelf
from optimiser.problem.price_scenarios import Scenarios
from optimiser.problem.shelf import Shelf
from optimiser.text.diagnostics import BadInput, Diagnostic


def shelf() -> Shelf:
    """The demo shelf."""
    return read_shelf(ROOT / "inventory" / "kittiwake.yaml")


def read(text: str, folder: Path, typed: Typed = Typed(), name: str = "prices.csv") -> Scenarios:  # noqa: B008
    """The scenarios of a text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return read_prices(path, [shelf()], typed)


def faults(text: str, folder: Path, typed: Typed = Typed(), name: str = "prices.csv") -> tuple[Diagnostic, ...]:  # noqa: B008
    """What is wrong with it."""
    with pytest.raises(BadInput) as bad:
        read(text, folder, typed, name)
    return bad.value.diagnostics


def of(found: Scenarios, name: str) -> list[float]:
    """The multipliers of one price."""
    return [round(one, 9) for one in found.between(0, found.size)[:, found.names.index(name)].tolist()]


PLAIN = "month,coconut oil,olive oil\n2026-01,2,8\n2026-02,3,6\n2026-03,4,4\n"


def test_prices_are_ratios_to_the_last_row(tmp_path: Path) -> None:
    """The last row stands for today, and rows are called by the first column."""
    found = read(PLAIN, tmp_path)
    assert found.labels == ("2026-01", "2026-02", "2026-03")
    assert of(found, "coconut oil") == [0.5, 0.75, 1.0]
    assert of(found, "olive oil") == [2.0, 1.5, 1.0]
    assert "2026-03 stands for today" in found.rules[0]


def test_another_row_may_stand_for_today(tmp_path: Path) -> None:
    """Named as it is called, whatever its case; one that is not there is told with those that are."""
    assert of(read(PLAIN, tmp_path, Typed(today="2026-01")), "coconut oil") == [1.0, 1.5, 2.0]
    (fault,) = faults(PLAIN, tmp_path, Typed(today="2027-01"))
    assert fault.code == "usage"
    assert "2026-01" in fault.help


def test_a_fat_of_the_maker_s_own_goes_with_what_it_is_like(tmp_path: Path) -> None:
    """The infusion of olive oil on the demo shelf has olive oil's prices, unless it has a column."""
    assert of(read(PLAIN, tmp_path), "calendula olive infusion") == [2.0, 1.5, 1.0]
    own = PLAIN.replace("olive oil", "olive oil,calendula olive infusion").replace(",8\n", ",8,9\n")
    own = own.replace(",6\n", ",6,9\n").replace(",4\n", ",4,9\n")
    assert of(read(own, tmp_path), "calendula olive infusion") == [1.0, 1.0, 1.0]


def test_the_rest_follow_the_mean_or_stay(tmp_path: Path) -> None:
    """A fat without a column: the geometric mean of the columns, or as today; alkali stays either way."""
    follows = read(PLAIN, tmp_path)
    assert of(follows, "lard") == pytest.approx([np.sqrt(0.5 * 2.0), np.sqrt(0.75 * 1.5), 1.0])
    assert of(follows, "sodium hydroxide") == [1.0, 1.0, 1.0]
    stays = read(PLAIN, tmp_path, Typed(others="stay"))
    assert of(stays, "lard") == [1.0, 1.0, 1.0]
    assert follows.rules[1] != stays.rules[1]


def test_alkali_may_have_a_column_and_what_is_on_no_shelf_is_told(tmp_path: Path) -> None:
    """Caustic soda by its own name; an oil that is not there is no fault."""
    found = read("sodium hydroxide,linseed oil,palm oil\n1,2,3\n2,2,3\n", tmp_path)
    assert of(found, "sodium hydroxide") == [0.5, 1.0]
    assert any("linseed oil" in rule for rule in found.rules)
    assert found.labels == ("1", "2")


def test_semicolons_and_decimal_commas(tmp_path: Path) -> None:
    """As spreadsheets of many countries write them."""
    assert of(read("month;palm oil\n1;1,50\n2;3,00\n", tmp_path), "palm oil") == [0.5, 1.0]


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("month,coconut oi\n1,2\n1,2\n", "unknown-column", (1, 7)),
        ("month,butters\n1,2\n1,2\n", "unknown-column", (1, 7)),
        ("month,palm oil,palm oil\n1,2,3\n1,2,3\n", "repeated-name", (1, 16)),
        ("month,palm oil,\n1,2,3\n1,2,3\n", "missing-column", (1, 16)),
        ("month,linseed oil\n1,2\n1,2\n", "missing-column", (1, 1)),
        ("month,palm oil\n1,2\n2,\n", "no-figure", (3, 3)),
        ("month,palm oil\n1,2\n2\n", "no-figure", (3, 1)),
        ("month,palm oil\n1,2\n2,x\n", "not-a-figure", (3, 3)),
        ("month,palm oil\n1,2\n2,-3\n", "out-of-range", (3, 3)),
        ("month,palm oil\n1,2000\n2,3\n", "out-of-range", (2, 3)),
        ('month,"palm oil\n1,2\n', "open-quote", (1, 7)),
        ("month,palm oil\n1,1e308\n2,1e-308\n", "out-of-range", (2, 3)),
        ("month,palm oil\n1,2\n", "empty-file", (2, 1)),
        ("month,palm oil,lard\n1,2,50,3,10\n2,2,3\n", "too-many-cells", (2, 8)),
    ],
)
def test_faults_have_their_place(text: str, code: str, place: tuple[int, int], tmp_path: Path) -> None:
    """One fault, by its code, at line and column."""
    (fault,) = faults(text, tmp_path)
    assert fault.code == code
    assert fault.span is not None
    assert (fault.span.line, fault.span.column) == place
    assert fault.help


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    """In the order of the file."""
    found = faults("month,palm oil,olive\n1,x,2\n2,3,0\n", tmp_path)
    assert [item.code for item in found] == ["not-a-figure", "out-of-range"]


def test_a_file_without_prices_is_empty(tmp_path: Path) -> None:
    """A head alone is no history; nor is another kind of file."""
    assert faults("month,palm oil\n", tmp_path)[0].code == "empty-file"
    assert faults("x", tmp_path, name="prices.pdf")[0].code == "wrong-suffix"


def test_nothing_is_drawn_of_a_history(tmp_path: Path) -> None:
    """Its rows are the scenarios."""
    assert faults(PLAIN, tmp_path, Typed(drawn=5))[0].code == "usage"


def test_the_example_is_what_its_tool_writes() -> None:
    """Invented, said so in its head, and drawn anew it is the same; its changes spread and go together as the tool says."""
    import importlib.util

    spec = importlib.util.spec_from_file_location("invented_prices", ROOT / "tests" / "tools" / "invented_prices.py")
    assert spec is not None
    assert spec.loader is not None
    tool = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tool)
    text = (ROOT / "examples" / "prices.csv").read_text(encoding="utf-8")
    assert text == tool.text()
    assert text.startswith("# Invented")
    found = read_prices(ROOT / "examples" / "prices.csv", [shelf()])
    places = [found.names.index(name) for name in ("coconut oil", "palm kernel oil")]
    changes = np.diff(np.log(found.between(0, found.size)[:, places]), axis=0)
    assert 0.7 < float(np.corrcoef(changes.T)[0, 1]) < 0.9
    assert (changes.std(axis=0) > 0.06).all()
    assert (changes.std(axis=0) < 0.11).all()


def test_one_row_is_named_by_today(tmp_path: Path) -> None:
    """Two rows of that name are a fault at the second, with where the first stands; without --today the last counts."""
    text = "month,palm oil\nmay,2\nMay,3\njune,4\n"
    (fault,) = faults(text, tmp_path, Typed(today="may"))
    assert fault.code == "repeated-name"
    assert fault.span is not None
    assert fault.span.line == 3
    assert of(read(text, tmp_path), "palm oil") == [0.5, 0.75, 1.0]


def test_a_history_on_one_side_of_today_is_told(tmp_path: Path) -> None:
    """Where nine rows in ten are dearer than today, or cheaper; not where today lies among them, nor of few rows."""

    def told(prices: list[float]) -> str:
        lines = "".join(f"{number},{price}\n" for number, price in enumerate(prices))
        return " ".join(read(f"month,palm oil\n{lines}", tmp_path).rules)

    assert "95 % of the rows are dearer" in told([2.0] * 19 + [1.0])
    assert "95 % of the rows are cheaper" in told([2.0] * 19 + [3.0])
    assert "one side" not in told([2.0, 4.0] * 10 + [3.0])
    assert "one side" not in told([2.0] * 9 + [1.0])
