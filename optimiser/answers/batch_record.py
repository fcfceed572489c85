"""A recipe that was made, as the batch that goes into the record: read, completed, judged, frozen, its lots told."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from optimiser.answers.lots_told import ToldLot, certified, doubts, of_shelf, with_lots, without_a_lot
from optimiser.files.question import read_in_hand, shelf_for
from optimiser.files.shelf.shelf import read_shelf
from optimiser.files.trial_file import Trial
from optimiser.files.workspace import nearest_shelf
from optimiser.materials.fat import Fat
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf
from optimiser.recipe.cautions import cautions, is_unfit, standing, urgent
from optimiser.recipe.completion import complete, prices_for
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.store.frozen import frozen_text
from optimiser.store.values import Batch, Kind, Lot, Observation, Use
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold
from optimiser.text.source import one_line

E4 = 10_000.0


class Made(NamedTuple):
    """What the maker tells of a batch beside its recipe; an empty `id` asks for the next one of the day.

    `lots_from` is a shelf that tells lots alone, where the recipe is reckoned without one.
    """

    on: str | None
    id: str = ""
    bars: int | None = None
    lots: tuple[ToldLot, ...] = ()
    lots_of_shelf: bool = False
    lots_from: Shelf | None = None


class Prepared(NamedTuple):
    """A batch ready to be recorded; `stock` is what the shelf tells of each lot, in grams."""

    batch: Batch
    warnings: tuple[Diagnostic, ...]
    stock: Mapping[Lot, float]


class Unfit(NamedTuple):
    """A recipe that must not be made, and so is not recorded; `urgent` says why."""

    title: str
    recipe_file: str
    urgent: tuple[str, ...]
    cautions: tuple[str, ...]


def prepare(
    recipe_file: Path, record: Path, made: Made, *, shelf_file: Path | None = None, kept: Iterable[Lot] = ()
) -> Prepared | Unfit:
    """The batch that a recipe file makes.

    Args:
        recipe_file: the recipe.
        record: the file of the record that it is for.
        made: the rest.
        shelf_file: used in place of the shelf that the recipe names.
        kept: lots that the record has already.

    Raises:
        BadInput: with every fault of the files, or of what was told.
    """
    asked = read_in_hand(recipe_file, shelf_file)
    if made.lots_of_shelf and asked.shelf is None:
        made = made._replace(lots_from=read_shelf(nearest_shelf(recipe_file)))
    return batch_of(asked.recipe, asked.shelf, record, made, kept, asked.warnings)


def of_trial(trial: Trial, record: Path) -> tuple[Prepared | Unfit, Observation]:
    """A trial as a batch and what was seen of it.

    Raises:
        BadInput: its shelf cannot be read, or its recipe cannot be kept.
    """
    made = Made(trial.date or None, trial.name)
    reading = trial.hardness
    seen = Observation(
        trial.date or None,
        trial.trace,
        trial.unmould,
        None if reading is None else reading.value,
        None if reading is None else reading.unit,
        trial.ash,
        tuple(one_line(note) for note in trial.notes if note.strip()),
    )
    return batch_of(trial.recipe, shelf_for(trial.recipe), record, made), seen


def batch_of(
    sheet: RecipeSheet,
    shelf: Shelf | None,
    record: Path,
    made: Made,
    kept: Iterable[Lot] = (),
    warnings: Sequence[Diagnostic] = (),
) -> Prepared | Unfit:
    """A recipe as read, and what was told of it, as a batch.

    Raises:
        BadInput: too little for a balance, lots that do not fit, or a text that cannot be kept.
    """
    recipe = complete(sheet, shelf)
    if not recipe.sodium_hydroxide + recipe.potassium_hydroxide:
        message = f"the alkali for so little is less than a balance that reads {recipe.alkali_step:g} g can weigh out"
        raise BadInput([Diagnostic(Code.COARSE_BALANCE, message, "make a bigger batch", sheet.fats[0].span)])
    prices = prices_for(recipe, shelf)
    judged = judge(recipe, prices)
    told = cautions(recipe, judged, sheet.techniques)
    if is_unfit(judged):
        return Unfit(sheet.title, sheet.path, urgent(judged), told)
    there = shelf or made.lots_from
    plain = uses_of(recipe, there)
    lots = made.lots if not made.lots_of_shelf else (*made.lots, *of_shelf(plain, made.lots, there))
    bare = without_a_lot(plain, made.lots, there) if made.lots_of_shelf else ()
    uses = with_lots(plain, lots, there)
    full = sheet._replace(bars=made.bars or sheet.bars, shelf=sheet.shelf if shelf is None else Path(shelf.path))
    batch = Batch(
        id=made.id,
        title=one_line(sheet.title),
        made=made.on,
        recipe=frozen_text(full, recipe, judged, record, made.on),
        version=version(),
        bars=full.bars,
        batter_g=judged.batter_grams,
        cured_g=judged.cured_grams,
        superfat=judged.superfat,
        superfat_likely=judged.superfat_likely_low,
        superfat_worst=judged.superfat_worst_case,
        lye_concentration=judged.lye_concentration,
        cost_e4=None if judged.money is None else round(judged.money * E4),
        currency="" if shelf is None else shelf.currency,
        cautions=tuple(line for line in told if line not in standing(recipe)),
        uses=uses,
    )
    return Prepared(batch, (*warnings, *bare, *doubts(uses, there, made.on, kept)), stock_of(uses, there))


def uses_of(recipe: Recipe, shelf: Shelf | None = None) -> tuple[Use, ...]:
    """Everything that goes into the pot, in the order of a recipe's table; a fat of a lot that the recipe names with that lot."""
    best = {} if shelf is None else {item.fat.name: item.best_before or None for item in shelf.fats}

    def lot(fat: Fat) -> Lot | None:
        return Lot(fat.lot, fat.known_as, best.get(fat.name)) if fat.lot_of and fat.lot else None

    def told(kind: Kind, items: Iterable[tuple[str, float]]) -> list[Use]:
        return [Use(kind, name, grams) for name, grams in items if grams > 0]

    alkalis = (
        Use("alkali", "sodium hydroxide", recipe.sodium_hydroxide, None, recipe.sodium_purity),
        Use("alkali", "potassium hydroxide", recipe.potassium_hydroxide, None, recipe.potassium_purity),
    )
    return (
        *(Use("fat", fat.known_as, grams, lot(fat)) for fat, grams in recipe.fats if grams > 0),
        *(use for use in alkalis if use.grams > 0),
        *told("water", [("water", recipe.water)]),
        *told("liquid", ((item.name, grams) for item, grams in recipe.liquids)),
        *told("additive", ((item.name, grams) for item, grams in recipe.solids)),
    )


def stock_of(uses: Iterable[Use], shelf: Shelf | None) -> dict[Lot, float]:
    """Grams that the shelf tells of each lot, where it tells a stock of that very lot."""
    return {
        use.lot: 1000.0 * item.stock_kg
        for use in uses
        for item in certified(use.material, shelf)
        if use.lot is not None and item.stock_kg and fold(item.number) == fold(use.lot.number)
    }


def version() -> str:
    """The version of barwright that reckoned it."""
    from importlib.metadata import PackageNotFoundError
    from importlib.metadata import version as installed

    try:
        return installed("barwright")
    except PackageNotFoundError:
        return "not installed"
