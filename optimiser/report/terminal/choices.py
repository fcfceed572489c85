"""A few blends side by side: what each is in a phrase, its fats, alkali, cost and what differs, and how different one can be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING

from optimiser.measures.characters import EVEN
from optimiser.measures.differences import is_felt
from optimiser.recipe import cautions
from optimiser.recipe.balance import places
from optimiser.recipe.weights import Weights, decimals_of, finer, of_jug
from optimiser.report import words
from optimiser.report.terminal import blend as text_blend
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal import measures as text_measures
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from optimiser.answers.choice_results import Choice, Choices
    from optimiser.answers.results import Blend
    from optimiser.answers.weighed_lines import MeasureLine

MORE, LESS = ("\u2191", "\u2193"), ("^", "v")  # where a figure differs from that of the first; the second pair in ASCII
POINT = 1.0  # % of the fats: a share that differs by less is not marked
MIRROR = "harshness"  # 100 less the mildness, which is told
USUAL_COUNT = 4


def parts(story: Choices, paper: Paper, *, full: bool = False, saved: str = "") -> Iterator[Part]:
    """The blends and what is proved of them.

    Args:
        story: the answer.
        paper: what it is set on.
        full: the grams of the fats, every measure and every caution too.
        saved: where one of them was written, if it was.
    """
    yield from at_top(story)
    number = len(story.choices)
    yield Heading(story.title or "Untitled bar", "one blend" if story.is_single else words.counted(number, "blend"))
    yield Line(", over ".join(filter(None, (words.path(story.goal_file), story.shelf_title))))
    yield Gap()
    yield from text_blend.aside(story.choices[0].blend, full=full)
    for place, choice in enumerate(story.choices, start=1):
        yield Line(f"{place}  {choice.says}", hang=3, style="bold")
        for rule in story.own_aside(choice):
            yield Line(f"   stood aside: {words.as_it_stands(rule)}. {words.sentence(rule.why)}", hang=3)
        for broken in choice.broken:
            yield Line(f"   as rounded for the balance it no longer holds: {broken}", hang=3, style="bold yellow")
    yield Gap()
    yield from fats(story, paper)
    yield from weights(story, full=full)
    yield from figures(story, paper, full=full)
    yield from beside(story, full=full)
    yield from proved(story)
    yield from closing(story, saved, paper.typed, full=full)


# -- cautions ------------------------------------------------------------------------------------------------------


def at_top(story: Choices) -> Iterator[Part]:
    """What cannot wait, once for all blends that it is true of."""
    yield from text_lye.at_top(told_of(story, [urgent(choice) for choice in story.choices]))


def urgent(choice: Choice) -> tuple[str, ...]:
    """The cautions of a blend that go to the very top."""
    return text_lye.urgent(choice.blend.recipe, choice.blend.weighed, choice.blend.cautions)


def beside(story: Choices, *, full: bool) -> Iterator[Part]:
    """The usual cautions once; in full those that only some of the blends give cause to."""
    recipes = [choice.blend.recipe for choice in story.choices]
    brief = dict.fromkeys(line for recipe in recipes for line in cautions.in_brief(recipe))
    for caution in brief:
        yield Line(f"! {text_lye.without_steps(caution)}", style="yellow", hang=2)
    own = [
        [item for item in choice.blend.cautions if item not in (*urgent(choice), *cautions.standing(recipe))]
        for choice, recipe in zip(story.choices, recipes, strict=True)
    ]
    for caution in told_of(story, own) if full else ():
        yield Line(f"! {caution}", style="yellow", hang=2)
    if any(own) and not full:
        yield Line("! Further cautions of single blends: --full, or keep one and weigh it.", style="yellow", hang=2)
    yield Gap()


def told_of(story: Choices, own: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """What is said of blends, each once with the numbers of those that it is said of."""
    of: dict[str, list[str]] = {}
    for place, lines in enumerate(own, start=1):
        for line in dict.fromkeys(lines):
            of.setdefault(line, []).append(str(place))
    every = len(story.choices)
    return tuple(line if len(found) == every else f"{', '.join(found)}: {line}" for line, found in of.items())


# -- tables --------------------------------------------------------------------------------------------------------


def fats(story: Choices, paper: Paper) -> Iterator[Part]:
    """The shares, fats down and blends across; those that differ from the first by a point or more are marked."""
    shares = [{line.fat: line.share for line in choice.blend.fats} for choice in story.choices]
    most = {fat: max(share.get(fat, 0.0) for share in shares) for share in shares for fat in share}
    first = shares[0]
    order = sorted(most, key=lambda fat: (-round(first.get(fat, 0.0), 6), -round(most[fat], 6), fat))
    yield Heading("Fats", "% of all fats")
    rows = [
        (
            fat,
            *(
                marked(told_share(share.get(fat)), by, paper, differs=abs(by) >= POINT)
                for share in shares
                for by in [share.get(fat, 0.0) - first.get(fat, 0.0)]
            ),
        )
        for fat in order
    ]
    if not story.is_single:
        swapped = (f"{choice.swapped:.1f}" if place else words.NOTHING for place, choice in enumerate(story.choices))
        rows.append(("swapped", *swapped))
    yield Table(columns(story, "fat"), rows, last_is_total=not story.is_single)
    if not story.is_single:
        more, less = LESS if paper.ascii else MORE
        yield Line(
            f"{more} {less} more or less of it than in 1, by a point or more; swapped: the part of the fats exchanged against 1.",
        )
    yield Gap()


def told_share(share: float | None) -> str:
    """A share without its sign, which the heading tells."""
    return words.NOTHING if share is None else f"{share:.1f}"


def marked(figure: str, change: float, paper: Paper, *, differs: bool) -> str:
    """A figure with an arrow where it differs from that of the first."""
    arrows = LESS if paper.ascii else MORE
    if not differs:
        return figure
    return f"{arrows[change < 0.0]}{words.GLUE}{figure}"


def weights(story: Choices, *, full: bool) -> Iterator[Part]:
    """Alkali, water and what goes beside, for the balance; in full the fats too."""
    blends = [choice.blend for choice in story.choices]
    recipes = [blend.recipe for blend in blends]
    rows: list[tuple[str, ...]] = []
    if full:
        of_fats = finer(*(weights_of_fats(blend) for blend in blends))
        weighed = [{line.fat: line.to_weigh for line in blend.fats} for blend in blends]
        rows += rows_of(weighed, of_fats)
    jug = finer(*(of_jug(recipe) for recipe in recipes))
    for name, grams in (
        ("sodium hydroxide", [recipe.sodium_hydroxide for recipe in recipes]),
        ("potassium hydroxide", [recipe.potassium_hydroxide for recipe in recipes]),
    ):
        if any(grams):
            rows.append((name, *(jug.alkali(one) if one else words.NOTHING for one in grams)))
    rows.append(("water", *(jug.figure(recipe.water) for recipe in recipes)))
    extras = [{item.name: grams for item, grams in recipe.additives} for recipe in recipes]
    rows += rows_of(extras, jug)
    yield Heading(f"{'Fats, alkali' if full else 'Alkali'} and water", f"{jug.head} to weigh")
    yield Table(columns(story), rows)
    yield Gap()


def weights_of_fats(blend: Blend) -> Weights:
    """How the fats of one blend are told."""
    units, step = blend.recipe.units, blend.recipe.fat_step
    return Weights(units, decimals_of(units, places(line.to_weigh for line in blend.fats), step))


def rows_of(weights_by_name: Sequence[Mapping[str, float]], told_as: Weights) -> Iterator[tuple[str, ...]]:
    """A row for each name that any blend has, with its weight in each."""
    for name in dict.fromkeys(name for one in weights_by_name for name in one):
        told = (told_as.figure(one[name]) if name in one else words.NOTHING for one in weights_by_name)
        yield (name, *told)


def figures(story: Choices, paper: Paper, *, full: bool) -> Iterator[Part]:
    """Cost, superfats, and the measures that differ by more than they are uncertain; in full every measure."""
    currency = words.heading_per(story.currency, "kg of cured bar")
    yield Heading("What they cost, and what differs")
    blends = [choice.blend for choice in story.choices]
    rows = [
        (currency, *(words.money(blend.cost.per_kg) for blend in blends)),
        (
            "beside 1, %" if story.near_to else "dearer, %",
            *(more_than_first(choice.dearer) for choice in story.choices),
        ),
        ("superfat, %", *(cautions.beside_none(blend.weighed.superfat) for blend in blends)),
        ("likely low, %", *(cautions.beside_none(blend.weighed.superfat_likely_low) for blend in blends)),
    ]
    told = [
        (f"{lines[0].words} {text_measures.spread(lines[0])}".strip(), *measure_cells(lines, paper))
        for lines in zip(*(blend.measures for blend in blends), strict=True)
        if lines[0].id != MIRROR and (full or differs(lines))
    ]
    yield Table(columns(story), [*rows, *told])
    if not story.is_single:
        yield Line(about_measures(paper, full=full, any_told=bool(told)))
    yield Gap()


def about_measures(paper: Paper, *, full: bool, any_told: bool) -> str:
    """Which measures are told, and which marked."""
    more, less = LESS if paper.ascii else MORE
    if full:
        return f"{more} {less} a measure that differs from that of 1 by more than it is uncertain."
    if any_told:
        return "The other measures differ from those of 1 by less than they are uncertain."
    return "No measure differs from that of 1 by more than it is uncertain."


def more_than_first(percent: float) -> str:
    """How much dearer, in per cent, or cheaper, with its sign; a dash where it is neither."""
    return words.NOTHING if abs(percent) < EVEN else f"{percent:+.1f}" if percent < 0.0 else f"{percent:.1f}"


def measure_cells(lines: Sequence[MeasureLine], paper: Paper) -> Iterator[str]:
    """One measure of every blend, marked where it differs from the first beyond its uncertainty."""
    for line in lines:
        by = line.value - lines[0].value
        yield marked(text_measures.on_scale(line), by, paper, differs=is_felt(line.id, by))


def differs(lines: Sequence[MeasureLine]) -> bool:
    """Whether a measure of any blend differs from that of the first beyond its uncertainty."""
    return any(is_felt(line.id, line.value - lines[0].value) for line in lines)


def columns(story: Choices, head: str = "") -> tuple[Column, ...]:
    """A column for the names, and one for each blend."""
    return (Column(head, wraps=True), *(Column(str(place + 1), "right") for place in range(len(story.choices))))


# -- what is proved ------------------------------------------------------------------------------------------------


def proved(story: Choices) -> Iterator[Part]:
    """How different a blend can be at all, and on whose word."""
    yield Heading("How different can a blend be?")
    yield Line(limit_sentence(story))
    if not story.is_single:
        yield Line(gap_sentence(story))
    if len(story.choices) < story.asked:
        yield Line(why_no_more(story))
    yield Gap()


def limit_sentence(story: Choices) -> str:
    """No blend swaps more than so much; or there is but one."""
    most = story.most
    price = f"{words.money(story.ceiling)} {words.per(story.currency, 'kg')} ({story.said} above 1)"
    given = ", with the preferences met as far as in 1," if story.has_preferences else ""
    near = f", changes as little of {story.near_to} as can be" if story.near_to else ""
    goals = f"meets these goals{near}{given} and costs no more than {price}"
    how = "checked in exact arithmetic" if most.exact else "by the solver's bound, since fats are counted"
    bound = f"{up(100.0 * most.share):.1f}{words.GLUE}%"
    if story.is_single and up(100.0 * most.share) == 0.0:
        return f"There is but this one blend: none other {goals} ({how}).{unsure(story)}"
    end = "" if most.ended else "; the search ended there, and there may be none that comes near it"
    return f"No blend that {goals} swaps more than {bound} of the fats against 1 ({how}){end}.{unsure(story)}"


def unsure(story: Choices) -> str:
    """What the proof does not cover, where there is such."""
    return "" if story.most.holds else " An amount in this file may be read in another way, of which nothing is proved."


def gap_sentence(story: Choices) -> str:
    """How far the blends told lie from each other."""
    least = min(choice.apart for choice in story.choices)
    return f"Any two of these swap {math.floor(least * 10.0 + 1e-6) / 10.0:.1f}{words.GLUE}% of the fats or more."


def why_no_more(story: Choices) -> str:
    """Why there are fewer blends than were asked for."""
    if not story.complete:
        return "The search ended before it found more: fewer blends (--count), or a file without a count of fats, take less."
    if story.is_single:
        return "No other blend within that price that differs by as much as 1 % of the fats was worth telling."
    return "No further blend differs from all of these by as much as 1 % of the fats."


def up(percent: float) -> float:
    """Rounded up to a tenth, so that what is printed is still a bound."""
    return math.ceil(percent * 10.0 - 1e-6) / 10.0


def closing(story: Choices, saved: str, typed: str, *, full: bool) -> Iterator[Part]:
    """What to do next."""
    if not story.goal_file:
        return
    goals = words.quoted(story.goal_file)
    if saved:
        yield Line("Next, judge it against the goals, with every caution:", indent=0)
        yield Line(f"barwright weigh {words.quoted(saved)} --against {goals}", style="bold", whole=True)
        return
    stem = PurePath(story.goal_file).stem or "bar"
    number = 1 if story.is_single else 2
    count = "" if story.asked == USUAL_COUNT else f" --count {story.asked}"
    units = text_lye.units_option(story.choices[0].blend.recipe)
    command = f"barwright choices {goals}{typed} --within {words.quoted(story.said)}{count}{units}"
    yield Line("To keep one of them, as rounded for the balance:", indent=0)
    yield Line(f"{command} --save {number} {words.quoted(f'{stem}-{number}.yaml')}", style="bold", whole=True)
    if not full:
        yield Line("--full tells more: the grams of the fats, every measure, the cautions of each.", indent=0, hang=2)
