"""The reference data for people and for programs: fats, additives, measures, what may be a goal, and the practice of the house."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from optimiser.materials.label_names import without_brackets
from optimiser.measures.profiles import own_measures
from optimiser.report.json.parts import FORMAT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from optimiser.analysis.usual_stand_ins import UsualStandIn
    from optimiser.materials.additives import Additive
    from optimiser.materials.composition import Fact, Figure
    from optimiser.materials.fat import Fat
    from optimiser.measures.measures import Measure
    from optimiser.measures.practice import Rule
    from optimiser.measures.quantities import Quantity

PLACES = 3

Json = dict[str, Any]


def fats_data(chosen: Sequence[Fat]) -> list[Json]:
    """Fats as data; figures of the table's own working are rounded, published ones are not."""
    return [
        {
            "fat": fat.name,
            "kind": fat.kind,
            "tags": sorted(fat.tags),
            "synonyms": list(fat.synonyms),
            "saponification_value": figure_data(fat.saponification),
            "lot_spread": round(fat.spread, PLACES),
            "iodine_value": figure_data(fat.iodine),
            "unsaponifiable_g_per_kg": figure_data(fat.unsaponifiable),
            "density_kg_per_l_40_degC": round(fat.density, 4),
            "soap_yield": round(fat.soap_yield, PLACES),
            "acids": {name: round(share, PLACES) for name, share in fat.acids.items()},
            "acid_ranges": {
                name: {"low": round(low, PLACES), "high": round(high, PLACES)}
                for name, (low, high) in fat.acid_ranges.items()
            },
            "measures": {name: round(value, PLACES) for name, value in own.items()},
            "label": label_data(fat),
            "notes": list(fat.notes),
            "sources": list(dict.fromkeys(fact.source for fact in fat.facts)),
            "facts": [fact_data(fact) for fact in fat.facts],
        }
        for fat, own in zip(chosen, own_measures(chosen), strict=True)
    ]


def stand_ins_data(chosen: Sequence[UsualStandIn]) -> list[Json]:
    """What is used in place of a fat, best first; `steps` of its own +/- by which the worst measure of a bar goes the bad way."""
    return [
        {
            "fat": item.found.fat.name,
            "kind": item.found.fat.kind,
            "form": item.found.form,
            "steps": item.found.steps,
            "distance": round(item.found.distance, PLACES),
            "acids_other": round(item.found.acids, PLACES),
            "says": [one.words for one in item.differs],
            "brings": [state.words for state in item.brings],
        }
        for item in chosen
    ]


def additives_data(chosen: Sequence[Additive]) -> list[Json]:
    """Additives as data, or liquids under their own key; shares in per cent of the weight, alkali in mol per kg."""
    return [extra_data(item) | (liquid_data(item) if item.is_liquid else {}) for item in chosen]


def extra_data(item: Additive) -> Json:
    """What is known of an additive, and of a liquid beside what is its own."""
    return {
        "liquid" if item.is_liquid else "additive": item.name,
        "synonyms": list(item.synonyms),
        "tags": sorted(item.tags),
        "does": item.effect,
        "usual_most": None if item.is_liquid else item.usual_high,
        "dry": round(100.0 * item.dry_fraction, PLACES),
        "water": round(100.0 * item.water_fraction, PLACES),
        "alkali_mol_per_kg": {
            "value": round(item.alkali_mol_per_kg, PLACES),
            "low": round(item.alkali_low_mol_per_kg, PLACES),
        },
        "goes_in": item.goes_in,
        "made_ready": None if item.is_liquid else item.advice or None,
        "heats_the_batter": item.heats or "no",
        "levers": levers_data(item),
        "caution": item.caution or None,
        "note": item.note or None,
        "sources": [{"source": item.source, "locator": item.locator or None, "how": item.how}],
    }


def liquid_data(item: Additive) -> Json:
    """What a liquid has beside an additive."""
    return {
        "sugar": round(100.0 * item.sugar_fraction, PLACES),
        "fat": round(100.0 * item.fat_fraction, PLACES),
        "fat_mol_per_kg": round(item.fat_mol_per_kg, PLACES),
        "advice": item.advice or None,
    }


def levers_data(item: Additive) -> Json:
    """Points that one per cent of the fats adds to each measure that it moves."""
    from optimiser.measures.measures import levers, measures

    points = {
        name: sum(each * item.acts_as(lever) for lever, each in levers(name).additives.items()) for name in measures()
    }
    return {name: round(each, PLACES) for name, each in points.items() if each}


def figure_data(figure: Figure) -> Json:
    """A figure with its range."""
    return {
        "value": round(figure.value, PLACES),
        "low": round(figure.low, PLACES),
        "high": round(figure.high, PLACES),
    }


def fact_data(fact: Fact) -> Json:
    """One published figure with its source, and whether it was read or recalled."""
    return {
        "property": fact.property,
        "told_of": fact.told_of,
        "low": fact.low,
        "high": fact.high,
        "unit": fact.unit,
        "source": fact.source,
        "locator": fact.locator,
        "how": fact.how,
        "note": fact.note,
        "alternative": fact.alternative,
    }


def label_data(fat: Fat) -> Json | None:
    """Names for an ingredient list, where there are any."""
    if fat.label is None:
        return None
    label = fat.label
    return {
        "oil": label.oil,
        "in_eu": label.in_eu or without_brackets(label.oil),
        "sodium_soap": label.sodium_soap,
        "potassium_soap": label.potassium_soap,
        "origin": label.origin,
        "allergen": label.allergen,
        "verified": label.verified,
        "source": label.source,
        "how": label.how,
    }


def measures_data() -> Json:
    """Measures, everything that may be a goal, and the practice of the house."""
    from optimiser.measures.measures import measures as known
    from optimiser.measures.practice import rules
    from optimiser.measures.quantities import quantities

    bare = [quantity for name, quantity in quantities().items() if name not in known()]
    return {
        "format": FORMAT,
        "measures": [measure_data(measure) for measure in known().values()],
        "quantities": [plain_quantity_data(quantity) for quantity in bare],
        "practice": [rule_data(rule) for rule in rules()],
    }


def quantity_data(known: Quantity) -> Json:
    """One measure or figure under the key of its kind."""
    from optimiser.measures.measures import measures as table

    if known.id in table():
        return {"measures": [measure_data(table()[known.id])]}
    return {"quantities": [plain_quantity_data(known)]}


def measure_data(measure: Measure) -> Json:
    """A measure with all that it rests on."""
    from optimiser.measures.cure import USUAL_CURE, cure_law
    from optimiser.measures.measures import levers

    lever, law = levers(measure.id), cure_law(measure.id)
    return {
        "measure": measure.id,
        "words": measure.words,
        "unit": measure.unit,
        "predicts": measure.predicts,
        "high_means": measure.high_means,
        "observed_by": measure.observed_by,
        "uncertainty": measure.uncertainty,
        "trust": measure.coarse or None,
        "scale": measure.scale,
        "bands": [{"band": band.word, "low": band.low, "high": band.high} for band in measure.bands],
        "weights": dict(measure.weights),
        "levers": {
            "free_oil": lever.free_oil,
            "water": lever.water,
            "potassium": lever.potassium,
            "batter": lever.batter,
            "gel": lever.gel,
            "additives": dict(lever.additives),
        },
        "curves": {name: [list(knot) for knot in curve] for name, curve in lever.curves.items()},
        "ranges": ranges_data(measure.id),
        "cure": {"points_per_doubling": law.flat, "more_of_oleic_acid_alone": law.of_oleic, "from_weeks": USUAL_CURE},
        "floor": measure.floor,
        "status": measure.status,
        "source": measure.source,
    }


def ranges_data(name: str) -> Json:
    """How far each lever of a measure is known, and what is beyond: "level", or the measure is "unknown"."""
    from optimiser.measures.measures import LEVER_FIELDS, lever_ranges, levers

    lever = levers(name)
    moving = {known for known, field in LEVER_FIELDS.items() if getattr(lever, field)} | set(lever.curves)
    return {
        known.lever: {"low": known.low, "high": known.high, "unit": known.unit, "beyond": known.beyond}
        for known in lever_ranges().values()
        if known.lever in moving
    }


def plain_quantity_data(known: Quantity) -> Json:
    """A figure that may be a goal."""
    return {
        "quantity": known.id,
        "words": known.words,
        "unit": known.unit,
        "about": known.about,
        "scale": known.scale,
        "lowest": known.lowest,
        "highest": known.highest,
    }


def rule_data(rule: Rule) -> Json:
    """One rule of the house."""
    return {
        "rule": rule.name,
        "on": rule.key,
        "subject": rule.subject,
        "side": rule.side,
        "value": rule.value,
        "unit": rule.unit,
        "gives_way_to": list(rule.gives_way),
        "why": rule.why,
        "status": rule.status,
        "source": rule.source,
    }
