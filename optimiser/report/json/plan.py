"""A plan as data: each bar in the shape of a blend, what is bought, who has what is scarce; or the clashes and the ways out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report.json.documents import blend, no_blend
from optimiser.report.json.parts import FORMAT, Json, money, number, warnings_part

if TYPE_CHECKING:
    from optimiser.answers.plan_results import NoPlan, OneByOne, Plan, PlanClash, PlanWay

KILOS = 6  # decimals of kilos: a milligram


def plan_document(story: Plan | NoPlan) -> Json:
    """The data of a plan, or of why there is none."""
    from optimiser.answers.plan_results import Plan

    return planned(story) if isinstance(story, Plan) else not_planned(story)


def head(story: Plan | NoPlan, status: str) -> Json:
    """What both begin with."""
    return {
        "format": FORMAT,
        "status": status,
        "title": story.title,
        "currency": story.currency,
        "plan_file": story.plan_file,
        "shelf": story.shelf_title,
    }


def planned(story: Plan) -> Json:
    """The data of a plan."""
    return {
        **head(story, "planned"),
        "bars": [
            {
                "goals": bar.goals,
                "name": bar.name,
                "alone_per_kg": number(bar.alone_per_kg),
                "blend": blend(bar.blend),
            }
            for bar in story.bars
        ],
        "buy": story.buys or None,
        "buying": [
            {
                "fat": line.fat,
                "pack": f"{line.size_kg:g} kg" if line.size_kg else None,
                "count": number(line.number) if line.size_kg else None,
                "kg": number(line.kilos, KILOS),
                "cost": money(line.cost),
            }
            for line in story.buying
        ],
        "cash_out": money(story.cash_out),
        "cost_used": money(story.cost_used),
        "value_left": money(story.value_left),
        "scarce": [
            {
                "fat": one.fat,
                "there_kg": number(one.there_kg, KILOS),
                "drawn_kg": {
                    bar.name: number(kilos, KILOS) for bar, kilos in zip(story.bars, one.drawn_kg, strict=True) if kilos
                },
                "saves_per_kg": None if one.saves is None else number(one.saves),
            }
            for one in story.scarce
        ],
        "one_by_one": one_by_one_part(story.one_by_one),
        "certificate": {
            "proves": "cash" if story.proof.of_cash else "cost",
            "least": number(story.proof.least),
            "gap": number(story.proof.gap, 12),
            "exact": story.proof.exact,
            "limited": story.proof.is_limited,
            "house_rules_whole": story.proof.is_whole,
        },
        **warnings_part(story.warnings),
    }


def one_by_one_part(found: OneByOne | None) -> Json | None:
    """The bars answered one after the other; nothing where nothing is scarce and nothing is bought."""
    if found is None:
        return None
    return {
        "dearer": None if found.dearer is None else number(found.dearer),
        "without_a_blend": found.stuck or None,
        "cash_out": None if found.cash is None else money(found.cash),
        "house_rules_otherwise_in": list(found.otherwise),
    }


def not_planned(story: NoPlan) -> Json:
    """The data of bars that cannot all be made."""
    return {
        **head(story, "infeasible"),
        "without_a_blend": [{"name": name, "blend": no_blend(why)} for name, why in story.alone],
        "clashes": [clash_part(clash) for clash in story.clashes],
        "complete": story.complete,
        "concessions": [way_part(way) for way in story.ways],
        "concessions_complete": story.ways_complete,
        "certificate": {"proves": "infeasible", "margin": number(story.margin, 12)},
        **warnings_part(story.warnings),
    }


def clash_part(clash: PlanClash) -> Json:
    """One clash."""
    return {
        "bars": list(clash.bars),
        "members": [
            {
                "bar": member.bar or None,
                "id": id_of(str(member.id), member.bar),
                "says": member.says,
                "file": member.file or None,
                "line": member.line,
                "reach": member.reach or None,
            }
            for member in clash.members
        ],
        "needs": [
            {
                "fat": need.fat,
                "needed_kg": None if need.needed_kg is None else number(need.needed_kg, KILOS),
                "there_kg": number(need.there_kg, KILOS),
            }
            for need in clash.needs
        ],
        "exact": clash.exact,
    }


def way_part(way: PlanWay) -> Json:
    """One change that makes a plan."""
    return {
        "bar": way.bar or None,
        "id": id_of(str(way.id), way.bar),
        "says": way.says,
        "from": number(way.before),
        "to": number(way.after),
        "unit": way.unit,
        "cost": None if way.cost is None else number(way.cost),
    }


def id_of(text: str, bar: str) -> str:
    """The id of a wish as the bar's own goal file has it."""
    return text.replace(f"{bar}: .", "").replace(f"{bar}: ", "") if bar else text
