"""One fat as an object, and the two ways a maker changes it: a lot's certificate, and a fat of their own."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

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
STRONGLY_UNSATURATED = "strongly unsaturated"
_STRONG_IODINE = 120


class LabelNames(NamedTuple):
    """Names for an ingredient list; `verified` is False where a name was built by convention and must be checked."""

    oil: str
    sodium_soap: str
    potassium_soap: str
    origin: str
    allergen: str
    source: str
    how: str
    verified: bool


class Fat(NamedTuple):
    """One fat, butter, wax or fatty acid.

    `acids` is the typical profile, per cent of the fatty acids, summing to 100. `saponification` (mg KOH/g) is what
    counts towards alkali: the acid value for waxes and for fatty acids. `iodine` in g I2/100 g, `unsaponifiable` in g/kg,
    `density` in kg/L at 40 degC. `soap_yield` is the share of the fat whose acids become soap. `spread` is how far the
    saponification value of 95 % of real lots lies under the working value at most, in mg KOH/g. `base` is the reference
    fat that one of the maker's own is built on: the lots of one base go up and down together.
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

    @property
    def group(self) -> str:
        """The fat whose lots this one goes up and down with: its base, or itself."""
        return self.base or self.name


def tagged(tags: Iterable[str], iodine: Figure) -> frozenset[str]:
    """The tags, "strongly unsaturated" among them from an iodine value of 120 upwards and not below it."""
    strongly = {STRONGLY_UNSATURATED} if iodine.value >= _STRONG_IODINE else set()
    return frozenset(tags) - {STRONGLY_UNSATURATED} | strongly


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
    iodine = fat.iodine if iodine_value is None else Figure(iodine_value, iodine_value, iodine_value)
    lot = fat._replace(iodine=iodine, tags=tagged(fat.tags, iodine))
    if fat.kind == "wax":
        said = (
            f"The certificate's saponification value ({saponification_value:g}) is not counted: only the acid value is."
        )
        return lot._replace(notes=(*fat.notes, said))
    value = saponification_value
    return lot._replace(saponification=Figure(value, value - tolerance, value + tolerance), spread=tolerance)


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
    too. `tags` take the place of the reference fat's.

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
    own = own._replace(saponification=saponification or own.saponification, iodine=iodine or own.iodine)
    return own._replace(tags=tagged(fat.tags if tags is None else tags, own.iodine))


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
