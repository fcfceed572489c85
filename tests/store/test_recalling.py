"""Recalls, both ways: by brute force over random graphs of lots, by the plan that SQLite makes, and by hand."""

from __future__ import annotations

import random
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from records import BATCH, OLIVE, invented
from strategies import examples

from optimiser.store.connecting import reading, writing
from optimiser.store.recalling import HOLDING, MADE_FROM, MAY_HOLD, WITHIN, recall_batch, recall_lot
from optimiser.store.values import Lot, Shipment, Source, Use
from optimiser.store.writing import add_batch, add_lot, insert_batch, join, lot_row, ship
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

INFUSED = Lot("INF-7", "calendula olive infusion")
BALM = Lot("BLM-1", "balm base")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Four batches: one with an oil itself, one with its infusion, one with what was made from that, one without a lot."""
    store = tmp_path / "barwright.sqlite"
    add_lot(store, INFUSED, [Source(OLIVE, 500.0)], on="2026-10-01")
    add_lot(store, BALM, [Source(INFUSED, None)], on="2026-10-02")

    def made(id_: str, *uses: Use) -> None:
        add_batch(store, BATCH._replace(id=id_, uses=uses))

    made("itself", Use("fat", "olive oil", 700.0, OLIVE), Use("fat", INFUSED.material, 50.0, INFUSED))
    made("infused", Use("fat", INFUSED.material, 300.0, INFUSED), Use("fat", "lard", 100.0, Lot("OL-1", "lard")))
    made("twice", Use("fat", BALM.material, 20.0, BALM), Use("fat", "olive oil", 80.0))
    made("untold", Use("fat", "Olive Oil", 40.0), Use("water", "water", 20.0))
    made("other", Use("fat", "olive oil", 500.0, Lot("OL-2", "olive oil")))
    ship(store, "infused", Shipment(5, "Harbour guest house (invented)", "2026-12-20"))
    ship(store, "infused", Shipment(2, "Market stall (invented)", "2026-12-01"))
    return store


def test_a_bar_of_an_infused_oil_is_found_by_the_oil(path: Path) -> None:
    """Whatever was made from a lot counts, however many makes lie between, with grams and the lots that went into the pot."""
    found = recall_lot(path, "ol 1")
    assert found.number == "OL-1"
    assert found.lots == (Lot("OL-1", "lard"), OLIVE)  # one number, two materials: both are told
    assert found.made_from_it == (BALM, INFUSED)
    assert [(item.id, item.grams, [lot.number for lot in item.through]) for item in found.batches] == [
        ("itself", 750.0, ["INF-7", "OL-1"]),
        ("infused", 400.0, ["INF-7", "OL-1"]),
        ("twice", 20.0, ["BLM-1"]),
    ]
    assert [sent.bars for sent in found.batches[1].shipments] == [2, 5]
    assert [(item.id, item.material, item.grams) for item in found.may_hold] == [("untold", "Olive Oil", 40.0)]


def test_a_bar_tells_its_lots_and_theirs(path: Path) -> None:
    """Back from a batch: lots in the pot with grams, those inside of them with the lot that brought them, what had none."""
    found = recall_batch(path, "Twice")
    assert (found.id, found.title, found.made) == ("twice", "Thirds (invented)", "2026-11-03")
    assert [(item.lot, item.grams, item.through) for item in found.lots] == [
        (BALM, 20.0, ()),
        (INFUSED, None, (BALM,)),
        (OLIVE, None, (BALM,)),
    ]
    assert [(use.material, use.grams) for use in found.untold] == [("olive oil", 80.0)]
    both = {item.lot: (item.grams, item.through) for item in recall_batch(path, "itself").lots}
    assert both[OLIVE] == (700.0, (INFUSED,))  # in the pot, and in the infusion too
    assert recall_batch(path, "untold").lots == ()
    assert [use.material for use in recall_batch(path, "untold").untold] == ["Olive Oil"]  # water has no lot


def test_a_lot_that_nothing_was_made_of(path: Path) -> None:
    """A lot that is known and in no batch gives no batch; one that is not known is told with what is near."""
    add_lot(path, Lot("CA-1", "castor oil"), on="2026-10-01")
    found = recall_lot(path, "CA-1")
    assert (found.batches, found.may_hold) == ((), ())
    with pytest.raises(BadInput) as bad:
        recall_lot(path, "OL-11")
    (fault,) = bad.value.diagnostics
    assert fault.code == Code.UNKNOWN_LOT
    assert "'OL-1'" in fault.help
    with pytest.raises(BadInput, match="no batch 'nothing'"):
        recall_batch(path, "nothing")


GRAPHS = st.integers(1, 9).flatmap(
    lambda count: st.tuples(
        st.lists(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)), max_size=14),
        st.lists(
            st.lists(st.tuples(st.integers(-1, count - 1), st.integers(1, 900)), min_size=1, max_size=4),
            min_size=1,
            max_size=5,
        ),
        st.just(count),
    )
)
"""Links between lots (made, source), batches of (lot or none, grams), and how many lots there are."""


def told_by_hand(start: int, links: set[tuple[int, int]]) -> set[int]:
    """A lot and all that was made from it, by asking of every link until no more come."""
    found = {start}
    while more := {made for made, source in links if source in found} - found:
        found |= more
    return found


@given(GRAPHS)
@settings(max_examples=examples(60))
def test_a_recall_is_what_brute_force_finds(
    graph: tuple[list[tuple[int, int]], list[list[tuple[int, int]]], int],
) -> None:
    """Over random makes of lots from lots both recalls find what asking every link, batch and use finds, with the same grams."""
    pairs, batches, count = graph
    links = {(max(pair), min(pair)) for pair in pairs if pair[0] != pair[1]}  # none made from a later one: no circles
    lots = [Lot(f"n{number}", f"oil {number % 3}") for number in range(count)]
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "barwright.sqlite"
        with writing(store) as connection:
            for lot in lots:
                lot_row(connection, lot)
            for made, source in sorted(links):
                join(connection, lot_row(connection, lots[made]), lots[made], Source(lots[source], None))
            for place, told in enumerate(batches):
                uses = tuple(
                    Use("fat", f"oil {number % 3}", float(grams), lots[number] if number >= 0 else None)
                    for number, grams in told
                )
                insert_batch(connection, BATCH._replace(id=f"b{place}", uses=uses))
        for start in range(count):
            affected = told_by_hand(start, links)
            expected = {
                f"b{place}": sum(grams for number, grams in told if number in affected)
                for place, told in enumerate(batches)
            }
            found = recall_lot(store, f"n{start}")
            assert {item.id: item.grams for item in found.batches} == {
                id_: grams for id_, grams in expected.items() if grams
            }
            assert {lot.number for lot in found.made_from_it} == {f"n{number}" for number in affected - {start}}
            oils = {number % 3 for number in affected}
            assert {(item.id, item.material) for item in found.may_hold} == {
                (f"b{place}", "oil 2")
                for place, told in enumerate(batches)
                if 2 in oils and not expected[f"b{place}"] and any(number < 0 for number, _ in told)
            }
        backwards = {(source, made) for made, source in links}
        for place, told in enumerate(batches):
            used = {number for number, _ in told if number >= 0}
            inside = {number: told_by_hand(number, backwards) for number in used}
            assert {
                item.lot.number: (item.grams, {lot.number for lot in item.through})
                for item in recall_batch(store, f"b{place}").lots
            } == {
                f"n{number}": (
                    sum(grams for other, grams in told if other == number) or None,
                    {f"n{other}" for other in used if number in inside[other] and other != number},
                )
                for number in set().union(*inside.values())
            }


@pytest.mark.parametrize(
    ("query", "asked"),
    [
        (HOLDING, {"lots": '["l3"]'}),
        (MADE_FROM, {"lots": '["l3"]'}),
        (MAY_HOLD, {"materials": '["olive oil"]'}),
        (WITHIN, {"batch": 3}),
    ],
    ids=["holding", "made from", "may hold", "within"],
)
def test_no_recall_reads_a_whole_table(query: str, asked: dict[str, object], tmp_path: Path) -> None:
    """By SQLite's own plan (EXPLAIN QUERY PLAN) every table of the record is searched by an index or a key, never scanned."""
    store = tmp_path / "barwright.sqlite"
    invented(store, 300, 4, random.Random(3))  # noqa: S311
    with reading(store) as connection:
        plan = [str(row[3]) for row in connection.execute(f"EXPLAIN QUERY PLAN {query}", asked)]
    tables = ("lot", "batch", "u", "b", "s", "made", "used", "batch_lot_use", "lot_made_from")
    searched = [line for line in plan if line.split()[0] == "SEARCH" and line.split()[1] in tables]
    scanned = [line for line in plan if line.split()[0] == "SCAN" and line.split()[1] in tables]
    assert len(searched) >= 2, plan
    assert scanned == [], plan
    assert all("INDEX" in line or "PRIMARY KEY" in line for line in searched), plan


def test_the_indices_are_those_meant(tmp_path: Path) -> None:
    """The search from a lot to its batches goes by the index that holds all that it needs."""
    store = tmp_path / "barwright.sqlite"
    invented(store, 50, 3, random.Random(3))  # noqa: S311
    with reading(store) as connection:
        plan = " ".join(row[3] for row in connection.execute(f"EXPLAIN QUERY PLAN {HOLDING}", {"lots": '["l3"]'}))
        assert "COVERING INDEX use_by_lot (lot=?)" in plan
        assert "made USING PRIMARY KEY (source=?)" in plan
        assert "INDEX shipment_by_batch (batch=?)" in plan
        plan = " ".join(row[3] for row in connection.execute(f"EXPLAIN QUERY PLAN {MAY_HOLD}", {"materials": "[]"}))
        assert "INDEX use_without_lot (material=?)" in plan
