"""Goals and a shelf made in Python, without a file: the same values as the files are read into.

Names are those of the files ("hardness", "palm oil", "hard oils", "palm"), figures are in the unit that the measure or
share has there. A name that is a fat is the fat: the acid in all of them answers to its number, C18:0. A recipe in hand is made by
`optimiser.problem.asking_near`. What has no short way here (preferences, counted fats, designs, single rules of the house, stocks, lots,
fats of the maker's own) is reached by a file, or by the fields of `GoalSheet` and `Shelf` themselves.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from numbers import Real
from types import MappingProxyType

from optimiser.materials.additives import Additive, additives
from optimiser.materials.additives import find as find_additive
from optimiser.materials.alkali import usual_tolerance
from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import find_liquid, liquids
from optimiser.materials.loose_names import find_loose
from optimiser.measures.quantities import find_quantity, quantities
from optimiser.measures.shares import share_named, tag_called, tags_by_word
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.batch import DEFAULT_BAR, DEFAULT_FATS, MOST_FATS, Batch
from optimiser.problem.goals import Exclusion, GoalSheet, with_usual_most
from optimiser.problem.limits import GRAMS, NOWHERE, PER_KILO, Limit
from optimiser.problem.money import MOST_MONEY
from optimiser.problem.shelf import LEAST_PURITY, SOLD_AS_LYE, Shelf, Stocked, StockedAdditive, StockedAlkali
from optimiser.problem.wishes import Said
from optimiser.text.names import offer

NONE: Mapping[str, float] = MappingProxyType({})
PER = ("kg", "bar", "lb")
MOST_BY_UNIT: Mapping[str, float] = MappingProxyType({GRAMS: 1e8, PER_KILO: 4000.0})


def at_least(what: str, figure: float, *, per: str = "", unit: str = "") -> Limit:
    """A wish for no less: of a measure or figure of the bar, a share of the fats, an additive, or a liquid for the water.

    Args:
        what: what the files call it: "hardness", "superfat", "palm oil", "hard oils", "sodium lactate".
        figure: in the unit that it has there: points, per cent, money.
        per: of a cost alone: "kg" of cured bar (also where nothing is said), "bar" or "lb".
        unit: of an additive or a liquid alone: "%" (also where nothing is said; of the fats, or of what stands for the
            water), "g" in this batch, or "g/kg" of fats.

    Raises:
        ValueError: no such name, a figure that nothing can have, or a cost per something else.
        TypeError: a name that is no text, or a figure that is no number.

    >>> from optimiser import at_least
    >>> wish = at_least("hardness", 60)
    >>> print(wish.said, wish.unit)
    hardness at least 60 index
    """
    return _limit(what, Side.AT_LEAST, figure, per, unit)


def at_most(what: str, figure: float, *, per: str = "", unit: str = "") -> Limit:
    """A wish for no more; otherwise as `at_least`.

    >>> from optimiser import at_most
    >>> print(at_most("cost", 6.4).said)
    cost at most 6.4 / kg
    """
    return _limit(what, Side.AT_MOST, figure, per, unit)


def exactly(what: str, figure: float, *, per: str = "", unit: str = "") -> Limit:
    """A wish for just this; a bar measure is met within half a point. Otherwise as `at_least`.

    >>> from optimiser import exactly
    >>> print(exactly("castor oil", 5).said)
    castor oil exactly 5 %
    """
    return _limit(what, Side.EXACTLY, figure, per, unit)


def goals_of(
    *wishes: Limit,
    free_from: Iterable[str] = (),
    practice: bool = True,
    fats_kg: float | None = None,
    bars: int | None = None,
    bar_kg: float = DEFAULT_BAR,
    title: str = "a bar",
) -> GoalSheet:
    """Goals without a file.

    Args:
        wishes: what is asked of the bar, its fats and additives.
        free_from: tags that no part of the bar may bear: "palm", "animal".
        practice: whether the rules of the house hold.
        fats_kg: how much is made, by the fats; a kilo of them where nothing is said.
        bars: how much is made, by the number of bars, in place of the fats.
        bar_kg: what a cured bar weighs.
        title: what the answer calls it.

    Raises:
        ValueError: no such tag, a batch that nobody can make, or one side asked for twice.
        TypeError: a wish that is none.

    >>> from optimiser import at_least, goals_of
    >>> goals = goals_of(at_least("hardness", 60), at_least("olive oil", 30), free_from=["palm"])
    >>> [wish.key for wish in (*goals.goals, *goals.shares)]
    ['hardness', 'olive oil']
    """
    for wish in wishes:
        if not isinstance(wish, Limit):
            raise TypeError(f"a wish is made by at_least, at_most or exactly, and {wish!r} is none")
    _no_wish_twice(wishes)
    kinds = (SubjectKind.QUANTITY, SubjectKind.ADDITIVE, SubjectKind.LIQUID)
    asked = tuple(wish for wish in wishes if wish.subject == SubjectKind.ADDITIVE)
    batch = _batch(fats_kg, bars, bar_kg)
    return GoalSheet(
        title=title,
        batch=batch,
        goals=tuple(wish for wish in wishes if wish.subject == SubjectKind.QUANTITY),
        shares=tuple(wish for wish in wishes if wish.subject not in kinds),
        additives=with_usual_most(asked, practice_off=not practice, fats_kg=batch.fats_kg),
        liquids=tuple(wish for wish in wishes if wish.subject == SubjectKind.LIQUID),
        free_from=tuple(
            Exclusion(_tag(name), NOWHERE) for name in ([free_from] if isinstance(free_from, str) else free_from)
        ),
        practice_off=not practice,
    )


def shelf_of(  # noqa: PLR0913  # one argument per part of a shelf
    fats: Mapping[str, float],
    *,
    sodium_hydroxide: float,
    potassium_hydroxide: float | None = None,
    purities: tuple[float, float] = (1.0, 1.0),
    purity_tolerances: tuple[float, float] | None = None,
    additives_at: Mapping[str, float] = NONE,
    currency: str = "",
) -> Shelf:
    """A shelf without a file: fats of the reference table, alkalis and additives with their prices per kilo.

    Args:
        fats: prices by name.
        sodium_hydroxide: its price as weighed.
        potassium_hydroxide: the same; None where there is none.
        purities: of the two as solids, as fractions from 0.8 to 1; taken as pure an alkali never comes out lye-heavy.
        purity_tolerances: how much purer each may be than that, as fractions (0.01); None takes what its grade may be.
        additives_at: prices of additives and liquids by name.
        currency: what prices are in.

    Raises:
        ValueError: no such fat or additive, one of them twice, no fat at all, a price or purity that is none.
        TypeError: a name that is no text, a figure that is no number.

    >>> from optimiser import shelf_of
    >>> shelf = shelf_of({"olive oil": 7.4, "coconut oil": 3.1}, sodium_hydroxide=2.4, purities=(0.98, 0.9))
    >>> shelf.prices.fats["coconut oil"]
    3.1
    """
    if not fats:
        raise ValueError("a shelf without fats makes no soap")
    if not isinstance(purities, tuple) or len(purities) != 2:
        raise TypeError("purities are two fractions: of sodium and of potassium hydroxide")
    if not isinstance(currency, str):
        raise TypeError(f"a currency is a text, and {currency!r} is none")
    told = (None, None) if purity_tolerances is None else purity_tolerances
    if not isinstance(told, tuple) or len(told) != 2:
        raise TypeError("purity tolerances are two fractions: of sodium and of potassium hydroxide")
    alkalis = {"sodium hydroxide": sodium_hydroxide, "potassium hydroxide": potassium_hydroxide}
    _once(fat_named(name).name for name in fats)
    _once(additive_named(name).name for name in additives_at)
    extras = {
        known.name: StockedAdditive(known, _price(name, price), NOWHERE)
        for name, price in additives_at.items()
        for known in [additive_named(name)]
    }
    return Shelf(
        path="",
        title="a shelf",
        currency=currency,
        fats=tuple(
            Stocked(fat_named(name), _price(name, price), None, (), None, NOWHERE) for name, price in fats.items()
        ),
        alkalis={
            name: _alkali(name, _price(name, price), _purity(purity), tolerance)
            for (name, price), purity, tolerance in zip(alkalis.items(), purities, told, strict=True)
            if price is not None or name == "sodium hydroxide"
        },
        additives={name: item for name, item in extras.items() if not item.additive.is_liquid},
        liquids={name: item for name, item in extras.items() if item.additive.is_liquid},
    )


def _limit(what: str, side: Side, figure: float, per: str, asked_unit: str) -> Limit:
    key, subject, words, unit, low, high = subject_of(what)
    figure = number(figure, "a figure")
    if asked_unit not in ("", unit):
        if subject not in (SubjectKind.ADDITIVE, SubjectKind.LIQUID) or asked_unit not in MOST_BY_UNIT:
            raise ValueError(f"{words} is not told in {asked_unit!r}")
        unit, high = asked_unit, MOST_BY_UNIT[asked_unit]
    if not (math.isfinite(figure) and low <= figure <= high):
        raise ValueError(f"{words} lies between {low:g} and {high:g}, not at {figure:g}")
    if key in quantities() and quantities()[key].only_at_least and side != Side.AT_LEAST:
        raise ValueError(
            f"{words} can be asked for at least, and not {side.words}: put an end from above on the superfat"
        )
    if key == "cost":
        per = per or "kg"
        if per not in PER:
            raise ValueError(f"a cost is per kg, bar or lb, not per {per!r}")
    elif per:
        raise ValueError(f"only a cost is per something, not {words}")
    told = f"{figure:g} / {per}" if per else f"{figure:g} {unit}" if unit in ("%", *MOST_BY_UNIT) else f"{figure:g}"
    return Limit(key, subject, side, figure, unit, Said(words, side, told), NOWHERE, per)


def _no_wish_twice(wishes: Sequence[Limit]) -> None:
    sides: dict[tuple[SubjectKind, str], list[Side]] = {}
    for wish in wishes:
        told = sides.setdefault((wish.subject, wish.key), [])
        if wish.side in told or (told and Side.EXACTLY in (*told, wish.side)):
            raise ValueError(f"{wish.said.subject} is asked for twice on one side: keep the wish that is meant")
        told.append(wish.side)


def number(told: object, what: str) -> float:
    """A figure that a caller gives.

    Raises:
        TypeError: it is no number.
        ValueError: it is too large to be one.
    """
    if isinstance(told, bool | str) or not isinstance(told, Real | Decimal):
        raise TypeError(f"{what} is a number, and {told!r} is none")
    try:
        return float(told)
    except OverflowError:
        raise ValueError(f"{what} of that size is none") from None


def _purity(told: object) -> float:
    purity = number(told, "a purity")
    if not LEAST_PURITY <= purity <= 1.0:
        lye = f": {SOLD_AS_LYE}" if 0.0 < purity < LEAST_PURITY else ""
        raise ValueError(f"a purity is a fraction from {LEAST_PURITY:g} to 1, not {purity:g}{lye}")
    return purity


def _alkali(name: str, price: float, purity: float, told: float | None) -> StockedAlkali:
    tolerance = usual_tolerance(name, purity) if told is None else number(told, "a purity tolerance")
    if not 0.0 <= tolerance <= 1.0 - purity + 1e-9:
        raise ValueError(f"a purity tolerance is from 0 to what is left to pure, {1.0 - purity:g}, not {tolerance:g}")
    return StockedAlkali(
        *(name, price, purity, NOWHERE), assumed=False, tolerance=tolerance, tolerance_told=told is not None
    )


def _batch(fats_kg: float | None, bars: int | None, bar_kg: float) -> Batch:
    if fats_kg is not None and bars is not None:
        raise ValueError("a batch is told by its fats or by its bars, not by both")
    for what, told in (("fats_kg", fats_kg), ("bars", bars), ("bar_kg", bar_kg)):
        if told is not None and not 0.0 < number(told, what) <= MOST_FATS:
            raise ValueError(f"{what} is above 0 and at most {MOST_FATS:g}, not {told:g}")
    if bars is not None:
        return Batch(fats_kg=None, bars=bars, cured_weight_kg=bar_kg)
    return Batch(fats_kg=DEFAULT_FATS if fats_kg is None else fats_kg, cured_weight_kg=bar_kg)


def _once(names: Iterable[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise ValueError(f"{name} stands on the shelf twice")
        seen.add(name)


def _unknown(what: object, kind: str, names: Iterable[str]) -> ValueError:
    near = offer(str(what), names)
    return ValueError(f"{what!r} is no {kind} that is known here{f': {near}' if near else ''}")


def subject_of(what: str) -> tuple[str, SubjectKind, str, str, float, float]:
    """What a name stands for: its key, its kind, its words, its unit, and the least and most that may be asked.

    Raises:
        ValueError: there is nothing of that name.
        TypeError: it is no text.
    """
    share = share_named(_text(what))
    if share is not None:
        return share[0], share[1], share[0], "%", 0.0, 100.0
    quantity = find_quantity(what)
    if quantity is not None:
        return (
            *(quantity.id, SubjectKind.QUANTITY, quantity.words, quantity.unit),
            *(quantity.lowest, quantity.highest),
        )
    additive = find_additive(what)
    if additive is not None:
        return additive.name, SubjectKind.ADDITIVE, additive.name, "%", 0.0, 100.0
    liquid = find_liquid(what)
    if liquid is not None:
        return liquid.name, SubjectKind.LIQUID, liquid.name, "%", 0.0, 100.0
    names = (*quantities(), *reference().every_name(), *tags_by_word().values(), *additives(), *liquids())
    raise _unknown(what, "measure, fat, kind, tag, additive or liquid", names)


def _tag(name: str) -> str:
    found = tag_called(name)
    if found is None:
        raise ValueError(f"{name!r} is no tag that is known here: {', '.join(sorted(tags_by_word().values()))}")
    return found


def _text(name: object) -> str:
    if not isinstance(name, str):
        raise TypeError(f"a name is a text, and {name!r} is none")
    return name


def fat_named(name: str) -> Fat:
    """The fat of the reference table of this name, else a ValueError."""
    found = reference().find(_text(name))
    if found is None and (loose := find_loose(name)) is not None:
        raise ValueError(f"{name!r} says too little without a certificate: {loose.why}")
    if found is None:
        raise _unknown(name, "fat", reference().every_name())
    return found


def additive_named(name: str) -> Additive:
    """The additive or liquid of this name, else a ValueError."""
    found = find_additive(_text(name)) or find_liquid(name)
    if found is None:
        raise _unknown(name, "additive or liquid", (*additives(), *liquids()))
    return found


def _price(name: str, told: object) -> float:
    price = number(told, f"the price of {name}")
    if not 0.0 <= price <= MOST_MONEY:
        raise ValueError(f"a price of {price:g} for {name} is none")
    return price
