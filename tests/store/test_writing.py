"""What is written into the record: batches and their ids, stock, lots of lots, shipments."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from records import BATCH, COCONUT, OLIVE

from optimiser.store.asking import known_lots, list_batches, show_batch, stock
from optimiser.store.recalling import recall_lot
from optimiser.store.values import Lot, Observation, Shipment, Source, Use
from optimiser.store.writing import add_batch, add_lot, note, ship, tell_lots
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

DAY = "2026-11-03"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a record is to be."""
    return tmp_path / "records" / "barwright.sqlite"


def test_a_batch_comes_back_as_it_went_in(path: Path) -> None:
    """Every field, every use with its lot, every reading; its hash is that of its text."""
    seen = Observation(DAY, 90.0, 20.0, 41.0, "Shore D", ash=False, notes=("lavender", "cold room"))
    id_ = add_batch(path, BATCH, [seen]).batch.id
    ship(path, id_, Shipment(5, "Harbour guest house (invented)", "2026-12-20"))
    found = show_batch(path, id_)
    assert found.batch == BATCH._replace(id="2026-11-03-1")
    assert found.observations == (seen,)
    assert found.shipments == (Shipment(5, "Harbour guest house (invented)", "2026-12-20"),)
    assert found.batch.sha256 == hashlib.sha256(BATCH.recipe.encode()).hexdigest()
    (line,) = list_batches(path)
    assert line[2:] == (DAY, 1000.0, 12, 2, 0, 5, 1)


def test_ids_count_up_by_day_and_are_never_taken_twice(path: Path) -> None:
    """The next free number of the day; an id of the maker's own is kept, however it is written again."""
    assert [add_batch(path, BATCH).batch.id for _ in range(3)] == [f"{DAY}-{number}" for number in (1, 2, 3)]
    assert add_batch(path, BATCH._replace(made="2026-11-04")).batch.id == "2026-11-04-1"
    assert add_batch(path, BATCH._replace(made=None)).batch.id == "batch-1"
    add_batch(path, BATCH._replace(id="KW 7"))
    for taken in ("KW 7", "kw-7", " kw_7 "):
        with pytest.raises(BadInput) as bad:
            add_batch(path, BATCH._replace(id=taken))
        assert bad.value.diagnostics[0].code == Code.TAKEN_BATCH
    assert len(list_batches(path)) == 6
    assert show_batch(path, "kw-7").batch.id == "KW 7"


def test_stock_is_what_came_less_what_went(path: Path) -> None:
    """Received, drawn, made into something and counted; of what nobody told how much there was nothing is left to tell."""
    assert add_lot(path, OLIVE, received=5000.0, on=DAY).grams == 5000.0
    assert add_batch(path, BATCH).left == ()
    left = {item.lot: item for item in add_batch(path, BATCH, draw_down=True).left}
    assert list(left.values()) == sorted(stock(path), key=lambda item: item.lot.number, reverse=True)
    assert (left[OLIVE].grams, left[OLIVE].drawn) == (4300.0, 700.0)
    assert (left[COCONUT].grams, left[COCONUT].drawn) == (None, 300.0)
    infused = Lot("INF-1", "calendula olive infusion")
    assert add_lot(path, infused, [Source(OLIVE, 1000.0)], received=980.0, on=DAY).grams == 980.0
    assert {item.lot: item.grams for item in stock(path)}[OLIVE] == 3300.0
    assert add_lot(path, OLIVE, counted=3250.5, on=DAY).grams == 3250.5
    assert add_lot(path, COCONUT, counted=0.0, on=DAY).grams == 0.0
    assert add_lot(path, COCONUT, received=1000.0, on=DAY).grams == 1000.0


def test_the_shelfs_stock_counts_once(path: Path) -> None:
    """The first batch that draws a lot begins with what the shelf tells of it; later ones go on from there."""
    shelf = {OLIVE: 10_000.0}
    first = add_batch(path, BATCH, draw_down=True, stock=shelf)
    second = add_batch(path, BATCH, draw_down=True, stock=shelf)
    assert [item.grams for item in first.left] == [9300.0, None]
    assert [item.grams for item in second.left] == [8600.0, None]
    third = add_batch(
        path, BATCH, draw_down=True, stock=shelf | {COCONUT: 1000.0}
    )  # told when 600 g were drawn already
    assert [item.grams for item in third.left] == [7900.0, 700.0]


def test_a_lot_can_be_told_later_and_never_changed(path: Path) -> None:
    """What had no lot gets one, with its grams and, if asked, its stock; what has one keeps it, and water has none."""
    uses = (Use("fat", "olive oil", 200.0, OLIVE), Use("fat", "olive oil", 500.0), Use("water", "water", 200.0))
    add_batch(path, BATCH._replace(id="KW 1", uses=uses))
    assert [item.id for item in recall_lot(path, "OL-1").batches] == ["KW 1"]
    other = Lot("OL-2", "olive oil")
    add_lot(path, other, received=2000.0, on=DAY)
    assert [item.id for item in recall_lot(path, "OL-2").may_hold] == ["KW 1"]
    id_, left = tell_lots(path, "kw 1", [other], draw_down=True)
    assert (id_, left[0].grams, left[0].drawn) == ("KW 1", 1500.0, 500.0)
    found = recall_lot(path, "OL-2")
    assert [(item.id, item.grams) for item in found.batches] == [("KW 1", 500.0)]
    assert found.may_hold == ()
    before = path.read_bytes()
    for lot in (other, Lot("OL-3", "olive oil"), Lot("W", "water"), Lot("LA", "lard")):
        with pytest.raises(BadInput) as bad:
            tell_lots(path, "KW 1", [lot])
        assert bad.value.diagnostics[0].code == Code.NOT_IN_RECIPE
    assert path.read_bytes() == before


def test_two_lots_of_one_fat_are_drawn_apart(path: Path) -> None:
    """Each lot loses what went in of it."""
    other = Lot("OL-2", "olive oil")
    uses = (Use("fat", "olive oil", 200.0, OLIVE), Use("fat", "olive oil", 500.0, other))
    found = add_batch(path, BATCH._replace(uses=uses), draw_down=True, stock={OLIVE: 1000.0, other: 400.0})
    assert {item.lot: item.grams for item in found.left} == {OLIVE: 800.0, other: -100.0}


def test_a_lot_is_known_again_however_it_is_written(path: Path) -> None:
    """Case, blanks and hyphens of number and material do not make another lot; a best-before day is filled in once."""
    add_lot(path, Lot("KW-OL 3", "Olive Oil"), on=DAY)
    add_lot(path, Lot("kw ol-3", "olive-oil", "2027-03-01"), on=DAY)
    add_lot(path, Lot("KW-OL-3", "olive oil", "2028-01-01"), on=DAY)
    assert known_lots(path) == (Lot("KW-OL 3", "Olive Oil", "2027-03-01"),)
    add_lot(path, Lot("KW-OL-3", "lard"), on=DAY)
    assert len(known_lots(path)) == 2


def test_no_lot_is_made_from_itself(path: Path) -> None:
    """Not at once and not by a roundabout way; nothing is written where that is told."""
    a, b, c = (Lot(name, "infusion") for name in "abc")
    add_lot(path, b, [Source(a, None)], on=DAY)
    add_lot(path, c, [Source(b, 5.0)], on=DAY)
    before = path.read_bytes()
    for lot, source in ((a, a), (a, b), (a, c), (b, c)):
        with pytest.raises(BadInput) as bad:
            add_lot(path, lot, [Source(source, 1.0)], received=5.0, on=DAY)
        assert bad.value.diagnostics[0].code == Code.CONTRADICTION
    assert path.read_bytes() == before
    add_lot(path, c, [Source(a, None)], on=DAY)
    assert {lot.number for lot in recall_lot(path, "a").made_from_it} == {"b", "c"}


def test_no_more_bars_go_than_there_are(path: Path) -> None:
    """Bars are counted down to none; of a batch whose bars nobody told any number may go."""
    add_batch(path, BATCH)
    sent = Shipment(7, "somebody", "2026-12-20")
    assert ship(path, "2026-11-03-1", sent) == ("2026-11-03-1", 5)
    with pytest.raises(BadInput, match="5 of its 12 bars left"):
        ship(path, "2026-11-03-1", sent)
    assert ship(path, "2026-11-03-1", sent._replace(bars=5))[1] == 0
    add_batch(path, BATCH._replace(bars=None))
    assert ship(path, "2026-11-03-2", sent._replace(bars=200)) == ("2026-11-03-2", None)


def test_an_unknown_batch_is_offered_what_is_near(path: Path) -> None:
    """A slip in an id is told with the ids that are near it, and nothing is written."""
    add_batch(path, BATCH)
    before = path.read_bytes()
    with pytest.raises(BadInput) as bad:
        note(path, "2026-11-03-11", Observation(notes=("x",)))
    (fault,) = bad.value.diagnostics
    assert (fault.code, fault.help) == (Code.UNKNOWN_BATCH, "did you mean '2026-11-03-1'?")
    assert path.read_bytes() == before


def test_nothing_goes_and_nothing_is_seen_before_a_batch_is_made(path: Path) -> None:
    """A day before the batch's own is a slip of the pen, and would stand for ever; the day itself will do."""
    add_batch(path, BATCH)
    for slip in (
        lambda: ship(path, "2026-11-03-1", Shipment(1, "somebody", "2025-12-20")),
        lambda: note(path, "2026-11-03-1", Observation("2026-11-02", 90.0)),
    ):
        with pytest.raises(BadInput) as bad:
            slip()
        assert bad.value.diagnostics[0].code == Code.OUT_OF_RANGE
        assert DAY in bad.value.diagnostics[0].message
    assert ship(path, "2026-11-03-1", Shipment(1, "somebody", DAY))[1] == 11
    assert note(path, "2026-11-03-1", Observation(DAY, 90.0)) == "2026-11-03-1"
    assert len(show_batch(path, "2026-11-03-1").observations) == 1


def test_no_more_bars_than_the_soap_can_be(path: Path) -> None:
    """1,200 g are no 3,000 bars, nor may so many go where nobody told how many there were."""
    with pytest.raises(BadInput) as bad:
        add_batch(path, BATCH._replace(bars=3000))
    assert "0.4 g each" in bad.value.diagnostics[0].message
    add_batch(path, BATCH._replace(bars=None))
    assert ship(path, "2026-11-03-1", Shipment(20, "somebody", DAY))[1] is None
    with pytest.raises(BadInput):
        ship(path, "2026-11-03-1", Shipment(900, "somebody", DAY))
    assert show_batch(path, "2026-11-03-1").shipments == (Shipment(20, "somebody", DAY),)
