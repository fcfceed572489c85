"""Figures of one bar over all scenarios, put together from its parts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

import numpy as np

from optimiser.analysis.break_even import price_of
from optimiser.analysis.sweep_parts import Case, PartAnswer, cost_of
from optimiser.analysis.sweep_start import spread_over
from optimiser.analysis.swept import Places, Swept
from optimiser.answers.sweep_results import SweptBlend, SweptFat, Swing
from optimiser.maths.arrays import Matrix, Vector

IN = 1e-5  # of the fats: less of one is not in a blend
SAME = 9  # decimals in which two blends are one
CANDIDATES = 50  # blends among which the handful is chosen
HANDFUL = 4  # blends told beside today's, at the most
WORTH = 0.03  # of all that could be saved: what one more blend must add to be told
SAMPLE = 5_000  # scenarios by which the handful is chosen
STEPS = 25  # of the line of what costs no more in so many scenarios
TAIL = 0.95  # one scenario in twenty lies beyond
FEWEST = 20  # scenarios of which one in twenty is one


class Whole(NamedTuple):
    """All parts of a bar as one: the blend of each scenario (s) among `points` (k, n), costs (s), and how they were found."""

    numbers: Places
    costs: Vector
    kept: Vector
    points: Matrix
    solved: int
    alone: int

    @property
    def known(self) -> Places:
        """The scenarios whose cheapest blend is known."""
        return np.flatnonzero(self.numbers >= 0)

    @property
    def is_all_known(self) -> bool:
        """Whether that is so of every scenario."""
        return bool((self.numbers >= 0).all())


def whole(parts: Iterable[PartAnswer], swept: Swept) -> Whole:
    """The parts in order as one, each blend once, in the order in which scenarios first have it."""
    known: dict[bytes, int] = {}
    points: list[Vector] = []
    numbers, costs, kept = [], [], []
    solved = alone = 0
    for part in parts:
        rounded = np.round(np.append(part.points[:, swept.places], (part.points @ swept.cured)[:, None], axis=1), SAME)
        own = np.full(len(part.points), -1, dtype=np.intp)
        used, firsts = np.unique(part.numbers, return_index=True)
        for number in used[np.argsort(firsts)].tolist():
            if number >= 0:
                own[number] = known.setdefault((rounded[number] + 0.0).tobytes(), len(points))
                if own[number] == len(points):
                    points.append(part.points[number])
        places = part.numbers if len(own) == 0 else np.where(part.numbers < 0, part.numbers, own[part.numbers])
        numbers.append(places)
        costs.append(part.costs)
        kept.append(part.kept)
        solved, alone = solved + part.solved, alone + part.alone
    every = np.array(points) if points else np.empty((0, len(swept.money)))
    return Whole(np.concatenate(numbers), np.concatenate(costs), np.concatenate(kept), every, solved, alone)


def swing(costs: Vector, today: float, *, named: bool = False) -> Swing:
    """A cost over scenarios; of fewer than twenty, and of shocks by name, its ends are the lowest and the highest."""
    ends = (0.0, 1.0) if named or len(costs) < FEWEST else (1.0 - TAIL, TAIL)
    low, high = (float(one) for one in np.quantile(costs, ends))
    return Swing(today, float(costs.mean()), low, high, float(costs.max()))


def spread_of(kept: Vector, remade: Vector) -> tuple[tuple[float, float, float], ...]:
    """What both cost no more in so many of the scenarios, from none to all by steps of a twenty-fifth."""
    if not len(remade):
        return ()
    steps = np.linspace(0.0, 1.0, STEPS + 1)
    every = zip(steps.tolist(), np.quantile(kept, steps).tolist(), np.quantile(remade, steps).tolist(), strict=True)
    return tuple(every)


def cost_today(swept: Swept, blend: Vector) -> float:
    """What a blend costs per kilo at today's prices."""
    return float(swept.money @ blend) / float(swept.cured @ blend)


def chosen_few(case: Case, found: Whole, sample: Matrix) -> list[Vector]:
    """The handful of blends that matter, today's first: each next one saves the most beside those before it.

    Chosen among the most frequent by a sample of the prices (s, p): greedily, so that the saving of a handful is within
    1 - 1/e of the best possible (Nemhauser, Wolsey & Fisher 1978, doi:10.1007/BF01588971).
    """
    swept = case.start.swept
    counts = np.bincount(found.numbers[found.known], minlength=len(found.points))
    often = np.argsort(-counts, kind="stable")[:CANDIDATES]
    blends = [swept.kept, *(found.points[number] for number in often.tolist())]
    costs = np.stack([cost_of(swept, sample, blend) for blend in blends], axis=1)
    least, best = costs.min(axis=1), costs[:, 0]
    possible = float((best - least).mean())
    out = [0]
    while len(out) <= HANDFUL:
        gains = (best[:, None] - costs).clip(min=0.0).mean(axis=0)
        place = int(np.argmax(gains))
        if gains[place] <= WORTH * possible or gains[place] <= 0.0:
            break
        out.append(place)
        best = np.minimum(best, costs[:, place])
    return [blends[place] for place in out]


class Held(NamedTuple):
    """What held blends (h) come to over all scenarios: costs (h, s), and for each how it stands to the others."""

    best_in: Vector
    regret_mean: Vector
    regret_worst: Vector
    costs: Matrix
    handful: float


def held_over(every: Matrix, found: Whole) -> Held:
    """What held blends cost in every scenario (h, s), today's first and last the one that is best held fixed.

    Blends are gone through one by one, so that little more is held in memory than their costs.
    """
    count = len(every)
    known = slice(None) if found.is_all_known else found.known
    least, number = found.costs[known], max(1, len(found.known))
    cheapest, best = every[0][known].copy(), np.zeros(len(least), dtype=np.int8)
    mean, worst = np.zeros(count), np.zeros(count)
    for place, costs in enumerate(every):
        regret = np.maximum(costs[known] - least, 0.0)
        mean[place], worst[place] = regret.sum() / number, regret.max(initial=0.0)
        if place < count - 1:
            lower = costs[known] < cheapest
            best[lower] = place
            np.minimum(cheapest, costs[known], out=cheapest)
    possible = float((every[0][known] - least).sum()) / number
    saved = float((every[0][known] - cheapest).sum()) / number
    handful = min(1.0, saved / possible) if possible > 0.0 else 1.0
    return Held(np.bincount(best, minlength=count) / number, mean, worst, every, handful)


def told_blends(
    case: Case, names: Sequence[str], least: Sequence[float], blends: Sequence[Vector], held: Held
) -> tuple[SweptBlend, ...]:
    """The blends in words: a letter each, today's A, and the last, which is held fixed, by its own letter."""
    swept, named = case.start.swept, case.scenarios.source == "shocks"
    return tuple(
        SweptBlend(
            label="ABCDEFGH"[place],
            fats=shares_of(blend, names),
            best_in=float(held.best_in[place]),
            cost=swing(held.costs[place], cost_today(swept, blend), named=named),
            regret_mean=float(held.regret_mean[place]),
            regret_worst=float(held.regret_worst[place]),
            pinches=tuple(
                name for name, low, share in zip(names, least, blend, strict=False) if IN < share < low / 100.0 - IN
            ),
        )
        for place, blend in enumerate(blends)
    )


def shares_of(blend: Vector, names: Sequence[str]) -> tuple[tuple[str, float], ...]:
    """The fats of a blend with their shares (%), the largest first."""
    own = [(name, 100.0 * float(share)) for name, share in zip(names, blend, strict=False) if share > IN]
    return tuple(sorted(own, key=lambda item: (-item[1], item[0])))


def told_fats(
    case: Case,
    names: Sequence[str],
    found: Whole,
    ends: dict[int, tuple[float | None, float | None]],
    high: Callable[[int], float],
) -> tuple[SweptFat, ...]:
    """Every fat that is in today's blend or in that of a scenario, those used most first.

    Args:
        case: the bar.
        names: its fats, whichever lot.
        found: its scenarios.
        ends: break-even prices by column.
        high: what a price is multiplied by in one scenario in twenty, by column.
    """
    swept = case.start.swept
    numbers = found.numbers[found.known]
    counts = np.bincount(numbers, minlength=len(found.points))
    weight = float(swept.cured @ swept.kept)
    out = []
    for lots, along, name in zip(case.joined, case.along, names, strict=True):
        shares = found.points[:, list(lots)].sum(axis=1)
        holds = shares > IN
        times = int(counts[holds].sum())
        kept = float(swept.kept[list(lots)].sum())
        if not times and kept <= IN:
            continue
        mean = float(counts[holds] @ shares[holds]) / times if times else 0.0
        low, top = ends.get(lots[0], (None, None))
        price = price_of(swept, lots)
        parts = [(lot, high(lot)) for lot in lots] + [(place, high(lots[0])) for place in along]
        adds = sum(max(0.0, float(swept.kept[at])) * float(swept.money[at]) * (by - 1.0) for at, by in parts) / weight
        out.append(
            SweptFat(name, 100.0 * kept, times / max(1, len(numbers)), 100.0 * mean, price, low, top, max(0.0, adds))
        )
    return tuple(sorted(out, key=lambda item: (-item.used_in, -item.share_used, item.fat)))


def high_of(case: Case, sample: Matrix) -> Callable[[int], float]:
    """What a price is multiplied by in one scenario in twenty, by column, from a sample of prices (s, p)."""
    swept = case.start.swept
    tops = np.quantile(
        spread_over(sample, SAMPLE), 1.0 if case.scenarios.source == "shocks" or len(sample) < FEWEST else TAIL, axis=0
    )
    places = {int(place): number for number, place in enumerate(swept.places.tolist())}

    def high(place: int) -> float:
        price = float(swept.money[place])
        return float(tops[places[place]]) / price if price else 1.0

    return high
