"""A blend found becomes its story: grams, figures, every wish with its price, what was left on the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from optimiser.analysis.drop_savings import cost_of_preference, is_all_anew, savings_told
from optimiser.analysis.entry_prices import Entries
from optimiser.analysis.giving_way import GaveWay, gave_way
from optimiser.analysis.shadow_prices import ShadowPrice, prices
from optimiser.answers import advice as advising
from optimiser.answers.buying_figures import buying_figures, shelf_for, within_stock
from optimiser.answers.extra_lines import additive_lines, liquid_lines
from optimiser.answers.far_off import far_off
from optimiser.answers.measure_lines import measure_lines
from optimiser.answers.near_lines import disagreement, near_figures
from optimiser.answers.notes import notes, unpriced
from optimiser.answers.pot_lines import alkali_figures, fat_lines, water_figures
from optimiser.answers.results import (
    Blend,
    CostFigures,
    GoalLine,
    PreferenceLine,
    Rounding,
    UnusedLine,
)
from optimiser.answers.rounded import on_rounding, with_cures
from optimiser.answers.row_figures import as_shown, counted, nearest, shown_limit, told_value
from optimiser.answers.stood_aside import eased_to, stood_aside
from optimiser.answers.use_up_lines import lot_remarks, use_up_lines
from optimiser.measures.sides import Side
from optimiser.model.programme import Programme
from optimiser.model.rows import Row, is_between
from optimiser.planning.building import build
from optimiser.planning.settled import for_rounding
from optimiser.problem.goals import GoalSheet
from optimiser.problem.question import Question
from optimiser.problem.shelf import Shelf, Stocked
from optimiser.problem.wishes import Origin, Section, WishId
from optimiser.recipe.batch_size import filled, litres, litres_within
from optimiser.recipe.cautions import cautions
from optimiser.recipe.compliance import Verdict, verdicts
from optimiser.recipe.counted_as_nuts import doubtful_nuts
from optimiser.recipe.evaluation import Judgement, Recipe, judge
from optimiser.recipe.making_steps import steps
from optimiser.recipe.repair import weigh_out
from optimiser.recipe.rounding import DUST, Grams, TooCoarse, exact_grams, recipe_of
from optimiser.recipe.times import short_of_time
from optimiser.recipe.warmth import shorter_when_warm
from optimiser.recipe.weighing_out import WeighedOut
from optimiser.solve.nearest import NearestProof
from optimiser.solve.optimum import Cheapest
from optimiser.solve.outcomes import Work
from optimiser.solve.proof import OptimalityProof
from optimiser.solve.solver import Live
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

NEAR_CONE = 1e-5  # per cent: how near a blend comes to the spread of lots that it must have
AGREE = 1e-6  # relative: how near the model and the judge must come to each other
NOT_PROVED = OptimalityProof(0.0, 0.0, exact=False)


class Disagreement(RuntimeError):
    """The model and the judge, which share no code between shares and figures, do not agree on a blend."""


def tell(
    question: Question, live: Live, found: Cheapest, proof: OptimalityProof, nearest_proof: NearestProof | None = None
) -> Blend:
    """The story of a blend found, with what is proved of its cost, and of its nearness to a recipe in hand."""
    sheet, shelf = question.goals, question.shelf
    programme = live.programme
    blend, exact, figures, given = reckoned(sheet, shelf, programme, found)
    weighed, judged = blend.recipe, blend.weighed
    if off := disagreement(sheet.near, programme, found, exact, figures):
        raise Disagreement(off)
    cure = sheet.batch.cure_weeks if "cure_weeks" in sheet.batch.given else None
    times = advising.on_time(question.scales, weighed, judged, sheet.techniques, cure, sheet.batch.mould)
    held = {item.id: item for item in verdicts(sheet, weighed, judged)}
    base = build(sheet, shelf) if found.is_short else None
    costs = savings_told(
        prices(live, found, base, savings=not is_all_anew(sheet)), (sheet, shelf), programme, found, live.work
    )
    goals = goal_lines(programme, found, costs, held, eased_to(blend.stood_aside))
    preferences = preference_lines((sheet, shelf), programme, found, live.work)
    rounding = with_cures(blend.rounding, programme, found, (sheet, shelf))
    return blend._replace(
        goals=goals,
        preferences=preferences,
        use_up=use_up_lines((sheet, shelf), programme, found, live.work),
        unused=unused_lines(live, found, sheet),
        proof=proof,
        warnings=question.warnings,
        steps=steps(weighed, judged, sheet.techniques, times),
        notes=(
            *notes(shelf, programme.columns, weighed),
            *on_rounding(rounding, weighed, goals, preferences),
            *doubtful_nuts(weighed, {item.tag for item in sheet.free_from}),
            *sheet.design_notes,
            *lot_remarks(sheet, shelf, weighed),
            *short_of_time(times, sheet.techniques),
            *shorter_when_warm(weighed, times),
        ),
        times=times,
        ash=advising.on_ash(sheet, weighed, judged, at_hand=[item.fat.group for item in shelf.fats]),
        water_hardness=advising.on_water(sheet.water, weighed, judged),
        far_off=far_off(sheet, shelf, given),
        rounding=rounding,
        near=near_figures(sheet.near, nearest_proof, programme, (exact, weighed), figures),
    )


class Reckoned(NamedTuple):
    """The story of a blend but for what its goals cost, its unused fats and its steps.

    With it come the recipe before it was rounded, the figures of that, and which rules gave way to what.
    """

    blend: Blend
    exact: Recipe
    figures: Judgement
    given: tuple[GaveWay, ...]


def reckoned(sheet: GoalSheet, shelf: Shelf, programme: Programme, found: Cheapest) -> Reckoned:
    """A blend judged and rounded, none of its goals priced.

    Args:
        sheet: the goals with the rules as they stand for it.
        shelf: what there is.
        programme: their rows.
        found: the blend.

    Raises:
        BadInput: the balance is too coarse for its alkali.
        Disagreement: the model and the judge do not agree on it.
    """
    grams = exact_grams(programme.columns, found.point)
    exact = recipe_of(programme.columns, grams, shelf.purities)
    there = shelf_for(shelf, sheet.buying, exact)
    rounding = programme if sheet.buying is None else for_rounding(sheet, there)
    columns, money = rounding.columns, there.prices
    to_weigh = grams if sheet.buying is None else within_stock(columns, grams)
    out = weighed_out(rounding, to_weigh, there, sheet)
    weighed = out.recipe
    figures, judged = judge(exact, money), judge(weighed, money)
    reckon_twice(programme, found, verdicts(sheet, exact, figures))
    given = gave_way(sheet, shelf)
    aside = tuple(stood_aside(sheet, given, exact, figures))
    rows = [row for row in programme.rows if row.origin != Origin.PREFERENCE]
    blend = Blend(
        title=sheet.title,
        currency=shelf.currency,
        goal_file=sheet.path,
        shelf_title=shelf.title,
        fats=fat_lines(exact, weighed, columns),
        alkali=alkali_figures(exact, weighed, figures),
        water=water_figures(exact, weighed, figures),
        additives=additive_lines(exact, weighed, money),
        liquids=liquid_lines(exact, weighed, money),
        measures=measure_lines(figures.values, rows, eased_to(aside)),
        figures=figures.values,
        cost=CostFigures.of(figures, columns.batch.cured_weight_kg, columns.batch.cavities),
        goals=(),
        preferences=(),
        unused=(),
        proof=NOT_PROVED,
        cautions=(*cautions(weighed, judged, sheet.techniques), *unpriced(shelf, weighed)),
        steps=(),
        notes=(),
        recipe=weighed,
        weighed=judged,
        step_grams=out.step,
        batter_litres=litres(weighed),
        volume_within=litres_within(weighed),
        filled=filled(weighed, columns.batch.mould),
        rounding=Rounding(
            out.searches > 0, grams.total, tuple(item.wish for item in out.missed), scale_g=columns.batch.scale_g
        ),
        told_bars=columns.batch.bars,
        is_counted=programme.is_mixed_integer,
        practice_off=sheet.practice_off,
        shelf_file=shelf.path,
        stood_aside=aside,
        purity_basis=shelf.purity_basis,
        techniques=sheet.techniques,
        water_said=sheet.water.said if sheet.water is not None else "",
    )
    if sheet.buying is not None:
        blend = blend._replace(buying=buying_figures(shelf, sheet.buying, weighed, money))
    return Reckoned(blend, exact, figures, given)


def weighed_out(programme: Programme, grams: Grams, shelf: Shelf, sheet: GoalSheet | None = None) -> WeighedOut:
    """The recipe for the balance, judged by the goals where they are at hand.

    Raises:
        BadInput: the balance is too coarse to weigh the alkali at all.
    """
    try:
        return weigh_out(programme, grams, shelf.purities, sheet, shelf.prices)
    except TooCoarse as fault:
        help_ = "make a bigger batch, or tell a finer scale"
        raise BadInput([Diagnostic(Code.COARSE_BALANCE, str(fault), help_, fault.span)]) from None


def reckon_twice(programme: Programme, found: Cheapest, judged: list[Verdict]) -> None:
    """Hold the model's own figures against the judge's, wish by wish.

    Raises:
        Disagreement: they differ, so the blend is not shown.
    """
    reckoned = {item.id: item.value for item in judged if item.origin != Origin.COUNT}
    for member in programme.members:
        row = programme.row_of(member)
        if member not in reckoned:
            continue
        ours, theirs = told_value(row, found), reckoned[member]
        room = NEAR_CONE if row.figure == "likely_superfat" else AGREE
        if abs(ours - theirs) > room * max(1.0, abs(ours), row.scale):
            raise Disagreement(f"{member}: the model says {ours:.9g} {row.unit}, the judge {theirs:.9g}")


def goal_lines(
    programme: Programme,
    found: Cheapest,
    costs: dict[WishId, ShadowPrice],
    held: dict[WishId, Verdict],
    eased: Mapping[str, str],
) -> tuple[GoalLine, ...]:
    """Every wish against the blend, in the order in which they were written.

    `held` has of each wish what the judge finds of the recipe rounded for the balance, `eased` the figures of those that gave way.
    """
    lines = []
    for member, places in programme.members.items():
        rows = [programme.rows[place] for place in places]
        row = nearest(rows, found)
        price = costs[member]
        reached = told_value(row, found)
        verdict = held.get(member)
        broken = verdict is not None and not verdict.holds
        lines.append(
            GoalLine(
                id=member,
                said=row.said,
                line=row.span.line if row.span else None,
                span=row.span,
                value=counted(row, found, programme) if row.origin == Origin.COUNT else as_shown(row, reached),
                limit=as_shown(row, shown_limit(rows, row.value(found.point))),
                unit=row.unit,
                side=row.side if is_between(rows) or len({one.side for one in rows}) == 1 else Side.EXACTLY,
                binding=price.binding,
                price_per_unit=price.per_unit if price.binding else None,
                saves_if_dropped=price.saving,
                why=row.why,
                figure=row.figure,
                holds_when_weighed=not broken,
                when_weighed=None if verdict is None else verdict.as_weighed,
                as_weighed=None if verdict is None else as_shown(row, verdict.value),
                price_if_tighter=price.tighter,
                holds_from=price.holds[0],
                holds_to=price.holds[1],
                at_limit=price.at_limit,
                eased_from=eased.get(str(member), ""),
            )
        )
    return tuple(lines)


def preference_lines(
    question: tuple[GoalSheet, Shelf], programme: Programme, found: Cheapest, work: Work
) -> tuple[PreferenceLine, ...]:
    """Preferences, met or by how much they fall short, each with what it costs."""
    places = [
        (step, key)
        for step, wishes in enumerate(question[0].prefer)
        for key in dict.fromkeys(one.key for one in wishes)
    ]
    lines = []
    own = [one for one in programme.soft if programme.rows[one.rows[0]].wish.section == Section.PREFER]
    for (step, key), preference in zip(places, own, strict=True):
        costs = cost_of_preference(question, step, key, found, work)
        groups: dict[WishId, list[Row]] = {}
        for place in preference.rows:
            groups.setdefault(programme.rows[place].wish, []).append(programme.rows[place])
        lines += [preference_line(rows, found, costs) for rows in groups.values()]
    return tuple(lines)


def preference_line(rows: list[Row], found: Cheapest, costs: float | None) -> PreferenceLine:
    """One preference by the side on which it falls short, if it does; both sides of a bare figure are one."""
    row = max(rows, key=lambda one: one.shortfall(found.point))
    short = row.shortfall(found.point)
    met = short <= 1e-6 * max(1.0, abs(row.limit))
    return PreferenceLine(
        id=row.wish,
        said=row.said,
        line=row.span.line if row.span else None,
        met=met,
        value=told_value(row, found),
        limit=shown_limit(rows, row.value(found.point)),
        unit=row.unit,
        short_by=0.0 if met else short,
        costs=costs,
    )


def unused_lines(live: Live, found: Cheapest, sheet: GoalSheet) -> tuple[UnusedLine, ...]:
    """Fats left on the shelf, with the price at which each would enter.

    Where what is bought is settled, what is neither in stock nor bought is not there to be left.
    """
    programme = live.programme
    barred = {exclusion.tag: exclusion.said for exclusion in sheet.free_from}
    banned = [row for row in programme.rows if row.origin == Origin.BUYING]
    entries = Entries(live, found)
    lines = []
    for place, item in enumerate(programme.columns.stocked):
        if found.point[place] > DUST or not is_there(sheet, item):
            continue
        bar = next((said for tag, said in barred.items() if tag in item.fat.tags), None)
        bar = bar or next((row.said for row in banned if row.top[place] > 0.0), None)
        waits = sheet.older_first.get(item.fat.name) == Side.AT_MOST
        entry = None if bar or waits else entries.of(place, item.price)
        lines.append(
            UnusedLine(
                fat=item.fat.name,
                kind=item.fat.kind,
                price=item.price,
                enters_below=entry.price if entry else None,
                barred_by=bar,
                enters=entry.enters if entry else "after an older lot" if waits and not bar else "barred",
                lot=item.fat.lot,
                lot_of=item.fat.lot_of,
            )
        )
    return tuple(lines)


def is_there(sheet: GoalSheet, item: Stocked) -> bool:
    """Whether a fat is in stock or is bought, or what is bought is not settled."""
    taken = None if sheet.buying is None else sheet.buying.taken
    return taken is None or bool(item.stock_kg) or any(one.fat == item.fat.name for one in taken)
