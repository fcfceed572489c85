"""Which rules of the house gave way to a bar, and to what."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from optimiser.analysis.giving_way import GaveWay
from optimiser.answers.results import StoodAside
from optimiser.measures.practice import Rule
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import least_share, names_fat
from optimiser.problem.limits import Limit, as_limit
from optimiser.problem.wishes import Said, Whose
from optimiser.recipe.compliance import holds, reached
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.in_hand import kept_rules
from optimiser.recipe.naming import listed
from optimiser.solve.pinches import BODY, DUST, MOST_DEARER

MOST_NAMED = 4  # wishes that a reason names
PINCH_BLUR = 1e-4  # per cent: less short of the rule than this is the rule


def stood_aside(sheet: GoalSheet, given: Sequence[GaveWay], recipe: Recipe, judged: Judgement) -> Iterator[StoodAside]:
    """The rules that gave way: to what the maker names, to goals that leave no room for them, or to each other.

    Args:
        sheet: the goals as answered.
        given: the rules that the goals leave no room for, with what leaves none.
        recipe: the blend.
        judged: its figures.
    """
    yield from of_superfat(sheet)
    for rule in sheet.rules:
        yield from to_names(sheet, rule, recipe, judged)
        yield from to_designs(sheet, rule, recipe, judged)
        yield from to_practice(sheet, rule, recipe, judged)
    yield from to_recipe(sheet, recipe, judged)
    yield from to_pinches(sheet, recipe)
    yield from map(as_aside, given)


def eased_to(aside: Sequence[StoodAside]) -> dict[str, str]:
    """The figure that each rule asked before it gave way to another."""
    return {item.rule: item.said.figure for item in aside if item.at is not None}


def as_aside(given: GaveWay) -> StoodAside:
    """A rule that the goals leave no room for."""
    return StoodAside(str(given.wish), given.said, why_of(given), given.at, given.unit)


def of_superfat(sheet: GoalSheet) -> Iterator[StoodAside]:
    """The floor under the likely superfat, where no blend meets the goals and the other rules with it."""
    for rule in sheet.rules:
        if rule.name in sheet.yielded:
            why = "no blend on this shelf meets these goals and the other rules of the house with it"
            if sheet.most_superfat is not None:
                why += f"; instead there is as much superfat as they leave room for, {sheet.most_superfat:.1f} %"
            yield StoodAside(rule.name, as_limit(rule).said, why)


def to_names(sheet: GoalSheet, rule: Rule, recipe: Recipe, judged: Judgement) -> Iterator[StoodAside]:
    """A rule on shares that the maker has a figure of their own for, where the bar goes beyond it."""
    if sheet.practice_off or rule.side != Side.AT_MOST or rule.name in {change.rule for change in sheet.practice}:
        return
    own = (*sheet.shares, *sheet.additives)
    for limit in own:
        if is_on(sheet, rule, limit) and limit.side != Side.AT_LEAST:
            of_limit = as_limit(rule)._replace(subject=limit.subject, key=limit.key)
            if reached(of_limit, recipe, judged, 1.0) > rule.value + 0.05:
                said = of_limit.said._replace(subject=limit.key)
                yield StoodAside(rule.name, said, f"{limit.said.by}{limit.said.wish} stands in its place")
                return


def to_practice(sheet: GoalSheet, rule: Rule, recipe: Recipe, judged: Judgement) -> Iterator[StoodAside]:
    """An end of the shelf's own that the file's practice sets another figure for, where the bar goes beyond it."""
    if rule.is_own_end and rule.name in {change.rule for change in sheet.practice}:
        limit = as_limit(rule)
        if not holds(limit, reached(limit, recipe, judged, 1.0)):
            yield StoodAside(rule.name, limit.said, "the figure under practice stands in its place")


def to_recipe(sheet: GoalSheet, recipe: Recipe, judged: Judgement) -> Iterator[StoodAside]:
    """A rule that the recipe in hand breaks, where the bar does so too: its maker has made such a bar."""
    if sheet.near is None:
        return
    for limit, value in kept_rules(sheet, dict.fromkeys(fat.group for fat, _ in recipe.fats)):
        if not holds(limit, reached(limit, recipe, judged, 1.0)):
            yield StoodAside(limit.key, limit.said, "the recipe in hand has it so", round(value, 2) + 0.0, limit.unit)


def to_pinches(sheet: GoalSheet, recipe: Recipe) -> Iterator[StoodAside]:
    """The rule on pinches, where one is left that the maker does not name."""
    least = least_share(sheet)
    if least is None:
        return
    own = {} if sheet.near is None else sheet.near.shares  # what the recipe in hand has of a fat is no pinch
    together: dict[str, float] = {}
    for fat, grams in recipe.fats:
        together[fat.group] = together.get(fat.group, 0.0) + 100.0 * grams / recipe.fat_grams
    left = [
        f"{100.0 * grams / recipe.fat_grams:.2g} % {fat.name}"
        for fat, grams in recipe.fats
        if fat.kind in BODY
        and together[fat.group] < min(least, own.get(fat.known_as, least)) - PINCH_BLUR
        and grams > DUST * recipe.fat_grams
        and not names_fat(sheet, fat.known_as, 0.0)
    ]
    if left:
        them, are = ("it", "is") if len(left) == 1 else ("them", "are")
        why = (
            f"{listed(left)} {are} left, since without {them}, or with {least:g} % of {them}, no blend found meets these "
            f"goals as well within {100 * MOST_DEARER:g} % of the cost"
        )
        if sheet.near is not None:
            why = f"{listed(left)} {are} left, since without {them} more of the recipe would have to be changed"
        if any(change.rule == "pinches" for change in sheet.practice):
            said = Said("pinches", Side.AT_LEAST, f"{least:g} %")
            hard = f"fats: {{each_at_least: {least:g} %}} asks it of every fat and searches for it"
            yield StoodAside("pinches", said, f"{why}; {hard}", own=True)
        else:
            yield StoodAside("pinches", Said("no pinches"), why)


def to_designs(sheet: GoalSheet, rule: Rule, recipe: Recipe, judged: Judgement) -> Iterator[StoodAside]:
    """A rule that a design is not made by, where the bar goes beyond it."""
    design = next((one.name for one in sheet.techniques if rule.name in one.sets_aside), None)
    replaced = rule.name in {change.rule for change in sheet.practice} or sheet.practice_off
    told = any(is_on(sheet, rule, limit) and limit.side != Side.AT_LEAST for limit in (*sheet.shares, *sheet.additives))
    if design is None or replaced or told or rule.subject in (SubjectKind.EACH, SubjectKind.PINCH):
        return
    limit = as_limit(rule)
    if not holds(limit, reached(limit, recipe, judged, 1.0)):
        yield StoodAside(rule.name, limit.said, f"it is not for a {design}")


SEVERAL = (
    ("no room for it", "no room for them"),
    ("it is not for a ", "they are not for a "),
    ("and the other rules of the house with it", "and the other rules of the house with them"),
)
"""What a reason says of one rule, and what of several."""


def of_several(why: str) -> str:
    """A reason that several rules share, as it is said of them together."""
    for one, several in SEVERAL:
        why = why.replace(one, several)
    return why


def is_on(sheet: GoalSheet, rule: Rule, limit: Limit) -> bool:
    """Whether a limit is on what a rule is on, so that the rule stands aside for it."""
    if rule.subject == SubjectKind.EACH:
        return limit.subject == SubjectKind.FAT and names_fat(sheet, limit.key, rule.value)
    kinds = (rule.subject, SubjectKind.FAT if rule.subject == SubjectKind.BASE else rule.subject)
    return limit.key == rule.key and limit.subject in kinds


def why_of(given: GaveWay) -> str:
    """Why a rule gave way, as a part of a sentence."""
    if given.by_itself:
        return "the rules of the house leave no blend on this shelf by themselves"
    if not given.against:
        return "there is no room for it beside all else that is asked"
    own = [item for _, item in given.against if item.whose != Whose.LEFT]
    left = [item.left for _, item in given.against if item.whose == Whose.LEFT]
    said = [_named(item) for item in own]
    if left:  # of a plan: no stock that the maker could write otherwise
        said = [*said[: MOST_NAMED - 1], f"what the other bars leave ({_some(left)})", *said[MOST_NAMED - 1 :]]
    told = _some(said)
    beside = " beside the other rules of the house" if given.beside_house else ""
    return f"{told} {'leaves' if len(said) == 1 else 'leave'} no room for it{beside}"


def _some(said: list[str]) -> str:
    more = len(said) - MOST_NAMED
    return listed(said) if more <= 0 else f"{', '.join(said[:MOST_NAMED])} and {more} more"


def _named(said: Said) -> str:
    return f"{said.by}{said.wish}"
