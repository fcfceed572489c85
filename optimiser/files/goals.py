"""The goal file: what the bar must be. Knows words and limits, no rows and no chemistry.

`read_goals` raises every fault of a file at once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from optimiser.files.batch import read_batch
from optimiser.files.buying import buying_of
from optimiser.files.cure import KEY as CURE_KEY
from optimiser.files.goal_file import GoalForm
from optimiser.files.keys import Known
from optimiser.files.kinds import refuse_other
from optimiser.files.limit_values import OwnScales
from optimiser.files.named_designs import techniques
from optimiser.files.scales_near import scales_near
from optimiser.files.shelf.shelf import own_extras, own_fats
from optimiser.materials.additives import Additive
from optimiser.materials.additives import find as find_additive
from optimiser.materials.liquids import find_liquid
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.batch import Batch
from optimiser.problem.curing import with_cure, with_cured_water
from optimiser.problem.goals import NO_EXTRAS, GoalSheet, extra_named, heating_names, with_usual_most
from optimiser.problem.limits import Limit
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.forms import Faults, read_form
from optimiser.text.names import fold
from optimiser.text.nodes import Node, Table
from optimiser.text.opening import beside
from optimiser.text.source import read_yaml
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from optimiser.problem.designs import Bringing, Design


def read_goals(
    path: Path, shelf: Path | None = None, scales: OwnScales | None = None, near: Path | None = None
) -> GoalSheet:
    """The goals that a file holds.

    Args:
        path: a YAML file.
        shelf: the shelf to look a maker's own fats up in, in place of the one that the file names.
        scales: those of the maker's own bench, where they were read already; else the nearest ones.
        near: the recipe in hand, in place of the one that the file names.

    Raises:
        BadInput: with every fault of the file, in file order.

    >>> from pathlib import Path
    >>> import optimiser
    >>> [str(wish.said) for wish in optimiser.read_goals(Path("goals/budget.yaml")).goals][:1]
    ['cost at most 2.60 / kg']
    """
    path = Path(path)  # a text will do for whoever calls from Python
    source = read_yaml(path)
    refuse_other(source, "goals")
    bench = scales_near(path) if scales is None else scales

    fats = own_fats(source.root, path, shelf)

    @cache
    def own() -> tuple[Design, ...]:
        from optimiser.files.designs import own_designs

        return own_designs(path.parent, Known(fats, scales=bench))

    extras = own_extras(source.root, path, shelf)
    known = Known(fats, own, lambda: told_fats_kg(source.root), bench, extras)
    form = read_form(GoalForm, source, known._replace(from_recipe=near is not None or names_recipe(source.root)))
    refuse_blank(source.root, form, near)
    cured = tuple(limit for limit in form.goals if limit.key == CURE_KEY)
    goals = tuple(limit for limit in form.goals if limit not in cured)
    batch = with_cure(Batch() if form.batch is None else form.batch, cured)
    chosen = techniques(form.design, form.for_, own)
    mine = own_named(form, extras)
    put_in = (
        limit.key for limit in (*form.additives, *form.liquids) if limit.side != Side.AT_MOST and limit.value > 0.0
    )
    heating = heating_names(extra_named(name, mine) for name in put_in)
    bringing = brought_by(chosen, (goals, form.shares), batch, heating)
    switched_off = form.practice if isinstance(form.practice, Span) else None
    practice = () if isinstance(form.practice, Span) else form.practice
    return GoalSheet(
        path=str(path),
        title=form.title or (path.stem if near is None and form.near is None else ""),
        shelf=None if form.shelf is None else beside(path.parent, form.shelf),
        batch=with_cured_water(bringing.batch if bringing is not None else batch),
        designs=form.design,
        goals=goals,
        shares=form.shares,
        free_from=form.free_from,
        fat_count=form.fats,
        prefer=form.prefer,
        made=form.made,
        use_up=form.use_up,
        practice_off=switched_off is not None,
        practice=practice,
        additives=with_usual_most(
            form.additives,
            practice_off=switched_off is not None,
            own=mine,
            fats_kg=batch.fats_kg,
            aside={name for design, _ in chosen for name in design.sets_aside} - {change.rule for change in practice},
        ),
        shelf_span=None if form.shelf is None else form.shelf.span,
        techniques=tuple(design for design, _ in chosen),
        technique_spans=tuple(span for _, span in chosen),
        brought=bringing.rows if bringing is not None else (),
        design_notes=bringing.notes if bringing is not None else (),
        may_use=form.may_use,
        cure=cured,
        water=form.water_hardness,
        liquids=form.liquids,
        extras=mine,
        buying=buying_of(form.buy, form.aim),
        recipe=near if near is not None or form.near is None else beside(path.parent, form.near),
        recipe_span=form.near.span if near is None and form.near is not None else None,
    )


def refuse_blank(root: Node | None, form: GoalForm, near: Path | None) -> None:
    """Refuses a line for a recipe in hand that names none.

    Raises:
        BadInput: there is one.
    """
    if near is not None or form.near is not None or not isinstance(root, Table):
        return
    for key in root:
        if fold(key) == "near":
            message = "'near' names no recipe: without one the goals would be those of any bar"
            raise BadInput(
                [Diagnostic(Code.NO_VALUE, message, "write near: RECIPE.yaml, or take the line out", key.span)]
            )


def names_recipe(root: Node | None) -> bool:
    """Whether a goal file names a recipe in hand, however faulty the rest of it is."""
    return isinstance(root, Table) and any(fold(key) == "near" for key in root)


def own_named(form: GoalForm, extras: Callable[[], Mapping[str, Additive]]) -> Mapping[str, Additive]:
    """The additives and liquids of the maker's own that a file names; the shelf is looked up only where it names any."""
    names = {limit.key for limit in (*form.additives, *form.liquids)}
    names |= {item.name for item in form.may_use if item.subject == SubjectKind.ADDITIVE}
    if all(find_additive(name) or find_liquid(name) for name in names):
        return NO_EXTRAS
    return {item.name: item for item in extras().values() if item.name in names}


def told_fats_kg(root: Node | None) -> float | None:
    """What the fats of a file's batch weigh, where the file says so; whatever else is wrong with it is told elsewhere."""
    node = next((node for key, node in root.items() if fold(key) == "batch"), None) if isinstance(root, Table) else None
    try:
        return read_batch(node, "batch").fats_kg if node is not None else None
    except Faults:
        return None


def brought_by(
    chosen: list[tuple[Design, Span]],
    limits: tuple[tuple[Limit, ...], tuple[Limit, ...]],
    batch: Batch,
    heating: tuple[str, ...],
) -> Bringing | None:
    """What the designs of a file come to; None where it names none."""
    if not chosen:
        return None
    from optimiser.problem.designs import bring

    return bring(chosen, *limits, batch, heating)
