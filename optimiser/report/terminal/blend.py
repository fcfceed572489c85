"""The answer when there is a blend, in the order in which a maker wants it."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

from optimiser.problem.units import Units
from optimiser.recipe.balance import places
from optimiser.recipe.cautions import standing
from optimiser.recipe.kinds import is_paste
from optimiser.recipe.weights import Weights, decimals_of, rough
from optimiser.report import words
from optimiser.report.terminal import advice as text_advice
from optimiser.report.terminal import buying as text_buying
from optimiser.report.terminal import goals as text_goals
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal import measures as text_measures
from optimiser.report.terminal import near as text_near
from optimiser.report.terminal import steps as text_steps
from optimiser.report.terminal import use_up as text_use_up
from optimiser.report.terminal import verdicts as text_verdicts
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.results import Blend, CostFigures, UnusedLine, WeighedRecipe
    from optimiser.answers.weighed_lines import FatLine
    from optimiser.solve.proof import OptimalityProof

MOST_ASIDE = 3  # rules that stood aside which are told unasked


def parts(story: Blend, paper: Paper, *, steps: bool = False, full: bool = False, saved: str = "") -> Iterator[Part]:
    """The answer: what to weigh, its cautions, what the bar will be, what it costs and why, how sure that is.

    Args:
        story: the answer.
        paper: what it is set on.
        steps: the making steps too.
        full: all that there is to tell; else two screens, and a line that says what more there is.
        saved: where the recipe was written, if it was.
    """
    urgent = text_lye.urgent(story.recipe, story.weighed, story.cautions)
    yield from text_lye.at_top(urgent)
    yield from far_off(story)
    yield from head(story)
    yield from aside(story, full=full)
    yield from fats(story)
    yield Gap()
    money = {line.additive: words.priced(line.cost, story.currency) for line in story.additives}
    money |= {line.liquid: words.priced(line.cost, story.currency) for line in story.liquids}
    yield from text_lye.block(
        story.recipe, story.weighed, story.cautions, asked=story.alkali.superfat, costs=money, full=full
    )
    yield Gap()
    yield from text_near.block(story.near, story.recipe, story.currency, story.cost.per_kg)
    yield from text_measures.block(
        *(story.measures, story.figures, paper),
        named=text_goals.named(story.goals, story.preferences),
        full=full,
        of_paste=is_paste(story.recipe, story.figures),
    )
    yield from text_steps.expected(story.times)
    yield from text_advice.block(story.ash, story.water_hardness, full=full, units=story.recipe.units)
    if steps:
        yield from text_steps.numbered(story.steps, standing(story.recipe))
    yield from text_goals.block(
        story.goals,
        story.currency,
        paper,
        counted=story.is_counted,
        practice_off=story.practice_off,
        full=full,
        cost=story.cost.per_kg,
        units=story.recipe.units,
    )
    yield from text_use_up.block(story.use_up, story.currency, story.recipe.units)
    yield from text_verdicts.preferences(story.preferences, story.currency)
    yield from text_buying.block(story.buying, story.currency, story.recipe.units)
    if full:
        yield from unused(story)
    yield from sure(story)
    yield from closing(story, saved, paper.typed)
    if not full:
        yield from more(story)


def head(story: Blend) -> Iterator[Part]:
    """Title, files, and what it costs."""
    yield Heading(
        story.title or "Untitled bar",
        cost_per_kg(story.cost, story.currency, of_paste=is_paste(story.recipe, story.figures)),
    )
    yield Line(", over ".join(filter(None, (words.path(story.goal_file), story.shelf_title))))
    units = story.recipe.units
    if is_paste(story.recipe, story.figures):
        pot = story.weighed.batter_grams
        yield Line(paste_sentence(story.cost, story.currency, pot, story.recipe.cured_water, units))
    else:
        yield Line(cost_sentence(story.cost, story.currency, story.recipe.cured_water, units))
    yield from filling(story)
    yield Gap()


def filling(story: Blend | WeighedRecipe) -> Iterator[Part]:
    """How far the batter fills the moulds, where the batch is told by them."""
    if story.filled is not None:
        from optimiser.report import filled

        yield Line(filled.filling(story.filled), hang=2)


def far_off(story: Blend) -> Iterator[Part]:
    """What gave way so far that nobody would pour the bar; its words are loaded only where something did."""
    if story.far_off:
        from optimiser.report.terminal import far_off as text_far_off

        yield from text_far_off.block(story.far_off, story.currency, story.goal_file)


def aside(story: Blend, *, full: bool = False) -> Iterator[Part]:
    """The rules of the house that gave way to what the maker asks, those of one reason in one line; in full all of them."""
    for rule in story.stood_aside:
        if rule.own:
            wish = words.as_it_stands(rule)
            yield Line(f"Not kept, though you ask it: {wish}. {words.sentence(rule.why)}", style="bold", hang=2)
    from optimiser.answers.stood_aside import of_several

    by_reason: dict[str, list[str]] = {}
    house = [rule for rule in story.stood_aside if not rule.own]
    for rule in house:
        by_reason.setdefault(rule.why, []).append(words.as_it_stands(rule))
    told = list(by_reason.items())[: None if full else MOST_ASIDE]
    for why, rules in told:
        said = of_several(why) if len(rules) > 1 else why
        yield Line(f"Stood aside: {'; '.join(rules)}. {words.sentence(said)}", hang=2)
    further = len(house) - sum(len(rules) for _, rules in told)
    if further:
        yield Line(f"{words.counted(further, 'more house rule')} stood aside (--full).")
    if story.stood_aside:
        yield Gap()


def more(story: Blend) -> Iterator[Part]:
    """What there is to tell beside: in one line."""
    left = ["unused fats and their entry prices"] if story.unused else []
    left += ["why each rule asks it"] if text_goals.has_reasons(story.goals) else []
    yield Line(f"--full tells more: {', '.join([*left, 'the acids of the fats'])}.", indent=0, hang=2)


def cost_per_kg(cost: CostFigures, currency: str, *, of_paste: bool = False) -> str:
    """What a kilo of the bar, or of dried paste, costs, for a heading."""
    return f"{words.money(cost.per_kg)} {words.per(currency, 'kg of dried paste' if of_paste else 'kg of cured bar')}"


def cost_sentence(cost: CostFigures, currency: str, cured_water: float, units: Units = Units.GRAMS) -> str:
    """What a bar and the batch cost, and at how much water (a fraction of the bar) it counts as cured."""
    return (
        f"{words.bars(cost.bars, cost.bar_grams, units)}, cured to {100 * cured_water:g} % water: "
        f"{words.priced(cost.per_bar, currency)} a bar, {words.priced(cost.batch, currency)} the batch."
    )


def paste_sentence(
    cost: CostFigures, currency: str, pot_grams: float, cured_water: float, units: Units = Units.GRAMS
) -> str:
    """How much paste a batch is, for jars and by weight, and what it costs; the cost per kilo of a bar is told of it dried."""
    by_jar = words.priced(1000.0 * cost.batch / pot_grams, currency)
    return (
        f"{rough(units).told(pot_grams, words.GLUE)} of paste for jars, filled by weight: {by_jar} a kilo as it is, "
        f"{words.priced(cost.batch, currency)} the batch. Per kg of dried paste is at {100 * cured_water:g} % water."
    )


def fats(story: Blend) -> Iterator[Part]:
    """The fats of the blend and their total."""
    recipe = story.recipe
    decimals = decimals_of(recipe.units, places(line.to_weigh for line in story.fats), recipe.fat_step)
    weights = Weights(recipe.units, decimals)
    total = sum(line.to_weigh for line in story.fats)
    yield Heading("Fats", f"{weights.head} to weigh{words.to_a_step(story.step_grams, story.recipe.units)}")
    rows = [
        (
            _named(line),
            line.kind,
            f"{line.share:.1f} %",
            weights.figure(line.to_weigh, words.GLUE),
            words.money(line.cost),
        )
        for line in story.fats
    ]
    money = words.money(sum(line.cost for line in story.fats))
    rows.append(("all fats", "", "100.0 %", weights.figure(total, words.GLUE), money))
    columns = (
        *(Column("fat", wraps=True), Column("kind"), Column("share", "right")),
        *(Column(weights.head, "right"), Column(story.currency or words.MONEY, "right")),
    )
    yield Table(columns, rows, last_is_total=True)


def _named(line: FatLine) -> str:
    return f"{line.fat} (lot {line.lot})" if line.lot and not line.lot_of else line.fat


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
    """The fats with the prices at which they would come in, the nearest first, and those that no price brings in."""
    priced = [(line.enters_below, line) for line in lines if line.enters_below is not None]
    priced.sort(key=lambda pair: (-pair[0] / pair[1].price if pair[1].price else 0.0, pair[1].fat))
    columns = (Column("fat", wraps=True), Column("price", "right"), Column("would come in below", "right"))
    if priced:
        yield Table(columns, [(line.fat, words.money(line.price), words.money(below)) for below, line in priced])
    waiting = [line.fat for line in lines if line.enters == "after an older lot"]
    if waiting:
        yield Line(f"Kept for later, since an older lot goes first: {', '.join(waiting)}.", hang=2)
    never = [line.fat for line in lines if line.enters == "never"]
    if never:
        yield Line(f"At no price with these goals: {', '.join(never)}.", hang=2)
    unknown = [line.fat for line in lines if line.enters == "unknown"]
    if unknown:
        yield Line(f"Not known at what price, if any: {', '.join(unknown)}.", hang=2)
    if any(line.enters == "at the latest below" for line in lines):
        yield Line("Each would come in below the price told for certain; a higher price is not ruled out.")


def sure(story: Blend) -> Iterator[Part]:
    """What else must be said, and what is proved."""
    if story.notes:
        yield Heading("Notes")
        yield from (Line(words.sentence(note), hang=2) for note in story.notes)
        yield Gap()
    yield Heading("Is it the cheapest?" if story.near is None else "Is it the nearest, and the cheapest of those?")
    yield Line(proof_sentence(story.proof, story.currency) if story.near is None else nearest_sentence(story))
    yield Gap()


def closing(story: Blend, saved: str = "", typed: str = "") -> Iterator[Part]:
    """What to do next: keep the recipe, or judge the one that was kept."""
    if not story.goal_file:  # asked for without a file, so no command can ask again
        return
    goals = words.quoted(story.goal_file)
    if saved:
        yield Line("Next, once it has been weighed out or changed, judge it against the goals:", indent=0)
        yield Line(f"barwright weigh {words.quoted(saved)} --against {goals}", style="bold", whole=True)
        return
    stem = PurePath(story.goal_file).stem or "bar"
    command = f"barwright blend {goals}{typed} --save {words.quoted(f'{stem}-recipe.yaml')}"
    yield Line("To keep this recipe, as rounded for the balance:", indent=0)
    yield Line(command, style="bold", whole=True)


def proof_sentence(proof: OptimalityProof, currency: str) -> str:
    """No blend can be cheaper than so much, and on whose word."""
    bound = f"{words.floor_money(proof.cheapest_possible_per_kg)} {words.per(currency, 'kg')}"
    why = "fats are counted" if not proof.is_bought else "what is bought is counted"
    how = "checked in exact arithmetic" if proof.exact else f"by the solver's bound, since {why}"
    gap = 100.0 * max(0.0, proof.gap)
    within = "less than 0.001 %" if gap < 0.001 else f"{gap:.3f} %"
    lean = ", with no more of what may be used than helps," if proof.is_lean else ""
    where = f"on this shelf{' with what is bought' if proof.is_bought else ''}"
    some = f"No blend {where} that meets these goals{given(proof) or lean} can be cheaper than {bound} ({how})"
    end = "; the search ended there" if proof.is_limited else ""
    return f"{some}; this one is within {within} of it{end}."


def nearest_sentence(story: Blend) -> str:
    """What is proved of a blend that is near to a recipe in hand: how much must be changed, and what as near a blend must cost."""
    near, proof = story.near, story.proof
    if near is None:
        return ""
    how = "checked in exact arithmetic" if near.proof.exact else "by the solver's bound, since fats are counted"
    bound = f"{words.floor_money(proof.cheapest_possible_per_kg)} {words.per(story.currency, 'kg')}"
    return (
        f"No blend on this shelf that meets these goals{given(proof)} changes less than {near.proof.least:.2f} % of the fats of "
        f"{near.title} ({how}). Of those that change these fats alone, as near and with as little drift of the measures, none is cheaper "
        f"than {bound}."
    )


def given(proof: OptimalityProof) -> str:
    """What the proof takes as given beside the goals: that preferences come before the cost."""
    if not proof.preferences:
        return ""
    wishes = "preference" if proof.preferences == 1 else "preferences"
    far = "here" if proof.is_limited else "it can be" if proof.preferences == 1 else "they can be"
    return f", with the {wishes} met as far as {far},"
