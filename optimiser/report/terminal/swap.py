"""What to use in place of a fat, in words: the old bar, then each answer with its alkali first, and what will be different."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from optimiser.answers.swap_results import COMES_NEAREST, ONE_FOR_ONE
from optimiser.recipe import cautions
from optimiser.recipe.changes import lot_shares
from optimiser.recipe.weights import finer, of_fats, of_jug
from optimiser.report import words
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal.no_blend import reaches
from optimiser.report.terminal.no_blend import sentence as clash_sentence
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.swap_results import SwapAnswer, Swapped
    from optimiser.recipe.evaluation import Recipe

TOLD_CLASHES = 3


def parts(story: Swapped, *, full: bool = False, typed: str = "") -> Iterator[Part]:
    """The whole answer; `typed` are options that a command to be copied repeats."""
    if not story.fits:
        yield Line(nothing_fits(story), style="bold red", indent=0)
        yield Gap()
    yield from head(story)
    yield from overview(story)
    for number, answer in enumerate(story.answers, start=1):
        yield from told(story, answer, number, full=full)
    yield from clashes(story, full=full)
    if story.notes:
        yield Heading("Notes")
        yield from (Line(words.sentence(note), hang=2) for note in story.notes)
        yield Gap()
    yield from handling(story)
    yield from next_step(story, typed)


def nothing_fits(story: Swapped) -> str:
    """That no answer keeps what was asked, and what is told in its place."""
    out = words.joined(story.out)
    kept = "meets the goals" if story.goal_file else "does all that the old bar did"
    if not story.answers:
        return f"Without {out} nothing on this shelf makes this bar."
    return f"Without {out} no blend of this shelf {kept}; below is what comes nearest."


def head(story: Swapped) -> Iterator[Part]:
    """What is swapped, over which shelf, and what the old bar was."""
    yield Heading(f"{story.title or 'Untitled recipe'}, without {words.joined(story.out)}", "swap")
    yield Line(words.path(story.recipe_file))
    yield Line(f"over {story.shelf_title}")
    shares = [f"{fat} {share:.1f} %".replace(".0 %", " %") for fat, share in lot_shares(story.old.recipe).items()]
    jug = of_jug(story.old.recipe)
    weights = words.joined([f"{jug.alkali_told(grams)} of {name}" for name, grams in alkalis(story.old.recipe)])
    yield Line(f"The old bar: {words.joined(shares)}; {weights}.", hang=2)
    if story.keep:
        yield Line(f"Kept as it is: {words.joined(story.keep)}.", hang=2)
    yield Gap()


def overview(story: Swapped) -> Iterator[Part]:
    """Every answer in a line: what comes in, alkali, cost, and whether it keeps what was asked."""
    if not story.answers:
        return
    priced = any(answer.story.cost is not None for answer in story.answers)
    yield Heading("Answers", f"alkali and {words.heading_per(story.currency, 'kg')}" if priced else "alkali")
    rows = []
    for number, answer in enumerate(story.answers, start=1):
        cost = answer.story.cost
        coming = words.joined(
            [
                f"{item.fat} +{item.after - item.before:.1f} %".replace(".0 %", " %")
                for item in answer.changed
                if item.after > item.before
            ]
        )
        rows.append(
            (
                f"{number}.",
                f"{answer.label}: {coming}",
                alkali_change(story, answer),
                *((words.money(cost.per_kg) if cost is not None else "",) if priced else ()),
                kept(answer),
            )
        )
    money = (Column("cost", "right"),) if priced else ()
    yield Table(
        (
            Column(),
            Column("in its place", wraps=True),
            Column("alkali", "right"),
            *money,
            Column("the bar", wraps=True),
        ),
        rows,
    )
    yield Gap()


def kept(answer: SwapAnswer) -> str:
    """Whether an answer keeps what was asked, and the first of what it does not."""
    if answer.fits:
        return "holds"
    more = f" and {len(answer.misses) - 1} more" if len(answer.misses) > 1 else ""
    return f"not {answer.misses[0]}{more}" if answer.misses else "not all"


def alkali_change(story: Swapped, answer: SwapAnswer) -> str:
    """How much more alkali an answer takes; of each where there are two."""
    old, new = story.old.recipe, answer.story.recipe
    jug = finer(of_jug(old), of_jug(new))
    pairs = ((old.sodium_hydroxide, new.sodium_hydroxide), (old.potassium_hydroxide, new.potassium_hydroxide))
    return jug.change_told(0.0, math.fsum(jug.change(*pair, alkali=True) for pair in pairs) * jug.units.grams)


def alkalis(recipe: Recipe) -> list[tuple[str, float]]:
    """Each alkali of a recipe with its grams."""
    pairs = (("sodium hydroxide", recipe.sodium_hydroxide), ("potassium hydroxide", recipe.potassium_hydroxide))
    return [(name, grams) for name, grams in pairs if grams > 0]


def told(story: Swapped, answer: SwapAnswer, number: int, *, full: bool) -> Iterator[Part]:
    """One answer: alkali, fats, what is different."""
    fit = (
        "" if answer.fits else f"does not keep: {words.joined(answer.misses)}" if answer.misses else "does not keep all"
    )
    yield Heading(f"{number}. {words.sentence(title_of(answer)).rstrip('.')}", fit)
    if answer.same_as:
        yield Line(f"The same recipe as {answer.same_as}.", hang=2)
        yield from proof(story, answer)
        yield Gap()
        return
    recipe = answer.story.recipe
    yield from text_lye.at_top(urgent(answer))
    yield Line(alkali_line(story, answer), style="bold", hang=2)
    if answer.label == ONE_FOR_ONE and not full:
        yield Line(in_place(answer), hang=2)
    else:
        yield Gap()
        yield fats(answer)
        yield Gap()
    for heading, lines in (
        ("What it brings", answer.brings),
        ("At the bench", answer.bench),
        ("In the bar", answer.bar),
    ):
        if lines:
            yield Line(f"{heading}:", style="bold")
            yield from (Line(f"- {line}", indent=4, hang=2) for line in lines)
    yield from proof(story, answer)
    yield from (Line(words.sentence(note), hang=2) for note in answer.notes)
    said = {*urgent(answer), *cautions.standing(recipe)}
    said |= {*of_all(story)}
    yield from (Line(f"! {item}", style="yellow", hang=2) for item in answer.story.cautions if item not in said)
    yield Gap()


def urgent(answer: SwapAnswer) -> Sequence[str]:
    """The cautions of an answer that go before its figures."""
    return text_lye.urgent(answer.story.recipe, answer.story.judgement, answer.story.cautions)


def of_all(story: Swapped) -> tuple[str, ...]:
    """The cautions that every answer gives cause to in the same words: told once for all of them."""
    each = [answer.story.cautions for answer in story.answers]
    return tuple(item for item in each[0] if all(item in other for other in each)) if len(each) > 1 else ()


def title_of(answer: SwapAnswer) -> str:
    """What an answer is called; a single stand-in by its name."""
    if answer.label != ONE_FOR_ONE:
        return answer.label
    return f"{answer.label}: {words.joined([item.fat for item in answer.changed if item.after > item.before])}"


def alkali_line(story: Swapped, answer: SwapAnswer) -> str:
    """The alkali first: what is weighed now, and by how much that is another; then the superfats and the water."""
    old, recipe, judged = story.old.recipe, answer.story.recipe, answer.story.judgement
    jug, before = finer(of_jug(old), of_jug(recipe)), dict(alkalis(old))
    weights = [
        f"{name} {jug.alkali_told(grams)} ({jug.by(before.get(name, 0.0), grams, alkali=True)})"
        for name, grams in alkalis(recipe)
    ]
    weights += [f"{name} {jug.told(now)} ({jug.by(was, now)})" for name, was, now in poured(recipe, old)]
    superfat = text_lye.superfat_sentence(judged)
    return f"{words.sentence(', '.join(weights))} {superfat}"


def poured(recipe: Recipe, old: Recipe) -> Iterator[tuple[str, float, float]]:
    """Water and each liquid that stands for it: grams before, and now."""
    was = {item.name: grams for item, grams in old.liquids}
    if recipe.water or old.water or not recipe.liquids:
        yield "water", old.water, recipe.water
    for item, grams in recipe.liquids:
        yield item.name, was.get(item.name, 0.0), grams


def in_place(answer: SwapAnswer) -> str:
    """What is weighed of a single stand-in, in place of what; the rest is as it was."""
    weights = of_fats(answer.story.recipe)
    coming = [
        f"{weights.told(item.grams_after)} of {item.fat}"
        + (f" (was {weights.told(item.grams_before)})" if item.before > 0.0 else "")
        for item in answer.changed
        if item.after > item.before
    ]
    going = [f"{weights.told(item.grams_before)} of {item.fat}" for item in answer.changed if item.after <= 0.0]
    return f"{words.joined(coming)} in place of {words.joined(going)}; the other fats as they are."


def fats(answer: SwapAnswer) -> Table:
    """Every fat as it is weighed, and what changed of it."""
    recipe = answer.story.recipe
    weights = of_fats(recipe)
    changed = {item.fat: item for item in answer.changed}
    rows = [
        (
            fat.name,
            f"{100.0 * grams / recipe.fat_grams:.1f} %",
            weights.figure(grams, words.GLUE),
            was(changed[fat.name].before) if fat.name in changed else "",
        )
        for fat, grams in sorted(recipe.fats, key=lambda item: (-item[1], item[0].name))
    ]
    gone = [item for item in answer.changed if item.after <= 0.0]
    rows += [(item.fat, "out", "", was(item.before)) for item in gone]
    columns = (
        Column("fat", wraps=True),
        Column("share", "right"),
        Column(weights.head, "right"),
        Column("", wraps=True),
    )
    return Table(columns, rows)


def was(share: float) -> str:
    """What a share was before."""
    return f"was {share:.1f} %" if share > 0.0 else "new"


def proof(story: Swapped, answer: SwapAnswer) -> Iterator[Part]:
    """How far it is from the old bar, and what is proved of that."""
    money = f" {story.currency}" if story.currency else ""
    line = f"{answer.moved:.1f} % of the fats changed"
    if answer.least_moved is not None:
        line += f"; no blend that keeps every figure within its +/- changes less than {floor(answer.least_moved, 1)} %"
    if answer.cheapest_possible is not None:
        asked = "meets the goals" if story.goal_file else "is no worse and moves as little"
        line += f"; none that {asked} costs less than {floor(answer.cheapest_possible, 2)}{money} / kg"
    if answer.label == COMES_NEAREST:
        line += "; what the old bar did is missed by the least sum of steps"
    if answer.label != ONE_FOR_ONE:
        yield Line(f"{line}.", hang=2)


def floor(value: float, decimals: int) -> str:
    """Rounded down, so that what is printed stays true."""
    power = 10.0**decimals
    return f"{int(value * power + 1e-6) / power:.{decimals}f}"


def clashes(story: Swapped, *, full: bool) -> Iterator[Part]:
    """Why nothing keeps what was asked: which wishes cannot hold together, and how far each could come."""
    if not story.clashes:
        return
    shown: Sequence[object] = story.clashes if full else story.clashes[:TOLD_CLASHES]
    yield Heading("Why nothing fits", words.counted(len(story.clashes), "clash", "clashes"))
    for clash in story.clashes[: len(shown)]:
        yield Line(clash_sentence(clash), style="bold", hang=2)
        yield from reaches(clash)
    if len(shown) < len(story.clashes) or not story.complete:
        yield Line("There are more: --full tells all that were found.", hang=2)
    yield Gap()


def handling(story: Swapped) -> Iterator[Part]:
    """The cautions that stand beside every alkali figure."""
    recipes = [answer.story.recipe for answer in story.answers] or [story.old.recipe]
    brief = dict.fromkeys(caution for recipe in recipes for caution in cautions.in_brief_elsewhere(recipe))
    for caution in brief:
        yield Line(f"! {caution}", style="yellow", indent=0, hang=2)
    told = {item for recipe in recipes for item in cautions.standing(recipe)}
    told |= {item for answer in story.answers for item in urgent(answer)}
    for caution in of_all(story):
        if caution not in told:
            yield Line(f"! Each of these: {caution[0].lower()}{caution[1:]}", style="yellow", indent=0, hang=2)
    yield Line(
        "Make a small batch first: figures compare bars and measure none.",
        indent=0,
        hang=2,
    )
    yield Gap()


def next_step(story: Swapped, typed: str) -> Iterator[Part]:
    """How to keep one of the answers."""
    if not story.answers or not story.recipe_file:
        return
    outs = " ".join(words.quoted(name) for name in story.out)
    yield Line("Next, to keep an answer as a recipe:", indent=0)
    keep = "".join(f" {words.quoted(name)}" for name in story.keep)
    against = f" --against {words.quoted(story.goal_file)}" if story.goal_file else ""
    units = text_lye.units_option(story.old.recipe)
    options = f"{f' --keep{keep}' if keep else ''}{against}{typed}{units}"
    line = f"barwright swap {words.quoted(story.recipe_file)} --out {outs}{options} --save 1 FILE"
    yield Line(line, style="bold", whole=True)
