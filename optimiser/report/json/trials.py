"""Trials and the scales fitted to them, as data. Times in seconds or hours as the key's unit says, indices in points."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

from optimiser.files.trial_file import LeftOut
from optimiser.report.json.parts import FORMAT, Json, number
from optimiser.text.diagnostics import as_data
from optimiser.trials.calibration import MeasureFit
from optimiser.trials.observations import Made

DIGITS = 9


def listing(folder: Path, batches: Sequence[Made], left: Sequence[LeftOut] = ()) -> Json:
    """Every trial with its readings and its indices by the book, and the files that were left out."""
    return {
        "format": FORMAT,
        "status": "trials",
        "folder": str(folder),
        "trials": [_trial(item) for item in batches],
        "left_out": _left_out(left),
    }


def _left_out(left: Sequence[LeftOut]) -> list[Json]:
    return [{"file": item.path, "faults": as_data(item.faults)} for item in left]


def _trial(item: Made) -> Json:
    trial = item.trial
    hardness = None if trial.hardness is None else {"value": trial.hardness.value, "unit": trial.hardness.unit}
    return {
        "trial": trial.name,
        "file": trial.path,
        "title": trial.recipe.title,
        "date": trial.date or None,
        "linked": trial.linked,
        "trace_s": trial.trace,
        "unmould_h": trial.unmould,
        "hardness": hardness,
        "ash": trial.ash,
        "notes": list(trial.notes),
        "measures": {name: number(item.values[name]) for name in ("trace_speed", "set_up", "hardness", "ash_risk")},
        "levers": {name: number(value) for name, value in item.units.items()},
    }


def fitted(folder: Path, fits: Sequence[MeasureFit], saved: Path | None, left: Sequence[LeftOut] = ()) -> Json:
    """What the trials say of each measure."""
    return {
        "format": FORMAT,
        "status": "fitted" if any(item.scale is not None for item in fits) else "no scale",
        "folder": str(folder),
        "saved": None if saved is None else str(saved),
        "scales": [_fit(item) for item in fits],
        "left_out": _left_out(left),
    }


def _fit(item: MeasureFit) -> Json:
    return {
        "measure": item.measure,
        "unit": item.unit,
        "verdict": item.verdict,
        "why": item.why,
        "advice": item.advice,
        "line": None if item.fit is None else _line(item),
        "levers": [
            {**lever._asdict(), **{key: number(getattr(lever, key)) for key in ("book", "points", "give_or_take")}}
            for lever in item.levers
        ],
        "trials": [
            {
                "trial": line.name,
                "index": number(line.index),
                "read": number(line.read, DIGITS),
                "fitted": None if line.fitted is None else number(line.fitted, DIGITS),
                "without_it": None if line.unseen is None else number(line.unseen, DIGITS),
            }
            for line in item.trials
        ],
        "remarks": list(item.remarks),
    }


def _line(item: MeasureFit) -> Json:
    fit = item.fit
    assert fit is not None
    low, high = fit.interval()
    return {
        "logarithm": 2 if item.unit in ("s", "h") and item.measure != "hardness" else None,
        "slope": number(fit.slope, DIGITS),
        "slope_standard_error": number(fit.slope_error, DIGITS),
        "slope_95": [number(low, DIGITS), number(high, DIGITS)],
        "offset": number(fit.offset, DIGITS),
        "offset_standard_error": number(fit.offset_error, DIGITS),
        "residual": number(fit.residual, DIGITS),
        "freedom": number(fit.freedom, DIGITS),
        "own_slope": number(fit.own_slope, DIGITS),
        "left_out": number(fit.left_out, DIGITS),
        "penalty": number(fit.penalty, DIGITS) if math.isfinite(fit.penalty) else None,
    }
