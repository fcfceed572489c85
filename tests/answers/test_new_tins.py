"""Lots in hand and more to be bought: what is bought is a tin of its own, from two files to grams, money, words and data."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from optimiser.answers.asked import read_question
from optimiser.answers.blend import answer, answer_for
from optimiser.answers.plan import answer_plan
from optimiser.answers.plan_results import Plan
from optimiser.answers.results import Blend, NoBlend
from optimiser.answers.weigh import weigh
from optimiser.cli.main import main
from optimiser.materials.fat_table import reference
from optimiser.report.recipe_yaml import recipe_yaml

POTASH, SODA = 56.106, 39.997  # g/mol, by the atomic weights of IUPAC 2021, abridged, from memory
SUPERFAT, PURITY = 0.08, 0.99
LOTS = """
    lots:
      - {number: CO-2, stock: 0.3 kg, saponification_value: 262.0, tolerance: 1.0, best_before: 2028-09-01}
      - {number: CO-1, stock: 0.2 kg, saponification_value: 259.0, tolerance: 1.5, best_before: 2028-03-01}"""
ONE_LOT = "\n    stock: 0.5 kg\n    lot: {number: CO-1, saponification_value: 262.0, tolerance: 1.0}"
PACKS = "\n    packs: [{size: 2 kg, price: 5.00}]"
GOALS = "practice: off\ngoals: {superfat: 8 %, lye_concentration: 33 %}\nshares: {coconut oil: 40 %}\n"


def asked(folder: Path, coconut: str, more: str = "buy: any\n", goals: str = GOALS, price: str = "3.10") -> Path:
    """A goal file for 4 kg of fats, of which 1.6 kg are coconut oil, beside a shelf."""
    (folder / "shelf.yaml").write_text(
        f"currency: EUR\nfats:\n  - fat: coconut oil\n    price: {price} / kg{coconut}\n  - {{fat: olive oil, price: 7 / kg}}\n"
        "alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 99 %, purity_tolerance: 0 %}}\n",
        encoding="utf-8",
    )
    path = folder / "bar.yaml"
    path.write_text(f"shelf: shelf.yaml\nmade: 2026-11-28\nbatch: {{fats: 4 kg}}\n{more}{goals}", encoding="utf-8")
    return path


def blend(path: Path) -> Blend:
    """The blend of a file."""
    found = answer(path)
    assert isinstance(found, Blend)
    return found


def grams(found: Blend) -> dict[str, float]:
    """What is weighed of each fat and lot."""
    return {line.fat: line.to_weigh for line in found.fats}


def soda_for(weights: dict[float, float]) -> float:
    """Grams of sodium hydroxide as weighed for grams of fats by their saponification values."""
    need = sum(value * weight / 1000.0 for value, weight in weights.items()) / POTASH * SODA
    return need * (1.0 - SUPERFAT) / PURITY


OLIVE, TABLE = (reference().get(name).saponification.value for name in ("olive oil", "coconut oil"))


def test_a_certificate_does_not_speak_of_what_is_bought(tmp_path: Path) -> None:
    """Of one certified lot half a kilo is there and the rest is bought: its alkali is that of the table."""
    found = blend(asked(tmp_path, ONE_LOT))
    assert grams(found) == {"olive oil": 2400, "coconut oil (to buy)": 1100, "coconut oil": 500}
    assert TABLE < 262.0
    assert found.recipe.sodium_hydroxide == pytest.approx(soda_for({OLIVE: 2400, 262.0: 500, TABLE: 1100}), abs=0.2)
    assert any("(to buy) is a new tin" in note and f"{TABLE:g} mg KOH/g" in note for note in found.notes)


def test_lots_go_first_and_the_list_names_the_fat(tmp_path: Path) -> None:
    """Both lots are used up, the rest comes out of packs of the fat, and alkali is reckoned for each by its own figure."""
    path = asked(tmp_path, LOTS + PACKS, "buy: packs\n")
    shelf, olive = path.with_name("shelf.yaml"), "olive oil, price: 7 / kg"
    text = shelf.read_text(encoding="utf-8").replace(olive, f"{olive}, packs: [{{size: 5 kg, price: 35}}]")
    shelf.write_text(text, encoding="utf-8")
    found = blend(path)
    weights = grams(found)
    assert (weights["coconut oil (lot CO-1)"], weights["coconut oil (lot CO-2)"]) == (200, 300)
    assert weights["coconut oil (to buy)"] == 1100
    assert found.buying is not None
    assert {(line.called, line.tin.size_kg, line.number) for line in found.buying.lines} == {
        ("coconut oil", 2.0, 1.0),
        ("olive oil", 5.0, 1.0),
    }
    expected = soda_for({OLIVE: 2400, 259.0: 200, 262.0: 300, TABLE: 1100})
    assert found.recipe.sodium_hydroxide == pytest.approx(expected, abs=0.2)


def test_a_lot_without_a_stock_is_bought_as_that_lot(tmp_path: Path) -> None:
    """More of a lot that tells no stock can be had, with its certificate; then there is no other tin."""
    endless = LOTS.replace("stock: 0.3 kg, ", "")
    found = blend(asked(tmp_path, endless))
    assert grams(found) == {"olive oil": 2400, "coconut oil (lot CO-2)": 1400, "coconut oil (lot CO-1)": 200}
    assert found.buying is not None
    assert {(line.called, round(line.kilos, 6)) for line in found.buying.lines} == {
        ("coconut oil (lot CO-2)", 1.4),
        ("olive oil", 2.4),
    }
    alone = blend(asked(tmp_path, ONE_LOT.replace("\n    stock: 0.5 kg", "")))
    assert grams(alone) == {"olive oil": 2400, "coconut oil": 1600}


def test_what_is_past_its_day_is_no_stock(tmp_path: Path) -> None:
    """On a day after both lots all of it is bought, and the new tin is still known as the table has it."""
    path = asked(tmp_path, LOTS)
    found = answer(path, on="2028-06-01")
    assert isinstance(found, Blend)
    assert grams(found) == {"olive oil": 2400, "coconut oil (to buy)": 1300, "coconut oil (lot CO-2)": 300}
    found = answer(path, on="2029-06-01")
    assert isinstance(found, Blend)
    assert grams(found) == {"olive oil": 2400, "coconut oil (to buy)": 1600}
    assert found.recipe.sodium_hydroxide == pytest.approx(soda_for({OLIVE: 2400, TABLE: 1600}), abs=0.2)


@pytest.mark.parametrize("buy", ["any", "packs"])
def test_an_empty_lot_stands_in_nobodys_way(tmp_path: Path, buy: str) -> None:
    """A lot that is used up keeps its line on the shelf with 0 kg, and more of the fat is bought."""
    path = asked(tmp_path, ONE_LOT.replace("0.5 kg", "0 kg") + PACKS, f"buy: {buy}\n")
    shelf, olive = path.with_name("shelf.yaml"), "olive oil, price: 7 / kg"
    text = shelf.read_text(encoding="utf-8").replace(olive, f"{olive}, packs: [{{size: 5 kg, price: 35}}]")
    shelf.write_text(text, encoding="utf-8")
    assert grams(blend(path)) == {"olive oil": 2400, "coconut oil (to buy)": 1600}


def test_nothing_is_bought_where_nothing_may_be(tmp_path: Path) -> None:
    """With nothing said, or nothing to be bought, the lots are all there is."""
    for more in ("", "buy: none\n"):
        path = asked(tmp_path, LOTS, more)
        assert isinstance(answer(path), NoBlend)
        assert not any(item.fat.to_buy for item in read_question(path).shelf.fats)
    typed = read_question(asked(tmp_path, LOTS, "")).buying("any")
    assert [item.fat.name for item in typed.shelf.fats if item.fat.to_buy] == ["coconut oil (to buy)"]
    assert isinstance(answer_for(typed.goals, typed.shelf), Blend)
    assert not any(item.fat.to_buy for item in typed.buying("none").shelf.fats)


@pytest.mark.parametrize("aim", ["", "aim: least cash\n", "aim: {least cash: {left counts: 80 %}}\n"])
@pytest.mark.parametrize("price", ["2.00", "9.00"])
def test_dearer_lots_go_before_a_cheaper_tin(tmp_path: Path, aim: str, price: str) -> None:
    """What is in stock is used up before more of that fat is bought, whether the next kilo is cheaper or dearer."""
    lots = LOTS.replace("stock: 0.3 kg", "stock: 0.3 kg, price: 5 / kg")
    found = blend(asked(tmp_path, lots, f"buy: any\n{aim}", price=price))
    assert grams(found) == {
        "olive oil": 2400,
        "coconut oil (to buy)": 1100,
        "coconut oil (lot CO-1)": 200,
        "coconut oil (lot CO-2)": 300,
    }


def test_what_is_used_up_is_what_is_there(tmp_path: Path) -> None:
    """To use up all of a fat asks for its lots; kilos that are bought for it do not count."""
    goals = GOALS.replace("coconut oil: 40 %", "coconut oil: {at_most: 40 %}") + "use_up: {coconut oil: all}\n"
    found = blend(asked(tmp_path, LOTS, goals=goals, price="9.00"))
    [line] = found.use_up
    assert line.asked_kg == pytest.approx(0.5)
    assert line.met
    assert found.buying is not None
    assert [one.called for one in found.buying.lines] == ["olive oil"]
    more = goals.replace(": all", ": 1 kg")
    [line] = blend(asked(tmp_path, LOTS, goals=more, price="9.00")).use_up
    assert line.used_kg == pytest.approx(0.5)
    assert not line.met


@pytest.mark.parametrize("coconut", [LOTS.replace("0.2 kg", "1.2 kg").replace("0.3 kg", "1.3 kg"), "\n    stock: 3 kg"])
def test_all_is_used_up_whatever_the_stock_costs(tmp_path: Path, coconut: str) -> None:
    """What a line on the stock costs is asked of a shelf without an end, of which there is no all to use up."""
    goals = GOALS.replace("coconut oil: 40 %", "coconut oil: {at_most: 40 %}") + "use_up: {coconut oil: all}\n"
    path = asked(tmp_path, coconut, "buy: packs\n", goals=goals)
    shelf, olive = path.with_name("shelf.yaml"), "olive oil, price: 7 / kg"
    text = shelf.read_text(encoding="utf-8").replace(olive, f"{olive}, packs: [{{size: 5 kg, price: 35}}]")
    shelf.write_text(text, encoding="utf-8")
    [line] = blend(path).use_up
    assert line.used_kg == pytest.approx(1.6)
    assert not line.met


def test_a_saved_recipe_keeps_the_tin(tmp_path: Path) -> None:
    """A recipe with a tin to buy is read again, with the same alkali and cost."""
    found = blend(asked(tmp_path, LOTS))
    path = tmp_path / "saved.yaml"
    path.write_text(recipe_yaml(found, path), encoding="utf-8")
    again = weigh(path)
    assert again.judgement.superfat == pytest.approx(found.weighed.superfat)
    assert "coconut oil (to buy): 1100 g" in path.read_text(encoding="utf-8")


def test_data_tell_the_fat_and_no_lot(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In data the tin is of its fat, its lot is null, and the buying list names the fat."""
    assert main(["blend", str(asked(tmp_path, LOTS)), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert {(line["fat"], line.get("lot", "")) for line in told["to_weigh"]["fats"]} == {
        *{("olive oil", ""), ("coconut oil", None)},
        *{("coconut oil", "CO-1"), ("coconut oil", "CO-2")},
    }
    assert {line["fat"] for line in told["buying"]} == {"olive oil", "coconut oil"}


@pytest.mark.parametrize("buy", ["", "buy: any\n", "buy: packs\n"])
def test_bars_of_a_plan_share_lots_and_tins(tmp_path: Path, buy: str) -> None:
    """Two bars draw no more of a lot than there is, and the rest is bought as the fat."""
    whole = LOTS.replace("0.3 kg", "1.2 kg").replace("0.2 kg", "0.9 kg") if not buy else LOTS
    path = asked(tmp_path, whole + PACKS, "", goals=GOALS.replace("40 %", "25 %"))
    shelf = path.with_name("shelf.yaml")
    if buy == "buy: packs\n":
        olive = "{fat: olive oil, price: 7 / kg, packs: [{size: 5 kg, price: 35}]}"
        shelf.write_text(
            shelf.read_text(encoding="utf-8").replace("{fat: olive oil, price: 7 / kg}", olive), encoding="utf-8"
        )
    plan = tmp_path / "plan.yaml"
    plan.write_text(f"shelf: shelf.yaml\n{buy}bars: [{{goals: bar.yaml}}, {{goals: bar.yaml}}]\n", encoding="utf-8")
    found = answer_plan(plan)
    assert isinstance(found, Plan)
    used: dict[str, float] = {}
    for bar in found.bars:
        assert sum(line.share for line in bar.blend.fats if line.lot_of == "coconut oil") == pytest.approx(25, abs=0.01)
        for line in bar.blend.fats:
            used[line.fat] = used.get(line.fat, 0.0) + line.to_weigh / 1000.0
    there = {item.fat.name: item.stock_kg for item in read_question(path).shelf.fats}
    assert all(used.get(name, 0.0) <= kilos + 1e-9 for name, kilos in there.items() if kilos is not None)
    if buy:
        assert used["coconut oil (to buy)"] == pytest.approx(1.5, abs=2e-3)
        assert {line.fat for line in found.buying} == {"olive oil", "coconut oil"}
    assert used["olive oil"] == pytest.approx(6.0, abs=2e-3)
