"""The answer to a plan as values: the bars with their blends, who has what is scarce, what is bought; or why there is no plan."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.answers.results import Blend, NoBlend
from optimiser.problem.wishes import WishId
from optimiser.text.diagnostics import Diagnostic


class PlanBar(NamedTuple):
    """One bar: what it is called, its goal file as the plan writes it, its blend, and what a kilo costs with the shelf to itself."""

    name: str
    goals: str
    blend: Blend
    alone_per_kg: float


class Scarce(NamedTuple):
    """A fat of which all that there is is used: kg, what each bar has of it (in the order of the plan), and what a kilo more would save.

    `saves` is None where that is not known.
    """

    fat: str
    there_kg: float
    drawn_kg: tuple[float, ...]
    saves: float | None


class OneByOne(NamedTuple):
    """The bars answered one after the other in the order of the plan, each from what those before left: beside the plan.

    `dearer` is what that costs more in all (less where it is below 0, which it can be where rules of the house give way), None
    where a bar then has no blend: `stuck` names it. `cash` is what is paid then, what each buys and does not use being left
    for the next; None where it is not told what may be bought. `otherwise` are the bars in which rules of the house then
    give way that do not in the plan, or to another figure.
    """

    dearer: float | None
    stuck: str = ""
    cash: float | None = None
    otherwise: tuple[str, ...] = ()


class BuyingLine(NamedTuple):
    """A line of the buying list: so many packs of a size (kg), or so much by the kilo where the size is 0, and their money.

    `pack` is the size as its maker wrote it, "" where that is not known.
    """

    fat: str
    size_kg: float
    number: float
    kilos: float
    cost: float
    pack: str = ""

    @property
    def size(self) -> str:
        """What a pack holds: "16 oz"; nothing of what is sold by the kilo."""
        return (self.pack or f"{self.size_kg:.6g} kg") if self.size_kg else ""


class PlanProof(NamedTuple):
    """What no plan can be below, in money, and by how much the plan told lies above it (relative).

    `of_cash`: it is of the cash for fats, less what is left at the share that it counts, with the alkali and additives used; else of
    what the batches cost. `exact`: checked in exact arithmetic, else by the solver's own bound. `is_limited`: the search ended before it was done. `is_whole`: of all plans, since no rule of the
    house had to give way to what is scarce.
    """

    least: float
    gap: float
    exact: bool
    of_cash: bool = False
    is_limited: bool = False
    is_whole: bool = True


class Plan(NamedTuple):
    """A plan of every bar. `cost_used` is what all batches cost, alkali and additives too; `cash_out` and `value_left` are of the fats that are bought."""

    title: str
    currency: str
    plan_file: str
    shelf_title: str
    bars: tuple[PlanBar, ...]
    buying: tuple[BuyingLine, ...]
    cash_out: float
    cost_used: float
    value_left: float
    buys: str
    scarce: tuple[Scarce, ...]
    one_by_one: OneByOne | None
    proof: PlanProof
    warnings: tuple[Diagnostic, ...] = ()


class PlanMember(NamedTuple):
    """One wish of a clash: whose it is ("" for what all share), its words, where it stands, and how far it could go with the others held."""

    bar: str
    id: WishId
    says: str
    line: int | None
    file: str
    reach: str = ""


class Need(NamedTuple):
    """A shared fat in a clash: what the bars need of it at the least (None where that is not known), and what there is; kg."""

    fat: str
    needed_kg: float | None
    there_kg: float


class PlanClash(NamedTuple):
    """Wishes that cannot all hold, and what they need of what is scarce. `exact`: proved in exact arithmetic."""

    members: tuple[PlanMember, ...]
    needs: tuple[Need, ...]
    exact: bool

    @property
    def bars(self) -> tuple[str, ...]:
        """The bars that it is about."""
        return tuple(dict.fromkeys(member.bar for member in self.members if member.bar))


class PlanWay(NamedTuple):
    """One change that makes a plan: whose it is, the wish, its figure now and then, in its unit; what all the batches then cost.

    Where it is more of a lot, `whole` is the fat and what there is of it in all lots, kg.
    """

    bar: str
    id: WishId
    says: str
    before: float
    after: float
    unit: str
    cost: float | None
    whole: tuple[str, float] | None = None


class NoPlan(NamedTuple):
    """Why there is no plan: bars that have no blend even with the shelf to themselves, or clashes across bars, and ways out."""

    title: str
    currency: str
    plan_file: str
    shelf_title: str
    alone: tuple[tuple[str, NoBlend], ...] = ()
    clashes: tuple[PlanClash, ...] = ()
    complete: bool = True
    ways: tuple[PlanWay, ...] = ()
    ways_complete: bool = True
    margin: float = 0.0
    warnings: tuple[Diagnostic, ...] = ()
