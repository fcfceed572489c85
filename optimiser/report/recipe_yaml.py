"""A blend as a recipe file that `weigh` reads."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Any, NamedTuple

from optimiser.answers.resize import ResizedRecipe
from optimiser.answers.results import Blend
from optimiser.answers.swap_results import SwapAnswer, Swapped
from optimiser.files.moulds import mould_told
from optimiser.files.writing import seen_from
from optimiser.measures.cure import cure_words, cured_water_at
from optimiser.problem.batch import Batch, Mould
from optimiser.problem.goals import heating_names
from optimiser.problem.units import Units
from optimiser.recipe.balance import step_in_hand
from optimiser.recipe.cautions import acids_counted_on, urgent
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.weights import step_told
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold
from optimiser.text.nodes import Node, Row, Table
from optimiser.text.opening import typed
from optimiser.text.signs import filled
from optimiser.text.source import one_line, parse_yaml
from optimiser.text.writing import Content, lines, nameable

if TYPE_CHECKING:
    from optimiser.problem.designs import Design

BAR_DECIMALS = 7  # of a gram: an ounce is 28.349523125 g, and four of them are not to be read back as a hair less
SAME_BAR = 0.005  # part of a bar's weight that rounding for the balance may take or add
WIDTH = 119  # columns of a line of the header
HEADER = """\
# Worked out by barwright from {goals}.
# Rounded for a balance that reads {step}{fine}.
# Sodium and potassium hydroxide burn skin and blind. Check the figures, wear goggles and gloves, and follow the supplier's
# safety data sheet, the rules where you live and licensed practice.
"""


class Kept(NamedTuple):
    """What a recipe file is made of: the recipe as weighed and judged, and whose it is.

    `source` is the file that it was worked out from, `bar_grams` what a cured bar weighs, `shelf_file` "" for none; `scale_g` is
    the step of the balance where the maker told it, `bars` how many there are, where that is known;
    not `bar_told` where that alone says what one weighs. `mould` is what it is poured into, where that is told.
    """

    title: str
    source: str
    recipe: Recipe
    judged: Judgement
    step_grams: float
    bar_grams: float
    shelf_file: str
    techniques: tuple[Design, ...] = ()
    water_said: str = ""
    scale_g: float | None = None
    bars: int | None = None
    bar_told: bool = True
    mould: Mould | None = None


def kept(blend: Blend) -> Kept:
    """A blend as what is kept of it."""
    return Kept(
        *(blend.title, blend.goal_file, blend.recipe, blend.weighed, blend.step_grams, blend.cost.bar_grams),
        *(blend.shelf_file, blend.techniques, blend.water_said, blend.rounding.scale_g),
        bars=blend.told_bars or blend.cost.told_bars,
        bar_told=blend.cost.told_bars is None,
        mould=None if blend.filled is None else blend.filled.mould,
    )


def kept_resized(found: ResizedRecipe) -> Kept:
    """A recipe for another batch as what is kept of it."""
    story = found.story
    return Kept(
        *(story.title, story.recipe_file, story.recipe, story.judgement, story.recipe.fat_step, found.bar_grams),
        *(found.shelf_file, found.techniques, found.water_said, found.scale_g),
        bars=found.batch.bars or found.cavities,
        bar_told=found.cavities is None,
        mould=found.batch.mould,
    )


def kept_swapped(found: Swapped, answer: SwapAnswer) -> Kept:
    """An answer to what may stand in place of a fat as what is kept of it."""
    recipe, story, sheet = answer.story.recipe, answer.story, answer.sheet
    out = " and ".join(found.out)
    each = story.judgement.cured_grams / (sheet.bars or 1)
    fine = recipe.alkali_step or step_in_hand(recipe.fat_grams, recipe.units, sheet.scale_g)
    return Kept(
        title=f"{found.title}, without {out}",
        source=f"{found.recipe_file} without {out}",
        recipe=recipe._replace(alkali_step=fine),
        judged=story.judgement,
        step_grams=recipe.fat_step or fine,
        bar_grams=1000.0 * sheet.cured_weight_kg,
        shelf_file=found.shelf_file,
        techniques=sheet.techniques,
        water_said=sheet.water.said if sheet.water is not None else "",
        scale_g=sheet.scale_g,
        bars=sheet.bars,
        bar_told=not sheet.bars or abs(each / 1000.0 / sheet.cured_weight_kg - 1.0) <= SAME_BAR,
        mould=sheet.poured_into,
    )


def recipe_yaml(blend: Blend, target: Path) -> str:
    """The recipe to weigh, as YAML; otherwise as `kept_yaml`."""
    return kept_yaml(kept(blend), target)


def kept_yaml(blend: Kept, target: Path) -> str:
    """A recipe as YAML; the shelf is named as seen from the folder of `target`.

    Raises:
        BadInput: the shelf's path, or a name on the shelf, cannot stand in a file and be read back.
    """
    recipe = blend.recipe
    named, unnamed = found_from(target, blend.techniques)
    batch = choices(recipe, named)
    if recipe.cured_water != cured_water_at(recipe.cure_weeks):
        batch["cured_water"] = f"{100 * recipe.cured_water:g} %"
    alkali = {"sodium hydroxide": recipe.sodium_hydroxide, "potassium hydroxide": recipe.potassium_hydroxide}
    content: dict[str, Any] = {
        "title": one_line(typed(blend.title)),
        **names(named),
        **({"shelf": nameable(typed(seen_from(target, Path(blend.shelf_file))))} if blend.shelf_file else {}),
        "fats": {fat.name: mass(grams) for fat, grams in recipe.fats},
        "alkali": {name: mass(grams) for name, grams in alkali.items() if grams},
        "water": mass(recipe.water),
        **({"cured_weight": mass(blend.bar_grams, BAR_DECIMALS)} if blend.bar_told else {}),
        **batch,
    }
    scale = {} if blend.scale_g is None else {"scale": scale_told(blend.scale_g)}
    if scale and blend.mould is None:
        content["batch"] = scale
    if recipe.solids:
        content["additives"] = {item.name: mass(grams) for item, grams in recipe.solids}
    if recipe.liquids:
        content["liquids"] = {item.name: mass(grams) for item, grams in recipe.liquids}
    if blend.water_said:
        content["water_hardness"] = blend.water_said
    body = "".join(f"{line}\n" for line in lines(content))
    if blend.bars:
        body += f"bars: {blend.bars}\n"
        content["bars"] = f"{blend.bars}"
    if blend.mould is not None:
        told = ", ".join([f"mould: {mould_told(blend.mould)}", *(f"scale: {step}" for step in scale.values())])
        body += f"batch: {{{told}}}\n"
        content["batch"] = {"mould": _plain(parse_yaml(mould_told(blend.mould), str(target)).root), **scale}
    _read_back(body, content, target)
    differs = recipe.alkali_step != blend.step_grams
    fine = f" (alkali, water and additives: {step_told(recipe.units, recipe.alkali_step)})" if differs else ""
    header = filled(HEADER, goals=typed(str(blend.source)), step=step_told(recipe.units, blend.step_grams), fine=fine)
    return header + _warned(blend) + left_out(unnamed) + body


def scale_told(step: float) -> str:
    """What a balance shows, so that it is read back as it is: in grams, or in ounces where a gram has no such step."""
    whole = step * 1000.0
    return f"{step:g} g" if abs(whole - round(whole)) < 1e-6 else f"{step / Units.OUNCES.grams:.10g} oz"


def found_from(target: Path, techniques: Sequence[Design]) -> tuple[tuple[Design, ...], tuple[Design, ...]]:
    """The designs that a file at `target` can name, and those of the maker's own whose folder is not found from there."""
    if not techniques:
        return (), ()
    from optimiser.files.designs import by_name, own_designs

    own = own_designs(target.parent)
    known = [design for design in techniques if fold(design.name) in by_name(design.family, own)]
    return tuple(known), tuple(design for design in techniques if design not in known)


def names(named: Sequence[Design]) -> dict[str, str | list[str]]:
    """The keys that name designs, and whom the bar is for; one name stands by itself, several in a list."""
    found: dict[str, list[str]] = {}
    for design in named:
        found.setdefault(design.family, []).append(design.name)
    return {family: one[0] if len(one) == 1 else one for family, one in found.items()}


def left_out(unnamed: Sequence[Design]) -> str:
    """A remark on designs that the file cannot name."""
    return "".join(
        filled(
            "# {family}: {name} is of your own, and its folder is not found from here.\n",
            family=one.family,
            name=one.name,
        )
        for one in unnamed
    )


def choices(recipe: Recipe, named: Sequence[Design]) -> dict[str, str]:
    """Warmth, gel and cure, where a reader of the file would not take them so by themselves."""
    taken = Batch()
    if named:
        from optimiser.problem.designs import choose

        taken = choose(taken, named, heating_names(item for item, _ in recipe.additives))[0]
    told = {}
    if recipe.batter_temperature != taken.batter_temperature:
        told["batter_temperature"] = f"{recipe.batter_temperature:g} degC"
    if recipe.gel != taken.gel:
        told["gel"] = "yes" if recipe.gel else "no"
    if recipe.cure_weeks != taken.cure_weeks:
        told["cure"] = cure_words(recipe.cure_weeks)
    return told


def _warned(blend: Kept) -> str:
    """What must not be lost between the answer and the file: free alkali that is likely, and acids that are counted on."""
    told = (*urgent(blend.judged), *acids_counted_on(blend.recipe))
    return "".join(
        filled("# {line}\n", line=line) for caution in told for line in wrap(caution, WIDTH - 2, break_on_hyphens=False)
    )


def _read_back(text: str, content: Content, target: Path) -> None:
    """See that what is to be saved says the same when it is read.

    Raises:
        BadInput: it does not.
    """
    source = parse_yaml(text, str(target))
    if not source.faults and _plain(source.root) == content:
        return
    shelf = source.root.get("shelf") if isinstance(source.root, Table) else None  # type: ignore[call-overload]
    named = content.get("shelf")
    what = "a name" if shelf == named else f"the shelf's path {named}"
    message = f"cannot write {target}: {what} has letters that a recipe cannot name it by"
    raise BadInput(
        [Diagnostic(Code.CANNOT_WRITE, message, "rename the file, its folder or the fat with plain letters")]
    )


def _plain(node: Node | None) -> object:
    if isinstance(node, Row):
        return [_plain(item) for item in node]
    return {str(key): _plain(value) for key, value in node.items()} if isinstance(node, Table) else str(node)


def mass(grams: float, decimals: int = 3) -> str:
    """Grams as people write them."""
    return f"{grams:.{decimals}f}".rstrip("0").rstrip(".") + " g"
