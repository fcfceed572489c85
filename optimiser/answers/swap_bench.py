"""A recipe whose fats ran out, judged, and what there is to take their place."""

from __future__ import annotations

from optimiser.analysis.old_bar import OldBar
from optimiser.answers.swap_choices import Bench
from optimiser.files.swap_question import SwapQuestion, shelf_or_common
from optimiser.problem.limits import NOWHERE
from optimiser.problem.shelf import Shelf, Stocked
from optimiser.recipe.cautions import is_unfit
from optimiser.recipe.completion import complete, fat_named, in_grams
from optimiser.recipe.evaluation import judge
from optimiser.recipe.weights import stocked
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic


def bench_of(question: SwapQuestion) -> Bench:
    """The recipe judged, and what could take the place of what is out.

    Raises:
        BadInput: the recipe must not be made as it is, a fat of it has no measures, or nothing is left to stand in.
    """
    asked = question.asked
    sheet, shelf = in_grams(asked.recipe, asked.shelf), shelf_or_common(asked.shelf, asked.recipe)
    asked = asked._replace(recipe=sheet)  # in the grams of its own batch: what takes its place is as much
    recipe = complete(sheet, asked.shelf)
    judged = judge(recipe)
    if is_unfit(judged):
        message = f"the recipe as it stands must not be made: its superfat is {judged.superfat:.1f} %"
        raise BadInput(
            [Diagnostic(Code.LYE_HEAVY, message, "mend it first: barwright weigh tells more", sheet.fats[0].span)]
        )
    for item, (fat, _) in zip(sheet.fats, recipe.fats, strict=True):
        if "acids" in fat.untold:
            message = f"nobody can say what {fat.name} does in the bar: its acids are not told"
            help_ = "say on the shelf what it is like, as in 'like: shea butter'"
            raise BadInput([Diagnostic(Code.UNTOLD_FAT, message, help_, item.span)])
    bar = OldBar(sheet, recipe, judged, question.out, question.keep)
    working, notes = with_recipe(shelf, bar)
    barred = frozenset((*question.out, *question.keep, *question.barred))
    candidates = tuple(item for item in working.fats if item.fat.name not in barred)
    if not candidates:
        message = f"nothing on the shelf {shelf.path or shelf.title} can stand in for {question.out[0]}"
        raise BadInput([Diagnostic(Code.NO_FATS, message, "put more fats on the shelf, or keep fewer", None)])
    return Bench(asked, bar, working, candidates, question.barred, notes)


def with_recipe(shelf: Shelf, bar: OldBar) -> tuple[Shelf, tuple[str, ...]]:
    """The shelf without fats that nobody can compare, with those of the recipe that it has not, no less of any than it takes."""
    told = [item for item in shelf.fats if not item.fat.untold & {"acids", "kind"}]
    notes = [
        f"{item.fat.name} is not looked at: what it is like is not told." for item in shelf.fats if item not in told
    ]
    grams, heap = {fat.name: weight for fat, weight in bar.recipe.fats}, stocked(bar.recipe.units)
    fats = []
    for item in told:
        need = grams.pop(item.fat.name, 0.0) / 1000.0
        short = item.stock_kg is not None and item.stock_kg < need and item.fat.name not in bar.out
        if short:
            notes.append(
                f"The recipe takes {heap.told(1000.0 * need)} of {item.fat.name}, and the shelf has "
                f"{heap.told(1000.0 * (item.stock_kg or 0.0))}."
            )
        fats.append(item._replace(stock_kg=need) if short else item)
    for name in grams:
        fats.append(Stocked(fat_named(name, shelf), 0.0, None, (), None, NOWHERE))
        if name not in bar.out:
            notes.append(
                f"{name} is not on the shelf: the recipe's own share of it is there, and no more; its price is not known."
            )
    alkalis = dict(shelf.alkalis)
    if bar.recipe.potassium_hydroxide and "potassium hydroxide" not in alkalis:
        alkalis["potassium hydroxide"] = alkalis["sodium hydroxide"]._replace(
            name="potassium hydroxide", price=0.0, purity=1.0, span=None, assumed=True
        )
    return shelf._replace(fats=tuple(fats), alkalis=alkalis), tuple(notes)
