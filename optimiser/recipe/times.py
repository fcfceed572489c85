"""How long a batch is likely to take: blender to trace, workable batter, unmoulding, cure; each a range with its status.

`batch_times` is the one place that answer, steps, data and designs have them from. Until the maker has trials the ranges
are the general scales' (``reference/times.csv``, priors); a soap of another kind (a salt bar, a paste) has times of its own
(``reference/kind_times.csv``); from one trial on the maker's own scale comes first. The blender's seconds and the minutes
that the batter stays workable are two times, and trials read the first of them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from optimiser.measures.general_times import LIGHT, General, general_times
from optimiser.measures.scales import Scale
from optimiser.recipe.curing import cure_of
from optimiser.recipe.filling_steps import stops_at
from optimiser.recipe.kinds import in_force, is_paste, kind_rows
from optimiser.recipe.levers import lever_units
from optimiser.recipe.naming import listed
from optimiser.recipe.rough_durations import rough_range, weeks_in, weeks_range

if TYPE_CHECKING:
    from optimiser.problem.designs import Design
    from optimiser.recipe.evaluation import Judgement, Recipe

PRIOR = "a rule of thumb, not of your bench: one trial shifts it, five make it yours"
CURE_PRIOR = "a rule of thumb by the acids of the fats, free oil and water"
STRETCHED = "beyond the trials"
OWN = "your trials"
AT_ONCE = (
    "with {names} the batter comes to trace within seconds to minutes, whatever its fats: work cool, stir by hand, and have the "
    "mould and all else ready (common practice, no source)"
)
SOONER = ", which sets sooner than its set-up tells"
TOO_FAST = "no time to trace is told, since such a batter thickens faster than the scale reaches (trace speed above 90)"
LOWEST, HIGHEST = 0.0, 90.0  # indices outside are of batches that the scale was not made for
_SECONDS = {"s": 1.0, "min": 60.0, "h": 3600.0}


class ExpectedTime(NamedTuple):
    """A time as a range, in `unit` ("s", "min", "h" or "weeks"); `own` says that the maker's scale gave it.

    `time` is "blend", "workable", "unmould" or "cure"; `trace` the trace it is told to, "" where it is told to none, or to
    whichever the maker stops at. `status` says what kind of figure it is ("prior", ...), `basis` what the range rests on,
    `about` from when to when it runs, `changed_by` what changes it at the bench, `at` the index that it was read at. `best` are the weeks of a cure after
    which a bar is at its best, where that is later.
    """

    time: str
    words: str
    unit: str
    low: float
    high: float
    status: str
    basis: str
    about: str = ""
    changed_by: str = ""
    own: bool = False
    trace: str = ""
    at: float = math.nan
    best: tuple[float, float] | None = None

    @property
    def middle(self) -> float:
        """The likeliest, as the ends of a range by factors have it."""
        return math.sqrt(self.low * self.high)

    def said(self) -> str:
        """The range in words: "25 to 70 s", "8 to 12 weeks, best after 6 to 12 months"."""
        if self.unit != "weeks":
            return rough_range(self.low * _SECONDS[self.unit], self.high * _SECONDS[self.unit])
        told = f"{weeks_range(self.low, self.high)}{' or more' if self.low == self.high else ''}"
        return f"{told}, best after {weeks_range(*self.best)}" if self.best is not None else told


class BatchTimes(NamedTuple):
    """The times of one batch; None where its figures lie off every scale, or where there is no such time (a paste has none).

    `aside` says in words why a soap of its kind lacks one, `at_once` what to expect in place of times to trace where something
    in it brings trace at once. `cut`: bars are cut from what is unmoulded; not so where each has a cavity of its own.
    """

    blend: ExpectedTime | None = None
    workable: ExpectedTime | None = None
    unmould: ExpectedTime | None = None
    cure: ExpectedTime | None = None
    aside: tuple[str, ...] = ()
    at_once: str = ""
    cut: bool = True

    def told(self) -> tuple[ExpectedTime, ...]:
        """Those that are known, in the order of the work."""
        return tuple(item for item in self[:4] if item is not None)


NO_TIMES = BatchTimes()


def in_cavities(times: BatchTimes) -> BatchTimes:
    """The times of bars that come out of cavities: nothing is cut, and nothing is said of when."""
    unmould = None if times.unmould is None else times.unmould._replace(about=OUT_OF_CAVITIES)
    return times._replace(unmould=unmould, cut=False)


OUT_OF_CAVITIES = "from pouring until the bars come cleanly out of their cavities"


def batch_times(
    recipe: Recipe,
    judged: Judgement,
    scales: Mapping[str, Scale],
    techniques: Sequence[Design] = (),
    cure_weeks: float | None = None,
) -> BatchTimes:
    """All times of a batch.

    Args:
        recipe: what is weighed.
        judged: its figures.
        scales: the maker's own scales by measure; may be empty.
        techniques: the designs of the bar: the trace that they pour at, and how long they say it cures.
        cure_weeks: how long the maker says that it cures; None where they do not say.
    """
    units = lever_units(recipe)
    techniques = in_force(recipe, techniques)
    trace = pour_trace(techniques)
    kind = {row["time"]: row for row in kind_rows(recipe, judged.values)}
    scale = scales.get("trace_speed")
    seizing = list(dict.fromkeys(item.name for item, _ in recipe.additives if item.seizes))
    off = seizing or is_paste(recipe, judged.values)  # the scales are of bars that nothing brings to trace at once
    index = math.nan if off else judged.values["trace_speed"]
    return BatchTimes(
        blend=_expected(general_times()["blend", trace], index, scale, units),
        workable=_expected(general_times()["workable", trace], index),
        unmould=_of_kind(kind["unmould"], "time to unmould", "h", judged.values["set_up"])
        if "unmould" in kind
        else _expected(general_times()["unmould", ""], judged.values["set_up"], scales.get("set_up"), units),
        cure=_cure(judged, kind.get("cure"), techniques, cure_weeks),
        aside=(*(row["about"] for row in kind.values() if not row["low"]), *([TOO_FAST] if index > HIGHEST else [])),
        at_once=AT_ONCE.format(names=listed(seizing)) if seizing else "",
    )


def pour_trace(techniques: Sequence[Design]) -> str:
    """The trace at which the steps put the blender aside, the lightest of several designs; a light one where none says."""
    return stops_at(techniques) or LIGHT


def likely(measure: str, index: float, scale: Scale | None = None) -> tuple[float, float]:
    """The shortest and longest likely reading of a trial's measure at an index, in the unit of its trials.

    Args:
        measure: "trace_speed" (seconds of blender to a light trace) or "set_up" (hours to unmould).
        index: points.
        scale: the maker's own; without it the general one, a prior.
    """
    return scale.range(index) if scale is not None else _scale_of(measure).range(index)


@cache
def _scale_of(measure: str) -> General:
    return general_times()["unmould", ""] if measure == "set_up" else general_times()["blend", LIGHT]


def _expected(
    known: General, index: float, scale: Scale | None = None, units: Mapping[str, float] | None = None
) -> ExpectedTime | None:
    if not LOWEST <= index <= HIGHEST:
        return None
    if scale is None:
        return ExpectedTime(
            *(known.time, known.words, known.unit, *known.range(index), known.status, PRIOR),
            about=known.about,
            changed_by=known.changed_by,
            trace=known.trace,
            at=index,
        )
    index = scale.corrected(index, units or {})
    low, high = scale.range(index)
    if not scale.reaches(index):  # beyond the trials what is never safe comes first
        low, high = max(low, known.least), max(high, known.least)
    beyond = "" if scale.reaches(index) else f", {STRETCHED}"
    return ExpectedTime(
        time=known.time,
        words="time to trace" if known.time == "blend" else known.words,
        unit=known.unit,
        low=low,
        high=high,
        status=OWN,
        basis=f"four batches in five by {scale.rests_on()}{beyond}",
        about="as you time it",
        changed_by=known.changed_by,
        own=True,
        at=index,
    )


def _of_kind(row: Mapping[str, str], words: str, unit: str, index: float) -> ExpectedTime | None:
    """A time that a kind of soap has of its own; where its row says at which set-up it holds, longer below that."""
    if not row["low"]:
        return None
    times = 1.0
    if row["at_index"] and math.isfinite(index):
        times = max(1.0, 2.0 ** ((float(row["at_index"]) - index) / float(row["halves_every"])))
    return ExpectedTime(
        *(row["time"], words, unit, times * float(row["low"]), times * float(row["high"]), row["status"]),
        basis=f"common practice for {row['words']}{SOONER if row['at_index'] else ''}",
        about=row["about"],
    )


def _cure(
    judged: Judgement, kind: Mapping[str, str] | None, techniques: Sequence[Design], asked: float | None
) -> ExpectedTime | None:
    """The cure that the maker asks for; else by the bar's figures, by its kind and by its designs, the longest of them."""
    if kind is not None and not kind["low"]:
        return None
    found = cure_of(judged.values)
    best = None if found is None else found.best
    claims = [(float(round(found.low)), float(round(found.high)), "prior", CURE_PRIOR)] if found is not None else []
    if kind is not None:
        claims.append((float(kind["low"]), float(kind["high"]), kind["status"], f"common practice for {kind['words']}"))
    asks = [(design.name, weeks_of(design)) for design in techniques]
    claims += [(weeks, weeks, "the design's", f"as {name} asks") for name, weeks in asks if weeks is not None]
    low, high = max((claim[0] for claim in claims), default=0.0), max((claim[1] for claim in claims), default=0.0)
    if asked is not None:
        shorter = f"; this bar would take {weeks_range(low, high)}" if asked < low else ""
        return ExpectedTime("cure", "cure", "weeks", asked, asked, "asked", f"as you ask{shorter}", best=best)
    if not claims:
        return None
    first = max(claims, key=lambda claim: (claim[0], claim[1]))
    return ExpectedTime("cure", "cure", "weeks", low, high, first[2], first[3], best=best)


def weeks_of(design: Design) -> float | None:
    """How long a design says that its bars cure: as its choice of the batch, or in its words; None where it does not say."""
    chosen = [float(choice.value) for choice in design.choices if choice.key == "cure_weeks"]
    return chosen[0] if chosen else weeks_in(design.cure)


def short_of_time(times: BatchTimes, techniques: Sequence[Design]) -> tuple[str, ...]:
    """What to say where the batter is likely to thicken before a design is done."""
    there = times.workable
    if there is None:
        return ()
    return tuple(
        f"Once at {there.trace} trace this batter is likely to stay workable for {there.said()} (a rule of thumb), and a "
        f"{design.name} takes about {design.workable:g} min: work cooler, with more water or slower fats, and stop the blender early"
        for design in techniques
        if there.middle < design.workable
    )
