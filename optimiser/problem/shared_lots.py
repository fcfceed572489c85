"""What a certificate on the shelf says of the shelf's other fats: an infusion is that very lot, a likeness reaches as low."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.materials.fat import reaching, with_certificate

if TYPE_CHECKING:
    from collections.abc import Sequence

    from optimiser.problem.shelf import LotCertificate, Stocked


def with_shared_lots(fats: Sequence[Stocked]) -> tuple[Stocked, ...]:
    """The fats of one shelf, those whose figures are borrowed with what the certificates of their lender say.

    An infusion has the value and the tolerance of the lot, of several that with the lowest value: less alkali is the
    safe side. A fat that is only like another takes no lot's value, but its low end is not above that of a lot whose
    value is below its own.
    """
    return tuple(_shared(item, _lowest(item, fats)) for item in fats)


def _lowest(item: Stocked, fats: Sequence[Stocked]) -> Stocked | None:
    """The certified lot of the lowest value among those of the fat that this one borrows from; a wax has none."""
    if not item.borrowed or item.lot is not None or item.fat.kind == "wax":
        return None
    lots = [other for other in fats if other.lot is not None and other.fat.group == item.fat.group]
    return min(lots, key=lambda each: (each.fat.saponification.value, each.fat.saponification.low), default=None)


def _shared(item: Stocked, lender: Stocked | None) -> Stocked:
    if lender is None or lender.lot is None:
        return item
    if item.fat.borrowed:
        figure, lot = item.fat.saponification, lender.fat.saponification
        if lot.value >= figure.value:
            return item
        return item._replace(fat=reaching(item.fat, figure._replace(low=min(figure.low, lot.low))))
    own = with_certificate(
        item.fat, saponification_value=lender.lot.saponification_value, tolerance=lender.lot.tolerance
    )
    if lender.fat.own_spread:
        own = own._replace(own_spread=lender.fat.own_spread)
    return item._replace(fat=own, as_lot=_called(lender, lender.lot))


def _called(lender: Stocked, lot: LotCertificate) -> str:
    return f"lot {lot.number} of {lender.fat.known_as}" if lot.number else f"the certified lot of {lender.fat.known_as}"
