"""What to use in place of fats that ran out: like for like, nearest in function, cheapest; alkali worked out again for each."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from optimiser.analysis.old_bar import ALL_STATES, OldBar
from optimiser.analysis.stand_ins import StandIn, stand_ins
from optimiser.answers.asked import begin
from optimiser.answers.results import ClashMember, WeighedRecipe
from optimiser.answers.swap_bench import bench_of
from optimiser.answers.swap_checks import hold_mass
from optimiser.answers.swap_choices import Bench, Chosen, cheapest_of, nearest_of, to_goals
from optimiser.answers.swap_results import (
    CHEAPEST,
    COMES_NEAREST,
    NEAREST,
    ONE_FOR_ONE,
    SwapAnswer,
    Swapped,
)
from optimiser.answers.swap_says import bar as of_bar
from optimiser.answers.swap_says import bench as of_bench
from optimiser.answers.swap_says import states
from optimiser.answers.weigh import weighed
from optimiser.files.swap_question import SwapQuestion, read_swap, told_apart
from optimiser.materials.standing_in import ANIMAL, brought
from optimiser.measures.differences import deviations, differences, functions
from optimiser.problem.limits import NOWHERE, as_limit
from optimiser.problem.near import drifting
from optimiser.problem.question import InHand
from optimiser.problem.recipe import RecipeSheet, Weighed
from optimiser.problem.shelf import Shelf
from optimiser.problem.units import Units
from optimiser.recipe.changes import changed_fats, lot_shares, measure_changes, moved

SHOWN = 3  # single stand-ins told
ALIKE = 6.0  # per cent of the acids: another pressing of the same oil is as near as this, and is told
FREE = "What of the recipe is not on the shelf has no price: its own share is reckoned as costing nothing."
SAME_SHARE = 0.05  # per cent of the fats: two recipes nearer than this are one, and a change below it is none


def swap(
    recipe_file: Path,
    out: Sequence[str],
    *,
    keep: Sequence[str] = (),
    shelf_file: Path | None = None,
    goal_file: Path | None = None,
    units: Units | None = None,
) -> Swapped:
    """What to use in place of fats that ran out of a recipe file.

    Args:
        recipe_file: the recipe in hand.
        out: fats of it that ran out, by any of their names; one name alone will do as a text.
        keep: fats of it that stay at the very share.
        shelf_file: used in place of what the recipe names; without any, the nearest, and without that the fats that any
            supplier has, and no prices.
        goal_file: what the cheapest answer is to meet, in place of the old bar's own figures.
        units: what weights are told in, in place of what the shelf says.

    Raises:
        BadInput: with every fault of the files or names.
        SolverFault: the solver failed.

    >>> from pathlib import Path
    >>> import optimiser
    >>> found = optimiser.swap(Path("examples/recipes/all-purpose.yaml"), "palm oil")
    >>> [answer.label for answer in found.answers][0]
    'one for one'
    """
    names, kept = ((item,) if isinstance(item, str) else tuple(item) for item in (out, keep))
    return swapped(read_swap(recipe_file, names, kept, shelf_file, goal_file, begin, units=units))


def swap_for(recipe: RecipeSheet, shelf: Shelf | None, out: Sequence[str], *, keep: Sequence[str] = ()) -> Swapped:
    """The same for a recipe and a shelf as values, whoever made them.

    Args:
        recipe: read from a file, or made by `recipe_of`.
        shelf: what there is; None takes the fats that any supplier has, without prices.
        out: as in `swap`.
        keep: as in `swap`.

    Raises:
        BadInput: a name is unknown, not in the recipe, out and kept at once, or all fats are out.
        SolverFault: the solver failed.

    >>> from optimiser import recipe_of, swap_for
    >>> found = swap_for(recipe_of({"olive oil": 700, "palm oil": 300}, superfat=5), None, ["palm oil"])
    >>> round(found.answers[0].moved)
    30
    """
    names, kept = ((item,) if isinstance(item, str) else tuple(item) for item in (out, keep))
    if shelf is not None and recipe.units == Units.GRAMS:
        recipe = recipe._replace(units=shelf.units)
    return swapped(told_apart(InHand(recipe, None, shelf), names, kept))


def swapped(question: SwapQuestion) -> Swapped:
    """The answers, each with what will be different, and why nothing fits where nothing does."""
    asked = question.asked
    bench = bench_of(question)
    old = weighed(bench.asked, asked.recipe.path, advise=False)
    found: list[SwapAnswer] = []
    singles = tuple(single(bench, old))
    for answer in (*singles, *bounded(tuple(few(bench, old)), singles), *cheap(bench, old)):
        told = cheapest_that_keeps(answer, found) if answer.label == CHEAPEST else answer
        found.append(told._replace(same_as=seen_before(told, found)))
    clashes, complete_ = ((), True) if any(answer.fits for answer in found) else why_none(bench)
    return Swapped(
        title=asked.recipe.title,
        currency="" if asked.shelf is None else asked.shelf.currency,
        recipe_file=asked.recipe.path,
        shelf_title=bench.shelf.title,
        shelf_file="" if asked.shelf is None else asked.shelf.path,
        out=question.out,
        keep=question.keep,
        old=old,
        answers=tuple(found),
        clashes=clashes,
        complete=complete_,
        notes=(*question.notes, *bench.notes),
        warnings=asked.warnings,
        goal_file="" if asked.goals is None else asked.goals.path,
    )


# -- one for one ---------------------------------------------------------------------------------------------------


def single(bench: Bench, old: WeighedRecipe) -> Iterator[SwapAnswer]:
    """The best single stand-ins at the same share, ranked; of several fats that are out, the best of each together."""
    lists = [picked(ranked(bench, name)) for name in bench.bar.out]
    if not all(lists):
        return
    for place in range(len(lists[0]) if len(lists) == 1 else 1):
        chosen = [found[place] for found in lists]
        grams = {fat.name: weight for fat, weight in bench.bar.recipe.fats if fat.name not in bench.bar.out}
        for name, item in zip(bench.bar.out, chosen, strict=True):
            weight = next(weight for fat, weight in bench.bar.recipe.fats if fat.name == name)
            grams[item.fat.name] = grams.get(item.fat.name, 0.0) + weight
        notes = tuple(str(as_limit(rule).said) for item in chosen for rule in item.breaks)
        yield answer_of(bench, old, ONE_FOR_ONE, Chosen(grams))._replace(notes=notes)


def ranked(bench: Bench, name: str) -> tuple[StandIn, ...]:
    """Every fat that there is enough of in place of one, the best first."""
    bar = bench.bar
    out = next(fat for fat, _ in bar.fats if fat.name == name)
    need = next(weight for fat, weight in bar.recipe.fats if fat.name == name) / 1000.0
    own = {fat.name: weight / 1000.0 for fat, weight in bar.recipe.fats}
    there = [
        item.fat
        for item in bench.candidates
        if (item.stock_kg is None or item.stock_kg >= need + own.get(item.fat.name, 0.0)) and bench.has(item.fat.name)
    ]
    return stand_ins(out, bar.fats, there, bench.prices, cure_weeks=bar.recipe.cure_weeks, tags=tags_of_extras(bar))


def tags_of_extras(bar: OldBar) -> frozenset[str]:
    """What the additives and liquids of a bar bear."""
    return frozenset[str]().union(*(item.tags for item, _ in bar.recipe.additives))


def picked(found: Sequence[StandIn]) -> tuple[StandIn, ...]:
    """The few to tell: the first, the next that are not far worse, the likest in acids, and what would be first for who minds nothing."""
    if not found:
        return ()
    first = found[0]
    once = {item.fat.group: item for item in reversed(found)}  # of one oil and its infusions the best alone
    found = [item for item in found if once[item.fat.group] is item]
    near = [item for item in found if bool(item.breaks) == bool(first.breaks) and item.steps <= first.steps + 1]
    chosen = near[:SHOWN]
    as_good = [item for item in found if item.form <= first.form and item.steps <= first.steps and not item.breaks]
    offered = [item for item in as_good if item.brings and all(state.offered for state in item.brings)]
    free = min(offered, key=lambda item: item._replace(brings=()).rank, default=first)
    alike = [item for item in found if item.acids <= ALIKE and not (item.form or item.brings or item.breaks)]
    likest = min(alike, key=lambda item: item.acids, default=first)
    for item in (likest, free):
        if all(item is not one for one in chosen):
            chosen = [*chosen, item]
    return tuple(chosen)


# -- blends --------------------------------------------------------------------------------------------------------


def few(bench: Bench, old: WeighedRecipe) -> Iterator[SwapAnswer]:
    """Few fats, each function within its own +/-, the fewest grams moved; where none is, what comes nearest to that."""
    found = nearest_of(bench)
    if found is not None:
        label = NEAREST if found.fits else COMES_NEAREST
        least = 100.0 * found.least_moved if found.fits else None
        answer = answer_of(bench, old, label, found)
        yield answer._replace(fits=answer.fits and found.fits, least_moved=least)


def bounded(nearest: Sequence[SwapAnswer], singles: Sequence[SwapAnswer]) -> Iterator[SwapAnswer]:
    """The nearest blend, or the stand-in that keeps the bar with fewer grams moved, or where the blend does not keep it.

    The model holds a blend to more than a bar is told to keep: to both sides of each function, and to the rules of the house.
    """
    keeping = [answer for answer in singles if answer.fits]
    best = min(keeping, key=lambda answer: (round(answer.moved, 1), answer.drift), default=None)
    for answer in nearest:
        if best is None or (answer.fits and answer.moved <= best.moved + SAME_SHARE):
            yield answer
        else:
            yield best._replace(label=NEAREST)


def cheap(bench: Bench, old: WeighedRecipe) -> Iterator[SwapAnswer]:
    """The cheapest blend that is no worse than the old bar by more than each function's own +/-, or that meets the goals."""
    if bench.asked.shelf is None:
        return
    found = to_goals(bench) if bench.asked.goals is not None else cheapest_of(bench)
    if found is None:
        return
    answer = answer_of(bench, old, CHEAPEST, found)
    if answer.story.cost is None:
        yield answer._replace(notes=(FREE,))
    else:
        yield answer._replace(cheapest_possible=found.least_cost)


def cheapest_that_keeps(answer: SwapAnswer, others: Sequence[SwapAnswer]) -> SwapAnswer:
    """The cheapest of all answers that keep what was asked, under the name of the cheapest: the one found, or one told before it.

    A blend is looked for within each function's very +/-, and a single stand-in may miss it by what a balance blurs.
    """
    priced = [(one.story.cost.per_kg, one) for one in others if one.fits and one.story.cost is not None]
    cost, least = min(priced, key=lambda item: item[0], default=(math.inf, answer))
    if answer.story.cost is None or (answer.fits and answer.story.cost.per_kg <= cost):
        return answer
    return least._replace(label=CHEAPEST, least_moved=None, cheapest_possible=None)


# -- telling -------------------------------------------------------------------------------------------------------


def answer_of(
    bench: Bench,
    old: WeighedRecipe,
    label: str,
    found: Chosen,
) -> SwapAnswer:
    """A recipe of other fats, with the alkali and the water that its superfat and lye ask for, and all that is different.

    Args:
        bench: what is asked.
        old: the recipe whose place it takes.
        label: what it is called.
        found: its fats, where the rest follows from the old recipe, or all of it.

    Raises:
        Disagreement: the recipe is not what was asked for, and is not shown.
    """
    asked, bar = bench.asked, bench.bar
    made = refilled(bar, found.grams) if found.sheet is None else found.sheet
    story = weighed(asked._replace(recipe=made), bar.sheet.path, advise=False)
    superfat = bar.superfat if found.superfat is None else found.superfat
    hold_mass(bar.recipe, story.recipe, story.judgement, superfat, found.step)
    grams_of = tuple({fat.name: weight for fat, weight in recipe.fats} for recipe in (bar.recipe, story.recipe))
    changed = changed_fats(bar.shares, lot_shares(story.recipe), (grams_of[0], grams_of[1]), same=SAME_SHARE)
    sodium = story.recipe.sodium_hydroxide - bar.recipe.sodium_hydroxide
    potassium = story.recipe.potassium_hydroxide - bar.recipe.potassium_hydroxide
    ends = states(bar.recipe, story.recipe)
    return SwapAnswer(
        label=label,
        sheet=made,
        story=story,
        changed=changed,
        alkali_change=round(sodium + potassium, 6),
        sodium_change=round(sodium, 6),
        potassium_change=round(potassium, 6),
        water_change=round(story.recipe.water - bar.recipe.water, 6),
        moved=moved(bench.near, story.recipe),
        drift=deviations(measure_changes(bench.near, story.judgement, drifting())),
        bench=of_bench(old, story),
        bar=of_bar(old, story),
        brings=ends,
        fits=not missed(bench, story),
        misses=missed(bench, story),
    )


def refilled(bar: OldBar, grams: Mapping[str, float]) -> RecipeSheet:
    """The recipe with other fats; superfat, potassium and strength of the lye are as they were, and the alkali follows."""
    return bar.sheet._replace(
        fats=tuple(Weighed(name, weight, NOWHERE) for name, weight in grams.items() if weight > 0.0),
        alkali=(),
        superfat=bar.superfat,
        potassium_share=min(100.0, bar.judged.values["potassium_share"])
        if bar.sheet.alkali
        else bar.sheet.potassium_share,
        water_g=None,
        lye_concentration=bar.lye_concentration,
    )


def missed(bench: Bench, story: WeighedRecipe) -> tuple[str, ...]:
    """What a bar misses of what was asked: goals, or functions that are worse by more than their own +/-, or states that it ends."""
    if bench.asked.goals is not None:
        if story.meets_goals:
            return ()
        lost = (item.said.subject for item in story.goals if not item.gives_way and not item.holds_when_weighed)
        return tuple(dict.fromkeys(lost)) or ("all goals",)
    bar = bench.bar
    found = differences(bar.judged.values, story.judgement.values, functions())
    worse = [item.measure.words for item in found if item.is_felt and item.change.worse]
    ended = [
        f"free from {state.tag}{' fat' if state.tag == ANIMAL else ''}"
        for fat, _ in story.recipe.fats
        for state in brought(bar.tags, fat)
        if state.holds in ALL_STATES
    ]
    return tuple(dict.fromkeys((*ended, *worse, *(("a safe superfat",) if story.is_unfit else ()))))


def seen_before(answer: SwapAnswer, others: Sequence[SwapAnswer]) -> int:
    """The number of the answer that is the same recipe, from 1; 0 where there is none."""
    mine = lot_shares(answer.story.recipe)
    for place, other in enumerate(others, start=1):
        theirs = lot_shares(other.story.recipe)
        if all(abs(mine.get(name, 0.0) - theirs.get(name, 0.0)) <= SAME_SHARE for name in {*mine, *theirs}):
            return place
    return 0


def why_none(bench: Bench) -> tuple[tuple[tuple[ClashMember, ...], ...], bool]:
    """Which wishes cannot hold together, each clash in the maker's words."""
    from optimiser.answers.no_blend import clashes_of, members_of
    from optimiser.solve.oracle import Oracle
    from optimiser.solve.outcomes import Work

    programme = bench.unmet()
    if programme is None:
        return (), True
    found = clashes_of(programme)
    oracle = Oracle(programme, Work(0.4e6))
    return tuple(members_of(oracle, clash) for clash in found.clashes[:6]), found.complete and len(found.clashes) <= 6
