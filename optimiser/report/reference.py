"""The reference data for people and for programs: fats, measures, what may be a goal, and the practice of the house."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from optimiser.report.data import FORMAT, to_json
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import offer, shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from optimiser.fats import Fact, Fat, Figure
    from optimiser.measures import Measure
    from optimiser.practice import Rule
    from optimiser.quantities import Quantity

PLACES = 3

Json = dict[str, Any]


def fats(
    name: str | None = None,
    *,
    width: int = 80,
    colour: bool = False,
    ascii: bool = False,  # noqa: A002
    as_json: bool = False,
) -> str:
    """All fats of the reference table, or one of them with everything that is known of it.

    Raises:
        BadInput: no fat answers to this name; the nearest names are offered.
    """
    from optimiser.fats import reference
    from optimiser.report import text_fats
    from optimiser.report.paper import Paper, printed

    table = reference()
    chosen = [table.get(each) for each in table.names()] if name is None else [found_fat(name)]
    if as_json:
        return to_json({"format": FORMAT, "fats": fats_data(chosen)})
    paper = Paper(width, colour, ascii)
    return printed(paper, text_fats.listing(chosen) if name is None else text_fats.card(chosen[0], paper))


def measures(
    name: str | None = None,
    *,
    width: int = 80,
    colour: bool = False,
    ascii: bool = False,  # noqa: A002
    as_json: bool = False,
) -> str:
    """All measures, goals and rules of the house, or one measure or figure with what it rests on.

    Raises:
        BadInput: nothing answers to this name; the nearest names are offered.
    """
    from optimiser.report import text_reference
    from optimiser.report.paper import Paper, printed

    paper = Paper(width, colour, ascii)
    if name is None:
        return to_json(measures_data()) if as_json else printed(paper, text_reference.listing())
    known = found_quantity(name)
    if as_json:
        return to_json({"format": FORMAT, **quantity_data(known)})
    return printed(paper, text_reference.card(known, paper))


def practice_text(width: int = 80, *, colour: bool = False, ascii: bool = False) -> str:  # noqa: A002
    """The rules of the house, each with its reason, and how to overrule them."""
    from optimiser.report import text_reference
    from optimiser.report.paper import Paper, printed

    return printed(Paper(width, colour, ascii), text_reference.practice())


def found_fat(name: str) -> Fat:
    """The fat of this name.

    Raises:
        BadInput: there is none.
    """
    from optimiser.fats import reference

    table = reference()
    fat = table.find(name)
    if fat is None:
        help_ = offer(name, table.every_name(), "'barwright fats' lists them all")
        raise BadInput([Diagnostic("unknown-fat", f"{shown(name)} is no fat of the reference table", help_)])
    return fat


def found_quantity(name: str) -> Quantity:
    """The measure or figure of this name.

    Raises:
        BadInput: there is none.
    """
    from optimiser.quantities import find_quantity, quantities

    known = find_quantity(name)
    if known is None:
        names = [each for quantity in quantities().values() for each in (quantity.id, quantity.words)]
        help_ = offer(name, dict.fromkeys(names), "'barwright measures' lists them all")
        raise BadInput([Diagnostic("unknown-measure", f"{shown(name)} is no measure and no figure", help_)])
    return known


def own_measures(chosen: Sequence[Fat]) -> list[dict[str, float]]:
    """What a bar of each fat alone would measure, levers at their reference."""
    from optimiser.measures import fat_values
    from optimiser.measures import measures as known

    ids = list(known())
    columns = fat_values(chosen, ids).T.tolist()
    return [dict(zip(ids, column, strict=True)) for column in columns]


def fats_data(chosen: Sequence[Fat]) -> list[Json]:
    """Fats as data; figures of the table's own working are rounded, published ones are not."""
    return [
        {
            "fat": fat.name,
            "kind": fat.kind,
            "tags": sorted(fat.tags),
            "synonyms": list(fat.synonyms),
            "saponification_value": figure_data(fat.saponification),
            "iodine_value": figure_data(fat.iodine),
            "unsaponifiable_g_per_kg": figure_data(fat.unsaponifiable),
            "density_kg_per_l_40_degC": round(fat.density, 4),
            "soap_yield": fat.soap_yield,
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
    from optimiser.measures import measures as known
    from optimiser.practice import rules
    from optimiser.quantities import quantities

    bare = [quantity for name, quantity in quantities().items() if name not in known()]
    return {
        "format": FORMAT,
        "measures": [measure_data(measure) for measure in known().values()],
        "quantities": [plain_quantity_data(quantity) for quantity in bare],
        "practice": [rule_data(rule) for rule in rules()],
    }


def quantity_data(known: Quantity) -> Json:
    """One measure or figure under the key of its kind."""
    from optimiser.measures import measures as table

    if known.id in table():
        return {"measures": [measure_data(table()[known.id])]}
    return {"quantities": [plain_quantity_data(known)]}


def measure_data(measure: Measure) -> Json:
    """A measure with all that it rests on."""
    from optimiser.measures import levers

    lever = levers(measure.id)
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
        "status": measure.status,
        "source": measure.source,
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
