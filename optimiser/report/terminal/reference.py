"""Measures, what may be a goal, and the practice of the house, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report import words
from optimiser.report.terminal.measures import TRUST
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.measures.measures import Band, Measure
    from optimiser.measures.practice import Rule
    from optimiser.measures.quantities import Quantity

LONGEST_BAR = 24
LEVERS = (
    ("free_oil", "superfat, each 1 % above 5 %"),
    ("water", "water, each 10 g per kg fats above 280 g"),
    ("potassium", "potassium, each 1 % of the alkali"),
    ("batter", "batter, each 10 degC above 35"),
    ("gel", "covered and gelled"),
)


def listing() -> Iterator[Part]:
    """The measures, everything else that may be a goal, and house practice."""
    from optimiser.materials.fatty_acids import acids
    from optimiser.measures.measures import measures
    from optimiser.measures.quantities import quantities

    yield Heading("Measures of the batter and the bar", "index, 0 to 100 unless said")
    for measure in measures().values():
        unsure = f", \u00b1 {measure.uncertainty:g}" if measure.uncertainty else ""
        trust = f", {measure.coarse}" if measure.coarse else ""
        yield Line(f"{measure.id}: {measure.predicts}{unsure}{trust}", hang=4)
        if measure.bands:
            yield Line(", ".join(band_words(band) for band in measure.bands), indent=6, style="dim")
    yield Line(TRUST, indent=0)
    yield Gap()
    yield Heading("Other figures that may be a goal")
    rest = [item for name, item in quantities().items() if name not in measures() and name not in acids()]
    for item in rest:
        yield Line(
            f"{item.id} ({item.unit}): {item.about}".replace("g I2/100 g", f"g{words.GLUE}I2/100{words.GLUE}g"), hang=4
        )
    yield Line(f"And any fatty acid by name or number ({', '.join(list(acids())[4:7])}, ...), in % of the acids.")
    yield Gap()
    yield from practice()
    yield Gap()
    yield Line("One of them with what it rests on: barwright measures NAME", style="bold", indent=0)


def band_words(band: Band) -> str:
    """One band, held together: "slow 25 to 33"."""
    if band.low is None:
        text = f"{band.word} below {band.high:g}"
    elif band.high is None:
        text = f"{band.word} from {band.low:g}"
    else:
        text = f"{band.word} {band.low:g} to {band.high:g}"
    return text.replace(" ", words.GLUE)


def card(known: Quantity, paper: Paper) -> Iterator[Part]:
    """One measure or figure with what it rests on."""
    from optimiser.measures.measures import measures

    measure = measures().get(known.id)
    yield Heading(known.id, known.unit)
    if measure is None:
        yield Line(known.about)
        yield Line(f"As a goal: from {known.lowest:g} to {known.highest:g}; {known.scale:g} counts as a small change.")
        return
    yield from about(measure)
    yield from weights(measure, paper)
    yield from levers_told(measure)
    yield Heading("Where it comes from", measure.status)
    yield Line(words.sentence(measure.source))
    yield Line(TRUST)


def about(measure: Measure) -> Iterator[Part]:
    """What a measure predicts and how it could be seen."""
    unsure = f"\u00b1 {measure.uncertainty:g} on a blend" if measure.uncertainty else "no figure to go by"
    rows = [
        ("predicts", measure.predicts),
        ("high means", measure.high_means),
        ("seen by", measure.observed_by),
        ("how sure", f"{unsure}, {measure.coarse}" if measure.coarse else unsure),
    ]
    if measure.bands:
        rows.append(("bands", ", ".join(band_words(band) for band in measure.bands)))
    yield Table((Column(), Column(wraps=True)), rows)
    yield Gap()


def weights(measure: Measure, paper: Paper) -> Iterator[Part]:
    """Points of the soap of each acid alone, the highest first."""
    from optimiser.materials.fatty_acids import acid

    groups: dict[float, list[str]] = {}
    for name, points in measure.weights.items():
        groups.setdefault(points, []).append(name)
    if len(groups) < 2:
        return
    top = max(abs(points) for points in groups) or 1.0
    rows = []
    for points in sorted(groups, reverse=True):
        bar = paper.marks.allowed * max(0, round(LONGEST_BAR * points / top))
        rows.append(
            (
                words.figure(points, ""),
                bar,
                ", ".join(f"{acid(name).name} {name}".replace(" ", words.GLUE) for name in groups[points]),
            )
        )
    yield Heading("The soap of one acid alone", "points")
    yield Table((Column(justify="right"), Column(), Column(wraps=True)), rows)
    yield Gap()


def levers_told(measure: Measure) -> Iterator[Part]:
    """What the batch adds, as far as it is known."""
    from optimiser.measures.measures import LEVER_FIELDS, levers

    lever = levers(measure.id)
    called = {field: name for name, field in LEVER_FIELDS.items()}
    told = [(says, getattr(lever, name), reach_words(called[name])) for name, says in LEVERS]
    told += [(f"{name}, each 1 % of the fats", points, reach_words(name)) for name, points in lever.additives.items()]
    rows = [(says, f"{points:+g}", far) for says, points, far in told if points]
    rows += [
        (f"{name}, {at:g} % of the fats", f"{points:+g}", "in all; level beyond, straight before")
        for name, curve in lever.curves.items()
        for at, points in curve[2:]
    ]
    rows += list(cure_told(measure))
    if rows:
        yield Heading("What the batch adds", "points")
        yield Table((Column(), Column(justify="right"), Column(wraps=True)), rows)
        yield Gap()
    if measure.floor is not None:
        yield Line(f"Never told below {measure.floor:g}.")
        yield Gap()


def reach_words(lever: str) -> str:
    """How far a lever is known, and what is beyond."""
    from optimiser.measures.measures import lever_ranges

    known = lever_ranges().get(lever)
    if known is None:
        return ""
    if known.beyond == "level":
        return f"up to {known.high:g} %"
    unit = known.unit.partition(" ")[0]
    return f"known from {known.low:g} to {known.high:g} {unit}; not told beyond"


def cure_told(measure: Measure) -> Iterator[tuple[str, str, str]]:
    """What twice the cure does, for a soap without oleic acid and for one of it alone."""
    from optimiser.measures.cure import LONGEST, SHORTEST, USUAL_CURE, cure_law

    law = cure_law(measure.id)
    if law.flat or law.of_oleic:
        far = f"counted from {USUAL_CURE:g} weeks; known from {SHORTEST:g} to {LONGEST:g}, level beyond"
        yield "cure, each doubling of it", f"{law.flat:+g}", far
        yield "of oleic acid alone", f"{law.flat + law.of_oleic:+g}", "in between by its share"


def practice() -> Iterator[Part]:
    """The rules of the house with their reasons, and how to overrule them."""
    from optimiser.measures.practice import rules

    yield Heading("House practice", words.counted(len(rules()), "rule"))
    for rule in rules():
        yield Line(rule_words(rule), hang=4)
    yield Gap()
    yield Line("Common practice without a source unless said otherwise.")
    yield Line("The house only suggests. A goal file overrules one rule or all of them:")
    yield Line("practice: {castor oil: 20 %}".replace(" ", words.GLUE), indent=4)
    yield Line("practice: off".replace(" ", words.GLUE), indent=4)


def rule_words(rule: Rule) -> str:
    """One rule with its reason; a default that gives way says to what, and where it is more than common practice."""
    value = f"{rule.value:g}{words.GLUE}%" if rule.unit == "%" else f"{rule.value:g}"
    way = words.joined([key.replace("_", " ") for key in rule.gives_way], "or")
    told = [f"{rule.words} {rule.side.words} {value}: {words.sentence(rule.why)}"]
    if way:
        told.append(f"Gives way to a goal on {way}.")
    if rule.source not in {"", "no source"}:
        told.append(f"[{rule.status}: {words.glued(rule.source)}]")
    return " ".join(told)
