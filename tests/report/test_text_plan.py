"""Plans in words and as data: each bar with its cautions, who has what is scarce, the buying list; and why there is none."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from rich.cells import cell_len

from optimiser.answers.plan_results import (
    BuyingLine,
    Need,
    NoPlan,
    OneByOne,
    Plan,
    PlanBar,
    PlanClash,
    PlanMember,
    PlanProof,
    PlanWay,
    Scarce,
)
from optimiser.measures.sides import Side
from optimiser.problem.wishes import Section, WishId
from optimiser.report.json.plan import plan_document
from optimiser.report.json.writing import to_json
from optimiser.report.terminal import no_plan, plan
from optimiser.report.terminal.page import Paper, printed

if TYPE_CHECKING:
    from collections.abc import Callable

    from optimiser.answers.results import Blend, NoBlend

    Golden = Callable[[str, str], None]


@pytest.fixture
def story(blend_story: Blend) -> Plan:
    """Two bars by hand that share palm oil, one of them dearer for it, and packs that are bought for them."""
    return Plan(
        title="October (invented)",
        currency="EUR",
        plan_file="plans/october.yaml",
        shelf_title="Kittiwake Soapworks, autumn shelf (invented)",
        bars=(
            PlanBar("estuary", "../goals/estuary.yaml", blend_story, blend_story.cost.per_kg),
            PlanBar(
                "harbour",
                "../goals/harbour.yaml",
                blend_story._replace(title="Harbour"),
                blend_story.cost.per_kg - 0.31,
            ),
        ),
        buying=(BuyingLine("olive oil", 5.0, 2.0, 10.0, 73.0), BuyingLine("lard", 0.0, 0.45, 0.45, 0.99)),
        cash_out=73.99,
        cost_used=34.8,
        value_left=44.2,
        buys="packs",
        scarce=(Scarce("palm oil", 1.25, (0.9, 0.35), 0.8), Scarce("lard", 2.0, (0.0, 2.0), 0.001)),
        one_by_one=OneByOne(3.2, cash=91.5),
        proof=PlanProof(34.7, 0.0029, exact=True, of_cash=False),
    )


@pytest.fixture
def none(no_blend_story: NoBlend) -> NoPlan:
    """Two bars by hand that need more coconut oil than there is, and a third that cannot be at all."""
    size = WishId(Section.GOALS, "batch", Side.AT_LEAST, "estuary: ")
    share = WishId(Section.SHARES, "coconut oil", Side.AT_LEAST, "harbour: ")
    stock = WishId(Section.STOCK, "coconut oil", Side.AT_MOST)
    return NoPlan(
        title="October (invented)",
        currency="EUR",
        plan_file="plans/october.yaml",
        shelf_title="Kittiwake Soapworks, autumn shelf (invented)",
        alone=(("cellar", no_blend_story),),
        clashes=(
            PlanClash(
                (
                    PlanMember("estuary", size, "estuary: 200 bars", 6, "plans/october.yaml", "110 bars at most"),
                    PlanMember("harbour", share, "coconut oil at least 28 %", 9, "goals/harbour.yaml", ""),
                    PlanMember("", stock, "coconut oil in stock: 18 kg", 4, "inventory/kittiwake.yaml", ""),
                ),
                (Need("coconut oil", 31.0, 18.0),),
                exact=True,
            ),
        ),
        ways=(
            PlanWay("", stock, "coconut oil in stock: 18 kg", 18.0, 31.2, "kg", 812.5),
            PlanWay("estuary", size, "estuary: 200 bars", 200.0, 110.0, "bars", None),
            PlanWay("harbour", share, "coconut oil at least 28 %", 28.0, 12.5, "%", 815.0),
        ),
        margin=0.01,
    )


def told(story: Plan, width: int = 80, *, steps: bool = False) -> str:
    """A plan as printed."""
    paper = Paper(width)
    return printed(paper, plan.parts(story, paper, steps=steps))


@pytest.mark.parametrize("width", [80, 120])
def test_a_plan_as_kept(golden: Golden, story: Plan, width: int) -> None:
    """The whole page, at both widths."""
    golden(f"plan-{width}.txt", told(story, width))


def test_no_plan_as_kept(golden: Golden, none: NoPlan) -> None:
    """The whole page of why."""
    golden("no-plan-80.txt", printed(Paper(80), no_plan.parts(none)))


def test_plans_as_data_as_kept(golden: Golden, story: Plan, none: NoPlan) -> None:
    """Both documents, but for what a blend has there, which is kept elsewhere."""
    data = plan_document(story)
    for bar in data["bars"]:
        assert bar["blend"]["fats"]
        bar["blend"] = {}
    golden("plan.json", to_json(data))
    data = plan_document(none)
    assert data["without_a_blend"][0]["blend"]["status"] == "infeasible"
    data["without_a_blend"][0]["blend"] = {}
    golden("no-plan.json", to_json(data))


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_the_page(story: Plan, none: NoPlan, width: int) -> None:
    """Only a command that is to be copied may be."""
    pages = told(story, width) + printed(Paper(width), no_plan.parts(none))
    lines = [line for line in pages.splitlines() if "barwright" not in line]
    assert lines
    assert max(map(cell_len, lines)) <= width


def test_each_bar_has_its_cautions(story: Plan) -> None:
    """Wherever alkali is told the usual cautions stand, once for each bar."""
    page = told(story)
    assert page.count("Alkali, water, additives") == 2
    assert page.count("goggles, gloves") == 2
    assert page.count("safety data sheet") >= 2
    assert told(story, steps=True).count("First aid") > page.count("First aid")


def test_what_is_enough_is_said_to_be(story: Plan) -> None:
    """Where nothing is scarce and nothing is said of buying there is one sentence on what the bars share."""
    page = told(story._replace(scarce=(), one_by_one=None, buying=(), cash_out=0.0))
    assert "There is enough of every fat" in page
    assert "Nothing: the stock does." in page


def test_a_bar_that_one_by_one_would_not_be_is_named(story: Plan) -> None:
    """Where one by one leads to none for a bar, that is what the plan saves."""
    assert "there would be none for harbour" in " ".join(
        told(story._replace(one_by_one=OneByOne(None, "harbour"))).split()
    )


@pytest.mark.parametrize(
    ("proof", "says"),
    [
        (PlanProof(34.8, 0.0, exact=True), "and this one is there"),
        (PlanProof(34.0, 0.02, exact=False, of_cash=True), "pays for so much of each bar"),
        (PlanProof(34.0, 0.02, exact=False, is_limited=True), "the search ended before it was done"),
        (PlanProof(34.0, 0.02, exact=True, is_whole=False), "Rules of the house gave way to what is scarce"),
    ],
)
def test_what_is_proved_says_of_what(story: Plan, proof: PlanProof, says: str) -> None:
    """The sentence tells cash from cost, whose word it is, and what it does not cover."""
    assert says in " ".join(told(story._replace(proof=proof)).split())


def test_ids_of_a_bar_are_those_of_its_goal_file(none: NoPlan) -> None:
    """What a bar's wish is called in data is what its own goal file has, with the bar beside it."""
    (clash,) = json.loads(to_json(plan_document(none)))["clashes"]
    assert [(one["bar"], one["id"]) for one in clash["members"]] == [
        ("estuary", "goals.batch.at_least"),
        ("harbour", "shares.coconut oil.at_least"),
        (None, "stock.coconut oil"),
    ]


def test_one_by_one_for_less_is_told_as_less(story: Plan) -> None:
    """Where rules give way otherwise one by one may cost less: told with its figure and the bars, and nothing else."""
    page = " ".join(told(story._replace(one_by_one=OneByOne(-2.34, otherwise=("harbour",)))).split())
    assert "they would cost 2.34 EUR less; rules of the house would then give way otherwise in harbour" in page
    assert "no more" not in page
    assert "they would cost the same" in " ".join(told(story._replace(one_by_one=OneByOne(-0.001))).split())


def test_the_number_of_a_lot_keeps_its_letters_and_what_is_left_is_told(story: Plan) -> None:
    """Grams on the steps of a balance leave a little of what is scarce: what is told to be used adds up."""
    page = " ".join(
        told(story._replace(scarce=(Scarce("coconut oil (lot CO-2291)", 0.8, (0.193, 0.581), None),))).split()
    )
    assert "Coconut oil (lot CO-2291): all but 0.026 kg of 0.8 kg used (0.193 kg estuary, 0.581 kg harbour)." in page


def test_a_proof_says_under_which_rules_of_the_house(story: Plan) -> None:
    """Of plans that keep the rules nothing else is claimed; where no bar has any of them, nothing is said of them."""
    assert "With the rules of the house" in " ".join(told(story).split())
    bare = tuple(bar._replace(blend=bar.blend._replace(practice_off=True)) for bar in story.bars)
    assert "  No plan from this shelf" in told(story._replace(bars=bare))
