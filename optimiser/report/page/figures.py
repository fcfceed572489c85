"""What the bar will be, how it stands against the goals, and what it costs, word by word."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from optimiser.answers.results import Blend
from optimiser.problem.wishes import Origin
from optimiser.recipe.kinds import is_paste
from optimiser.report import words
from optimiser.report.page.gauges import gauge
from optimiser.report.terminal import blend as text_blend
from optimiser.report.terminal import goals as text_goals
from optimiser.report.terminal import measures as text_measures
from optimiser.report.terminal import verdicts as text_verdicts
from optimiser.report.terminal.gauges import HUNDRED, scale_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.results import CostFigures, GoalLine, PreferenceLine, WeighedRecipe
    from optimiser.answers.sheet import MakingSheet
    from optimiser.answers.weighed_lines import MeasureLine
    from optimiser.report.page.setting import Setting

PINCH = "no pinch of "
BINDS, MET, BROKEN = "binds", "met", "missed as weighed"
SIGNS = (
    "Diamond: this bar. Brackets and the heavy line between them: what goals and practice leave. Ticks: edges of bands."
)


class Gauged(NamedTuple):
    """A measure: its words, value, drawing, limits, band, how sure it is."""

    words: str
    value: str
    drawing: str
    limits: str
    band: str
    spread: str


class GoalRow(NamedTuple):
    """A wish: whose, its words, where the bar stands, whether it binds, and what a kilo would be cheaper without it."""

    whose: str
    says: str
    here: str
    mark: str
    saves: str


class Cost(NamedTuple):
    """What it costs: in a sentence, per kilo, what of it each fat is, and what is proved."""

    per_kg: str
    sentence: str
    parts: str
    proof: str


def gauged(sheet: MakingSheet, setting: Setting) -> tuple[tuple[Gauged, ...], str]:
    """The measures that are known, and what their signs mean; none where no measure is."""
    story, values = sheet.story, sheet.judged.values
    named = text_goals.named(story.goals, story.preferences)
    told = [line for line in story.measures if line.id not in text_measures.hidden(named)]
    known = [line for line in told if not math.isnan(line.value)]
    if not known:
        return (), "Not known: of a fat in it a saponification value alone is known, and that tells no measure."
    gone = [line.words for line in told if line not in known]
    odd = [f"{line.words} runs from 0 to {scale_of(line):g}" for line in known if scale_of(line) != HUNDRED]
    missing = (
        f" Not told of {'a paste' if is_paste(sheet.recipe, values) else 'it'}: {', '.join(gone)}." if gone else ""
    )
    legend = f"{SIGNS} Scales run from 0 to 100{'; ' if odd else ''}{words.joined(odd)}. {text_measures.TRUST}{missing}"
    return tuple(measure_row(line, setting) for line in known), setting.own(legend)


def measure_row(line: MeasureLine, setting: Setting) -> Gauged:
    """One measure."""
    return Gauged(
        *(setting.own(line.words), setting.own(text_measures.on_scale(line)), gauge(line)),
        *(setting.own(limits_of(line)), line.band, text_measures.spread(line)),
    )


def limits_of(line: MeasureLine) -> str:
    """The limits set on a measure."""
    low, high = line.low_limit, line.high_limit
    if low is not None and high is not None:
        return f"{low:g}" if low == high else f"{low:g} to {high:g}"
    if low is not None:
        return f"at least {low:g}"
    return "" if high is None else f"at most {high:g}"


def goal_rows(story: Blend | WeighedRecipe, setting: Setting) -> tuple[GoalRow, ...]:
    """The maker's wishes in their order, the two sides of one together, then what else costs something, then preferences."""
    goals = [text_goals.in_pounds(goal) for goal in story.goals] if not story.recipe.units.is_metric else story.goals
    return tuple(GoalRow(*map(setting.own, row)) for row in (*_wishes(goals), *map(preference_row, story.preferences)))


def _wishes(goals: Sequence[GoalLine]) -> Iterator[GoalRow]:
    groups: dict[tuple[str, str], list[GoalLine]] = {}
    gone = [goal for goal in goals if shows(goal) and text_goals.is_left_out(goal)]
    for goal in goals:
        if shows(goal) and goal not in gone:
            groups.setdefault((goal.figure, words.both_sides(goal.said)), []).append(goal)
    for (_, whole), sides in groups.items():
        first = max(sides, key=lambda side: (text_goals.stands_at_limit(side), not side.holds_when_weighed))
        says = words.glued(whole) if len(sides) > 1 else text_goals.said(first)
        here = "" if first.origin == Origin.EXCLUSION else text_goals.here(first)
        yield GoalRow(whose(first), says, here, mark(sides), saves(sides))
    if gone:  # fats of which there would be but a pinch are one rule of the house
        fats = words.joined([words.without_house(goal.said).removeprefix(PINCH) for goal in gone])
        yield GoalRow(whose(gone[0]), f"{PINCH}{fats}", "", mark(gone), saves(gone))


def shows(goal: GoalLine) -> bool:
    """Whether a wish has a row: all that the maker asks, and of the rest what costs something."""
    own = not (
        text_goals.is_house(goal) or text_goals.is_of_the_shelf(goal) or goal.origin in (Origin.DESIGN, Origin.STOCK)
    )
    return own or text_goals.is_told(goal)


def whose(goal: GoalLine) -> str:
    """The line of the goal file, or whose wish it is."""
    if goal.origin == Origin.DESIGN:
        return "design"  # its words say which, or for whom
    told = text_goals.place(goal)
    return f"line {told}" if told.isdigit() else told


def mark(sides: Sequence[GoalLine]) -> str:
    """How a wish stands."""
    if not all(side.holds_when_weighed for side in sides):
        return BROKEN
    if all(side.origin == Origin.EXCLUSION for side in sides):
        return BINDS if any(map(text_goals.is_told, sides)) else MET
    return BINDS if any(text_goals.stands_at_limit(side) for side in sides) else MET


def saves(sides: Sequence[GoalLine]) -> str:
    """What a kilo would be cheaper without it; "" where nothing."""
    told = words.saving(max((side.saves_if_dropped or 0.0) for side in sides))
    return "" if told == words.NOTHING else told


def preference_row(line: PreferenceLine) -> GoalRow:
    """A preference: met, or short by how much, and what having it costs."""
    stands = MET if line.met else text_verdicts.short_words(line)
    priced = "" if line.costs is None else f"costs {words.price_of_having(line.costs)}"
    return GoalRow("preferred", words.without_house(line.said), text_verdicts.preferred(line), stands, priced)


def silent_rules(story: Blend | WeighedRecipe) -> tuple[str, ...]:
    """What the rules of the house and limits of designs do that have no row."""
    house = {goal.id.key for goal in story.goals if text_goals.is_house(goal) and not shows(goal)}
    designed = [goal for goal in story.goals if goal.origin == Origin.DESIGN and not shows(goal)]
    told = []
    if house:
        told.append(
            f"{words.counted(len(house), 'rule')} of house practice cost{'s' if len(house) == 1 else ''} nothing here."
        )
    if designed:
        told.append(f"{words.counted(len(designed), 'limit')} of {words.joined(owners(designed))} at no cost.")
    if any(goal.figure == words.HARD_OILS for goal in story.goals if shows(goal)):
        told.append(words.ON_HARD_OILS)
    return tuple(told)


def owners(goals: Sequence[GoalLine]) -> list[str]:
    """The designs whose limits they are."""
    return list(dict.fromkeys(goal.said.owner for goal in goals))


def cost_of(story: Blend | WeighedRecipe, setting: Setting) -> Cost | None:
    """What it costs; None where no price is known."""
    cost: CostFigures | None = story.cost
    if cost is None:
        return None
    recipe = story.recipe
    judged = story.weighed if isinstance(story, Blend) else story.judgement
    paste = is_paste(recipe, judged.values)
    sentence = (
        text_blend.paste_sentence(cost, story.currency, judged.batter_grams, recipe.cured_water, recipe.units)
        if paste
        else text_blend.cost_sentence(cost, story.currency, recipe.cured_water, recipe.units)
    )
    return Cost(
        per_kg=setting.own(text_blend.cost_per_kg(cost, story.currency, of_paste=paste)),
        sentence=setting.own(sentence),
        parts=setting.own(parts_of(story)) if isinstance(story, Blend) else "",
        proof=setting.own(proof_of(story)) if isinstance(story, Blend) else "",
    )


def parts_of(story: Blend) -> str:
    """What of the batch each fat, additive and liquid costs, the dearest first."""
    lines = [(line.fat, line.cost) for line in story.fats]
    lines += [(line.additive, line.cost) for line in story.additives] + [
        (line.liquid, line.cost) for line in story.liquids
    ]
    told = [f"{name} {words.money(cost)}" for name, cost in sorted(lines, key=lambda item: -item[1])]
    return f"Of the batch: {', '.join(told)}; the rest is alkali and water."


def proof_of(story: Blend) -> str:
    """How sure it is that no blend is cheaper, or nearer."""
    if story.near is not None:
        return text_blend.nearest_sentence(story)
    return text_blend.proof_sentence(story.proof, story.currency)
