"""A sweep over price scenarios in words: a line for each bar, what to do, and the bars that save most in detail."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report import sweep_words as said
from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.sweep_results import Sweep, SweptGoal

IN_DETAIL = 2  # bars told in detail where there are many; all of them in full
MOST_FATS = 9  # fats of a bar; the rest in full


def parts(sweep: Sweep, *, full: bool = False) -> Iterator[Part]:
    """The table, what to do, and the bars that save most; in full every bar."""
    yield Heading(sweep.title or "Prices swept", f"{said.about(sweep)}, {words.path(sweep.prices_file)}")
    for rule in sweep.rules:
        yield Line(rule)
    yield Gap()
    if sweep.goals:
        yield from overview(sweep)
        yield Gap()
        for one in said.to_do(sweep):
            yield Line(f"{one.head}: {one.text}", hang=2)
        yield Gap()
    for missing in sweep.none:
        yield Line(f"Not swept: {words.path(missing.file)}: {missing.why}.", hang=2)
    if any(one.has_ways_out for one in sweep.none):
        yield Line("Why, and the ways out, are told by 'barwright blend' of the file.")
    if sweep.none:
        yield Gap()
    shown = sweep.goals if full else said.by_saving(sweep)[:IN_DETAIL]
    for goal in shown:
        yield from detail(goal, full=full)
    if sweep.goals:
        yield Line(f"! {said.WORK_OUT}", style="yellow", hang=2)
    if len(shown) < len(sweep.goals):
        more = words.counted(len(sweep.goals) - len(shown), "more bar")
        yield Line(f"--full tells of {more} in detail; --json tells all.")


def overview(sweep: Sweep) -> Iterator[Part]:
    """A line for each bar."""
    currencies = sorted({goal.currency for goal in sweep.goals})
    yield Heading("What a kilo of cured bar costs", words.joined(currencies))
    yield Line("Kept: today's blend whatever prices do. Re-made: the cheapest blend of each scenario.")
    if sweep.source == "shocks":
        yield from shocks_told(sweep)
        return
    yield Line(f"High: {said.highs(sweep)}. Saves: re-made beside kept.")
    yield Gap()
    columns = (
        Column("bar", wraps=True, least=20),
        Column("\ntoday", "right"),
        Column("kept:\nmean", "right"),
        Column("\nhigh", "right"),
        Column("re-made:\nmean", "right"),
        Column("\nhigh", "right"),
        Column("saves:\nmean", "right"),
        Column("\nmost", "right"),
    )
    rows = [
        (
            said.name_of(goal),
            words.money(goal.kept.today),
            words.money(goal.kept.mean),
            words.money(goal.kept.high),
            words.money(goal.remade.mean),
            words.money(goal.remade.high),
            said.saved(goal.saving_mean),
            said.saved(goal.saving_most),
        )
        for goal in sweep.goals
    ]
    yield Table(columns, rows)


def shocks_told(sweep: Sweep) -> Iterator[Part]:
    """A line for each bar over shocks by name: the worst of them, and where re-making saves most; no averages."""
    yield Line("No shock is said to be likely: there are no averages, only the worst of those told, by name.")
    yield Gap()
    columns = (
        Column("bar", wraps=True, least=14),
        Column("\ntoday", "right"),
        Column("kept:\nworst", "right"),
        Column("\nin", wraps=True, least=10),
        Column("re-made:\nworst", "right"),
        Column("saves:\nmost", "right"),
        Column("\nin", wraps=True, least=10),
    )
    rows = [
        (
            said.name_of(goal),
            words.money(goal.kept.today),
            words.money(goal.kept.worst),
            goal.worst_in,
            words.money(goal.remade.worst),
            said.saved(goal.saving_most),
            goal.most_in,
        )
        for goal in sweep.goals
    ]
    yield Table(columns, rows)


def detail(goal: SweptGoal, *, full: bool) -> Iterator[Part]:
    """One bar: its risk, the blends that matter, its fats, and what was held."""
    yield Heading(said.name_of(goal), words.path(goal.file))
    for sentence in (said.at_risk(goal), said.budget(goal), said.handful(goal), said.fixed(goal)):
        if sentence:
            yield Line(sentence, hang=2)
    yield Gap()
    yield from blends(goal)
    yield Gap()
    yield from fats(goal, full=full)
    for sentence in (*goal.held, said.how(goal)):
        yield Line(sentence, hang=2)
    yield Gap()


def blends(goal: SweptGoal) -> Iterator[Part]:
    """The blends that matter."""
    costs = (Column("\nworst", "right"),) if goal.is_named else (Column("\nmean", "right"), Column("\nhigh", "right"))
    columns = (Column("blend"), Column("best of\nthese in", "right"), *costs, Column("\nof", wraps=True, least=24))
    rows = []
    for one in said.blends_of(goal):
        label = f"{one.label} today" if one.label == "A" else f"{one.label} held" if one is goal.fixed else one.label
        pinch = f"; of {words.joined(one.pinches)} a pinch" if one.pinches else ""
        best = "-" if one is goal.fixed and one not in goal.blends else said.how_often(one.best_in, goal)
        shown = (one.cost.worst,) if goal.is_named else (one.cost.mean, one.cost.high)
        rows.append((label, best, *map(said.money, shown), f"{said.fats_of(one)}{pinch}"))
    yield Table(columns, rows)


def fats(goal: SweptGoal, *, full: bool) -> Iterator[Part]:
    """How often each fat is in, and its break-even prices."""
    shown = goal.fats if full else goal.fats[:MOST_FATS]
    columns = (
        Column("fat", wraps=True, least=14),
        Column("share\ntoday", "right"),
        Column("in of all\nscenarios", "right"),
        Column("share\nthen", "right"),
        Column("price\ntoday", "right"),
        Column("today's blend stays\nthe cheapest at"),
    )
    rows = [
        (
            fat.fat,
            f"{fat.share:.1f} %" if fat.share else "-",
            said.how_often(fat.used_in, goal),
            f"{fat.share_used:.1f} %" if fat.used_in else "-",
            words.money(fat.price),
            said.stays(fat),
        )
        for fat in shown
    ]
    yield Table(columns, rows)
    if len(shown) < len(goal.fats):
        yield Line(f"{len(goal.fats) - len(shown)} more fats come in at times: --full tells which.")
    yield Gap()
