"""Laws over whole workshops: files read as a maker's, and every figure of the answer worked out again by other means.

The arithmetic here is this file's own: atomic weights (IUPAC 2021, abridged), equivalents of the acids by their formulas,
water by what each solution or powder holds. Of the program it takes nothing but the saponification values that a
certificate or the table names.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from strategies import examples
from workshops import Workshop, workshops

from optimiser.answers.weigh import weigh
from optimiser.materials.additives import additives
from optimiser.materials.fat_table import reference
from optimiser.model.pieces import curves
from optimiser.model.programme import Programme, build
from optimiser.model.rows import Row
from optimiser.problem.goals import GoalSheet
from optimiser.recipe.compliance import verdicts
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.rounding import point_of
from optimiser.report.json import documents as data
from optimiser.report.json.writing import to_json
from optimiser.report.recipe_yaml import recipe_yaml

C, H, O, NA, K = 12.011, 1.008, 15.999, 22.990, 39.098  # noqa: E741  # the elements' own letters
NAOH, KOH, WATER = NA + O + H, K + O + H, 2 * H + O
CITRIC, LACTIC = 6 * C + 8 * H + 7 * O, 3 * C + 6 * H + 3 * O
EQUIVALENTS = {  # mol of alkali per gram
    "citric acid": 3 / CITRIC,
    "citric acid monohydrate": 3 / (CITRIC + WATER),
    "lactic acid": 0.88 / LACTIC,  # 88 %, Ph. Eur. 0458 (from memory)
    "tartaric acid": 2 / (4 * C + 6 * H + 6 * O),
    "vinegar": 0.05 / (2 * C + 4 * H + 2 * O),  # 5 % acetic acid by weight
    "sodium bicarbonate": 1 / (NA + H + C + 3 * O),
    "rosin": 165.0 / 1000 / KOH,  # acid value 165, the middle of 150-180 (Ph. Eur. Colophony, from memory)
}
WET = {  # grams of water per gram
    "sodium lactate": 0.40,  # the 60 % solution
    "honey": 0.18,  # common practice, no source
    "vinegar": 0.95,
    "lactic acid": 0.12,
    "milk powder": 0.04,  # common practice, no source
    "colloidal oatmeal": 0.10,  # common practice, no source
    "citric acid monohydrate": WATER / (CITRIC + WATER),
    "sodium citrate": 2 * WATER / (6 * C + 5 * H + 3 * NA + 7 * O + 2 * WATER),
}
LATER = ("sodium lactate", "honey", "milk powder", "colloidal oatmeal")  # none of these dissolves the alkali
SLOW = settings(max_examples=examples(20))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder for files that are written anew for each example."""
    return tmp_path_factory.mktemp("workshop")


def told(workshop: Workshop, folder: Path) -> dict[str, Any]:
    """The answer as data."""
    document: dict[str, Any] = json.loads(to_json(data.blend(workshop.answered(folder))))
    return document


def moles_of_fats(workshop: Workshop, grams: dict[str, float]) -> float:
    """Moles of alkali that fats take, by the certificate's saponification value or else the table's.

    Of beeswax only the free acid counts, whatever its certificate says of what boiling potash can do.
    """
    lots = {entry["fat"]: entry.get("lot") for entry in workshop.shelf["fats"]}
    total = 0.0
    for name, weight in grams.items():
        lot = lots[name] if name != "beeswax" else None
        value = float(lot["saponification_value"]) if lot else reference().get(name).saponification.value
        total += value * weight / 1000.0 / KOH
    return total


def by_hand(
    workshop: Workshop, fats: dict[str, float], extra: dict[str, float], pot: dict[str, float]
) -> dict[str, float]:
    """Superfat, lye and potassium of grams in a pot: pure alkalis, weighed water, what potassium hydroxide brings."""
    present = pot["sodium"] / NAOH + pot["potassium"] / KOH
    acid = math.fsum(EQUIVALENTS.get(name, 0.0) * grams for name, grams in extra.items())
    water = pot["water"] + pot["brought"] + math.fsum(WET.get(name, 0.0) * grams for name, grams in extra.items())
    later = math.fsum(WET[name] * grams for name, grams in extra.items() if name in LATER)
    alkali, total = pot["sodium"] + pot["potassium"], math.fsum(fats.values())
    return {
        "superfat": 100.0 * (1.0 - (present - acid) / moles_of_fats(workshop, fats)),
        "lye_concentration": 100.0 * alkali / (alkali + water),
        "water_to_alkali": water / alkali,
        "water_share_of_fats": 100.0 * water / total,
        "potassium_share": 100.0 * pot["potassium"] / KOH / present,
        "as mixed": 100.0 * alkali / (alkali + water - later),
    }


def exact(document: dict[str, Any]) -> tuple[dict[str, float], dict[str, float], dict[str, float]]:
    """Fats, additives and the pot of the exact blend, in grams."""
    alkali = document["alkali"]
    brought = alkali["potassium_hydroxide_g"] - alkali["potassium_hydroxide_pure_g"]
    pot = {
        "sodium": alkali["sodium_hydroxide_pure_g"],
        "potassium": alkali["potassium_hydroxide_pure_g"],
        "water": document["water"]["grams"],
        "brought": brought,
    }
    fats = {line["fat"]: line["grams"] for line in document["fats"]}
    return fats, {line["additive"]: line["grams"] for line in document["additives"]}, pot


@SLOW
@given(workshops(practised=False))
def test_alkali_and_water_by_hand(folder: Path, workshop: Workshop) -> None:
    """Superfat, lye and potassium told are those of the grams told, every goal on them holds, and the lye dissolves."""
    document = told(workshop, folder)
    found = by_hand(workshop, *exact(document))
    assert document["alkali"]["superfat"] == pytest.approx(found["superfat"], abs=0.01)
    assert document["alkali"]["superfat"] >= -1e-6
    assert document["water"]["lye_concentration"] == pytest.approx(found["lye_concentration"], abs=0.005)
    assert document["water"]["water_to_alkali"] == pytest.approx(found["water_to_alkali"], abs=0.005)
    assert document["water"]["share_of_fats"] == pytest.approx(found["water_share_of_fats"], abs=0.005)
    assert document["figures"]["potassium_share"] == pytest.approx(found["potassium_share"], abs=0.005)
    assert found["as mixed"] <= 50.0 + 0.005
    for line in document["goals"]:
        key = line["id"].split(".")[1]
        if line["id"].startswith("goals.") and key in found:
            assert line["value"] == pytest.approx(found[key], abs=0.01), line["id"]
            assert line["side"] == "at_most" or found[key] >= line["limit"] - 0.01, line["id"]
            assert line["side"] == "at_least" or found[key] <= line["limit"] + 0.01, line["id"]


@SLOW
@given(workshops(practised=False))
def test_the_balance_never_eats_into_the_superfat(folder: Path, workshop: Workshop) -> None:
    """What goes on the balance has the superfat told for it, no less than the exact blend's, in whole steps."""
    document = told(workshop, folder)
    weighed, alkali = document["to_weigh"], document["alkali"]
    purities = [alkali[f"{name}_hydroxide_purity"] / 100.0 for name in ("sodium", "potassium")]
    pot = {
        "sodium": weighed["sodium_hydroxide_g"] * purities[0],
        "potassium": weighed["potassium_hydroxide_g"] * purities[1],
        "water": weighed["water_g"],
        "brought": weighed["potassium_hydroxide_g"] * (1.0 - purities[1]),
    }
    fats = {line["fat"]: line["grams"] for line in weighed["fats"]}
    extra = {line["additive"]: line["grams"] for line in weighed["additives"]}
    found = by_hand(workshop, fats, extra, pot)
    assert weighed["superfat"] == pytest.approx(found["superfat"], abs=4e-3)  # KOH is 56.105 by these weights
    assert weighed["lye_concentration"] == pytest.approx(found["lye_concentration"], abs=1e-3)
    assert found["superfat"] >= exact_superfat(workshop, document) - 0.01
    scale = float(str(workshop.goals["batch"].get("scale", "0.1 g")).removesuffix(" g"))
    fine = scale if "scale" in workshop.goals["batch"] else 0.1
    for grams in (weighed["sodium_hydroxide_g"], weighed["potassium_hydroxide_g"], weighed["water_g"], *extra.values()):
        assert grams / fine == pytest.approx(round(grams / fine), abs=1e-4)
    for grams in fats.values():
        assert grams / weighed["step_g"] == pytest.approx(round(grams / weighed["step_g"]), abs=1e-4)


def exact_superfat(workshop: Workshop, document: dict[str, Any]) -> float:
    """The superfat of the exact blend, by hand."""
    return by_hand(workshop, *exact(document))["superfat"]


@SLOW
@given(workshops())
def test_the_data_of_a_blend_add_up(folder: Path, workshop: Workshop) -> None:
    """Grams, shares and money of an answer's data agree with each other and with the prices on the shelf."""
    document = told(workshop, folder)
    fats, extra, pot = exact(document)
    total = math.fsum(fats.values())
    assert math.fsum(line["share"] for line in document["fats"]) == pytest.approx(100.0, abs=1e-9)
    for line in document["fats"]:
        assert line["share"] == pytest.approx(100.0 * line["grams"] / total, abs=0.001)
    for line in document["additives"]:
        assert line["share_of_fats"] == pytest.approx(100.0 * line["grams"] / total, abs=0.001)
    kilo = {entry["fat"]: float(entry["price"].removesuffix(" / kg")) for entry in workshop.shelf["fats"]}
    for line in document["fats"]:
        assert line["cost"] == pytest.approx(kilo[line["fat"]] * line["grams"] / 1000.0, abs=1e-3)
    for line in document["additives"]:
        assert line["cost"] == pytest.approx(6.5 * line["grams"] / 1000.0, abs=1e-3)
    alkali = document["alkali"]
    spent = math.fsum(line["cost"] for line in (*document["fats"], *document["additives"]))
    spent += (2.4 * alkali["sodium_hydroxide_g"] + 4.1 * alkali["potassium_hydroxide_g"]) / 1000.0
    cost = document["cost"]
    assert cost["batch"] == pytest.approx(spent, abs=2e-3)
    assert cost["per_kg"] == pytest.approx(1000.0 * spent / cost["cured_g"], rel=1e-3)
    assert cost["per_bar"] == pytest.approx(cost["per_kg"] * cost["bar_g"] / 1000.0, abs=1e-4)
    assert cost["bars"] == pytest.approx(cost["cured_g"] / cost["bar_g"], abs=0.01)
    dry = math.fsum((1.0 - WET.get(name, 0.0)) * grams for name, grams in extra.items())
    assert cost["cured_g"] == pytest.approx((total + pot["sodium"] + pot["potassium"] + dry) / 0.9, rel=1e-5)
    water = pot["water"] + pot["brought"] + math.fsum(WET.get(name, 0.0) * grams for name, grams in extra.items())
    assert document["water"]["total_g"] == pytest.approx(water, abs=0.01)
    assert document["certificate"]["cheapest_possible_per_kg"] <= cost["per_kg"] + 1e-6
    assert document["certificate"]["gap"] < 1e-5
    size(workshop, document, total)


def size(workshop: Workshop, document: dict[str, Any], total: float) -> None:
    """The batch is as large as the file asks."""
    batch = workshop.goals["batch"]
    if "fats" in batch:
        assert total == pytest.approx(1000.0 * float(batch["fats"].removesuffix(" kg")), rel=1e-5)
    elif "bars" in batch:
        assert document["cost"]["cured_g"] == pytest.approx(24 * 105.0, rel=1e-5)
    for entry in workshop.shelf["fats"]:
        if "stock" in entry:
            used = math.fsum(line["grams"] for line in document["fats"] if line["fat"] == entry["fat"])
            assert used <= 1000.0 * float(entry["stock"].removesuffix(" kg")) + 0.01


@SLOW
@given(workshops())
def test_every_goal_told_holds(folder: Path, workshop: Workshop) -> None:
    """No answer tells of a wish that its own value breaks, a preference met that is not, or a tag that was excluded."""
    document = told(workshop, folder)
    for line in document["goals"]:
        room = (0.5 if line["side"] == "exactly" and line["unit"] == "index" else 0.0) + 1e-4 * max(
            1.0, abs(line["limit"])
        )
        assert line["side"] == "at_most" or line["value"] >= line["limit"] - room, line
        assert line["side"] == "at_least" or line["value"] <= line["limit"] + room, line
    for line in document["prefer"]:
        assert line["met"] == (line["short_by"] == 0.0)
    for tag in workshop.goals.get("free_from", []):
        assert all(tag not in reference().get(line["fat"]).tags for line in document["fats"])
    count = workshop.goals.get("fats", {})
    number = len(document["fats"])
    assert int(count.get("at_least", 0)) <= number <= int(count.get("at_most", 99))
    assert number == int(count.get("exactly", number))
    least = float(str(count.get("each_at_least", "0 %")).removesuffix(" %"))
    assert all(line["share"] >= least - 1e-4 for line in document["fats"])


@settings(max_examples=examples(15))
@given(workshops(designed=True))
def test_designs_and_people_are_kept(folder: Path, workshop: Workshop) -> None:
    """What a design or a person brings is among the wishes told, with a reason, and holds."""
    document = told(workshop, folder)
    brought = [line for line in document["goals"] if line["origin"] == "design"]
    assert brought
    for line in brought:
        assert line["why"]
        assert line["side"] == "at_most" or line["value"] >= line["limit"] - 1e-4
        assert line["side"] == "at_least" or line["value"] <= line["limit"] + 1e-4


@SLOW
@given(workshops())
def test_a_recipe_saved_is_weighed_as_it_was_told(folder: Path, workshop: Workshop) -> None:
    """`weigh --against` comes to the same verdict on every wish of the maker's as the answer that the recipe was saved from."""
    blend = workshop.answered(folder)
    path = folder / "goals" / "saved.yaml"
    path.write_text(recipe_yaml(blend, path), encoding="utf-8")
    found = weigh(path, goal_file=folder / "goals" / "bar.yaml")
    held = {line.id: line.holds_when_weighed for line in found.goals}
    bends = {line.id for line in found.goals if line.gives_way}
    mine = [line for line in blend.goals if line.origin != "stock" and line.id in held.keys() - bends]
    assert {line.id for line in blend.goals if line.origin not in ("stock", "practice", "design")} <= held.keys()
    for line in mine:
        assert held[line.id] == line.holds_when_weighed, line.id
    assert found.meets_goals == all(held[name] for name in held.keys() - bends)
    assert found.meets_goals == all(line.holds_when_weighed for line in mine)
    assert found.judgement.superfat == pytest.approx(blend.weighed.superfat, abs=1e-4)
    assert found.judgement.total_water == pytest.approx(blend.weighed.total_water, abs=1e-3)
    assert found.cost is not None
    assert blend.weighed.cost_per_kg is not None
    assert found.cost.per_kg == pytest.approx(blend.weighed.cost_per_kg, rel=1e-5)


def on_the_shelf(workshop: Workshop, made: Programme, sheet: GoalSheet) -> Recipe:
    """The recipe that the workshop was laid around, with the fats and the batch as the files have them."""
    own = {fat.name: fat for fat in made.columns.fats}
    recipe = workshop.recipe
    sodium = made.columns.shelf.alkalis["sodium hydroxide"].purity
    return Recipe(
        fats=tuple((own[fat.name], grams) for fat, grams in recipe.fats),
        sodium_hydroxide=recipe.sodium_hydroxide / sodium,
        potassium_hydroxide=recipe.potassium_hydroxide,
        water=recipe.water,
        additives=recipe.additives,
        sodium_purity=sodium,
        sodium_purest=made.columns.shelf.purest[0],
        potassium_purest=made.columns.shelf.purest[1],
        potassium_purity=recipe.potassium_purity,
        batter_temperature=sheet.batch.batter_temperature,
        gel=sheet.batch.gel,
        cured_water=sheet.batch.cured_water,
    )


@settings(max_examples=examples(60))
@given(workshops())
def test_model_and_judge_agree_on_every_wish(folder: Path, workshop: Workshop) -> None:
    """Rows and plain sums give every wish of a file the same value for a recipe made up by hand, and the same verdict."""
    check_wishes(workshop, folder)


@settings(max_examples=examples(20))
@given(workshops(designed=True))
def test_model_and_judge_agree_on_what_designs_bring(folder: Path, workshop: Workshop) -> None:
    """The same where wishes come from designs and people."""
    check_wishes(workshop, folder)


def check_wishes(workshop: Workshop, folder: Path) -> None:
    """Every row of a wish against the judge's verdict on it; the physics against what the judge says of lye and fat."""
    sheet, shelf = workshop.read(folder)
    made = build(sheet, shelf)
    recipe = on_the_shelf(workshop, made, sheet)
    point = point_of(made.columns, recipe)
    judged = judge(recipe, prices(workshop, recipe))
    found = {item.id: item for item in verdicts(sheet, recipe, judged)}
    pieces = [row for row in made.rows if row.origin == "physics" and row.figure in curves()]
    assume(all(row.shortfall(point) < 1e-6 for row in pieces))  # beyond its piece nothing is promised of a lever
    for member, places in made.members.items():
        rows = [made.rows[place] for place in places]
        if rows[0].origin in ("stock", "count"):
            continue
        if member.key == "one fat" and member not in found:  # of a fat that is not in the pot nothing is judged
            assert rows[0].value(point) == pytest.approx(0.0, abs=1e-6)
            continue
        assert found[member].value == pytest.approx(rows[0].value(point), rel=1e-6, abs=1e-6), member
        short = max(row.shortfall(point) for row in rows)
        if short <= 1e-9:
            assert found[member].holds, member
        if short > 0.02 * rows[0].scale + blur(rows[0], judged.pure_sodium_hydroxide + judged.pure_potassium_hydroxide):
            assert not found[member].holds, member
    mixed = next(row for row in made.rows if row.figure == "lye solubility")
    assert 100.0 * mixed.value(point) == pytest.approx(judged.lye_as_mixed, rel=1e-6)


def blur(row: Row, alkali: float) -> float:
    """What rounding on a balance that reads 0.1 g may move a figure by, and a little more, in the figure's unit."""
    if row.figure in ("superfat", "worst_case_superfat") and row.side != "at_least":
        return 100.0 * 0.11 / alkali
    if row.figure in additives():
        return 0.011  # 0.1 g of a kilo of fats
    widest = {"lye_concentration": 25.0, "water_to_alkali": 4.0, "water_share_of_fats": 50.0}
    return widest.get(row.figure, 0.0) * 0.2 / alkali


def prices(workshop: Workshop, recipe: Recipe) -> Any:
    """The shelf's prices, as the judge takes them."""
    from workshops import prices_of

    assert recipe.fats
    return prices_of(workshop.shelf)
