"""What a sweep comes to in sentences a maker can act on, for every way in which it is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from optimiser.report import words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.sweep_results import Sweep, SweptBlend, SweptFat, SweptGoal

FORMULATE, LEAVE = 0.5, 0.1  # per cent saved on average: worth another blend, and not worth a thought
ALWAYS = 0.95  # of the scenarios: as good as whatever prices do
FEWEST = 20  # scenarios of which one in twenty is one
NINETEEN = "Nineteen scenarios in twenty leave a kilo no dearer than today."
MOST = 4  # names in one sentence
SOURCES = {
    "history": ("row of a history", "rows of a history"),
    "shocks": ("shock", "shocks"),
    "spread": ("scenario drawn", "scenarios drawn"),
}
LEVEL = "Over a history that is the level of prices in all the years told, not how far they go within some time."
WORK_OUT = (
    "Another blend takes another amount of alkali: let 'barwright blend' work it out at the new prices before you pour."
)


class Sentence(NamedTuple):
    """What to do, and a sentence about it."""

    head: str
    text: str


def per_cent(part: float) -> str:
    """A share of the scenarios (0 to 1), so that none is never said of a few."""
    if 0.0 < part < 0.005:
        return "< 1 %"
    if 0.995 <= part < 1.0:
        return "> 99 %"
    return f"{100.0 * part:.0f} %"


def saved(figure: float) -> str:
    """A saving in per cent."""
    return f"{figure:.1f} %" if abs(figure) >= 0.05 else "0.0 %"


def money(amount: float) -> str:
    """Money per kilo in three digits behind the point where it is little."""
    return words.money(amount, small=True)


def name_of(goal: SweptGoal) -> str:
    """What a bar is called."""
    return goal.title or words.path(goal.file)


def is_few(scenarios: int) -> bool:
    """Whether there are fewer than twenty, of which no twentieth can be told."""
    return scenarios < FEWEST


def highs(sweep: Sweep) -> str:
    """What "high" means in a table."""
    return "the dearest scenario" if is_bare(sweep) else "one scenario in twenty is above it"


def about(sweep: Sweep) -> str:
    """How many scenarios there are, of what."""
    noun = SOURCES[sweep.source][sweep.scenarios != 1]
    return f"{sweep.scenarios:,} {noun}".replace(",", " ")


def is_bare(sweep: Sweep) -> bool:
    """Whether there is no twentieth to tell: of few scenarios, and of shocks by name, which nobody calls likely."""
    return sweep.source == "shocks" or is_few(sweep.scenarios)


def weight(goal: SweptGoal) -> float:
    """By which saving (%) a bar is judged: the mean; of shocks by name the most, since none is said to be likely."""
    return goal.saving_most if goal.is_named else goal.saving_mean


def by_saving(sweep: Sweep) -> list[SweptGoal]:
    """The bars, those first that save most."""
    return sorted(sweep.goals, key=lambda goal: (-weight(goal), goal.file))


def how_often(part: float, goal: SweptGoal) -> str:
    """In how many of the scenarios: a share, of shocks by name a count."""
    return f"{round(part * len(goal.costs))} of {len(goal.costs)}" if goal.is_named else per_cent(part)


def to_do(sweep: Sweep) -> Iterator[Sentence]:
    """What a producer can act on, over all bars."""
    every = by_saving(sweep)
    worth = [goal for goal in every if weight(goal) >= FORMULATE]
    if worth:
        told = [
            f"{name_of(goal)} ({mean_saved(goal)}up to {saved(goal.saving_most)}{when(goal)})" for goal in worth[:MOST]
        ]
        yield Sentence("Re-formulate first", words.sentence("; ".join(told)))
    leave = [name_of(goal) for goal in every if weight(goal) < LEAVE and not goal.is_near]
    if leave:
        rest = f" and {len(leave) - 2 * MOST} more" if len(leave) > 2 * MOST else ""
        yield Sentence("Leave as they are", words.sentence(f"{', '.join(leave[: 2 * MOST])}{rest}"))
    change = [goal for goal in sweep.goals if is_to_hold(goal) and gain_of_fixed(goal) > 0.001]
    if change:
        change.sort(key=lambda goal: -gain_of_fixed(goal))
        told = [
            f"{name_of(goal)} (blend {goal.fixed.label}, {money(gain_of_fixed(goal))} less)" for goal in change[:MOST]
        ]
        text = f"if one blend is kept whatever prices do, another than today's costs less on average: {'; '.join(told)}"
        yield Sentence("Hold another blend", words.sentence(text))
    yield from buying(sweep)


def buying(sweep: Sweep) -> Iterator[Sentence]:
    """Which fats are in whatever prices do, and which put most at risk."""
    uses: dict[str, list[SweptFat]] = {}
    for goal in sweep.goals:
        for fat in goal.fats:
            uses.setdefault(fat.fat, []).append(fat)
    sure = {name: sum(one.used_in >= ALWAYS for one in every) for name, every in uses.items()}
    of = f" of {words.counted(len(sweep.goals), 'bar')}"
    told = [f"{name} ({number}{of})" if len(sweep.goals) > 1 else name for name, number in ordered(sure) if number]
    if told:
        where = (
            f"in the cheapest blend of every {'shock' if sweep.source == 'shocks' else 'scenario'}"
            if is_bare(sweep)
            else "in at least 95 of 100 scenarios"
        )
        yield Sentence("Safe to buy forward", words.sentence(f"{where}: {', '.join(told[:MOST])}"))
    risk = {name: max(one.adds for one in every) for name, every in uses.items()}
    shown = [f"{name} (+{money(add)} / kg)" for name, add in ordered(risk) if add >= 0.005]
    if shown:
        price = "dearest price" if is_bare(sweep) else "price of one scenario in twenty"
        text = f"at its {price} each alone adds up to: {', '.join(shown[:MOST])}"
        yield Sentence("Most at risk", words.sentence(text))


def ordered(figures: dict[str, float] | dict[str, int]) -> list[tuple[str, float]]:
    """The largest first, equal ones by name."""
    return sorted(figures.items(), key=lambda item: (-item[1], item[0]))


def mean_saved(goal: SweptGoal) -> str:
    """The mean saving, as a beginning; nothing of shocks by name."""
    return "" if goal.is_named else f"{saved(goal.saving_mean)} on average, "


def is_to_hold(goal: SweptGoal) -> bool:
    """Whether the blend that is best on average is one to offer: not over shocks by name, nor with pinches."""
    return not goal.is_named and not goal.fixed.pinches


def when(goal: SweptGoal) -> str:
    """In which scenario the saving was largest; nothing where scenarios have no names."""
    return f" in {goal.most_in}" if goal.most_in and not goal.most_in.isdigit() else ""


def gain_of_fixed(goal: SweptGoal) -> float:
    """How much less the blend that is best held fixed costs on average than today's."""
    return goal.kept.mean - goal.fixed.cost.mean


def at_risk(goal: SweptGoal) -> str:
    """The value at risk, in a sentence."""
    kept, made = goal.kept.at_risk, goal.remade.at_risk
    few = goal.is_named or is_few(len(goal.costs))
    if kept <= 0.0:
        return "In no scenario is a kilo dearer than today." if few else NINETEEN
    if few:
        where = f" ({goal.worst_in})" if goal.is_named else ""
        return f"At worst{where} a kilo costs {money(kept)} more than today; re-made, {money(max(0.0, made))}."
    tail = f"; re-made, {money(made)}" if made > 0.0 else "; re-made, no more than today"
    level = f" {LEVEL}" if goal.source == "history" else ""
    return f"Value at risk: in one scenario in twenty a kilo costs at least {money(kept)} more than today{tail}.{level}"


def budget(goal: SweptGoal) -> str:
    """How often the limit on the cost is not kept; nothing where there is none."""
    if goal.over is None or goal.over_kept is None:
        return ""
    noun = "shocks" if goal.is_named else "of the scenarios"
    return (
        f"Above the file's limit on the cost: today's blend in {how_often(goal.over_kept, goal)} {noun}, "
        f"every blend in {how_often(goal.over, goal)}."
    )


def how(goal: SweptGoal) -> str:
    """How sure the figures are."""
    missing = f" Of {words.counted(goal.missing, 'scenario')} the cheapest blend is not known." if goal.missing else ""
    alone = f", {words.counted(goal.alone, 'scenario')} solved by itself" if goal.alone == 1 else ""
    alone = f", {goal.alone} scenarios solved one by one" if goal.alone > 1 else alone
    sure = "searched" if goal.is_counted else "proved"
    return f"Every scenario {sure}, {words.counted(goal.different, 'blend')} in all{alone}.{missing}"


def handful(goal: SweptGoal) -> str:
    """What the blends told come to."""
    others = len(goal.blends) - 1
    if not others:
        return "No other blend saves anything worth telling."
    if goal.is_named:
        return ""
    return (
        f"With {words.counted(others, 'blend')} in the drawer beside today's you have "
        f"{per_cent(goal.handful)} of all that re-making saves."
    )


def fixed(goal: SweptGoal) -> str:
    """Which blend is best held fixed."""
    gain = gain_of_fixed(goal)
    if goal.is_named:
        return ""
    if goal.fixed.pinches:
        return f"What costs least on average, held, has a pinch of {words.joined(goal.fixed.pinches)}: none to hold as it is."
    if gain <= 0.0005:
        return "Held whatever prices do, no blend costs less on average than today's."
    return (
        f"Best held whatever prices do: blend {goal.fixed.label}, {money(gain)} / kg less on average than today's; "
        f"at worst {money(goal.fixed.regret_worst)} dearer than the cheapest."
    )


def fats_of(blend: SweptBlend) -> str:
    """The fats of a blend with their shares."""
    return ", ".join(f"{name} {share:.1f} %" for name, share in blend.fats)


def stays(fat: SweptFat) -> str:
    """Between which prices of a fat today's blend stays the cheapest."""
    low, high = fat.stays_above, fat.stays_below
    if low is None and high is None:
        return "-"
    if low is None:
        return f"up to {words.money(high or 0.0)}"
    return f"above {words.money(low)}" if high is None else f"{words.money(low)} to {words.money(high)}"


def blends_of(goal: SweptGoal) -> Sequence[SweptBlend]:
    """The blends to tell: the handful, and the one that is best held fixed where it is none of them."""
    labels = {one.label for one in goal.blends}
    return goal.blends if goal.is_named or goal.fixed.label in labels else (*goal.blends, goal.fixed)
