"""From trials to the maker's own scale of a measure, or in words why there is none yet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np

from optimiser.materials.fat_table import reference
from optimiser.maths.arrays import Vector
from optimiser.maths.regression import SURE, Fit, chosen, line
from optimiser.maths.shrunk_line import shrunk
from optimiser.maths.student_t import t_quantile
from optimiser.measures.general_times import general
from optimiser.measures.measures import measures
from optimiser.measures.practice import rules
from optimiser.measures.profiles import fat_values
from optimiser.measures.scales import HALF, TIME_UNITS, OwnLever, Scale, direction, least_trials, lined, unlined
from optimiser.recipe.levers import Lever, book, known_levers
from optimiser.recipe.rough_durations import rough_duration
from optimiser.text.durations import write_duration
from optimiser.trials.observations import Made, Observations, observations

LEVER_TRIALS = 15
MOVED = 3  # trials in which a lever must stand elsewhere than in the rest before a fit can say anything of it
NOTICED = 0.2  # of a lever's usual span
FAR_APART = 3.0  # uncertainties of the index between two fats alone, so that blends of them still differ: our judgement
KEEPING = frozenset(  # fats that keep well and make up much of a bar without harm: common practice, no source
    [
        *("olive oil", "refined olive oil", "olive pomace oil", "high oleic sunflower oil", "high oleic safflower oil"),
        *("coconut oil", "babassu oil", "palm kernel oil", "palm oil", "lard", "beef tallow"),
    ]
)
NONE = 0.005  # of a slope: less of it is none of the trials'
ORDINARY = ("olive oil", "coconut oil", "high oleic sunflower oil")  # named where the maker's own fats are all alike
READ = {"trace_speed": "time to trace", "set_up": "time to unmould", "hardness": "hardness reading"}

Verdict = Literal["usable", "too few", "no spread", "wrong way", "unsure"]


class LeverLine(NamedTuple):
    """A lever by the book and by the trials, in points per unit; `give_or_take` is the half-width at 95 %."""

    name: str
    words: str
    unit: str
    book: float
    points: float
    give_or_take: float


@dataclass(frozen=True, slots=True)
class TrialLine:
    """One trial of a fit: index by the book, the reading, what the fit says, and what it says without this trial."""

    name: str
    index: float
    read: float
    fitted: float | None = None
    unseen: float | None = None


class MeasureFit(NamedTuple):
    """What the trials say of one measure.

    `why` is a sentence for a verdict that is not "usable", `advice` what to do about it. `fit` stands whenever a line
    could be drawn, `scale` only when it can be used. `remarks` are sentences on what was left out.
    """

    measure: str
    words: str
    unit: str
    verdict: Verdict
    why: str
    advice: str
    fit: Fit | None
    scale: Scale | None
    levers: tuple[LeverLine, ...]
    trials: tuple[TrialLine, ...]
    remarks: tuple[str, ...]


def fit_measure(measure: str, batches: Sequence[Made]) -> MeasureFit:
    """The maker's own scale of one measure from all trials.

    A time has a general scale, which one trial shifts and several that lie apart tilt. Readings of an instrument have
    none, and take five trials for a straight line. From fifteen on levers too are fitted, shrunk towards the book's.
    """
    seen = observations(measure, batches)
    refusal = too_few(seen) or (None if measure in TIME_UNITS else no_spread(seen))
    if refusal is not None:
        return _told(seen, refusal, None, None, ())
    index = np.array([item.values[measure] for item in seen.made])
    reading = np.array([lined(measure, value) for value in seen.readings])
    moved = moved_levers(seen) if len(index) >= LEVER_TRIALS and no_spread(seen) is None else ()
    pulls = np.array([[item.units[lever.name] / lever.span for lever in moved] for item in seen.made])
    fit = chosen(index, reading, pulls) if moved else None
    if fit is None or not math.isfinite(fit.penalty):
        fit = plain(measure, index, reading)
    doubt = wrong_way(seen, fit) or unsure(seen, fit)
    if doubt is not None:
        return _told(seen, doubt, fit, None, ())
    told = lever_lines(measure, fit, moved) if math.isfinite(fit.penalty) else ()
    return _told(seen, ("usable", "", ""), fit, scale_of(seen, fit, told, moved), told)


def plain(measure: str, index: Vector, reading: Vector) -> Fit:
    """The line without levers: held to the general scale where there is one."""
    known = general().get(measure)
    return line(index, reading) if known is None or known.prior is None else shrunk(index, reading, known.prior)


Finding = tuple[Verdict, str, str]


def too_few(seen: Observations) -> Finding | None:
    """Whether there are not enough trials for any line."""
    number, least = len(seen.readings), least_trials(seen.measure)
    if number >= least:
        return None
    have = "no trial has" if number == 0 else "1 trial has" if number == 1 else f"{number} trials have"
    if least == 1:
        why = f"{have} a {READ[seen.measure]}; the general rule stands"
        return "too few", why, "record one with 'barwright trial add', and it shifts the rule to your bench"
    why = f"{have} a {READ[seen.measure]}, and a scale takes {least}"
    advice = f"record {least - number} more with 'barwright trial add', of recipes as different as you can bear to make"
    return "too few", why, advice


def no_spread(seen: Observations) -> Finding | None:
    """Whether the trials lie so close together, all or all but one, that their slope would be chance."""
    name = measures()[seen.measure].words
    unsure = measures()[seen.measure].uncertainty or measures()[seen.measure].scale
    indices = sorted(item.values[seen.measure] for item in seen.made)
    low, high = indices[0], indices[-1]
    without_one = min(indices[-2] - low, high - indices[1])
    if high - low >= 2.0 * unsure and without_one >= unsure:
        return None
    if high - low < 2.0 * unsure:
        why = f"the trials lie too close together to tell a slope: {name} {low:.0f} to {high:.0f}, and the index itself is good to {unsure:g} points"
    else:
        near = (indices[1], high) if high - indices[1] < indices[-2] - low else (low, indices[-2])
        why = f"all trials but one lie at {name} {near[0]:.0f} to {near[1]:.0f}: that one alone would make the slope"
    return "no spread", why, recipes_to_try(seen)


def recipes_to_try(seen: Observations) -> str:
    """Two recipes that would spread the trials: much of the fat that stands lowest, and much of the highest.

    Only fats that keep: a bar made mostly of one that goes rancid would be spent on the trial.
    """
    known, ruled = reference(), {rule.key for rule in rules() if rule.subject == "base"}
    used = {fat.name: fat for item in seen.made for fat, _ in item.recipe.fats if fat.known_as in KEEPING}
    every = used | {name: known.get(name) for name in ORDINARY}
    unsure = measures()[seen.measure].uncertainty or measures()[seen.measure].scale
    for offered in (used, every):  # the maker's own fats first, where they lie far enough apart
        fats = [fat for fat in offered.values() if fat.name not in ruled]
        values = fat_values(fats, [seen.measure])[0] if fats else np.zeros(1)
        if float(np.ptp(values)) >= FAR_APART * unsure:
            break
    low, high = int(values.argmin()), int(values.argmax())
    name = measures()[seen.measure].words
    return (
        f"make one recipe mostly of {fats[low].name} ({name} {values[low]:.0f} alone) and one with much "
        f"{fats[high].name} ({values[high]:.0f} alone), in your usual size of batch, and record them"
    )


def wrong_way(seen: Observations, fit: Fit) -> Finding | None:
    """Whether the readings run against the index."""
    if fit.slope * direction(seen.measure, seen.unit) >= 0:
        return None
    name, read = measures()[seen.measure].words, READ[seen.measure]
    should = "falls" if direction(seen.measure, seen.unit) < 0 else "rises"
    why = f"the slope runs the wrong way: a {read} {should} as {name} goes up, and these trials say otherwise"
    return "wrong way", why, "look for a trial noted wrongly or stirred in another way; the scale is not used"


def unsure(seen: Observations, fit: Fit) -> Finding | None:
    """Whether the slope cannot be told from none: an index read off such a line could be anything.

    Fieller, J. R. Statist. Soc. B 16 (1954) 175-185 (from memory): its interval is then without end.
    """
    low, high = fit.interval()
    if low * high > 0 or fit.own_slope < HALF:  # what is still the general rule's is sure to fall
        return None
    why = f"the slope cannot be told from none: at 95 % it lies between {low:.3g} and {high:.3g}"
    return "unsure", why, f"more trials will settle it; {recipes_to_try(seen)}"


def moved_levers(seen: Observations) -> tuple[Lever, ...]:
    """The levers that stood at different places in enough trials to be told from the rest."""
    found = []
    for lever in known_levers().values():
        pulls = sorted(item.units[lever.name] / lever.span for item in seen.made)
        usual = max(pulls, key=lambda here: sum(abs(here - pull) <= NOTICED for pull in pulls))
        if sum(abs(pull - usual) > NOTICED for pull in pulls) >= MOVED:
            found.append(lever)
    return tuple(found)


def lever_lines(measure: str, fit: Fit, moved: Sequence[Lever]) -> tuple[LeverLine, ...]:
    """The levers in points per unit: the book's and what the trials make of them."""
    half = t_quantile((1.0 + SURE) / 2.0, fit.freedom)
    lines = []
    for lever, correction, error in zip(moved, fit.corrections, fit.correction_errors, strict=True):
        by_book = book(measure, lever.name)
        points = by_book + correction / lever.span / fit.slope
        give = half * error / lever.span / abs(fit.slope)
        lines.append(LeverLine(lever.name, lever.words, lever.unit, by_book, points, give))
    return tuple(lines)


def scale_of(seen: Observations, fit: Fit, told: Sequence[LeverLine], moved: Sequence[Lever]) -> Scale:
    """The scale to save; with levers its error is that of trials left out, since their own uncertainty is not kept."""
    at = {lever.name: pull * lever.span for lever, pull in zip(moved, fit.pulled, strict=True)} if told else {}
    indices = [item.values[seen.measure] for item in seen.made]
    return Scale(
        measure=seen.measure,
        unit=seen.unit,
        slope=fit.slope,
        offset=fit.offset,
        trials=len(indices),
        error=max(fit.residual, fit.left_out) if told else fit.residual,
        freedom=fit.freedom,
        centre=fit.centre,
        spread=fit.spread,
        lowest=min(indices),
        highest=max(indices),
        left_out=fit.left_out,
        levers={item.name: OwnLever(item.points, item.book, at[item.name]) for item in told},
        behind=fit.behind,
        own_slope=fit.own_slope,
    )


def _told(
    seen: Observations, finding: Finding, fit: Fit | None, scale: Scale | None, levers: tuple[LeverLine, ...]
) -> MeasureFit:
    lines = []
    for place, (item, reading) in enumerate(zip(seen.made, seen.readings, strict=True)):
        said = None if fit is None else unlined(seen.measure, float(fit.fitted[place]))
        unseen = None if fit is None else unlined(seen.measure, float(fit.unseen[place]))
        lines.append(TrialLine(item.trial.name, item.values[seen.measure], reading, said, unseen))
    return MeasureFit(
        *(seen.measure, measures()[seen.measure].words, seen.unit, *finding),
        fit=fit,
        scale=scale,
        levers=levers,
        trials=tuple(lines),
        remarks=tuple(remarks(seen, scale)),
    )


def remarks(seen: Observations, scale: Scale | None) -> list[str]:
    """What was left out of the fit, and what is not yet in it."""
    out = []
    if seen.aside:
        names = ", ".join(trial.name for trial in seen.aside)
        out.append(f"Left out, since they are read in another unit than {seen.unit}: {names}.")
    linked = [item.trial.name for item in seen.made if item.trial.linked]
    if linked:
        out.append(f"The recipe stands in a file of its own, and may have been changed since: {', '.join(linked)}.")
    out += [f"Left out, since {kind} has hours of its own: {trial.name}." for trial, kind in seen.of_kinds]
    if scale is not None and scale.own_slope < HALF:
        out.append(still_general(seen, scale))
    elif scale is not None and scale.measure in TIME_UNITS and len(seen.made) > 1 and (found := no_spread(seen)):
        out.append(f"{found[1][0].upper()}{found[1][1:]}. More trials elsewhere will settle it.")
    if scale is not None and scale.trials < LEVER_TRIALS:
        out.append(f"From {LEVER_TRIALS} trials on the levers (water, free oil, warmth and the like) are fitted too.")
    elif scale is not None and not scale.levers:
        out.append("The levers were tried too: the book's foretell trials left out no worse than others would.")
    return out


def still_general(seen: Observations, scale: Scale) -> str:
    """That the trials say how long this maker takes, and not yet how much longer for another blend."""
    known = general()[scale.measure]
    mostly = ", mostly" if scale.own_slope > NONE else ""
    why = "there is one trial" if scale.trials == 1 else "the trials lie close together"
    return (
        f"How long you take is yours by now; how much a point of {measures()[scale.measure].words} changes it is still the general rule"
        f"{mostly} (half as long for every {known.halves_every:g} points), since {why}. To tell it, "
        f"{recipes_to_try(seen)}."
    )


def expected_words(measure: str, unit: str, value: float) -> str:
    """A reading that is only expected, in no more figures than it deserves."""
    if measure not in TIME_UNITS or not math.isfinite(value):
        return reading_words(measure, unit, value)
    return rough_duration(value if measure == "trace_speed" else 3600.0 * value)


def reading_words(measure: str, unit: str, value: float) -> str:
    """A reading as a maker would write it: "4 min 30 s", "20 h", "41.3 Shore D" (bare without a unit)."""
    if not math.isfinite(value):
        return "-"
    if measure == "trace_speed":
        return write_duration(value)
    return write_duration(3600.0 * value) if measure == "set_up" else f"{value:.1f} {unit}".rstrip()
