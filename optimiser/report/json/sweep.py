"""A sweep over price scenarios as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report import sweep_words as said
from optimiser.report.json.parts import Json, number

if TYPE_CHECKING:
    from optimiser.answers.sweep_results import Sweep, SweptBlend, SweptFat, SweptGoal, Swing

DIGITS = 9


def sweep_part(sweep: Sweep) -> Json:
    """The whole sweep."""
    return {
        "title": sweep.title,
        "prices": sweep.prices_file,
        "source": sweep.source,
        "scenarios": sweep.scenarios,
        "rules": list(sweep.rules),
        "goals": [goal_part(goal) for goal in sweep.goals],
        "none": [{"file": one.file, "title": one.title, "why": one.why} for one in sweep.none],
        "to_do": [{"what": one.head, "says": one.text.replace("\u00a0", " ")} for one in said.to_do(sweep)],
        "cautions": [said.WORK_OUT],
    }


def goal_part(goal: SweptGoal) -> Json:
    """One bar."""
    return {
        "file": goal.file,
        "title": goal.title,
        "currency": goal.currency,
        "today_per_kg": number(goal.kept.today, DIGITS),
        "kept": swing_part(goal.kept, goal) | {"most_in": goal.worst_in},
        "reoptimised": swing_part(goal.remade, goal) | {"most_in": goal.remade_worst_in},
        "saving": {
            "mean": number(goal.saving_mean),
            "most": number(goal.saving_most),
            "most_in": goal.most_in,
            "above_1_percent_in": number(goal.worth),
        },
        "value_at_risk": {
            "kept": part_of(goal, goal.kept.at_risk),
            "reoptimised": part_of(goal, goal.remade.at_risk),
        },
        "used": {fat.fat: number(fat.used_in) for fat in goal.fats if fat.used_in},
        "fats": [fat_part(fat, goal) for fat in goal.fats],
        "blends": [blend_part(one, goal) for one in goal.blends],
        "blends_save": number(goal.handful),
        "held_fixed": None if goal.is_named else blend_part(goal.fixed, goal),
        "over_cost_limit": None
        if goal.over is None
        else {"kept": number(goal.over_kept), "reoptimised": number(goal.over)},
        "held_as_today": list(goal.held),
        "counted": goal.is_counted,
        "nearest": goal.is_near,
        "different_blends": goal.different,
        "solved_one_by_one": goal.alone,
        "not_known": goal.missing,
    }


def part_of(goal: SweptGoal, figure: float) -> Json | float | None:
    """A figure of one scenario in twenty; null where there is no twentieth: of few scenarios, and of shocks by name."""
    return None if goal.is_named or said.is_few(len(goal.costs)) else number(figure, DIGITS)


def swing_part(swing: Swing, goal: SweptGoal) -> Json:
    """A cost over all scenarios."""
    return {
        "mean": number(swing.mean, DIGITS),
        "p5": part_of(goal, swing.low),
        "p95": part_of(goal, swing.high),
        "most": number(swing.worst, DIGITS),
    }


def fat_part(fat: SweptFat, goal: SweptGoal) -> Json:
    """A fat over all scenarios."""
    return {
        "fat": fat.fat,
        "share": number(fat.share),
        "used_in": number(fat.used_in),
        "share_when_used": number(fat.share_used),
        "price": number(fat.price),
        "blend_stays_above": number(fat.stays_above),
        "blend_stays_below": number(fat.stays_below),
        "adds_at_p95": part_of(goal, fat.adds),
        "adds_at_dearest": number(fat.adds, DIGITS) if part_of(goal, fat.adds) is None else None,
    }


def blend_part(blend: SweptBlend, goal: SweptGoal) -> Json:
    """A blend worth knowing."""
    return {
        "label": blend.label,
        "fats": [{"fat": name, "share": number(share)} for name, share in blend.fats],
        "best_in": number(blend.best_in),
        "today_per_kg": number(blend.cost.today, DIGITS),
        "cost": swing_part(blend.cost, goal),
        "regret": {"mean": number(blend.regret_mean, DIGITS), "most": number(blend.regret_worst, DIGITS)},
        "pinches": list(blend.pinches),
    }
