"""Shared by the tests of price sweeps: programmes of the tree's goal files, random prices, and whole sweeps as JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from optimiser.analysis.swept import Swept, swept
from optimiser.answers.asked import read_question
from optimiser.answers.blend import settled
from optimiser.answers.sweep import sweep
from optimiser.engines.work import Engine
from optimiser.files.price_file import NOTHING_TYPED, Typed
from optimiser.maths.arrays import Matrix
from optimiser.report.json.documents import swept as as_data
from optimiser.solve.yielding import cheapest

ROOT = Path(__file__).parents[1]
SPREAD = "spread: {each: 15 %, together: 0.3, scenarios: 60, seed: 3}\n"


@cache
def programme(name: str) -> tuple[Swept, int]:
    """What is swept of a goal file of the tree, and how many of its columns are fats."""
    return of_file(ROOT / "goals" / f"{name}.yaml")


def of_file(path: Path) -> tuple[Swept, int]:
    """The same of any goal file."""
    question = read_question(path, ROOT / "inventory" / "kittiwake.yaml")
    asked = cheapest(question.goals, question.shelf)
    assert asked.found is not None
    found = settled(asked.live, asked.found)
    return swept(asked.live.programme, found.point), asked.programme.columns.count


def random_prices(name: str, number: int, spread: float = 0.15, seed: int = 1) -> Matrix:
    """Prices (number, p) of a goal file whose fats stray by so much from today's."""
    arrays, fats = programme(name)
    prices = np.tile(arrays.money[arrays.places], (number, 1))
    prices[:, :fats] *= np.exp(spread * np.random.default_rng(seed).standard_normal((number, fats)))
    return np.asarray(prices, dtype=np.float64)


def as_json(
    names: Sequence[str], prices: Path, engine: Engine | None = None, typed: Typed = NOTHING_TYPED, **told: Any
) -> str:
    """A sweep of goal files of the tree as one JSON text."""
    files = [ROOT / "goals" / f"{name}.yaml" for name in names]
    if engine is not None:
        told["hire"] = lambda _: engine
    return json.dumps(as_data(sweep(files, prices, None, typed, **told)))
