"""A recipe as the batch that is recorded: frozen as it was weighed, its lots told, what looks odd of them warned of."""

from __future__ import annotations

from pathlib import Path

import pytest
from benches import laid

from optimiser.answers.batch_record import Made, Prepared, Unfit, of_trial, prepare
from optimiser.answers.lots_told import ToldLot, material_meant, read_told
from optimiser.answers.weigh import weigh
from optimiser.files.trial_file import read_trial
from optimiser.store.frozen import thawed
from optimiser.store.values import Lot
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

SHELF = """currency: EUR
fats:
  - {fat: olive oil, price: 6.90 / kg, stock: 20 kg, lot: {number: OL-1, saponification_value: 190.8, tolerance: 1, best_before: 2026-10-01}}
  - {fat: coconut oil, price: 3.10 / kg, lot: {number: CO-1, saponification_value: 256.4, tolerance: 1.5, best_before: 2027-10-01}}
  - {fat: house infusion, like: olive oil, price: 9.80 / kg}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}
additives: [{additive: sodium lactate, price: 9.00 / kg}]
"""
RECIPE = """title: "Sea: bar"
shelf: inventory/shelf.yaml
design: fine swirl
fats: {olive oil: 700 g, coconut oil: 250 g, house infusion: 50 g}
superfat: 5 %
liquids: {goat milk: 20 %}
additives: {sodium lactate: 20 g}
bars: 12
cure: 8 weeks
"""
DAY = "2026-11-03"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A workshop with a shelf and a recipe whose alkali and water are left to be worked out."""
    return laid(tmp_path, {"inventory/shelf.yaml": SHELF, "recipe.yaml": RECIPE})


def prepared(shop: Path, *lots: str, **more: object) -> Prepared:
    """The batch of the recipe with these lots."""
    made = Made(DAY, lots=tuple(map(read_told, lots)))._replace(**more)  # type: ignore[arg-type]
    found = prepare(shop / "recipe.yaml", shop / "records" / "barwright.sqlite", made)
    assert isinstance(found, Prepared)
    return found


def test_a_batch_holds_what_weigh_says(shop: Path) -> None:
    """Grams of fats, alkali, water and the rest, superfats, lye and cost are those of `weigh`, to the last digit."""
    batch = prepared(shop).batch
    story = weigh(shop / "recipe.yaml")
    recipe, judged = story.recipe, story.judgement
    told = {use.material: use.grams for use in batch.uses}
    assert told == {
        **{fat.name: grams for fat, grams in recipe.fats},
        **{item.name: grams for item, grams in recipe.additives},
        "sodium hydroxide": recipe.sodium_hydroxide,
        "water": recipe.water,
    }
    assert [use.purity for use in batch.uses if use.kind == "alkali"] == [0.98]
    assert (batch.superfat, batch.superfat_likely) == (judged.superfat, judged.superfat_likely_low)
    assert (batch.lye_concentration, batch.batter_g, batch.cured_g) == (
        judged.lye_concentration,
        judged.batter_grams,
        judged.cured_grams,
    )
    assert judged.money is not None
    assert batch.cost_e4 == round(judged.money * 10_000)
    assert (batch.currency, batch.bars, batch.title, batch.made) == ("EUR", 12, "Sea: bar", DAY)
    assert set(batch.cautions) < set(story.cautions)
    assert prepared(shop, bars=11).batch.bars == 11


def test_a_frozen_recipe_is_weighed_as_it_was(shop: Path) -> None:
    """The text is a recipe file: beside the record it gives the same grams, superfat, steps and bars, nothing worked out anew."""
    batch = prepared(shop).batch
    record = shop / "records" / "frozen.yaml"
    record.parent.mkdir()
    record.write_text(batch.recipe, encoding="utf-8")
    before, after = weigh(shop / "recipe.yaml"), weigh(record)
    assert after.judgement == before.judgement
    assert after.steps == tuple(
        step.replace(", each to 0.1 g", "") for step in before.steps
    )  # grams are as given there
    assert after.recipe.fats == before.recipe.fats
    sheet = thawed(batch.recipe, record)
    assert (sheet.superfat, sheet.lye_concentration, sheet.bars, sheet.cure_weeks) == (None, None, 12, 8.0)
    assert [design.name for design in sheet.techniques] == ["fine swirl"]
    head = "".join(line for line in batch.recipe.splitlines() if line.startswith("#"))
    for needed in (
        "2026-11-03",
        "sodium hydroxide of 98 %",
        "burn skin and blind",
        "safety data sheet",
        "licensed practice",
    ):
        assert needed in head


def test_a_recipe_that_is_changed_later_leaves_the_batch_alone(shop: Path) -> None:
    """The text in the record is its own: another superfat in the file is another hash."""
    first = prepared(shop).batch
    assert first == prepared(shop).batch  # the same recipe, the same bytes
    path = shop / "recipe.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("superfat: 5 %", "superfat: 6 %"), encoding="utf-8")
    assert prepared(shop).batch.sha256 != first.sha256


def test_what_must_not_be_made_is_not_recorded(shop: Path) -> None:
    """A lye-heavy recipe gives no batch but why, with its cautions."""
    text = RECIPE.replace("superfat: 5 %", "alkali: {sodium hydroxide: 300 g}")
    (shop / "recipe.yaml").write_text(text, encoding="utf-8")
    found = prepare(shop / "recipe.yaml", shop / "record.sqlite", Made(DAY))
    assert isinstance(found, Unfit)
    assert "LYE-HEAVY" in found.urgent[0]
    assert any("First aid" in line for line in found.cautions)


def test_what_is_likely_lye_heavy_is_recorded_with_its_warning(shop: Path) -> None:
    """It can be made, so it is recorded; the frozen text and the batch carry the warning."""
    (shop / "recipe.yaml").write_text(RECIPE.replace("superfat: 5 %", "superfat: 0 %"), encoding="utf-8")
    batch = prepared(shop).batch
    assert "LIKELY LYE-HEAVY" in batch.cautions[0]
    assert "# LIKELY LYE-HEAVY" in batch.recipe


def test_too_little_for_a_balance_is_refused(shop: Path) -> None:
    """As by `weigh`: without alkali there is no soap to record."""
    (shop / "recipe.yaml").write_text("fats: {olive oil: 0.01 g}\nsuperfat: 5 %\n", encoding="utf-8")
    with pytest.raises(BadInput) as bad:
        prepared(shop)
    assert bad.value.diagnostics[0].code == Code.COARSE_BALANCE


def test_a_sample_is_recorded_with_what_it_holds(shop: Path) -> None:
    """Less than a gram of alkali counts, and what is not in it at all, plain water or the other alkali, has no line."""
    text = "fats: {olive oil: 5 g}\nalkali: {potassium hydroxide: 0.6 g}\nliquids: {goat milk: 2 g}\nwater: 0 g\n"
    (shop / "recipe.yaml").write_text(text, encoding="utf-8")
    assert [(use.kind, use.material, use.grams) for use in prepared(shop).batch.uses] == [
        ("fat", "olive oil", 5.0),
        ("alkali", "potassium hydroxide", 0.6),
        ("liquid", "goat milk", 2.0),
    ]


# -- lots ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("coconut oil=CO-2291", ToldLot("coconut oil", "CO-2291", None)),
        (" coconut  oil = CO 22  91 ", ToldLot("coconut oil", "CO 22 91", None)),
        ("coconut oil=CO-2291=300 g", ToldLot("coconut oil", "CO-2291", 300.0)),
        ("coconut oil=A=B=1 kg", ToldLot("coconut oil", "A=B", 1000.0)),
    ],
)
def test_a_lot_as_it_is_typed(text: str, told: ToldLot) -> None:
    """A material, a number, and a mass where there is a third part; blanks count once."""
    assert read_told(text) == told


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("CO-2291", Code.USAGE),
        ("=CO-2291", Code.USAGE),
        ("coconut oil=", Code.USAGE),
        ("coconut oil= =5 g", Code.USAGE),
        ("coconut oil=CO-2291=much", Code.NOT_A_FIGURE),
        ("coconut oil=CO-2291=300", Code.NO_UNIT),
        ("coconut oil=CO-2291=0 g", Code.OUT_OF_RANGE),
        (f"coconut oil={'x' * 500}", Code.TOO_LONG),
    ],
)
def test_what_is_no_lot_is_refused(text: str, code: Code) -> None:
    """Each in words of its own."""
    with pytest.raises(BadInput) as bad:
        read_told(text)
    assert [fault.code for fault in bad.value.diagnostics] == [code]


def lots_of(found: Prepared) -> list[tuple[str, float, str | None]]:
    """What went in, with lots."""
    return [(use.material, use.grams, use.lot and use.lot.number) for use in found.batch.uses if use.kind == "fat"]


def test_lots_are_told_by_any_name_of_what_they_are_of(shop: Path) -> None:
    """Synonyms, case, a maker's own fats, alkalis and additives; what nobody told of has none."""
    found = prepared(
        shop, "Coconut_Oil=CO-1", "House Infusion=INF-1", "NaOH=LYE-5", "sodium lactate=SL-1", "goat milk=today"
    )
    told = {use.material: use.lot.number for use in found.batch.uses if use.lot is not None}
    assert told == {
        "coconut oil": "CO-1",
        "house infusion": "INF-1",
        "sodium hydroxide": "LYE-5",
        "sodium lactate": "SL-1",
        "goat milk": "today",
    }
    assert [use.material for use in found.batch.uses if use.lot is None] == ["olive oil", "water"]


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("virgin coconut oil", "coconut oil"),
        ("china clay", "kaolin"),
        ("KOH", "potassium hydroxide"),
        ("Goats_Milk", "goat milk"),
        ("house-infusion", "house infusion"),
    ],
)
def test_synonyms_mean_what_the_recipe_holds(name: str, meant: str) -> None:
    """Of fats, additives, alkalis, liquids, and what is the maker's own in any spelling."""
    held = ["coconut oil", "kaolin", "potassium hydroxide", "goat milk", "house infusion"]
    assert material_meant(name, held) == meant
    with pytest.raises(BadInput):
        material_meant(name, [one for one in held if one != meant])


def test_several_lots_share_a_fat(shop: Path) -> None:
    """Each but one with its mass; the one without takes the rest, and where all have one the rest has no lot."""
    assert lots_of(prepared(shop, "olive oil=A=200 g", "olive oil=B"))[:2] == [
        ("olive oil", 200.0, "A"),
        ("olive oil", 500.0, "B"),
    ]
    assert lots_of(prepared(shop, "olive oil=A=200 g", "olive oil=B=499 g"))[:3] == [
        ("olive oil", 200.0, "A"),
        ("olive oil", 499.0, "B"),
        ("olive oil", 1.0, None),
    ]
    assert lots_of(prepared(shop, "olive oil=A=200 g", "olive oil=B=500 g"))[2][0] == "coconut oil"


def test_lots_that_do_not_fit_are_all_told(shop: Path) -> None:
    """What is not in the recipe, masses beyond it, two that share without a mass, one told twice: every fault at once."""
    with pytest.raises(BadInput) as bad:
        prepared(
            shop,
            *("lard=LA-1", "water=W", "olive oil=A=600 g", "olive oil=B=600 g"),
            *("coconut oil=C", "coconut oil=D", "house infusion=E", "house infusion=e=1 g"),
        )
    assert [fault.code for fault in bad.value.diagnostics] == [
        *(Code.NOT_IN_RECIPE, Code.NOT_IN_RECIPE),
        *(Code.CONTRADICTION, Code.USAGE, Code.REPEATED_NAME),
    ]
    with pytest.raises(BadInput) as bad:
        prepared(shop, "olive oil=A=700 g", "olive oil=B")  # nothing is left for B
    assert bad.value.diagnostics[0].code == Code.CONTRADICTION


def test_the_shelfs_lots_can_be_taken(shop: Path) -> None:
    """`--lots-of-shelf` fills in what the shelf tells, where nothing was told, with days and stock."""
    found = prepared(shop, "coconut oil=CO-9", lots_of_shelf=True)
    assert lots_of(found) == [
        ("olive oil", 700.0, "OL-1"),
        ("coconut oil", 250.0, "CO-9"),
        ("house infusion", 50.0, None),
    ]
    assert found.stock == {Lot("OL-1", "olive oil", "2026-10-01"): 20_000.0}


def test_odd_lots_are_warned_of(shop: Path) -> None:
    """A number that the shelf has not, a day that is past when it was made, a number that the record has of another thing."""
    kept = [Lot("CO-9", "coconut oil", "2026-11-02"), Lot("inf 1", "infused olive oil")]

    def codes(*lots: str, day: str = DAY) -> list[tuple[Code, str]]:
        made = Made(day, lots=tuple(map(read_told, lots)))
        found = prepare(shop / "recipe.yaml", shop / "record.sqlite", made, kept=kept)
        assert isinstance(found, Prepared)
        return [(item.code, item.message) for item in found.warnings if item.code != Code.BORROWED_FIGURES]

    assert codes("coconut oil=CO-1") == []
    assert codes("coconut oil=co 1", "NaOH=any") == []
    assert codes("olive oil=OL-1") == [
        (Code.PAST_BEST_BEFORE, "lot 'OL-1' of olive oil was best before 2026-10-01, and went in on 2026-11-03")
    ]
    assert codes("olive oil=OL-1", day="2026-10-01") == []
    assert codes("olive oil=OL-7") == [
        (Code.LOT_NOT_ON_SHELF, "lot 'OL-7' of olive oil is not on the shelf: it has OL-1")
    ]
    assert codes("coconut oil=CO-9") == [
        (Code.PAST_BEST_BEFORE, "lot 'CO-9' of coconut oil was best before 2026-11-02, and went in on 2026-11-03")
    ]
    assert [code for code, _ in codes("house infusion=INF-1")] == [Code.OTHER_MATERIAL, Code.LOT_NOT_ON_SHELF]


def test_a_trial_becomes_a_batch_with_its_reading(shop: Path) -> None:
    """Name, day, recipe and readings of a trial file."""
    text = (
        "recipe: ../recipe.yaml\ndate: 2026-11-05\ntrace: 4 min\nhardness: 41 Shore D\nash: no\nnotes: [fine, slow]\n"
    )
    path = laid(shop, {"trials/001-sea.yaml": text}) / "trials" / "001-sea.yaml"
    found, seen = of_trial(read_trial(path), shop / "records" / "barwright.sqlite")
    assert isinstance(found, Prepared)
    assert (found.batch.id, found.batch.made) == ("001-sea", "2026-11-05")
    assert seen == ("2026-11-05", 240.0, None, 41.0, "Shore D", False, ("fine", "slow"))


def test_names_that_no_text_can_hold_are_refused(shop: Path) -> None:
    """A shelf whose path is no UTF-8 cannot be named in the record, and that is said before anything is written."""
    odd = Path(str(shop / "inventory" / "sh\udcff.yaml"))
    odd.write_text(SHELF, encoding="utf-8")
    with pytest.raises(BadInput) as bad:
        prepare(shop / "recipe.yaml", shop / "record.sqlite", Made(DAY), shelf_file=odd)
    assert bad.value.diagnostics[0].code == Code.BAD_PATH


LOTS = """
title: a shelf
currency: EUR
fats:
  - {fat: coconut oil, price: 3 / kg, lot: {number: C-1, saponification_value: 255}}
  - {fat: olive oil, price: 6 / kg, lots: [{number: A, stock: 5 kg}, {number: B, stock: 5 kg}]}
  - {fat: shea butter, price: 8 / kg}
alkalis:
  sodium hydroxide: {price: 2.40 / kg, purity: 98 %}
"""


def test_the_shelf_of_the_workspace_tells_lots(tmp_path: Path) -> None:
    """A recipe that names no shelf gets the lots of the only one in inventory/; each fat that gets none is told, with why."""
    weights = "fats: {olive oil: 600 g, coconut oil: 300 g, shea butter: 100 g}\nsuperfat: 5 %\nwater: 300 g\n"
    shop = laid(tmp_path, {"inventory/shelf.yaml": LOTS, "recipe.yaml": weights})
    plain, found = prepared(shop), prepared(shop, lots_of_shelf=True)
    assert lots_of(found) == [("olive oil", 600.0, None), ("coconut oil", 300.0, "C-1"), ("shea butter", 100.0, None)]
    assert [use.grams for use in found.batch.uses] == [use.grams for use in plain.batch.uses]
    told = {str(fault.message): str(fault.help) for fault in found.warnings}
    (several,) = [message for message in told if "olive oil" in message]
    assert "several" in several
    assert '--lot "olive oil=LOT"' in told[several]
    assert [message for message in told if "shea butter" in message and "tells none" in message]
    assert not [message for message in told if "coconut oil" in message]
    (shop / "inventory" / "shelf.yaml").unlink()
    with pytest.raises(BadInput) as bad:
        prepared(shop, lots_of_shelf=True)
    assert bad.value.diagnostics[0].code == Code.WHICH_SHELF


def test_a_lot_is_found_under_the_name_that_recipes_write(tmp_path: Path) -> None:
    """`olive oil (lot A)` is in a recipe that holds it so, and no name is offered twice."""
    weights = "shelf: inventory/shelf.yaml\nfats: {olive oil (lot A): 300 g, olive oil (lot B): 300 g, coconut oil: 300 g}\nsuperfat: 5 %\nwater: 300 g\n"
    shop = laid(tmp_path, {"inventory/shelf.yaml": LOTS, "recipe.yaml": weights})
    with pytest.raises(BadInput) as bad:
        prepared(shop, "olive oil (lot A)=Z")
    assert bad.value.diagnostics[0].code == Code.CONTRADICTION
    with pytest.raises(BadInput) as bad:
        prepared(shop, "lard=Z")
    assert bad.value.diagnostics[0].help.count("olive oil") == 1
