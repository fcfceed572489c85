"""From a recipe in hand to goals: what its maker has chosen stands, unless the goals say otherwise."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

from optimiser.materials import alkali
from optimiser.materials.fat import Fat
from optimiser.measures.practice import rules
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.batch import Batch
from optimiser.problem.curing import with_cure, with_cured_water
from optimiser.problem.designs import Brought, bring
from optimiser.problem.goals import GoalSheet, extra_named, over
from optimiser.problem.house_rules import standing
from optimiser.problem.known_ranges import known_of
from optimiser.problem.limits import EXACTLY, NOWHERE, Limit, as_limit
from optimiser.problem.lots import by_known_name
from optimiser.problem.near import BLUR, LEVERS, Gone, Near
from optimiser.problem.places import Span
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.relative import resolved
from optimiser.problem.shelf import Shelf
from optimiser.problem.untold import barrier
from optimiser.problem.wishes import Said
from optimiser.recipe.batch_size import compared
from optimiser.recipe.completion import DEFAULT_LYE, asked_water, complete, in_grams, prices_for
from optimiser.recipe.evaluation import Judgement, Recipe, acid_mol, fat_demand, judge, total_water
from optimiser.recipe.resizing import TooSmall, resized

AS_IT_IS = "as in the recipe"
CHOSEN = ("gel", "batter_temperature", "cure_weeks")  # of a batch: what a recipe, a goal file or a design may choose


def near_goals(recipe: RecipeSheet, shelf: Shelf, goals: GoalSheet | None = None, span: Span = NOWHERE) -> GoalSheet:
    """Goals whose blend is the nearest to a recipe in hand.

    The recipe's own superfat, lye, additives, liquids, cure and batch stand where the goals say nothing of them; so do its
    designs, as far as the recipe itself keeps their limits. The fats to choose from are
    `optimiser.problem.untold.in_play(goals, shelf)`.

    Args:
        recipe: as it was read.
        shelf: what there is.
        goals: what is asked besides; nothing where they are not given.
        span: where the recipe is named.

    Raises:
        BadInput: a goal asks for a measure of which nobody knows in such a soap.
    """
    asked = GoalSheet() if goals is None else goals
    has_begun = asked.near is not None  # from another recipe, from which its goals are reckoned
    whole = complete(recipe, shelf)
    judged = judge(unrounded(recipe, whole), prices_for(whole, shelf))
    near = near_of(recipe, whole, judged)._replace(span=span, levers_named=names_lever(asked, shelf))
    near = as_weighed(near, recipe, whole, shelf, asked.batch)
    told = in_grams(recipe, shelf)
    asked = asked._replace(title=asked.title or recipe.title, near=near, batch=batch_of(asked, recipe, told))
    asked = with_designs(asked if has_begun else cured_from(resolved(asked), asked, recipe), recipe)
    asked = over(with_extras(with_potassium(asked, shelf), shelf), shelf)
    asked = known_of(asked)
    assert asked.near is not None
    gone = tuple(gone_from(asked, shelf, asked.near))
    return asked._replace(near=asked.near._replace(gone=gone))


def cured_from(goals: GoalSheet, asked: GoalSheet, recipe: RecipeSheet) -> GoalSheet:
    """The goals with a cure that was told from the recipe as the batch's own, and the water that it leaves in a bar."""
    if not any(limit.relative for limit in asked.cure):
        return goals
    settled = tuple(limit._replace(relative="") for limit in goals.cure)
    batch = with_cure(goals.batch, settled)
    if "cured_water" not in recipe.given:
        batch = with_cured_water(batch)
    return goals._replace(batch=batch, cure=settled)


def unrounded(sheet: RecipeSheet, recipe: Recipe) -> Recipe:
    """The recipe with what its file leaves to be worked out as it is before it is rounded for a balance.

    What a balance blurs is no difference to hold a blend to, nor to be dearer by.
    """
    if not sheet.alkali:
        need = alkali.alkali_needed(
            fat_demand(recipe),
            superfat=(sheet.superfat or 0.0) / 100.0,
            potassium_share=sheet.potassium_share / 100.0,
            acid_mol=acid_mol(recipe),
        )
        recipe = recipe._replace(
            sodium_hydroxide=alkali.weighed(need.sodium_hydroxide, recipe.sodium_purity),
            potassium_hydroxide=alkali.weighed(need.potassium_hydroxide, recipe.potassium_purity),
        )
    if sheet.water_g is None:
        recipe = recipe._replace(water=max(0.0, recipe.water + asked_water(recipe, sheet) - total_water(recipe)))
    return recipe


def near_of(sheet: RecipeSheet, recipe: Recipe, judged: Judgement) -> Near:
    """A recipe as the place to begin from: what its maker told of superfat and lye, or else what it has."""
    lye = sheet.lye_concentration
    if sheet.water_g is None and lye is None:
        lye = DEFAULT_LYE
    superfat = judged.superfat if sheet.superfat is None else sheet.superfat
    stands = {
        "superfat": stands_at("superfat", superfat),
        "lye_concentration": stands_at("lye_concentration", judged.lye_concentration if lye is None else lye),
    }
    jug = recipe.jug
    told = {item.name: item.share for item in sheet.liquids if item.share is not None}
    return Near(
        title=sheet.title,
        path=sheet.path,
        fats=tuple((fat, 100.0 * grams / recipe.fat_grams) for fat, grams in recipe.fats),
        values=judged.values,
        superfat=stands["superfat"],
        lye_concentration=stands["lye_concentration"],
        cost_per_kg=judged.cost_per_kg,
        weighed=by_known_name(recipe.fats),
        sodium_hydroxide=recipe.sodium_hydroxide,
        potassium_hydroxide=recipe.potassium_hydroxide,
        water=recipe.water,
        cure_weeks=sheet.cure_weeks,
        additives={item.name: 100.0 * grams / recipe.fat_grams for item, grams in recipe.solids},
        liquids={item.name: told.get(item.name, 100.0 * grams / jug) for item, grams in recipe.liquids} if jug else {},
        notes=tuple(not_standing(stands, {"superfat": superfat, "lye_concentration": judged.lye_concentration})),
    )


def names_lever(goals: GoalSheet, shelf: Shelf) -> bool:
    """Whether goals name a wax or a fatty acid, or their kind, as something that may come in."""
    kinds = {name: item.fat.kind for item in shelf.fats for name in (item.fat.known_as, item.fat.name)}
    named = [limit.key for limit in goals.shares if limit.side != Side.AT_MOST or limit.value > 0.0]
    named += [item.name for item in goals.may_use]
    named += [change.rule for change in goals.practice]
    return any(kinds.get(name) in ("wax", "fatty acid") or name in LEVERS for name in named)


def stands_at(name: str, value: float) -> float | None:
    """The figure at which alkali or water may stand; None where nothing may be asked to stand there.

    What only the rounding of a balance has put beyond the end of what may be asked for is that end; below no superfat nothing is.
    """
    known = quantities()[name]
    room = BLUR * known.scale if name == "lye_concentration" else 0.0
    if not math.isfinite(value) or not known.lowest - room <= value <= known.highest + room:
        return None
    return min(max(value, known.lowest), known.highest)


def not_standing(stands: Mapping[str, float | None], figures: Mapping[str, float]) -> Iterator[str]:
    """What of the recipe's alkali and water does not stand in a blend near to it, in words."""
    for name, figure in figures.items():
        known = quantities()[name]
        if stands[name] is not None or not math.isfinite(figure):
            continue
        if name == "superfat" and figure < 0.0:
            yield f"The recipe has a superfat of {figure:.1f} %, which burns skin: that does not stand."
            continue
        ends = f"{known.lowest:g} % to {known.highest:g} %"
        yield f"The recipe has a {known.words} of {figure:.1f} %: that does not stand, for it may be {ends} here."


def as_weighed(near: Near, sheet: RecipeSheet, recipe: Recipe, shelf: Shelf, batch: Batch) -> Near:
    """The recipe in hand with the grams that it takes for the batch that is to be made: its own, or that of the goals."""
    if batch.span is not None:
        try:
            recipe = resized(sheet, shelf, batch).after
        except TooSmall:  # a balance too coarse for it is told of the blend itself
            part = batch_part(recipe, batch)
            recipe = recipe._replace(fats=tuple((fat, part * grams) for fat, grams in recipe.fats))
            recipe = recipe._replace(
                water=part * recipe.water,
                sodium_hydroxide=part * recipe.sodium_hydroxide,
                potassium_hydroxide=part * recipe.potassium_hydroxide,
            )
    return near._replace(
        weighed=by_known_name(recipe.fats),
        sodium_hydroxide=recipe.sodium_hydroxide,
        potassium_hydroxide=recipe.potassium_hydroxide,
        water=recipe.water,
    )


def batch_part(recipe: Recipe, batch: Batch) -> float:
    """How many times as large as a recipe a batch is."""
    made, wanted = compared(recipe, batch)
    return wanted / made


def batch_of(goals: GoalSheet, recipe: RecipeSheet, told: RecipeSheet) -> Batch:
    """The batch of the goals where they tell one, else the recipe's; what neither goals nor their designs choose is the recipe's.

    `told` is the recipe in grams.
    """
    batch = goals.batch
    designed = {choice.key for design in goals.techniques for choice in design.choices}
    own = {"gel": recipe.gel, "batter_temperature": recipe.batter_temperature, "cure_weeks": recipe.cure_weeks}
    kept: dict[str, object] = {key: own[key] for key in CHOSEN if key not in batch.given | designed}
    if "cure_weeks" in kept and "cured_water" not in batch.given:
        kept["cured_water"] = recipe.cured_water
    if batch.span is None:
        kept |= {
            "fats_kg": math.fsum(fat.grams for fat in told.fats) / 1000.0,
            "cured_weight_kg": recipe.cured_weight_kg,
            "scale_g": recipe.scale_g,
        }
    if batch.span is None and recipe.to_make is not None:
        made = recipe.to_make
        kept |= {"fats_kg": made.fats_kg, "bars": made.bars, "mould": made.mould, "batter_kg": made.batter_kg}
    return batch._replace(**kept)  # type: ignore[arg-type]


def with_designs(goals: GoalSheet, recipe: RecipeSheet) -> GoalSheet:
    """The goals with the recipe's own designs where they name none: with their steps, and their limits as the recipe keeps them.

    What they ask of superfat and lye is not among these: there the recipe's own figures stand.
    """
    if goals.techniques or not recipe.techniques:
        return goals
    assert goals.near is not None
    own = bring([(design, NOWHERE) for design in recipe.techniques], goals.goals, goals.shares, goals.batch)
    stands = {key for rule in rules() if rule.side == Side.EXACTLY for key in rule.gives_way}
    kept = (kept_by(item, goals.near) for item in own.rows if item.limit.key not in stands)
    return goals._replace(techniques=recipe.techniques, brought=tuple(item for item in kept if item is not None))


def kept_by(item: Brought, near: Near) -> Brought | None:
    """A limit of a design as a recipe keeps it: at the recipe's own figure where it does not; it never costs an answer."""
    limit, value = item.limit, near.figure(item.limit)
    if not math.isfinite(value):
        return None
    off = value - limit.value
    if (limit.side == Side.AT_LEAST and off >= 0.0) or (limit.side == Side.AT_MOST and off <= 0.0):
        return item._replace(gives_way=True)
    if limit.side == Side.EXACTLY:
        return None
    said = limit.said._replace(figure=f"{value:.4g}{' %' if limit.unit == '%' else ''}", word="", between=None, band="")
    return item._replace(limit=limit._replace(value=value, said=said), gives_way=True)


def with_potassium(goals: GoalSheet, shelf: Shelf) -> GoalSheet:
    """The goals with the recipe's own share of potassium hydroxide, where the shelf has any and the goals say nothing of it."""
    assert goals.near is not None
    share = goals.near.values.get("potassium_share", 0.0)
    if not share or "potassium_share" in goals.asked:
        return goals
    if "potassium hydroxide" not in shelf.alkalis:
        note = "The recipe takes potassium hydroxide, and there is none on the shelf: sodium hydroxide takes its place."
        return _noted(goals, note)
    own = Limit("potassium_share", SubjectKind.QUANTITY, EXACTLY, share, "%", _said("potassium share", share), NOWHERE)
    return goals._replace(goals=(*goals.goals, own))


def with_extras(goals: GoalSheet, shelf: Shelf) -> GoalSheet:
    """The goals with the recipe's own additives and liquids as they are, but for what the goals name or exclude."""
    assert goals.near is not None
    named = {limit.key for limit in (*goals.additives, *goals.liquids)} | {item.name for item in goals.may_use}
    shunned = {item.tag for item in goals.free_from}
    own = {name: item.additive for name, item in shelf.extras.items()}
    added: dict[SubjectKind, list[Limit]] = {SubjectKind.ADDITIVE: [], SubjectKind.LIQUID: []}
    for subject, parts in ((SubjectKind.ADDITIVE, goals.near.additives), (SubjectKind.LIQUID, goals.near.liquids)):
        for name, share in parts.items():
            tags = sorted(shunned & extra_named(name, own).tags)
            if name in named or not share:
                continue
            if tags:
                goals = _noted(goals, f"{name.capitalize()} goes: it is not free from {tags[0]}.")
                continue
            added[subject].append(Limit(name, subject, EXACTLY, share, "%", _said(name, share), NOWHERE))
    return goals._replace(
        additives=(*goals.additives, *added[SubjectKind.ADDITIVE]), liquids=(*goals.liquids, *added[SubjectKind.LIQUID])
    )


def _said(name: str, share: float) -> Said:
    return Said(name, EXACTLY, f"{share:.3g} %", remark=AS_IT_IS)


def _noted(goals: GoalSheet, note: str) -> GoalSheet:
    assert goals.near is not None
    return goals._replace(near=goals.near._replace(notes=(*goals.near.notes, note)))


def gone_from(goals: GoalSheet, shelf: Shelf, near: Near) -> Iterator[Gone]:
    """The fats of the recipe that no blend can have, in the order of the recipe."""
    on_shelf = {item.fat.known_as for item in shelf.fats}
    for fat, share in near.fats:
        why = why_gone(goals, fat, is_there=fat.known_as in on_shelf)
        if why:
            yield Gone(fat.name, share, why)


def why_gone(goals: GoalSheet, fat: Fat, *, is_there: bool) -> str:
    """Why a fat of the recipe has to go; "" where it need not."""
    if not is_there:
        return "it is not on the shelf"
    tag = next((item.tag for item in goals.free_from if item.tag in fat.tags), None)
    if tag is not None:
        return f"it is not free from {tag}"
    if any(
        limit.key in fat.called and limit.subject == SubjectKind.FAT and limit.side != Side.AT_LEAST and not limit.value
        for limit in goals.shares
    ):
        return "the goals leave it out"
    unheld = barrier(goals, fat)
    return f"nobody can say whether this holds with it: {unheld}" if unheld is not None else ""


def kept_rules(goals: GoalSheet, bases: Iterable[str]) -> Iterator[tuple[Limit, float]]:
    """Rules of the house that stand at the recipe's own figure: as the house has each, and that figure.

    What alkali and water stand at is not among them.

    Args:
        goals: they begin from a recipe in hand.
        bases: what the fats in question are built on.
    """
    fats = tuple(bases)
    theirs = dict(standing(goals._replace(near=None), fats))
    for wish, rule in standing(goals, fats):
        house = theirs.get(wish)
        if house is not None and rule.is_of_recipe and rule.side != Side.EXACTLY:
            yield as_limit(house), rule.value
