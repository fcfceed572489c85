"""The answer when there is a blend, in the order in which a maker wants it."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

from optimiser.report import text_advice, text_goals, text_lye, text_measures, text_steps, words
from optimiser.report.paper import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.story import Blend, Certificate, CostFigures, FatLine, UnusedLine

NEAREST_UNUSED = 5  # fats off the blend that are told with their price; the rest are counted


def parts(story: Blend, paper: Paper, *, steps: bool = False) -> Iterator[Part]:
    """The whole answer, with the making steps if they are wanted."""
    urgent = text_lye.urgent(story.weighed, story.cautions)
    yield from text_lye.at_top(urgent)
    yield from head(story)
    yield from fats(story)
    yield Gap()
    money = {line.additive: f"{words.money(line.cost)} {story.currency}" for line in story.additives}
    yield from text_lye.block(story.recipe, story.weighed, story.cautions, asked=story.alkali.superfat, costs=money)
    yield Gap()
    yield from text_goals.block(story.goals, story.currency, paper, counted=story.is_counted)
    yield from text_goals.preferences(story.preferences)
    yield from text_measures.block(story.measures, story.figures, paper)
    yield from text_steps.expected(story.times)
    yield from text_advice.block(story.ash, story.water_hardness)
    yield from unused(story)
    if steps:
        yield from text_steps.numbered(story.steps)
    yield from closing(story)


def head(story: Blend) -> Iterator[Part]:
    """Title, files, and what it costs."""
    yield Heading(story.title or "Untitled bar", f"{words.money(story.cost.per_kg)} {story.currency} / kg of cured bar")
    yield Line(f"{story.goal_file}, over {story.shelf_title}" if story.shelf_title else story.goal_file)
    yield Line(cost_sentence(story.cost, story.currency))
    yield Gap()


def cost_sentence(cost: CostFigures, currency: str) -> str:
    """What a bar and the batch cost."""
    bars = f"{cost.bars:.0f}" if abs(cost.bars - round(cost.bars)) < 0.05 else f"about {cost.bars:.1f}"
    return (
        f"{bars} {'bar' if bars == '1' else 'bars'} of {cost.bar_grams:.0f} g cured: "
        f"{words.money(cost.per_bar)} {currency} a bar, {words.money(cost.batch)} {currency} the batch."
    )


def fats(story: Blend) -> Iterator[Part]:
    """The fats of the blend and their total."""
    decimals = words.places(line.to_weigh for line in story.fats)
    total = sum(line.to_weigh for line in story.fats)
    yield Heading("Fats", f"for a balance that reads {story.step_grams:g} g")
    rows = [
        (_named(line), line.kind, f"{line.share:.1f} %", words.grams(line.to_weigh, decimals), words.money(line.cost))
        for line in story.fats
    ]
    money = words.money(sum(line.cost for line in story.fats))
    rows.append(("all fats", "", "100.0 %", words.grams(total, decimals), money))
    columns = (
        *(Column("fat", wraps=True), Column("kind"), Column("share", "right")),
        *(Column("grams", "right"), Column(story.currency, "right")),
    )
    yield Table(columns, rows, last_is_total=True)


def _named(line: FatLine) -> str:
    return f"{line.fat} (lot {line.lot})" if line.lot else line.fat


def unused(story: Blend) -> Iterator[Part]:
    """Fats left on the shelf: at what price the nearest would enter, which never would, and which are barred."""
    if not story.unused:
        return
    yield Heading("Left on the shelf", f"{story.currency} / kg")
    open_to = [line for line in story.unused if not line.barred_by]
    yield from entries(open_to, counted=story.is_counted)
    for reason in dict.fromkeys(line.barred_by for line in story.unused if line.barred_by):
        names = [line.fat for line in story.unused if line.barred_by == reason]
        yield Line(f"Kept out by \u201c{reason}\u201d: {', '.join(names)}.", hang=2)
    yield Gap()


def entries(lines: Sequence[UnusedLine], *, counted: bool) -> Iterator[Part]:
    """The fats nearest to entering with their prices, how many more there are, and those that no price brings in."""
    priced = [(line.enters_below, line) for line in lines if line.enters_below is not None]
    priced.sort(key=lambda pair: (-pair[0] / pair[1].price if pair[1].price else 0.0, pair[1].fat))
    columns = (Column("fat", wraps=True), Column("price", "right"), Column("enters below", "right"))
    if priced:
        nearest = priced[:NEAREST_UNUSED]
        yield Table(columns, [(line.fat, words.money(line.price), words.money(below)) for below, line in nearest])
    further = len(priced) - NEAREST_UNUSED
    if further > 0:
        yield Line(f"{further} more {'is' if further == 1 else 'are'} further off (--json lists every one).")
    never = [line.fat for line in lines if line.enters_below is None]
    if never:
        why = "By no single exchange" if counted else "At no price with these goals"
        yield Line(f"{why}: {', '.join(never)}.", hang=2)
    if counted and priced:
        yield Line("Fats are counted: each would enter at the latest there, beside the others or in the place of one.")


def closing(story: Blend) -> Iterator[Part]:
    """What is proved, what else must be said, and what to do next."""
    yield Heading("How sure")
    yield Line(proof_sentence(story.certificate, story.currency))
    for note in story.notes:
        yield Line(words.glued(words.sentence(note)), hang=2)
    yield Gap()
    stem = PurePath(story.goal_file).stem or "bar"
    command = f"barwright blend {quoted(story.goal_file)} --save {quoted(f'{stem}-recipe.yaml')}"
    yield Line("To keep this recipe, as rounded for the balance:", indent=0)
    yield Line(command, style="bold")


def proof_sentence(proof: Certificate, currency: str) -> str:
    """No blend can be cheaper than so much, and on whose word."""
    bound = words.glued(f"{words.floor_money(proof.cheapest_possible_per_kg)}{words.GLUE}{currency} / kg")
    how = "checked in exact arithmetic" if proof.exact else "by the solver's bound, since fats are counted"
    gap = 100.0 * max(0.0, proof.gap)
    within = "less than 0.001 %" if gap < 0.001 else f"{gap:.3f} %"
    return f"No blend on this shelf that meets these goals can be cheaper than {bound} ({how}); this one is within {within} of it."


def quoted(path: str) -> str:
    """A path as a shell takes it."""
    import shlex

    return shlex.quote(path)
