"""How much a recipe makes where its fats are told in per cent, and that nothing says it twice."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from optimiser.problem.batch import Batch
from optimiser.problem.recipe import Weighed
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.quantities import write_number

if TYPE_CHECKING:
    from optimiser.files.recipe_file import RecipeForm

WHOLE = 100.0  # per cent
OFF = 0.5  # per cent that shares may be off by, as thirds of 33.3 % are; they are taken as parts of their sum
EXAMPLE = "batch: {fats: 1 kg}, {bars: 24, cured_weight: 110 g}, {batter: 4 kg} or a mould"
BESIDE_MASSES = frozenset({"scale", "mould"})  # what a batch may tell of fats told by mass
BY_THEMSELVES = ("batter_temperature", "gel", "cured_water")  # choices of a batch that stand beside it in a recipe


class Charge(NamedTuple):
    """The fats in grams, and the batch that they are yet to be brought to; None where they are as they are to be weighed."""

    fats: tuple[Weighed, ...]
    to_make: Batch | None = None

    @property
    def grams(self) -> float:
        """All fats."""
        return math.fsum(item.grams for item in self.fats)


def charge_of(form: RecipeForm) -> Charge:
    """The fats of a recipe, in per cent of a batch or by mass.

    Raises:
        BadInput: nothing says how much is made, or it is said twice; shares that are no whole.
    """
    faults = list(faults_of(form))
    if faults:
        raise BadInput(faults)
    if form.batch is None or is_beside_masses(form):
        return Charge(form.fats)
    total = math.fsum(item.grams for item in form.fats)
    kilograms = 1.0 if form.batch.fats_kg is None else form.batch.fats_kg
    fats = tuple(item._replace(grams=round(1000.0 * kilograms * item.grams / total, 9)) for item in form.fats)
    return Charge(fats, form.batch)


def is_scale_alone(batch: Batch) -> bool:
    """Whether a batch tells nothing but what the balance shows."""
    return batch.given == {"scale"}


def is_beside_masses(form: RecipeForm) -> bool:
    """Whether the fats are told by mass, and the batch tells beside them no more than the balance and the mould that is filled."""
    return form.batch is not None and form.batch.given <= BESIDE_MASSES and not any(item.by_share for item in form.fats)


def faults_of(form: RecipeForm) -> Iterator[Diagnostic]:
    """What does not go together in how much is made."""
    shares = [item for item in form.fats if item.by_share]
    batch, first = form.batch, form.fats[0]
    if shares and len(shares) < len(form.fats):
        masses = next(item for item in form.fats if not item.by_share)
        message = f"{shares[0].name} is told in per cent, and {masses.name} by mass"
        yield Diagnostic(Code.CONTRADICTION, message, "tell all fats in the same way", shares[0].span)
        return
    if batch is not None and not shares and not is_beside_masses(form):
        message = "the fats are told by mass, and 'batch' says how much is made too"
        help_ = (
            "keep no more of 'batch' than a mould and a scale, or tell the fats in per cent; for another size: "
            "barwright resize RECIPE --to '2.5 kg fats'"
        )
        yield Diagnostic(Code.CONTRADICTION, message, help_, batch.span or first.span)
    if not shares:
        return
    total = math.fsum(item.grams for item in shares)
    if abs(total - WHOLE) > OFF:
        message = f"the fats add up to {write_number(round(total, 6))} %, and not to 100 %"
        yield Diagnostic(Code.TOO_MUCH if total > WHOLE else Code.OUT_OF_RANGE, message, "mend the shares", first.span)
    if batch is None or is_scale_alone(batch):
        message = "the fats are told in per cent, and nothing says how much is made"
        yield Diagnostic(Code.MISSING_KEY, message, f"write {EXAMPLE}", first.span)
        return
    for name in BY_THEMSELVES:
        if name in batch.given:
            message = f"in a recipe '{name}' stands by itself, and not under 'batch'"
            yield Diagnostic(Code.UNKNOWN_KEY, message, f"write it on a line of its own, as in {name}: ...", batch.span)
    if batch.bars is not None and (form.bars is not None or form.cured_weight is not None):
        message = "the bars are told under 'batch' and beside it"
        yield Diagnostic(Code.CONTRADICTION, message, "keep those under 'batch'", batch.span)
    if batch.fats_kg is None and form.alkali:
        message = "alkali is told in grams, and those of the fats are yet to be worked out"
        help_ = "write the superfat instead, as in superfat: 5 %, or tell the fats by mass"
        yield Diagnostic(Code.CONTRADICTION, message, help_, form.alkali[0].span)
