"""A recipe in hand, as its maker gave it: what goes into the pot, and what is left to be worked out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from optimiser.measures.cure import USUAL_CURE
from optimiser.problem.batch import Batch, Mould
from optimiser.problem.goals import Water
from optimiser.problem.units import Units
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from optimiser.problem.designs import Design


class Weighed(NamedTuple):
    """One thing and its grams; `name` is the canonical one. `in_ounces` is how a file in ounces or pounds tells it, else "".

    `by_share`: told by the fats (of a fat: in per cent of all), so that its grams go with theirs.
    """

    name: str
    grams: float
    span: Span
    in_ounces: str = ""
    by_share: bool = False


class Poured(NamedTuple):
    """A liquid that stands for water: its grams, or its share in per cent of all that stands in water's place."""

    name: str
    grams: float | None
    share: float | None
    span: Span


class RecipeSheet(NamedTuple):
    """A recipe file as read. Either `alkali` or `superfat` is set, never both; of `water_g` and `lye_concentration` at most one.

    `superfat`, `potassium_share` and `lye_concentration` are per cent, `cured_water` a fraction. Alkalis are as weighed,
    impurities included. Fats and the like are in file order. Of `water_g` a liquid told by its share takes its share;
    one told by its mass comes beside it. `techniques` are the designs and people that it names, in order; `given` has what
    its maker chose of "gel" and "batter_temperature", where else a design's choice or the usual stands; `water` is the water that
    the soap will meet. `to_make` is how much is made where fats are told in per cent: their grams are then for a kilo of them,
    or for what the batch says of the fats, and are yet to be brought to it (`recipe.batch_size`).
    `scale_g` is the step of the balance, where it is told, `units` what it is read in; `mould` is what fats told by mass are poured into.
    """

    path: str
    title: str
    shelf: Path | None
    fats: tuple[Weighed, ...]
    alkali: tuple[Weighed, ...]
    superfat: float | None
    potassium_share: float
    water_g: float | None
    lye_concentration: float | None
    additives: tuple[Weighed, ...]
    batter_temperature: float
    gel: bool
    cured_water: float
    bars: int | None
    cured_weight_kg: float
    shelf_span: Span | None = None
    liquids: tuple[Poured, ...] = ()
    techniques: tuple[Design, ...] = ()
    given: frozenset[str] = frozenset()
    water: Water | None = None
    cure_weeks: float = USUAL_CURE
    to_make: Batch | None = None
    scale_g: float | None = None
    units: Units = Units.GRAMS
    mould: Mould | None = None

    @property
    def poured_into(self) -> Mould | None:
        """The mould or moulds that it is poured into, as far as that is told."""
        return self.mould or (None if self.to_make is None else self.to_make.mould)

    @property
    def extras(self) -> tuple[Weighed | Poured, ...]:
        """Additives and liquids."""
        return (*self.additives, *self.liquids)
