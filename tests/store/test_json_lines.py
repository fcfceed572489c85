"""The record as JSON lines and back."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from records import BATCH, OLIVE, invented

from optimiser.recipe.handling import in_full
from optimiser.store.asking import list_batches, show_batch, stock
from optimiser.store.json_lines import export, import_lines
from optimiser.store.recalling import recall_lot
from optimiser.store.values import Lot, Observation, Shipment, Source
from optimiser.store.writing import add_batch, add_lot, ship
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

HOSTILE = 'x\x1b[31m"\u202e\\ 油 \U0001f9fc, \u2028 '


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A record with something of everything, hostile names among it."""
    path = tmp_path / "barwright.sqlite"
    seen = [Observation("2026-11-04", 90.5, None, 41.0, "Shore D", ash=True, notes=(HOSTILE, "b"))]
    add_batch(path, BATCH._replace(title=HOSTILE), seen, draw_down=True, stock={OLIVE: 9000.0})
    add_batch(path, BATCH._replace(made=None, bars=None, cost_e4=None, cautions=()), draw_down=True)
    add_lot(path, Lot("INF 1", "infusion", "2027-01-01"), [Source(OLIVE, 250.25)], received=240.0, on="2026-11-05")
    ship(path, "2026-11-03-1", Shipment(3, "Harbour guest house (invented)", "2026-12-20"))
    return path


def lines_in(folder: Path, store: Path) -> Path:
    """The record's lines in a file."""
    file = folder / "lines.jsonl"
    file.write_text("".join(export(store)), encoding="utf-8")
    return file


def test_what_goes_out_comes_back(store: Path, tmp_path: Path) -> None:
    """A record made of the lines of another gives the same lines, and the same answers to everything."""
    file = lines_in(tmp_path, store)
    new = tmp_path / "new" / "barwright.sqlite"
    assert import_lines(new, file) == (2, 3, 7)
    assert "".join(export(new)) == file.read_text(encoding="utf-8")
    assert list_batches(new) == list_batches(store)
    assert stock(new) == stock(store)
    assert recall_lot(new, "OL-1") == recall_lot(store, "OL-1")
    for id_ in ("2026-11-03-1", "batch-1"):
        assert show_batch(new, id_) == show_batch(store, id_)


def test_a_large_record_comes_back(tmp_path: Path) -> None:
    """So does one of many batches and links."""
    store, new = tmp_path / "one.sqlite", tmp_path / "two.sqlite"
    invented(store, 200, 5, random.Random(5))  # noqa: S311
    file = lines_in(tmp_path, store)
    import_lines(new, file)
    assert "".join(export(new)) == file.read_text(encoding="utf-8")


def test_every_line_is_one_document_in_ascii_and_the_first_has_the_cautions(store: Path) -> None:
    """Any pipe carries it, any program reads it line by line, and alkali figures never come without their cautions."""
    lines = list(export(store))
    data = [json.loads(line) for line in lines]
    assert all(line.isascii() and line.count("\n") == 1 for line in lines)
    assert data[0]["record"] == "barwright"
    assert data[0]["cautions"] == list(in_full())
    assert {item["record"] for item in data} == {"barwright", "lot", "made from", "batch", "movement"}


def changed(lines: list[str], which: str, change: Callable[[dict[str, Any]], object]) -> str:
    """The lines with the first of a kind changed."""
    out, done = [], False
    for line in lines:
        data = json.loads(line)
        if data["record"] == which and not done:
            done = change(data) is not False
        out.append(json.dumps(data))
    assert done
    return "\n".join(out)


@pytest.mark.parametrize(
    ("which", "change"),
    [
        ("batch", lambda data: data.update(recipe=data["recipe"].replace("135", "153"))),
        ("batch", lambda data: data.pop("title")),
        ("batch", lambda data: data.update(bars="many")),
        ("batch", lambda data: data["uses"][0].update(grams=-5)),
        ("batch", lambda data: data["uses"][0].update(lot="OL-1")),
        ("batch", lambda data: data["uses"][0].update(lot=["a", "b", "c"])),
        ("batch", lambda data: data.update(made="2026-02-30")),
        ("batch", lambda data: data["shipments"][0].update(bars=0)),
        ("batch", lambda data: data["observations"][0].update(smell="good")),
        ("movement", lambda data: data.update(grams=0, why="drawn")),
        ("movement", lambda data: data.update(batch="nothing")),
        ("movement", lambda data: data.update(why="stolen")),
        ("lot", lambda data: data.update(number="")),
        ("lot", lambda data: data.update(record="pallet")),
        ("lot", lambda data: data.update(record=["lot"])),
        ("barwright", lambda data: data.update(format="barwright-record/99")),
    ],
)
def test_a_line_that_was_changed_is_refused_with_its_number(
    which: str, change: Callable[[dict[str, Any]], object], store: Path, tmp_path: Path
) -> None:
    """A recipe that is not its hash's, a figure that is none, a name that leads nowhere: told by line, and nothing is kept."""
    file = tmp_path / "changed.jsonl"
    file.write_text(changed(list(export(store)), which, change), encoding="utf-8")
    new = tmp_path / "new.sqlite"
    with pytest.raises(BadInput) as bad:
        import_lines(new, file)
    (fault,) = bad.value.diagnostics
    assert fault.code == Code.WRONG_FILE
    assert fault.span is not None
    assert fault.span.line >= 1
    assert not new.exists() or list_batches(new) == ()
    assert import_lines(new, lines_in(tmp_path, store)).batches == 2


@pytest.mark.parametrize(
    "text", ["", "not json", "[1]\n", "{}\n", '{"record": NaN}', "[" * 100_000, '{"record": "lot"}']
)
def test_what_are_no_lines_of_ours_are_refused(text: str, tmp_path: Path) -> None:
    """Other files are refused before any record is made of them."""
    file = tmp_path / "lines.jsonl"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as bad:
        import_lines(tmp_path / "new.sqlite", file)
    assert bad.value.diagnostics[0].code == Code.WRONG_FILE
    assert [path.name for path in tmp_path.iterdir()] == ["lines.jsonl"]


def test_lines_come_into_an_empty_record_only(store: Path, tmp_path: Path) -> None:
    """A record that holds something is left alone."""
    file = lines_in(tmp_path, store)
    before = store.read_bytes()
    with pytest.raises(BadInput) as bad:
        import_lines(store, file)
    assert bad.value.diagnostics[0].code == Code.FILE_EXISTS
    assert store.read_bytes() == before


def test_no_value_of_a_line_ends_in_a_fault_of_ours(store: Path, tmp_path: Path) -> None:
    """With any value of any line replaced by one of another kind or size, lines come in whole or are refused in words."""
    rng = random.Random(4)  # noqa: S311
    lines = [json.loads(line) for line in export(store)]
    odd: tuple[object, ...] = (None, [], {}, "", "x", -1, 0, 1e999, 10**30, "\ud800", True, [[]], {"a": 1})
    codes = []
    for _ in range(120):
        data = json.loads(json.dumps(lines))
        line = rng.choice(
            [item for item in data if item["record"] == rng.choice(("lot", "made from", "batch", "movement"))] or data
        )
        inner = [line, *(item for name in ("uses", "observations", "shipments") for item in line.get(name, ()))]
        where = rng.choice(inner)
        key = rng.choice(sorted(where))
        where[key] = rng.choice(odd)
        file = tmp_path / "odd.jsonl"
        file.write_text("\n".join(json.dumps(item).replace("Infinity", "1e999") for item in data), encoding="utf-8")
        new = tmp_path / "new.sqlite"
        try:
            import_lines(new, file)
        except BadInput as bad:
            codes += [fault.code for fault in bad.diagnostics]
        new.unlink(missing_ok=True)
    assert len(codes) > 60
    assert set(codes) <= {Code.WRONG_FILE, Code.TAKEN_BATCH, Code.CONTRADICTION}
