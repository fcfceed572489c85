"""The answer when there is a blend, in the order in which a maker wants it."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

from optimiser.recipe.balance import places
from optimiser.recipe.cautions import standing
from optimiser.report import words
from optimiser.report.terminal import advice as text_advice
from optimiser.report.terminal import goals as text_goals
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal import measures as text_measures
from optimiser.report.terminal import steps as text_steps
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.results import Blend, CostFigures, FatLine, UnusedLine
    from optimiser.solve.proof import OptimalityProof

MOST_NAMED = 12  # fats of which nothing is known that are named; the rest are counted
NEAREST_UNUSED = 5  # fats off the blend that are told with their price; the rest are counted


def parts(story: Blend, paper: Paper, *, steps: bool = False, saved: str = "") -> Iterator[Part]:
    """The whole answer, with the making steps if they are wanted; `saved` is where the recipe was written, if it was."""
    urgent = text_lye.urgent(story.recipe, story.weighed, story.cautions)
    yield from text_lye.at_top(urgent)
    yield from head(story)
    yield from fats(story)
    yield Gap()
    money = {line.additive: words.priced(line.cost, story.currency) for line in story.additives}
    money |= {line.liquid: words.priced(line.cost, story.currency) for line in story.liquids}
    yield from text_lye.block(story.recipe, story.weighed, story.cautions, asked=story.alkali.superfat, costs=money)
    yield Gap()
    yield from text_goals.block(
        story.goals, story.currency, paper, counted=story.is_counted, practice_off=story.practice_off
    )
    yield from text_goals.preferences(story.preferences, story.currency)
    yield from text_measures.block(story.measures, story.figures, paper)
    yield from text_steps.expected(story.times)
    yield from text_advice.block(story.ash, story.water_hardness)
    yield from unused(story)
    if steps:
        yield from text_steps.numbered(story.steps, standing(story.recipe))
    yield from sure(story)
    yield from closing(story, saved)


def head(story: Blend) -> Iterator[Part]:
    """Title, files, and what it costs."""
    yield Heading(story.title or "Untitled bar", cost_per_kg(story.cost, story.currency))
    yield Line(", over ".join(filter(None, (words.path(story.goal_file), story.shelf_title))))
    yield Line(cost_sentence(story.cost, story.currency, story.recipe.cured_water))
    yield Gap()


def cost_per_kg(cost: CostFigures, currency: str) -> str:
    """What a kilo of the bar costs, for a heading."""
    return f"{words.money(cost.per_kg)} {words.per(currency, 'kg of cured bar')}"


def cost_sentence(cost: CostFigures, currency: str, cured_water: float) -> str:
    """What a bar and the batch cost, and at how much water (a fraction of the bar) it counts as cured."""
    return (
        f"{words.bars(cost.bars, cost.bar_grams)}, cured to {100 * cured_water:g} % water: "
        f"{words.priced(cost.per_bar, currency)} a bar, {words.priced(cost.batch, currency)} the batch."
    )


def fats(story: Blend) -> Iterator[Part]:
    """The fats of the blend and their total."""
    decimals = places(line.to_weigh for line in story.fats)
    total = sum(line.to_weigh for line in story.fats)
    yield Heading("Fats", f"grams{words.to_a_step(story.step_grams)}")
    rows = [
        (_named(line), line.kind, f"{line.share:.1f} %", words.grams(line.to_weigh, decimals), words.money(line.cost))
        for line in story.fats
    ]
    money = words.money(sum(line.cost for line in story.fats))
    rows.append(("all fats", "", "100.0 %", words.grams(total, decimals), money))
    columns = (
        *(Column("fat", wraps=True), Column("kind"), Column("share", "right")),
        *(Column("grams", "right"), Column(story.currency or words.MONEY, "right")),
    )
    yield Table(columns, rows, last_is_total=True)


def _named(line: FatLine) -> str:
    return f"{line.fat} (lot {line.lot})" if line.lot else line.fat


def unused(story: Blend) -> Iterator[Part]:
    """Fats left on the shelf: at what price the nearest would enter, which never would, and which are barred."""
    if not story.unused:
        return
    yield Heading("Left on the shelf", words.heading_per(story.currency, "kg"))
    open_to = [line for line in story.unused if not line.barred_by]
    yield from entries(open_to)
    for reason in dict.fromkeys(line.barred_by for line in story.unused if line.barred_by):
        names = [line.fat for line in story.unused if line.barred_by == reason]
        yield Line(f"Kept out by \u201c{reason}\u201d: {', '.join(names)}.", hang=2)
    yield Gap()


def entries(lines: Sequence[UnusedLine]) -> Iterator[Part]:
    """The fats nearest to entering with their prices, how many more there are, and those that no price brings in."""
    priced = [(line.enters_below, line) for line in lines if line.enters_below is not None]
    priced.sort(key=lambda pair: (-pair[0] / pair[1].price if pair[1].price else 0.0, pair[1].fat))
    columns = (Column("fat", wraps=True), Column("price", "right"), Column("would come in below", "right"))
    if priced:
        nearest = priced[:NEAREST_UNUSED]
        yield Table(columns, [(line.fat, words.money(line.price), words.money(below)) for below, line in nearest])
    further = len(priced) - NEAREST_UNUSED
    if further > 0:
        yield Line(f"{further} more {'is' if further == 1 else 'are'} further off (--json lists every one).")
    never = [line.fat for line in lines if line.enters == "never"]
    if never:
        yield Line(f"At no price with these goals: {', '.join(never)}.", hang=2)
    unknown = [line.fat for line in lines if line.enters == "unknown"]
    if unknown:
        more = f" and {len(unknown) - MOST_NAMED} more" if len(unknown) > MOST_NAMED else ""
        yield Line(f"Not known at what price, if any: {', '.join(unknown[:MOST_NAMED])}{more}.", hang=2)
    if any(line.enters == "at the latest below" for line in lines):
        yield Line("Each would come in below the price told for certain; a higher price is not ruled out.")


def sure(story: Blend) -> Iterator[Part]:
    """What is proved, and what else must be said."""
    yield Heading("Is it the cheapest?")
    yield Line(proof_sentence(story.proof, story.currency))
    for rule in story.stood_aside:
        yield Line(f"Stood aside: {rule.said}, since {rule.why}.", hang=2)
    for note in story.notes:
        yield Line(words.sentence(note), hang=2)
    yield Gap()


def closing(story: Blend, saved: str = "") -> Iterator[Part]:
    """What to do next: keep the recipe, or judge the one that was kept."""
    if not story.goal_file:  # asked for without a file, so no command can ask again
        return
    goals = words.quoted(story.goal_file)
    if saved:
        yield Line("Next, once it has been weighed out or changed, judge it against the goals:", indent=0)
        yield Line(f"barwright weigh {words.quoted(saved)} --against {goals}", style="bold", whole=True)
        return
    stem = PurePath(story.goal_file).stem or "bar"
    command = f"barwright blend {goals} --save {words.quoted(f'{stem}-recipe.yaml')}"
    yield Line("To keep this recipe, as rounded for the balance:", indent=0)
    yield Line(command, style="bold", whole=True)


def proof_sentence(proof: OptimalityProof, currency: str) -> str:
    """No blend can be cheaper than so much, and on whose word."""
    bound = f"{words.floor_money(proof.cheapest_possible_per_kg)} {words.per(currency, 'kg')}"
    how = "checked in exact arithmetic" if proof.exact else "by the solver's bound, since fats are counted"
    gap = 100.0 * max(0.0, proof.gap)
    within = "less than 0.001 %" if gap < 0.001 else f"{gap:.3f} %"
    some = f"No blend on this shelf that meets these goals{given(proof)} can be cheaper than {bound} ({how})"
    end = "; the search ended there" if proof.is_limited else ""
    return f"{some}; this one is within {within} of it{end}."


def given(proof: OptimalityProof) -> str:
    """What the proof takes as given beside the goals: that preferences come before the cost."""
    if not proof.preferences:
        return ""
    wishes = "preference" if proof.preferences == 1 else "preferences"
    far = "here" if proof.is_limited else "it can be" if proof.preferences == 1 else "they can be"
    return f", with the {wishes} met as far as {far},"
