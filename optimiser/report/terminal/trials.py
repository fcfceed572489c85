"""Trials and the scales fitted to them, in words."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING

from optimiser.measures.scales import HALF, TIME_UNITS, least_trials
from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table, printed
from optimiser.trials.calibration import NONE, READ, expected_words, reading_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.measures.scales import Scale
    from optimiser.trials.calibration import MeasureFit
    from optimiser.trials.observations import Made

VERDICTS = {
    "usable": "a scale",
    "too few": "too few trials",
    "no spread": "too close together",
    "wrong way": "wrong way",
    "unsure": "not sure yet",
}
ROOMY = 80  # columns that readings and indices side by side ask for
INDICES = {"trace_speed": "trace speed", "set_up": "set-up", "hardness": "hard"}
SHOWN = 3  # indices at which a scale is told: the lowest, the middle and the highest of the trials
AROUND = 10.0
LIKE = "Trials are of use only if they are read alike: the same stirring, the same room, the same cure."


def added(path: Path, batch: Made, counts: dict[str, int], paper: Paper) -> str:
    """What was written, what the batch is predicted to be, and how far the trials have come."""
    return f"Written: {paper.say(str(path))}\n{printed(paper, _added(path, batch, counts))}"  # a path is never broken


def _added(path: Path, batch: Made, counts: dict[str, int]) -> Iterator[Part]:
    values = batch.values
    yield Line(
        f"Predicted for this batch: trace speed {values['trace_speed']:.0f}, set-up {values['set_up']:.0f}, hardness "
        f"{values['hardness']:.0f}."
    )
    told = [f"{counts[name]} with a {READ[name]}" for name in READ]
    takes = f"one shifts the scale of a time, two apart tilt it, and hardness takes {least_trials('hardness')}"
    yield Line(f"Trials in this folder: {words.joined(told)}; {takes}.", hang=2)
    if any(count >= least_trials(name) for name, count in counts.items()):
        yield from next_fit(path.parent)


def listing(folder: Path, batches: Sequence[Made], paper: Paper) -> str:
    """Every trial with its readings beside its indices as predicted."""
    return printed(paper, _listing(folder, batches, indices=paper.columns >= ROOMY))


def _listing(folder: Path, batches: Sequence[Made], *, indices: bool) -> Iterator[Part]:
    yield Heading(f"Trials in {folder}", words.counted(len(batches), "trial"))
    beside = {name: (Column(head, "right"),) if indices else () for name, head in INDICES.items()}
    columns = (
        *(Column("trial", wraps=True, least=10), *beside["trace_speed"], Column("to trace", "right")),
        *(*beside["set_up"], Column("to unmould", "right")),
        *(*beside["hardness"], Column("read", "right", wraps=True, least=6), Column("ash")),
    )
    yield Table(columns, [_row(item, indices=indices) for item in batches])
    if indices:
        yield Line("trace speed, set-up and hard: predicted indices; beside each, what was read.")
    yield Line(LIKE)
    yield from next_fit(folder)


def next_fit(folder: Path) -> Iterator[Part]:
    """The command that fits the trials of a folder, on a line of its own."""
    yield Line("Next:", indent=0)
    yield Line(f"barwright trial fit --folder {words.quoted(str(folder))}", style="bold", whole=True)


def _row(item: Made, *, indices: bool) -> tuple[str, ...]:
    trial = item.trial
    hardness = f"{trial.hardness.value:g} {trial.hardness.unit}" if trial.hardness is not None else words.NOTHING
    ash = {None: words.NOTHING, True: "yes", False: "no"}[trial.ash]
    beside = {name: (f"{item.values[name]:.0f}",) if indices else () for name in INDICES}
    return (
        *(trial.name, *beside["trace_speed"], _time("trace_speed", trial.trace)),
        *(*beside["set_up"], _time("set_up", trial.unmould)),
        *(*beside["hardness"], hardness, ash),
    )


def _time(measure: str, value: float | None) -> str:
    return words.NOTHING if value is None else reading_words(measure, "", value)


def fitted(fits: Sequence[MeasureFit], saved: str, paper: Paper) -> str:
    """What the trials say of each measure. `saved` is what to tell of the file of scales, or empty."""
    return printed(paper, _fitted(fits, saved))


def _fitted(fits: Sequence[MeasureFit], saved: str) -> Iterator[Part]:
    for item in fits:
        in_unit = f", in {item.unit}" if item.unit and item.measure not in TIME_UNITS else ""
        yield Heading(f"{item.words}{in_unit}", VERDICTS[item.verdict])
        yield from _verdict(item)
        if item.fit is not None:
            yield from _trials(item)
        yield from (Line(remark, hang=2) for remark in item.remarks)
        yield Gap()
    if any(item.scale is not None for item in fits):
        yield Line(
            "A scale holds for the way you stir, the room and the cure that the trials were made in, and between the "
            "indices that they reach.",
            indent=0,
        )
    if saved:
        yield Line(saved, style="bold", indent=0)


def _verdict(item: MeasureFit) -> Iterator[Part]:
    if item.why:
        yield Line(words.sentence(item.why), hang=2)
    if item.fit is not None:
        if told := slope_words(item):
            yield Line(words.glued(words.sentence(told)), hang=2)
        yield Line(words.glued(words.sentence(left_out_words(item))), hang=2)
    if item.advice:
        yield Line(words.sentence(item.advice), hang=2)
    if item.scale is not None:
        yield from _scale(item.scale)
    if item.levers:
        yield from _levers(item)


def slope_words(item: MeasureFit) -> str:
    """The line in words with the interval of its slope; of a time in how many points it halves, if that is known."""
    fit = item.fit
    assert fit is not None
    low, high = fit.interval()
    if item.measure not in TIME_UNITS:
        line = f"{fit.offset:.4g} {'+' if fit.slope >= 0 else '-'} {abs(fit.slope):.3g} x {item.words}"
        return f"{item.unit} = {line}; slope {fit.slope:.3g} a point (95 %: {low:.3g} to {high:.3g})"
    if item.scale is None:
        least, slope, most = (100.0 * (2.0**value - 1.0) for value in (low, fit.slope, high))
        return f"a point of {item.words} changes the time by {slope:+.1f} % (95 %: {least:+.1f} to {most:+.1f} %)"
    halves = f"the time halves every {-1 / fit.slope:.1f} points"
    if item.scale.own_slope < HALF:
        mostly = "mostly " if item.scale.own_slope > NONE else ""
        return f"{halves}, {mostly}by the general rule still; its height is by {words.counted(item.scale.trials, 'trial')} of yours"
    rests = f"it rests on {words.counted(item.scale.trials, 'trial')}"
    if item.scale.own_slope < 1.0:
        rests += f", the general rule having {100.0 * (1.0 - item.scale.own_slope):.0f} % of a say in the slope"
    return f"{halves} (95 %: {-1 / low:.1f} to {-1 / high:.1f}); {rests}"


def left_out_words(item: MeasureFit) -> str:
    """How far off a fit is from a trial that it has not seen."""
    fit = item.fit
    assert fit is not None
    if item.measure in TIME_UNITS:
        off = (
            f"{100.0 * (2.0**fit.left_out - 1.0):.0f} %" if fit.left_out < 4 else f"a factor of {2.0**fit.left_out:.0f}"
        )
    else:
        off = f"{fit.left_out:.2g} {item.unit}"
    points = f" ({fit.left_out / abs(fit.slope):.1f} points)" if item.scale is not None else ""
    if len(item.trials) == 1:
        return f"the general rule was off by {off}"
    return (
        f"left out one at a time, a trial is missed by {off}{points}, root mean square over {len(item.trials)} trials"
    )


def _scale(scale: Scale) -> Iterator[Part]:
    wider = (
        AROUND if scale.highest - scale.lowest < AROUND else 0.0
    )  # trials close together: how wide it is beside them too
    low, step = scale.lowest - wider, (scale.highest - scale.lowest + 2.0 * wider) / (SHOWN - 1)
    rows = []
    for index in (round(low + place * step) for place in range(SHOWN)):
        expected, least, most = (
            expected_words(scale.measure, "", value) for value in (scale.reading(index), *scale.range(index))
        )
        rows.append((f"{index}", expected, f"{least} to {most}"))
    columns = (Column("index", "right"), Column("expect", "right"), Column("four batches in five"))
    yield Table(columns, rows)


def _levers(item: MeasureFit) -> Iterator[Part]:
    fit = item.fit
    assert fit is not None
    yield Line(
        f"Levers, held to those predicted by a penalty of {fit.penalty:.3g} (the one that foretells trials left out best):"
    )
    columns = (
        *(Column("lever", wraps=True), Column("per", wraps=True), Column("predicted", "right")),
        *(Column("yours", "right"), Column("give or take", "right")),
    )
    rows = [
        (lever.words, lever.unit, f"{lever.book:+.1f}", f"{lever.points:+.1f}", f"{lever.give_or_take:.1f}")
        for lever in item.levers
    ]
    yield Table(columns, rows)


def _trials(item: MeasureFit) -> Iterator[Part]:
    columns = (
        *(Column("trial", wraps=True), Column("index", "right"), Column("read", "right")),
        *(Column("line says", "right"), Column("without it", "right")),
    )
    rows = [
        (
            *(line.name, f"{line.index:.1f}", reading_words(item.measure, "", line.read)),
            *(_said(item, line.fitted), _said(item, line.unseen)),
        )
        for line in sorted(item.trials, key=lambda line: (line.index, line.name))
    ]
    yield Table(columns, rows)


def _said(item: MeasureFit, value: float | None) -> str:
    known = value is not None and math.isfinite(value)
    return expected_words(item.measure, "", value) if known and value is not None else words.NOTHING
