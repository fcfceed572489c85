"""Who has how much of the shelf: what there is, what is bought, what each bar is given, and what that is worth."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from optimiser.answers.plan_results import BuyingLine, OneByOne, Plan, PlanBar, PlanProof, Scarce
from optimiser.answers.results import Blend
from optimiser.planning.blocks import size_of
from optimiser.planning.offers import Offer, Order, Tin, offers
from optimiser.planning.orders import Bill, ShortOf, bill_of_taken, bills
from optimiser.planning.paid import taken_in
from optimiser.problem.buying import ALL, Buying, Taken
from optimiser.problem.plan import PlanQuestion
from optimiser.problem.question import Question
from optimiser.problem.shelf import Shelf, Stocked
from optimiser.problem.wishes import Origin
from optimiser.solve.outcomes import SolverFault, Undecided
from optimiser.solve.several import NOTHING_SAID, Allotted, Bought
from optimiser.solve.yielding import Asked

INFINITE = float("inf")
HAIR = 1e-7  # kg: what the solver's tolerance may take more than there is
ROUNDS_BY = 0.002  # kg: what rounding for the balance may take more of goods that are sold loose
LOT_STEPS = 5.0  # of a bar's balance: by how much it may take more of a lot
OVER = 1e-6  # kg: a milligram more than there is is none
USED_UP = 1e-6  # of what there is: so little left is nothing
A_KILO = 1.0
A_PINCH = 0.02  # of the fats of a bar


@dataclass(frozen=True)
class Supply:
    """What there is of each fat for all bars: kg (infinite where any mass can be had), and what a kilo of it costs.

    `prices` are what a kilo counts in goals on the cost: the least that it can cost, before it is known what is bought.
    `said` is what may be bought, None where no file says so: then a fat without a stock can be had, and a stock is all there is.
    `taken` is what is bought, where that is settled and not to follow from what is used.
    """

    there: Mapping[str, float]
    prices: Mapping[str, float]
    every: tuple[Offer, ...]
    said: Buying | None = None
    taken: tuple[Taken, ...] | None = None

    @classmethod
    def of(cls, question: PlanQuestion) -> Supply:
        """The supply before anything is bought."""
        said, stocked = question.sheet.buying, question.shelf.fats
        every = offers(stocked, said.buy) if said is not None else tuple(map(unsaid, stocked))
        there = {one.fat: INFINITE if one.orders else one.stock_kg for one in every}
        return cls(there, {one.fat: min(prices_of(one)) for one in every}, every, said)

    @property
    def is_told(self) -> bool:
        """Whether a file says what may be bought."""
        return self.said is not None

    @property
    def left_counts(self) -> float:
        """The share at which what is left of purchases counts."""
        return ALL if self.said is None else self.said.left_counts

    @property
    def is_cash(self) -> bool:
        """Whether it is cash that is to be least, rather than what is used."""
        return self.left_counts < ALL

    @property
    def bought(self) -> Bought:
        """What may be bought, as the programme of all bars has it."""
        return NOTHING_SAID if self.said is None else Bought(self.every, self.left_counts)

    def shelf(self, shelf: Shelf, share: Mapping[str, float] | None = None) -> Shelf:
        """A shelf as one bar may use it: with so many kilos of each fat (of one that is not told, all that there is)."""
        limits = dict(self.there) if share is None else {**self.there, **share}
        fats = tuple(
            item._replace(
                stock_kg=None if limits[item.fat.name] == INFINITE else limits[item.fat.name],
                price=self.prices[item.fat.name],
            )
            for item in shelf.fats
        )
        return shelf._replace(fats=fats, is_share=share is not None)

    def once_bought(self, found: Allotted) -> Supply:
        """The supply with what a plan buys settled, where goals on the cost reckon with those tins; else that follows from what is used."""
        if not found.plan.draws or found.plan.purchases is None:
            return self
        return replace(self, taken=taken_in(found.plan.purchases, found.point))

    @staticmethod
    def used(found: Allotted) -> dict[str, float]:
        """What a plan uses of each fat, kg."""
        return {fat: sum(kilos) for fat, kilos in found.plan.drawn(found.point).items()}

    def with_purchases(self, used: Mapping[str, float], bars: int) -> Supply:
        """The supply once what is used is bought: kilos in stock and bought, at what a kilo used costs on the whole.

        Args:
            used: kg of each fat, over all bars.
            bars: how many there are, each of which is rounded for the balance.
        """
        if self.said is None:
            return self
        there = {one.fat: one.stock_kg for one in self.every}
        prices = dict(self.prices)
        lots_go_first = {one.fat: bool(one.lots) for one in self.every}
        for one in self.bills_for(used):
            there[one.fat] = self.stock(one.fat) + one.bought_kg
            loose = any(line.tin.is_loose for line in one.lines)
            there[one.fat] += ROUNDS_BY * bars if loose else 0.0
            if lots_go_first[one.fat]:  # what is left in the tin is not there before the lots are used up
                there[one.fat] = min(there[one.fat], one.used_kg + ROUNDS_BY * bars)
            prices[one.fat] = one.cost_used / one.used_kg if one.used_kg > 0.0 else prices[one.fat]
        return replace(self, there=there, prices=prices)

    def stock(self, fat: str) -> float:
        """What there is of a fat before anything is bought."""
        return next(one.stock_kg for one in self.every if one.fat == fat)

    def bills_for(self, used: Mapping[str, float]) -> tuple[Bill, ...]:
        """What is bought for a use; crumbs of the solver are none.

        Raises:
            SolverFault: more is used than can be had.
        """
        drawn = {fat: kilos for fat, kilos in used.items() if kilos > HAIR}
        try:
            if self.taken is None:
                return bills(self.every, drawn, self.left_counts)
            settled = [(one, [taken for taken in self.taken if taken.fat == one.fat]) for one in self.every]
            return tuple(
                bill_of_taken(one, drawn.get(one.fat, 0.0), taken, self.left_counts)
                for one, taken in settled
                if taken or one.fat in drawn
            )
        except ShortOf as short:
            raise SolverFault(f"more {short} is used than there is") from None

    def is_overdrawn(self, blends: Sequence[Blend]) -> bool:
        """Whether more is weighed out of a fat than there is."""
        return any(kilos > self.there[fat] + HAIR for fat, kilos in weighed_out(blends).items())

    def amount(self, used: Mapping[str, float]) -> float:
        """What fats come to of which so much is used (kg): the cash, and what is used at the share at which what is left counts."""
        part = self.left_counts
        return sum((1.0 - part) * one.cash + part * one.cost_used for one in self.bills_for(used))

    def plan(
        self,
        question: PlanQuestion,
        bars: tuple[PlanBar, ...],
        proof: PlanProof,
        scarce: tuple[Scarce, ...],
        apart: OneByOne | None,
    ) -> Plan:
        """The plan of some bars with its buying list."""
        found = self.bills_for(weighed_out([bar.blend for bar in bars]))
        return Plan(
            title=question.sheet.title,
            currency=question.shelf.currency,
            plan_file=question.sheet.path,
            shelf_title=question.shelf.title,
            bars=bars,
            buying=tuple(
                BuyingLine(
                    *(line.called or line.fat, line.tin.size_kg, line.number, line.kilos, line.cost),
                    pack=question.shelf.pack_of(line.called or line.fat, line.tin.size_kg),
                )
                for one in found
                for line in one.lines
            ),
            cash_out=sum(one.cash for one in found),
            cost_used=sum(one.cost_used for one in found) + sum(cost_of_the_rest(bar.blend) for bar in bars),
            value_left=sum(one.value_left for one in found),
            buys="" if self.said is None else str(self.said.buy),
            scarce=scarce,
            one_by_one=apart,
            proof=proof,
            warnings=question.warnings,
        )


def unsaid(item: Stocked) -> Offer:
    """A fat of a shelf where no file says what may be bought: what has a stock has no more, what has none can be had."""
    orders = () if item.stock_kg is not None else (Order(0.0, INFINITE, (Tin(0.0, item.price),)),)
    return Offer(item.fat.name, item.stock_kg or 0.0, item.price, orders, item.span)


def prices_of(one: Offer) -> list[float]:
    """What a kilo of a fat may cost: one in stock, and one of each tin that can be bought."""
    bought = [tin.per_kg for tin in one.tins]
    return [one.price, *bought] if one.stock_kg or not bought else bought


def cost_of_the_rest(blend: Blend) -> float:
    """What a batch costs that is no fat."""
    return blend.cost.batch - sum(line.cost for line in blend.fats)


def weighed_out(blends: Iterable[Blend]) -> dict[str, float]:
    """What some blends take of each fat as weighed, kg."""
    out: dict[str, float] = {}
    for blend in blends:
        for line in blend.fats:
            out[line.fat] = out.get(line.fat, 0.0) + line.to_weigh / 1000.0
    return out


def beyond_share(blend: Blend, share: Mapping[str, float]) -> dict[str, float]:
    """By how much more of each fat is weighed out than a bar is given, kg, and half a step of the balance beyond; empty where of none."""
    step = blend.recipe.fat_step / 2000.0
    over = {fat: kilos - share[fat] for fat, kilos in weighed_out([blend]).items() if fat in share}
    return {fat: kilos + step for fat, kilos in over.items() if kilos > OVER}


def fits(asked: Sequence[Asked], supply: Supply) -> bool:
    """Whether all bars can be what they are by themselves, with what there is."""
    used: dict[str, float] = {}
    for one in asked:
        for fat, kilos in drawn_alone(one).items():
            used[fat] = used.get(fat, 0.0) + kilos
    return all(kilos <= supply.there[fat] + HAIR for fat, kilos in used.items())


def drawn_alone(asked: Asked) -> dict[str, float]:
    """What a bar by itself draws of each fat, kg."""
    assert asked.found is not None
    columns = asked.programme.columns
    point = asked.found.point
    size = size_of(columns)
    fats_kg = size.amount / float(size.top @ point[: columns.size])
    return {item.fat.name: fats_kg * float(share) for item, share in zip(columns.stocked, point, strict=False)}


def in_turn(
    supply: Supply,
    drawn: Mapping[str, Sequence[float]],
    before: Sequence[Blend],
    turn: tuple[int, Sequence[int]],
    *,
    beyond: float = INFINITE,
) -> dict[str, float]:
    """What a bar is given of each fat: all that those before it left, less what those after it are to have.

    `turn` is its place and those of the bars after it.
    Of a fat of which the plan has nothing for it, what is left is only given where it is more than a pinch. `beyond`: no more than so
    many kilos beyond what the plan has for it. With more a rule of the house might hold again that the plan reckons with giving way, and
    a bar might draw another mix of tins than a goal on cost reckons with.
    """
    gone, (place, later) = weighed_out(before), turn
    pinch = A_PINCH * sum(kilos[place] for kilos in drawn.values())
    out = {}
    for fat, kilos in drawn.items():
        if supply.there[fat] < INFINITE:
            given = supply.there[fat] - gone.get(fat, 0.0) - sum(kilos[one] for one in later)
            is_none = kilos[place] <= HAIR and given < (pinch if beyond == INFINITE else INFINITE)
            out[fat] = 0.0 if is_none else max(0.0, min(given, kilos[place] + beyond)) + HAIR
    return out


def with_spare_lots(
    share: Mapping[str, float],
    drawn: Mapping[str, Sequence[float]],
    one: Question,
    turn: tuple[int, Sequence[int]],
) -> dict[str, float]:
    """What a bar is given, with a few steps of its balance more of a lot where bars after it can have so much of another lot of that fat.

    Without it a few grams of one tin, and not what there is of the fat, would make the batch smaller.
    """
    place, later = turn
    step = LOT_STEPS * (one.goals.batch.scale_g or 0.0) / 1000.0
    out = dict(share)
    lots = [item.fat for item in one.shelf.fats if item.fat.lot_of and item.fat.name in share]
    for fat in lots:
        others = [other.name for other in lots if other.lot_of == fat.lot_of and other.name != fat.name]
        spare = sum(share[name] - drawn[name][place] for name in others)
        needed = sum(drawn[fat.name][after] for after in later)
        if drawn[fat.name][place] > HAIR and min(spare, needed) > step:
            out[fat.name] += step
    return out


def scarce_fats(found: Allotted, blends: Sequence[Blend]) -> tuple[Scarce, ...]:
    """The fats of which nothing is left, and what a kilo more of each would save: asked anew with that, and not read off."""
    out = []
    for place, row in enumerate(found.live.programme.rows):
        if row.origin != Origin.STOCK or not row.limit:
            continue
        used = float(row.top @ found.point[: len(row.top)])
        if used < row.limit * (1.0 - USED_UP):
            continue
        grams = tuple(sum(line.to_weigh for line in blend.fats if line.fat == row.figure) / 1000.0 for blend in blends)
        out.append(Scarce(row.figure, row.limit, grams, saved_by_a_kilo(found, place)))
    return tuple(sorted(out, key=lambda one: (-(one.saves or 0.0), one.fat)))


def saved_by_a_kilo(found: Allotted, place: int) -> float | None:
    """What a kilo more of a fat would save, the preferences met as far as before; None where the search does not tell."""
    live = found.live
    row = live.programme.rows[place]
    low, high = row.bounds
    try:
        live.bound_rows([place], np.array([low]), np.array([high + A_KILO]))
        outcome = live.minimise(live.programme.money)
    except Undecided:
        return None
    finally:
        live.restore_rows([place])
    return max(0.0, found.beyond - outcome.objective) if outcome.feasible and not outcome.limited else None
