"""One fat as an object, and what a maker makes of it: a lot's certificate, a fat like it, one of a single figure."""

from __future__ import annotations

import math
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.borrowing import is_infusion, widened
from optimiser.materials.composition import Fact, Figure, Range
from optimiser.materials.fatty_acids import iodine_value, saponification_value

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

PLURALS: Mapping[str, str] = {
    "hard oil": "hard oils",
    "butter": "butters",
    "liquid oil": "liquid oils",
    "wax": "waxes",
    "fatty acid": "fatty acids",
}
KINDS = tuple(PLURALS)
GROUPS: Mapping[str, tuple[str, ...]] = MappingProxyType({"solid fats": ("hard oil", "butter")})
"""Words that stand for several kinds at once."""
BY_IODINE: Mapping[str, float] = MappingProxyType({"half-drying": 106.0, "strongly unsaturated": 120.0})
"""Tags that a fat bears by itself, and the iodine value from which on it does: rapeseed, sesame and sunflower half dry."""
HELD: Mapping[str, str] = MappingProxyType(
    {
        "hard oils": "Here 'hard oils' are without butters; 'solid fats' are both.",
        "liquid oils": "Liquid oils, or soft oils, hold soft pastes such as goose fat too.",
        "solid fats": "Solid fats are hard oils and butters together.",
    }
)
"""What a kind or a group holds where its name leaves that open."""


class LabelNames(NamedTuple):
    """Names for an ingredient list; `verified` is False where a name was built by convention and must be checked.

    `in_eu` is the European Union's name of the fat where that is another word than `oil` without its brackets.
    """

    oil: str
    sodium_soap: str
    potassium_soap: str
    origin: str
    allergen: str
    source: str
    how: str
    verified: bool
    in_eu: str = ""


class Fat(NamedTuple):
    """One fat, butter, wax or fatty acid.

    `acids` is the typical profile, per cent of the fatty acids, summing to 100. `saponification` (mg KOH/g) is what
    counts towards alkali: the acid value for waxes and for fatty acids. `iodine` in g I2/100 g, `unsaponifiable` in g/kg,
    `density` in kg/L at 40 degC. `soap_yield` is the share of the fat whose acids become soap. `spread` is how far the
    saponification value of 95 % of real lots lies under the working value at most, in mg KOH/g. `base` is the reference
    fat that one of the maker's own is built on: the lots of one base go up and down together. `borrowed` is the fat
    whose saponification value it has for want of one of its own. `untold` is what nobody knows of it, of "acids", "iodine",
    "tags" and "kind" (without acids it has no measures), and "certificate" where its only figure has none. `lot` is
    the number of its lot, and of one of several `lot_of` the fat; `own_spread` names what its lots stray with, where that is not its base.
    `to_buy`: a tin of it that nobody has yet, beside lots in hand.
    """

    name: str
    kind: str
    tags: frozenset[str]
    synonyms: tuple[str, ...]
    acids: Mapping[str, float]
    acid_ranges: Mapping[str, Range]
    saponification: Figure
    iodine: Figure
    unsaponifiable: Figure
    density: float
    soap_yield: float
    notes: tuple[str, ...]
    facts: tuple[Fact, ...]
    label: LabelNames | None
    spread: float = 0.0
    base: str = ""
    borrowed: str = ""
    untold: frozenset[str] = frozenset()
    lot: str = ""
    lot_of: str = ""
    own_spread: str = ""
    to_buy: bool = False

    @property
    def group(self) -> str:
        """The fat whose lots this one goes up and down with: its base, or itself."""
        return self.base or self.name

    @property
    def known_as(self) -> str:
        """The name by which goals and rules speak of it: that of the fat, whichever lot of it this is."""
        return self.lot_of or self.name

    @property
    def called(self) -> tuple[str, ...]:
        """Every name by which a goal or a recipe may speak of it: the fat's, its own, and with the number of its lot."""
        return (self.known_as, self.name, *([lot_name(self.known_as, self.lot)] if self.lot else []))

    @property
    def strays_with(self) -> str:
        """What its saponification value strays with: its base, but for a lot whose own certificate tells its value."""
        return self.own_spread or self.group


def tagged(tags: Iterable[str], iodine: Figure) -> frozenset[str]:
    """The tags, with those among them that go by the iodine value, and not below it."""
    own = {tag for tag, least in BY_IODINE.items() if iodine.value >= least}
    return frozenset(tags) - BY_IODINE.keys() | own


def with_certificate(
    fat: Fat,
    *,
    saponification_value: float,
    tolerance: float,
    iodine_value: float | None = None,
) -> Fat:
    """The fat with a supplier's figures for one lot in place of the reference ones.

    `tolerance` is plus or minus, in mg KOH/g. A wax keeps its acid value: the certificate's figure is reached in hot
    alcoholic potash, not in a batter, and counting it would leave free alkali.

    Raises:
        ValueError: a negative tolerance, or one that leaves no positive low end; a negative iodine value.
    """
    if tolerance < 0 or saponification_value - tolerance <= 0:
        raise ValueError(
            f"a saponification value is positive, and so is its low end: not {saponification_value:g} +/- {tolerance:g}",
        )
    if iodine_value is not None and iodine_value < 0:
        raise ValueError(f"an iodine value is not negative: {iodine_value:g}")
    lot = fat if iodine_value is None else with_iodine(fat, iodine_value)
    lot = lot._replace(tags=tagged(lot.tags, lot.iodine), untold=lot.untold - {"certificate"})
    if fat.kind == "wax":
        said = (
            f"The certificate's saponification value ({saponification_value:g}) is not counted: only the acid value is."
        )
        return lot._replace(notes=(*fat.notes, said))
    value = saponification_value
    return lot._replace(
        saponification=Figure(value, value - tolerance, value + tolerance), spread=tolerance, borrowed=""
    )


def with_iodine(fat: Fat, iodine_value: float) -> Fat:
    """The fat with a measured iodine value (g I2/100 g), and the tags that go by it."""
    iodine = Figure(iodine_value, iodine_value, iodine_value)
    return fat._replace(iodine=iodine, tags=tagged(fat.tags, iodine), untold=fat.untold - {"iodine"})


def lot_name(fat: str, number: str) -> str:
    """What one of several lots of a fat is called."""
    return f"{fat} (lot {number})"


def tin_name(fat: str) -> str:
    """What a tin of a fat is called that is still to be bought, beside lots in hand."""
    return f"{fat} (to buy)"


def one_lot(fat: Fat, number: str, *, certified: bool) -> Fat:
    """One of several lots of a fat: one to weigh by itself, and for goals and rules the fat that it is a lot of.

    What a certificate leaves open is of that lot alone; what no certificate tells all lots of one base have in common.
    """
    name = lot_name(fat.name, number)
    own = fat._replace(name=name, base=fat.group, lot=number, lot_of=fat.name)
    return own._replace(own_spread=name) if certified and fat.kind != "wax" else own


def like(  # noqa: PLR0913  # one argument per column of the shelf
    fat: Fat,
    *,
    name: str,
    kind: str | None = None,
    tags: Iterable[str] | None = None,
    saponification: Figure | None = None,
    acids: Mapping[str, float] | None = None,
    iodine: Figure | None = None,
) -> Fat:
    """A maker's own fat, built on a reference one; what is not given is the reference fat's.

    `acids` in per cent of the fatty acids, scaled to 100: the saponification and iodine value follow them unless given
    too. `tags` take the place of the reference fat's. A saponification value that is not given is borrowed, and its ends
    are wider than those of the fat that lends it: a likeness is no measurement. One given keeps its ends, and an
    infusion is that very fat: it has its figures as they are.

    Raises:
        ValueError: an unknown kind, no acids, or a negative share.
        KeyError: an unknown acid.
    """
    if kind is not None and kind not in KINDS:
        raise ValueError(f"{kind!r} is no kind of fat: {', '.join(KINDS)}")
    own = fat._replace(
        name=name, kind=kind or fat.kind, synonyms=(), notes=(f"Built on {fat.name}.", *fat.notes), base=fat.group
    )
    if acids is not None:
        own = _of_acids(own, acids)
    if saponification is not None:
        own = own._replace(saponification=saponification, spread=saponification.value - saponification.low)
    elif acids is not None or not is_infusion(name, fat.name, tags or ()):
        own = reaching(own, widened(own.saponification, "told" if acids is not None else own.kind))
        own = own._replace(borrowed="" if acids is not None else fat.name)
    own = own._replace(iodine=iodine or own.iodine)
    return own._replace(tags=tagged(fat.tags if tags is None else tags, own.iodine))


def reaching(fat: Fat, figure: Figure) -> Fat:
    """The fat with these ends of its saponification value; its lots stray to the low one, or further as they did."""
    return fat._replace(saponification=figure, spread=max(fat.spread, figure.value - figure.low))


UNTOLD_DENSITY = 0.90  # kg/L at 40 degC, near enough for a mould: most fats lie within 0.02 of it (our judgement)


def of_saponification_alone(
    name: str,
    saponification: Figure,
    *,
    kind: str | None = None,
    tags: Iterable[str] | None = None,
    iodine: float | None = None,
) -> Fat:
    """A fat of which little more than its saponification value is known: enough for its alkali, and for no measure.

    Its acids are empty and stand in `untold`, with whatever else is not given; a figure that is not known is nan. A kind
    that is not given is a butter by its name, or else a liquid oil.

    Raises:
        ValueError: an unknown kind, or a wax: of that only the acid value counts.
    """
    if kind is not None and (kind not in KINDS or kind == "wax"):
        raise ValueError(f"a fat of a saponification value alone cannot be of the kind {kind!r}")
    given = {"iodine": iodine, "tags": tags, "kind": kind}
    unknown = Figure(math.nan, math.nan, math.nan)
    figure = unknown if iodine is None else Figure(iodine, iodine, iodine)
    return Fat(
        name=name,
        kind=kind or ("butter" if "butter" in name.casefold().split() else "liquid oil"),
        tags=tagged(tags or (), figure),
        synonyms=(),
        acids=MappingProxyType({}),
        acid_ranges=MappingProxyType({}),
        saponification=saponification,
        iodine=figure,
        unsaponifiable=unknown,
        density=UNTOLD_DENSITY,
        soap_yield=1.0,
        notes=("Known by its saponification value alone: its measures are not known.",),
        facts=(),
        label=None,
        spread=saponification.value - saponification.low,
        untold=frozenset({"acids", "certificate"} | {what for what, told in given.items() if told is None}),
    )


def _of_acids(fat: Fat, acids: Mapping[str, float]) -> Fat:
    """The fat with another profile, its saponification and iodine value worked out from it (a wax keeps its own)."""
    free = fat.kind == "fatty acid"
    values = [
        saponification_value(acids, unsaponifiable=matter, free=free)
        for matter in (fat.unsaponifiable.value, fat.unsaponifiable.high, fat.unsaponifiable.low)
    ]
    reached = iodine_value(acids, free=free)
    total = sum(acids.values())
    profile = MappingProxyType({name: 100 * share / total for name, share in acids.items() if share})
    fat = fat._replace(acids=profile, acid_ranges=MappingProxyType({name: (own, own) for name, own in profile.items()}))
    if fat.kind == "wax":
        return fat
    return fat._replace(saponification=Figure(*values), iodine=Figure(reached, reached, reached))
