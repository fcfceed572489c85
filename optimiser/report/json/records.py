"""The batch record as data. Grams, ISO days, per cent; money in the currency that is named."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from optimiser.recipe.handling import BOTH, in_full
from optimiser.report.json.parts import FORMAT, Json, grams, money, number, warnings_part

if TYPE_CHECKING:
    from optimiser.answers.batch_record import Unfit
    from optimiser.store.json_lines import Imported
    from optimiser.store.values import (
        Added,
        Batch,
        Left,
        Listed,
        Lot,
        Observation,
        Recalled,
        Shipment,
        Shown,
        Traced,
        Use,
    )
    from optimiser.text.diagnostics import Diagnostic

E4 = 10_000.0


def unfit(found: Unfit) -> Json:
    """A recipe that must not be made, and was not recorded."""
    return {
        **_head("lye-heavy"),
        "title": found.title,
        "recipe_file": found.recipe_file,
        "urgent": list(found.urgent),
        "cautions": list(found.cautions),
    }


def added(path: Path, found: Added, warnings: Sequence[Diagnostic]) -> Json:
    """A batch that was recorded."""
    return {
        **_head("recorded"),
        "store": str(path),
        "batch": _batch(found.batch),
        "stock": [_left(item) for item in found.left],
        "cautions": cautions_of(found.batch),
        **warnings_part(warnings),
    }


def shown(found: Shown) -> Json:
    """A batch with all that is known of it."""
    return {
        **_head("batch"),
        "batch": _batch(found.batch),
        "observations": [_observation(item) for item in found.observations],
        "shipments": _shipments(found.shipments),
        "cautions": cautions_of(found.batch),
    }


def cautions_of(batch: Batch) -> list[str]:
    """What was said when it was recorded, and what its alkalis call for."""
    standing = in_full(tuple(use.material for use in batch.uses if use.kind == "alkali"))
    return [*batch.cautions, *standing]


def cautions_for(materials: Iterable[str]) -> Json:
    """The cautions of the alkalis among these, where there are any: no figure of theirs stands without."""
    held = set(materials)
    alkalis = tuple(name for name in BOTH if name in held)
    return {"cautions": list(in_full(alkalis))} if alkalis else {}


def listing(path: Path, lines: Sequence[Listed]) -> Json:
    """Every batch."""
    return {
        **_head("batches"),
        "store": str(path),
        "batches": [
            {
                "id": line.id,
                "title": line.title,
                "made": line.made,
                "fats_g": grams(line.fats_g),
                "bars": line.bars,
                "lots": line.lots,
                "fats_without_lot": line.untold,
                "bars_sent": line.sent,
                "observations": line.observed,
            }
            for line in lines
        ],
    }


def recalled(path: Path, found: Recalled) -> Json:
    """Every batch that holds a lot."""
    return {
        **_head("recalled"),
        "store": str(path),
        "lot": found.number,
        "lots": [_lot(lot) for lot in found.lots],
        "made_from_it": [_lot(lot) for lot in found.made_from_it],
        "batches": [
            {
                "id": item.id,
                "title": item.title,
                "made": item.made,
                "grams": grams(item.grams),
                "through": [lot.number for lot in item.through],
                "bars": item.bars,
                "shipments": _shipments(item.shipments),
            }
            for item in found.batches
        ],
        "may_hold": [
            {
                "id": item.id,
                "title": item.title,
                "made": item.made,
                "material": item.material,
                "grams": grams(item.grams),
            }
            for item in found.may_hold
        ],
        **cautions_for(lot.material for lot in found.lots),
    }


def traced(path: Path, found: Traced) -> Json:
    """Every lot that is in a batch."""
    return {
        **_head("recalled"),
        "store": str(path),
        "batch": found.id,
        "title": found.title,
        "made": found.made,
        "lots": [
            {**_lot(item.lot), "grams": grams(item.grams) if item.grams is not None else None}
            | {"through": [lot.number for lot in item.through]}
            for item in found.lots
        ],
        "no_lot": [{"material": use.material, "grams": grams(use.grams)} for use in found.untold],
        "shipments": _shipments(found.shipments),
        **cautions_for([*(item.lot.material for item in found.lots), *(use.material for use in found.untold)]),
    }


def stock(path: Path, lots: Sequence[Left]) -> Json:
    """What is left of every lot; null where nobody told how much there was."""
    listed = [_left(item) for item in lots]
    return {**_head("stock"), "store": str(path), "lots": listed, **cautions_for(item.lot.material for item in lots)}


def told_lots(batch: str, lots: Sequence[Lot], left: Sequence[Left], warnings: Sequence[Diagnostic]) -> Json:
    """Lots that were told of a batch later."""
    told = [{"material": lot.material, "lot": lot.number} for lot in lots]
    stock_left = [_left(item) for item in left]
    return {
        **_head("told"),
        "batch": batch,
        "lots": told,
        "stock": stock_left,
        **warnings_part(warnings),
    } | cautions_for(lot.material for lot in lots)


def noted(batch: str, seen: Observation) -> Json:
    """What was seen of a batch."""
    return {**_head("noted"), "batch": batch, "observation": _observation(seen)}


def shipped(batch: str, sent: Shipment, left: int | None) -> Json:
    """Bars that went; `bars_left` is null where it is not known how many there were."""
    return {**_head("shipped"), "batch": batch, "shipment": sent._asdict(), "bars_left": left}


def exported(files: Sequence[Path]) -> Json:
    """Trials that were written."""
    return {**_head("exported"), "files": [str(path) for path in files]}


def imported(path: Path, counted: Imported) -> Json:
    """What came in by lines."""
    return {**_head("imported"), "store": str(path), **counted._asdict()}


def brought(path: Path, came: Sequence[str], there: Sequence[str]) -> Json:
    """What came in of trials."""
    return {**_head("imported"), "store": str(path), "batches": list(came), "there_already": list(there)}


def _head(status: str) -> Json:
    return {"format": FORMAT, "status": status}


def _lot(lot: Lot) -> Json:
    return {"lot": lot.number, "material": lot.material, "best_before": lot.best_before}


def _left(item: Left) -> Json:
    known = None if item.grams is None else grams(item.grams)
    return {**_lot(item.lot), "left_g": known, "drawn_g": grams(item.drawn)}


def _use(use: Use) -> Json:
    return {
        "kind": use.kind,
        "material": use.material,
        "grams": grams(use.grams),
        "lot": None if use.lot is None else use.lot.number,
        "purity": None if use.purity is None else number(100.0 * use.purity),
    }


def _batch(batch: Batch) -> Json:
    return {
        "id": batch.id,
        "title": batch.title,
        "made": batch.made,
        "bars": batch.bars,
        "uses": [_use(use) for use in batch.uses],
        "batter_g": grams(batch.batter_g),
        "cured_g": grams(batch.cured_g),
        "superfat": number(batch.superfat),
        "likely_superfat": number(batch.superfat_likely),
        "superfat_worst_case": number(batch.superfat_worst),
        "lye_concentration": number(batch.lye_concentration),
        "cost": None if batch.cost_e4 is None else money(batch.cost_e4 / E4),
        "currency": batch.currency,
        "recipe": batch.recipe,
        "recipe_sha256": batch.sha256,
        "barwright": batch.version,
    }


def _observation(item: Observation) -> Json:
    hardness = None if item.hardness is None else {"value": item.hardness, "unit": item.hardness_unit}
    return {
        "noted": item.noted_on,
        "trace_s": item.trace_s,
        "unmould_h": item.unmould_h,
        "hardness": hardness,
        "ash": item.ash,
        "notes": list(item.notes),
    }


def _shipments(items: Iterable[Shipment]) -> list[Json]:
    return [{"bars": item.bars, "to": item.recipient, "sent": item.sent_on} for item in items]
