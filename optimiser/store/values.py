"""What the batch record holds, as values; grams, ISO days, money in ten-thousandths of the currency's unit."""

from __future__ import annotations

import hashlib
from typing import Literal, NamedTuple

Kind = Literal["fat", "alkali", "water", "additive", "liquid"]
Why = Literal["received", "shelf", "counted", "drawn", "made", "made into"]


class Lot(NamedTuple):
    """One delivery, or one make of an infusion, of one material: a number alone may stand on tins of different things."""

    number: str
    material: str
    best_before: str | None = None


class Source(NamedTuple):
    """What a lot was made from, and how much of it; None where nobody told."""

    lot: Lot
    grams: float | None


class Use(NamedTuple):
    """One line of what went into a batch; `lot` is None where none was told, `purity` a fraction, of alkalis alone."""

    kind: Kind
    material: str
    grams: float
    lot: Lot | None = None
    purity: float | None = None


class Batch(NamedTuple):
    """A batch as it was made: the recipe as text, what it was judged by, and everything that went into it.

    `id` is empty for a batch that is to be given one by its day. `made` is None where nobody told the day. `cost_e4` is money
    in ten-thousandths, None where a price was not known; superfats and the lye's concentration are per cent.
    """

    id: str
    title: str
    made: str | None
    recipe: str
    version: str
    bars: int | None
    batter_g: float
    cured_g: float
    superfat: float
    superfat_likely: float
    superfat_worst: float
    lye_concentration: float
    cost_e4: int | None
    currency: str
    cautions: tuple[str, ...]
    uses: tuple[Use, ...]

    @property
    def sha256(self) -> str:
        """The hash of the recipe's text."""
        return sha256_of(self.recipe)

    def grams_of(self, kind: Kind) -> float:
        """All of one kind."""
        return sum(use.grams for use in self.uses if use.kind == kind)


class Observation(NamedTuple):
    """What was seen of a batch: seconds to trace, hours to unmould, a reading with its unit; None for what nobody noted."""

    noted_on: str | None = None
    trace_s: float | None = None
    unmould_h: float | None = None
    hardness: float | None = None
    hardness_unit: str | None = None
    ash: bool | None = None
    notes: tuple[str, ...] = ()


class Shipment(NamedTuple):
    """So many bars of a batch that went to somebody."""

    bars: int
    recipient: str
    sent_on: str


class Movement(NamedTuple):
    """Stock of a lot that came (above zero) or went (below)."""

    lot: Lot
    grams: float
    why: Why
    moved_on: str | None
    batch: str | None = None


class Listed(NamedTuple):
    """A batch in a list; `untold` counts the fats of which no lot was told."""

    id: str
    title: str
    made: str | None
    fats_g: float
    bars: int | None
    lots: int
    untold: int
    sent: int
    observed: int


class Shown(NamedTuple):
    """A batch with all that is known of it."""

    batch: Batch
    observations: tuple[Observation, ...]
    shipments: tuple[Shipment, ...]


class Held(NamedTuple):
    """A batch that holds a lot: grams of it, or of what was made from it; `through` names the lots that went into the pot."""

    id: str
    title: str
    made: str | None
    grams: float
    through: tuple[Lot, ...]
    bars: int | None
    shipments: tuple[Shipment, ...]


class MayHold(NamedTuple):
    """A batch with a material of which no lot was told, so that it may hold the lot too."""

    id: str
    title: str
    made: str | None
    material: str
    grams: float


class Recalled(NamedTuple):
    """Every batch that a lot is in. `lots` are those of that number, `made_from_it` lots made from them."""

    number: str
    lots: tuple[Lot, ...]
    made_from_it: tuple[Lot, ...]
    batches: tuple[Held, ...]
    may_hold: tuple[MayHold, ...]


class Within(NamedTuple):
    """A lot in a batch: grams where it went into the pot itself, None where only `through` something made from it."""

    lot: Lot
    grams: float | None
    through: tuple[Lot, ...]


class Traced(NamedTuple):
    """Every lot that is in a batch, and the uses of which no lot was told."""

    id: str
    title: str
    made: str | None
    lots: tuple[Within, ...]
    untold: tuple[Use, ...]
    shipments: tuple[Shipment, ...]


class Left(NamedTuple):
    """What is left of a lot in grams; None where nobody ever told how much there was. `drawn` is what went into batches."""

    lot: Lot
    grams: float | None
    drawn: float


class Added(NamedTuple):
    """A batch that was recorded, and the lots whose stock it drew down, as they stand now."""

    batch: Batch
    left: tuple[Left, ...] = ()


def sha256_of(text: str) -> str:
    """The hash of a text as UTF-8, in hexadecimal digits."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
