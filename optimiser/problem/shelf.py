"""What the maker has: fats, alkalis and additives, with prices, packs, stock and certificates, as values."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from optimiser.materials.additives import Additive
from optimiser.materials.fat import Fat
from optimiser.problem.buying import Break
from optimiser.problem.money import Prices
from optimiser.problem.units import Units
from optimiser.text.spans import Span

LEAST_PURITY = 0.8
"""Of an alkali, as a fraction: what is weaker is a lye sold ready made, whose water counts and is not reckoned here."""
NO_DAY = "9999-12-31"
"""Where no day is told up to which a lot keeps: such a lot goes after those that have one."""
AFTER_ALL = "9999-12-32"
SOLD_AS_LYE = "that is a lye sold ready made, whose water would have to be reckoned"


class Shelf(NamedTuple):
    """All that the maker has, fats in file order. `alkalis` always holds sodium hydroxide; `liquids` stand for water.

    `units` are those in which its maker wants weights told. `to_buy` are tins that may be bought of fats whose lots are all in hand:
    they stand among the fats where the goals let anything be bought (`new_tins`). `is_share`: its stocks are what the other bars of a plan leave,
    which is no figure that its maker wrote.
    """

    path: str
    title: str
    currency: str
    fats: tuple[Stocked, ...]
    alkalis: Mapping[str, StockedAlkali]
    additives: Mapping[str, StockedAdditive]
    liquids: Mapping[str, StockedAdditive] = MappingProxyType({})
    units: Units = Units.GRAMS
    to_buy: tuple[Stocked, ...] = ()
    is_share: bool = False

    @property
    def prices(self) -> Prices:
        """Money per kilo of what is weighed; an alkali that the shelf has not costs nothing.

        Of several lots of a fat each has its own, and the fat itself that of the lot that goes first.
        """
        alkali = {name: item.price for name, item in self.alkalis.items()}
        first = {item.fat.known_as: item.price for item in sorted(self.fats, key=turn, reverse=True)}
        return Prices(
            currency=self.currency,
            fats=first | {item.fat.name: item.price for item in (*self.to_buy, *self.fats)},
            sodium_hydroxide=alkali.get("sodium hydroxide", 0.0),
            potassium_hydroxide=alkali.get("potassium hydroxide", 0.0),
            additives={name: item.price for name, item in self.extras.items()},
        )

    @property
    def extras(self) -> Mapping[str, StockedAdditive]:
        """Additives and liquids together: no name is both."""
        return {**self.additives, **self.liquids}

    @property
    def purities(self) -> tuple[float, float]:
        """Purities of sodium and potassium hydroxide; pure where there is none to say."""
        found = {name: item.purity for name, item in self.alkalis.items()}
        return found.get("sodium hydroxide", 1.0), found.get("potassium hydroxide", 1.0)

    @property
    def purest(self) -> tuple[float, float]:
        """How pure sodium and potassium hydroxide may be at the most, as fractions."""
        found = {name: item.purest for name, item in self.alkalis.items()}
        return found.get("sodium hydroxide", 1.0), found.get("potassium hydroxide", 1.0)

    @property
    def purity_basis(self) -> tuple[str, str]:
        """What is said of how pure sodium and potassium hydroxide may be.

        "told" where the shelf tells the tolerance, "grade" where it tells the purity alone, "assumed" where not even that.
        """
        found = {name: item.basis for name, item in self.alkalis.items()}
        return found.get("sodium hydroxide", "assumed"), found.get("potassium hydroxide", "assumed")

    @property
    def unpriced_alkali_note(self) -> str:
        """A sentence where the shelf has no sodium hydroxide, which then is reckoned pure and free of charge; else ""."""
        if self.alkalis["sodium hydroxide"].is_priced:
            return ""
        others = [name for name in self.alkalis if name != "sodium hydroxide"]
        has = f"holds {' and '.join(others)} and no sodium hydroxide" if others else "holds no sodium hydroxide"
        return (
            f"The shelf {has}: where a recipe takes any, it is reckoned as pure and costs nothing. "
            "Put it on the shelf with its price and purity."
        )

    def of_fat(self, name: str) -> tuple[Stocked, ...]:
        """All that there is of a fat, in file order: itself, or each of its lots; a lot by its own name alone."""
        return tuple(item for item in self.fats if name in item.fat.called)

    def stock_of(self, name: str) -> float | None:
        """How much there is of a fat in all its lots, kg; None where more can be bought. Nothing of one that is not here."""
        stocks = [item.stock_kg for item in self.of_fat(name)]
        told = [kilograms for kilograms in stocks if kilograms is not None]
        return math.fsum(told) if len(told) == len(stocks) else None

    def pack_of(self, name: str, size_kg: float) -> str:
        """A pack of a fat by its size, as its maker wrote it; "" where that is not known."""
        packs = (pack for item in self.of_fat(name) for pack in item.packs if pack.size_kg == size_kg)
        return next((pack.said for pack in packs), "")

    @property
    def fat_names(self) -> tuple[str, ...]:
        """The fats by name, each once however many lots of it there are, in file order."""
        return tuple(dict.fromkeys(item.fat.known_as for item in self.fats))

    def lot_notes(self, names: Iterable[str]) -> tuple[str, ...]:
        """A sentence for each of these fats that is an infusion and reckoned as a certified lot of its oil."""
        wanted = set(names)
        return tuple(
            f"{item.fat.name.capitalize()} is an infusion of {item.borrowed}: reckoned as {item.as_lot}, "
            f"{item.fat.saponification.value:g} +/- {item.fat.spread:g} mg KOH/g."
            for item in self.fats
            if item.as_lot and item.fat.name in wanted
        )


class Pack(NamedTuple):
    """One size that can be bought: kg, and money for the whole pack; `said` is the size as its maker wrote it."""

    size_kg: float
    price: float
    said: str = ""


class LotCertificate(NamedTuple):
    """A supplier's certificate: mg KOH/g with plus or minus `tolerance`, and g I2/100 g.

    `span` is where the shelf tells the tolerance, None where it does not; `best_before` is a day (ISO 8601) or empty.
    """

    number: str
    saponification_value: float
    tolerance: float
    iodine_value: float | None
    span: Span | None = None
    best_before: str = ""


class Stocked(NamedTuple):
    """A fat on the shelf: `price` per kg; `stock_kg` is None where more can be bought.

    `borrowed` names the fat of the reference table whose saponification value it has for want of one of its own;
    `price_span` is where the price stands; `as_lot` says which lot of that fat an infusion is reckoned as.
    `minimum_order_kg` is the least that is sold at once, and `breaks` are prices per kg of larger orders. Of several lots
    of a fat each is one of these (`Fat.lot_of` names the fat); `best_before` is a day (ISO 8601) or empty. `bought_as` is what the
    next tin is, of a lot: the same fat without its certificate.
    """

    fat: Fat
    price: float
    stock_kg: float | None
    packs: tuple[Pack, ...]
    lot: LotCertificate | None
    span: Span
    borrowed: str = ""
    price_span: Span | None = None
    as_lot: str = ""
    minimum_order_kg: float = 0.0
    breaks: tuple[Break, ...] = ()
    best_before: str = ""
    bought_as: Stocked | None = None

    @property
    def number(self) -> str:
        """The number of the lot that it is, if it has one."""
        return self.lot.number if self.lot is not None else self.fat.lot


def turn(item: Stocked) -> str:
    """When a lot is to be used: the one that keeps the shortest first, and a tin that is still to be bought last."""
    return AFTER_ALL if item.fat.to_buy else item.best_before or NO_DAY


class StockedAlkali(NamedTuple):
    """An alkali: `price` per kg as weighed, `purity` a fraction; it may be purer than told by `tolerance`, a fraction too.

    `assumed` says that the shelf did not tell the purity (or the alkali at all). It then counts as pure: that
    weighs less than an impure one would need, which leaves more superfat and never free alkali. `tolerance_told` says
    that the shelf tells the tolerance; else it is that of the grade.
    """

    name: str
    price: float
    purity: float
    span: Span | None
    assumed: bool
    tolerance: float = 0.0
    tolerance_told: bool = False

    @property
    def purest(self) -> float:
        """How pure it may be at the most, a fraction."""
        return min(1.0, self.purity + self.tolerance)

    @property
    def basis(self) -> str:
        """Whether the tolerance is told, is that of the grade, or the alkali is assumed to be pure."""
        return "assumed" if self.assumed else "told" if self.tolerance_told else "grade"

    @property
    def is_priced(self) -> bool:
        """Whether the shelf itself has this alkali; one that it has not costs nothing in any sum."""
        return self.span is not None


class StockedAdditive(NamedTuple):
    """An additive or a liquid on the shelf, with the maker's own figures in place; `price` per kg."""

    additive: Additive
    price: float
    span: Span
