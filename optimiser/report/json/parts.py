"""The parts of an answer as data: plain dictionaries whose keys name their units."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from optimiser.text.diagnostics import as_data

if TYPE_CHECKING:
    from collections.abc import Sequence

    from optimiser.answers.results import (
        Blend,
        ClashMember,
        Concession,
        CostFigures,
        GoalLine,
        NoBlend,
        PreferenceLine,
        Rounding,
        UnusedLine,
    )
    from optimiser.answers.weighed_lines import MeasureLine
    from optimiser.materials.fat import Fat
    from optimiser.problem.wishes import Said
    from optimiser.recipe.hard_water import HardWater
    from optimiser.recipe.soda_ash import AshAdvice
    from optimiser.recipe.times import BatchTimes, ExpectedTime
    from optimiser.solve.proof import OptimalityProof
    from optimiser.text.diagnostics import Diagnostic

FORMAT = "barwright/1"
GRAM_PLACES = 3
PLACES = 6
MONEY_PLACES = 4
WHOLE = 100 * 10**PLACES  # all shares together, counted in millionths of a per cent

Json = dict[str, Any]


def shares_to_hundred(shares: Sequence[float]) -> list[float]:
    """Shares in six decimals whose written figures add up to 100 exactly; what rounding leaves goes to the largest.

    Shares that are no whole (their sum is off by more than a thousandth) are only rounded.
    """
    parts = [round(share * 10**PLACES) for share in shares]
    missing = WHOLE - sum(parts)
    if parts and abs(missing) <= 10 ** (PLACES - 3):
        parts[parts.index(max(parts))] += missing
    return [part / 10**PLACES for part in parts]


def number(value: float | None, places: int = PLACES) -> float | None:
    """A figure rounded; None where it is none, or is not known."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), places) + 0.0


def told(said: Said | None) -> str | None:
    """The words of a wish, where there is one."""
    return None if said is None else str(said)


def grams(value: float) -> float | None:
    """Grams to a thousandth."""
    return number(value, GRAM_PLACES)


def money(value: float | None) -> float | None:
    """Money to a hundredth of a cent."""
    return number(value, MONEY_PLACES)


def rounded_down(value: float, places: int) -> float | None:
    """Rounded down, so that a lower bound stays one."""
    return math.floor(value * 10**places) / 10**places if math.isfinite(value) else None


def head(story: Blend | NoBlend, status: str) -> Json:
    """What every document starts with."""
    return {
        "format": FORMAT,
        "status": status,
        "title": story.title,
        "currency": story.currency,
        "goal_file": story.goal_file,
    }


def measures_part(lines: Sequence[MeasureLine]) -> Json:
    """The measures by id, with the limits that were set on them."""
    return {
        line.id: {
            "value": number(line.value),
            "unit": line.unit,
            "band": line.band or None,
            "uncertainty": line.uncertainty or None,
            "at_least": number(line.low_limit),
            "at_most": number(line.high_limit),
        }
        for line in lines
    }


def cost_part(cost: CostFigures) -> Json:
    """Money and what it is reckoned by."""
    return {
        "per_kg": number(cost.per_kg),
        "per_bar": money(cost.per_bar),
        "batch": money(cost.batch),
        "bar_g": grams(cost.bar_grams),
        "bars": number(cost.bars, 2),
        "cured_g": grams(cost.cured_grams),
    }


def goal_part(line: GoalLine) -> Json:
    """One wish against the blend."""
    return {
        "id": str(line.id),
        "says": str(line.said),
        "line": line.line,
        "file": None if line.span is None else line.span.file,
        "value": number(line.value),
        "limit": number(line.limit),
        "binding": line.binding,
        "price_per_unit": number(line.price_per_unit),
        "saves_if_dropped": number(line.saves_if_dropped),
        "origin": line.origin,
        "unit": line.unit,
        "side": line.side,
        "why": line.why,
        "holds_when_weighed": line.holds_when_weighed,
        "when_weighed": number(line.when_weighed),
        "price_if_tighter": number(line.price_if_tighter),
        "holds_from": number(line.holds_from),
        "holds_to": number(line.holds_to),
    }


def preference_part(line: PreferenceLine) -> Json:
    """One preference."""
    return {
        "id": str(line.id),
        "met": line.met,
        "short_by": number(line.short_by),
        "costs_per_kg": number(line.costs),
        "says": str(line.said),
        "line": line.line,
        "value": number(line.value),
        "limit": number(line.limit),
        "unit": line.unit,
    }


def unused_part(line: UnusedLine) -> Json:
    """One fat left on the shelf."""
    return {
        "fat": line.lot_of or line.fat,
        **({"lot": line.lot or None} if line.lot_of else {}),
        "price": money(line.price),
        "enters_below": money(line.enters_below),
        "enters": line.enters,
        "kind": line.kind,
        "barred_by": told(line.barred_by),
    }


def certificate_part(proof: OptimalityProof) -> Json:
    """What is proved of the cost."""
    return {
        "cheapest_possible_per_kg": rounded_down(proof.cheapest_possible_per_kg, PLACES),
        "gap": number(proof.gap, 12),
        "exact": proof.exact,
        "covers": proof.covers,
    }


def ash_part(ash: AshAdvice | None) -> Json | None:
    """What to do about ash, the best first, and what takes it off."""
    if ash is None:
        return None
    return {
        "risk": number(ash.risk),
        "advice": [
            {
                "do": tip.do,
                "points_less": number(tip.points),
                "when": tip.stage,
                "but": tip.but or None,
                "against": told(tip.against),
                "held_by": tip.held_by or None,
                "held_by_you": tip.is_own,
                "unwise": tip.is_unwise,
                "status": tip.status,
            }
            for tip in ash.tips
        ],
        "afterwards": list(ash.after),
        "status": ash.status,
    }


def hard_water_part(water: HardWater | None) -> Json | None:
    """What a litre of wash water takes of the bar."""
    if water is None:
        return None
    return {
        "hardness_mg_per_l_as_calcium_carbonate": number(water.hardness),
        "class": water.word,
        "soap_lost_g_per_l": number(water.soap_lost),
        "calcium_soap_g_per_l": number(water.calcium_soap),
        "bar_lost_g_per_l": number(water.bar_lost),
        "spared_by_chelants": number(water.spared),
        "chelants": [
            {
                "additive": item.name,
                "share_of_fats": number(item.share),
                "grams": grams(item.grams),
                "sodium_hydroxide_pure_g": grams(item.alkali_g),
                "spares": number(item.spares),
            }
            for item in water.offers
        ],
        "status": water.status,
    }


def lot_part(fat: Fat) -> Json:
    """The number of the lot, where it is one of several of its fat; null for a tin that is still to be bought."""
    return {"lot": fat.lot or None} if fat.lot_of else {}


def to_weigh_part(story: Blend) -> Json:
    """The recipe as it goes on the balance, and what it is once rounded."""
    recipe, judged = story.recipe, story.weighed
    return {
        "step_g": number(story.step_grams),
        "alkali_step_g": number(recipe.alkali_step),
        "fats": [{"fat": fat.known_as, "grams": grams(weight), **lot_part(fat)} for fat, weight in recipe.fats],
        "sodium_hydroxide_g": grams(recipe.sodium_hydroxide),
        "potassium_hydroxide_g": grams(recipe.potassium_hydroxide),
        "water_g": grams(recipe.water),
        "additives": [{"additive": item.name, "grams": grams(weight)} for item, weight in recipe.solids],
        "liquids": [{"liquid": item.name, "grams": grams(weight)} for item, weight in recipe.liquids],
        "superfat": number(judged.superfat),
        "superfat_likely_low": number(judged.superfat_likely_low),
        "likely_superfat": number(judged.superfat_likely_low),
        "superfat_worst_case": number(judged.superfat_worst_case),
        "lye_concentration": number(judged.lye_concentration),
        "batter_litres": number(story.batter_litres, 4),
        "batter_litres_within": number(story.volume_within * story.batter_litres, 4),
        "mould_litres": number(None if story.filled is None else story.filled.mould.litres, 4),
        "rounding": rounding_part(story.rounding),
    }


def rounding_part(rounding: Rounding) -> Json:
    """Whether other steps than the nearest were looked for, what is missed all the same, and what would keep it."""
    return {
        "searched": rounding.searched,
        "fats_exact_g": number(rounding.fats_exact),
        "missed": [str(wish) for wish in rounding.missed],
        "kept_by_step_g": number(rounding.finer),
        "kept_by_times": rounding.times,
    }


def member_part(member: ClashMember) -> Json:
    """One wish of a clash."""
    return {
        "id": str(member.id),
        "origin": member.origin,
        "says": str(member.said),
        "line": member.line,
        "file": None if member.span is None else member.span.file,
        "why": member.why,
        "reach": member.reach or None,
    }


def concession_part(concession: Concession) -> Json:
    """One way out."""
    return {
        "change": [
            {
                "id": str(change.id),
                "from": number(change.before),
                "to": number(change.after),
                "paste": change.paste,
                "where": change.where,
                "says": str(change.said),
                "unit": change.unit,
            }
            for change in concession.changes
        ],
        "cost_per_kg": number(concession.cost_per_kg),
        "likely_lye_heavy": concession.is_lean,
        "stood_aside": list(concession.eases),
        "nobody_would_pour": concession.is_far,
    }


def times_part(times: BatchTimes) -> Json:
    """How long a batch is likely to take, each with its status; None for what it has no time of, or none that is known."""
    return {
        "blend_to_trace": time_part(times.blend),
        "workable": time_part(times.workable),
        "unmould": time_part(times.unmould),
        "cure": time_part(times.cure),
        **({"at_once": times.at_once} if times.at_once else {}),
    }


def time_part(item: ExpectedTime | None) -> Json | None:
    """One time: its ends, named by their unit, and what they rest on."""
    if item is None:
        return None
    best = (
        {}
        if item.best is None
        else {"best_low_weeks": number(item.best[0], 1), "best_high_weeks": number(item.best[1], 1)}
    )
    return {
        "words": item.words,
        f"low_{item.unit}": number(item.low, 1),
        f"high_{item.unit}": number(item.high, 1),
        **best,
        **({"trace": item.trace or None} if item.time in ("blend", "workable") else {}),
        "says": item.said(),
        "own_scale": item.own,
        "status": item.status,
        "basis": item.basis,
        "about": item.about or None,
    }


def warnings_part(warnings: Sequence[Diagnostic]) -> Json:
    """What looks odd in the files, in the keys of a fault; no key at all where nothing does."""
    return {"warnings": as_data(warnings)} if warnings else {}
