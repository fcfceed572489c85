"""Bars side by side, in words: shares, alkali, superfats, measures, cost, times, and what is of animals, palm or nuts."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from optimiser.answers.compare import CENT, LETTERS, TAGS, pastes, per_kilo
from optimiser.answers.results import NoBlend
from optimiser.materials.lye import POTASSIUM, SODIUM
from optimiser.measures.differences import OF_BARS, is_felt, off_scale
from optimiser.measures.measures import measures
from optimiser.recipe import cautions, handling
from optimiser.recipe.weights import Weights
from optimiser.report import words
from optimiser.report.terminal.lye import at_top, urgent
from optimiser.report.terminal.measures import TRUST, hidden
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from optimiser.answers.compare import Bar, Compared
    from optimiser.recipe.evaluation import Judgement, Recipe

Row = tuple[str, ...]
MORE, LESS, SAME = "+", "-", " "
POUND = 453.59237  # g
NO_BLEND = "no blend"


def parts(story: Compared, _paper: Paper) -> Iterator[Part]:
    """All of it, each bar a column."""
    yield from at_top([f"{bar.letter}: {caution}" for bar in story.bars for caution in urgent_of(bar)])
    yield from head(story)
    yield from fats(story.bars)
    yield from jug(story)
    yield from what_it_will_be(story.bars)
    yield from cost(story)
    yield from times(story.bars)
    yield from contents(story.bars)
    yield from without_blend(story.bars)
    yield Line(
        "Each by itself, with all its cautions: barwright weigh RECIPE or barwright blend GOALS; first aid: barwright explain lye.",
        indent=0,
    )


def urgent_of(bar: Bar) -> Sequence[str]:
    """The cautions of a bar that go to the very top."""
    recipe, judged = bar.recipe, bar.judged
    return () if recipe is None or judged is None else urgent(recipe, judged, bar.cautions)


def head(story: Compared) -> Iterator[Part]:
    """Which bar is which, and each beside the first in a phrase."""
    first = story.first
    beside = f"each beside {first.letter}" if first is not None else ""
    yield Heading(f"{words.counted(len(story.bars), 'bar')} side by side", beside)
    for bar in story.bars:
        what = "blend of" if getattr(bar.story, "goal_file", "") else "recipe"
        yield Line(f"{bar.letter}  {bar.title} ({what} {words.path(bar.file)})", hang=3)
        if first is not None and bar is not first and bar.recipe is not None:
            yield Line(phrase(bar, first), indent=5, hang=2)
        elif bar.recipe is None:
            yield Line("No blend meets these goals: see below.", indent=5, hang=2)
    yield Gap()


def phrase(bar: Bar, first: Bar) -> str:
    """What is different about a bar, in a phrase: "harder, quicker to trace, 0.40 EUR / kg dearer than A"."""
    said = list(bar.says)
    if bar.dearer is not None and abs(bar.dearer) >= CENT:
        unit = words.per(bar.story.currency, "kg")
        said.append(f"{words.money(abs(bar.dearer))} {unit} {'dearer' if bar.dearer > 0 else 'cheaper'}")
    if not said:
        return f"No difference from {first.letter} that is sure to be noticed."
    return words.sentence(f"{', '.join(said)} than {first.letter}")


def table(name: str, bars: Sequence[Bar], rows: Sequence[Row], *, last: str = "", wraps: bool = False) -> Table:
    """A table with a column for each bar."""
    more = (Column(last, "right"),) if last else ()
    each = [Column(letter, "right", wraps=wraps) for letter in LETTERS[: len(bars)]]
    return Table((Column(name, wraps=not wraps), *each, *more), rows)


def of_each(bars: Sequence[Bar], tell: Callable[[Bar, Recipe, Judgement], str]) -> Row:
    """A cell for each bar; a dash where there is none."""
    return tuple(
        words.NOTHING if bar.recipe is None or bar.judged is None else tell(bar, bar.recipe, bar.judged) for bar in bars
    )


def fats(bars: Sequence[Bar]) -> Iterator[Part]:
    """Every fat of any bar, with its share in each; those with the most in all come first."""
    sums: dict[str, float] = {}
    for bar in bars:
        for name, share in (bar.judged.shares if bar.judged is not None else {}).items():
            sums[name] = sums.get(name, 0.0) + share

    def share_of(name: str) -> Row:
        return of_each(
            bars, lambda _, __, judged: f"{judged.shares[name]:.1f}" if name in judged.shares else words.NOTHING
        )

    yield Heading("Fats", "per cent of all fats")
    names = sorted(sums, key=lambda name: (-sums[name], name))
    yield table("fat", bars, [(name, *share_of(name)) for name in names])
    yield Gap()


def jug(story: Compared) -> Iterator[Part]:
    """Alkali, water and what goes with them for a kilo or a pound of fats, the superfats, and the cautions."""
    bars, metric = story.bars, story.units.is_metric
    weights = Weights(decimals=1) if metric else Weights(story.units.OUNCES, 2)
    each = 1.0 if metric else POUND / 1000.0
    unit = "grams for a kilo of fats" if metric else "ounces for a pound of fats"
    yield Heading("Alkali and water", unit)
    in_use = tuple(
        name for name in (SODIUM, POTASSIUM) if any(bar.recipe and alkali_of(bar.recipe, name) for bar in bars)
    )
    extras = dict.fromkeys(item.name for bar in bars if bar.recipe for item, _ in bar.recipe.additives)

    def part(told: Callable[[float], str], grams: Callable[[Recipe], float]) -> Row:
        def cell(_: Bar, recipe: Recipe, __: Judgement) -> str:
            found = grams(recipe)
            return told(each * per_kilo(recipe, found)) if found else words.NOTHING

        return of_each(bars, cell)

    rows = [
        *((name, *part(weights.alkali, partial(alkali_of, name=name))) for name in in_use),
        ("water", *part(weights.figure, lambda recipe: recipe.water)),
        *((name, *part(weights.figure, partial(held, name=name))) for name in extras),
        ("lye, %", *of_each(bars, lambda _, __, judged: f"{judged.lye_concentration:.1f}")),
        ("superfat, %", *of_each(bars, lambda _, __, judged: cautions.beside_none(judged.superfat))),
        ("  likely low", *of_each(bars, lambda _, __, judged: cautions.beside_none(judged.superfat_likely_low))),
        ("  worst case", *of_each(bars, lambda _, __, judged: cautions.beside_none(judged.superfat_worst_case))),
    ]
    yield table("", bars, rows)
    yield Line(
        f"Batches differ, so these are {unit}: to compare, not to weigh by. Alkalis are as weighed, at the purity of their shelf.",
        hang=2,
    )
    for caution in handling.in_brief_elsewhere(in_use or (SODIUM,)):
        yield Line(f"! {caution}", style="yellow", hang=2)
    yield Gap()


def alkali_of(recipe: Recipe, name: str) -> float:
    """Grams of an alkali."""
    return recipe.sodium_hydroxide if name == SODIUM else recipe.potassium_hydroxide


def held(recipe: Recipe, name: str) -> float:
    """Grams of an additive or a liquid."""
    return math.fsum(grams for item, grams in recipe.additives if item.name == name)


def what_it_will_be(bars: Sequence[Bar]) -> Iterator[Part]:
    """The measures, with a mark where one differs from the first bar's by more than it is sure to."""
    yield Heading("What the bar will be")
    rows = []

    def told(name: str) -> Row:
        return of_each(bars, lambda bar, _, judged: marked(bar, name, judged.values[name]))

    for name, measure in measures().items():
        if name in hidden(()):
            continue
        sure = f"\u00b1 {measure.uncertainty:g}" if measure.uncertainty else measure.coarse
        rows.append((measure.words, *told(name), sure))
    yield table("", bars, rows, last="each")
    yield Line(
        f"{MORE} {LESS} more or less than the first by more than the measure is sure to. {TRUST}",
        hang=2,
    )
    yield Gap()


def marked(bar: Bar, name: str, value: float) -> str:
    """A figure, and whether it differs."""
    if not math.isfinite(value) or (name in OF_BARS and pastes(bar)):
        return words.NOTHING
    off = off_scale(value).replace(" ", words.GLUE)
    by = bar.differs.get(name, 0.0)
    mark = SAME if not is_felt(name, by) else MORE if by > 0 else LESS
    told = off or f"{value:.1f}"
    return f"{told}{words.GLUE}{mark}" if mark != SAME else f"{told}{words.GLUE * 2}"


def cost(story: Compared) -> Iterator[Part]:
    """What a kilo and a bar cost, where a shelf says."""
    bars = story.bars
    if all(bar.cost is None for bar in bars):
        return
    currencies = dict.fromkeys(bar.story.currency for bar in bars if bar.cost is not None)
    yield Heading("What it costs", "; ".join(filter(None, currencies)))

    def told(value: Callable[[Bar], str]) -> Row:
        return tuple(words.NOTHING if bar.cost is None else value(bar) for bar in bars)

    rows = [
        ("a kilo of cured bar", *told(lambda bar: words.money(bar.cost.per_kg if bar.cost else math.nan))),
        (
            "a bar",
            *told(
                lambda bar: words.NOTHING if pastes(bar) else words.money(bar.cost.per_bar if bar.cost else math.nan)
            ),
        ),
        (
            "a bar weighs",
            *told(
                lambda bar: (
                    words.bar_weights(story.units).told(bar.cost.bar_grams, words.GLUE)
                    if bar.cost and not pastes(bar)
                    else words.NOTHING
                )
            ),
        ),
    ]
    if len(currencies) > 1:
        rows.append(("money", *told(lambda bar: bar.story.currency or words.NOTHING)))
    yield table("", bars, rows)
    yield Gap()


def times(bars: Sequence[Bar]) -> Iterator[Part]:
    """How long each is likely to take."""
    yield Heading("How long it takes")
    rows = []
    for name, told in (("blend", "to trace"), ("workable", "workable"), ("unmould", "unmould"), ("cure", "cure")):

        def of(bar: Bar, name: str = name) -> str:
            found = getattr(bar.times, name)
            return words.NOTHING if found is None else found.said().split(",")[0]

        rows.append((told, *(of(bar) for bar in bars)))
    yield table("", bars, rows, wraps=True)
    yield Line("By rules of thumb where there are no trials of your own.")
    yield Gap()


def contents(bars: Sequence[Bar]) -> Iterator[Part]:
    """What is of animals, of palm, of nuts."""
    yield Heading("What is in it")

    def of(bar: Bar, tag: str) -> str:
        return words.NOTHING if bar.recipe is None else "yes" if bar.contains.get(tag) else "no"

    yield table("", bars, [(tag, *(of(bar, tag) for bar in bars)) for tag in TAGS])
    yield Gap()


def without_blend(bars: Sequence[Bar]) -> Iterator[Part]:
    """Of goal files that no blend meets, what clashes first."""
    for bar in bars:
        if not isinstance(bar.story, NoBlend):
            continue
        clash = bar.story.clashes[0] if bar.story.clashes else ()
        said = words.joined([words.in_sentence(member.said) for member in clash])
        told = f": {said} cannot {'both' if len(clash) == 2 else 'all'} hold" if len(clash) > 1 else f": {said}"
        more = len(bar.story.clashes) - 1
        others = f"; {words.counted(more, 'more clash', 'more clashes')}" if more > 0 else ""
        yield Line(f"{bar.letter}: no blend{told if said else ''}{others}. Ways out:", indent=0, hang=3)
        yield Line(f"barwright blend {words.quoted(bar.file)}", style="bold", whole=True)
        yield Gap()
