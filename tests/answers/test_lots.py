"""A bar from a shelf with lots, from two files to grams, words, data, a saved recipe and the record."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from optimiser.answers.asked import read_question
from optimiser.answers.blend import answer, answered
from optimiser.answers.compare import compare
from optimiser.answers.results import Blend, NoBlend
from optimiser.answers.swap import swap
from optimiser.answers.weigh import weigh
from optimiser.cli.main import main
from optimiser.model.programme import build
from optimiser.report.recipe_yaml import recipe_yaml
from optimiser.text.diagnostics import BadInput

SHELF = """title: lots
currency: EUR
fats:
  - fat: coconut oil
    price: 3.10 / kg
    lots:
      - {number: CO-2, stock: 5 kg, saponification_value: 252.0, tolerance: 1.0, best_before: 2027-09-01}
      - {number: CO-1, stock: 0.2 kg, saponification_value: 256.4, tolerance: 1.5, best_before: 2027-03-01}
  - {fat: olive oil, price: 6.90 / kg, lot: {number: OO-1, saponification_value: 190.0, tolerance: 1, best_before: 2028-06-01}}
  - {fat: shea butter, price: 9.90 / kg}
  - {fat: castor oil, price: 7.90 / kg}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 99 %}}
"""
BAR = "title: Bar\nshelf: shelf.yaml\nmade: 2026-11-28\nbatch: {fats: 2 kg}\n"
POTASH = 56.106  # g/mol, potassium hydroxide, by the atomic weights of IUPAC 2021, abridged, from memory
SODA = 39.997


def asked(folder: Path, more: str = "shares: {coconut oil: 25 %}\n", shelf: str = SHELF) -> Path:
    """A goal file beside a shelf."""
    (folder / "shelf.yaml").write_text(shelf, encoding="utf-8")
    path = folder / "bar.yaml"
    path.write_text(BAR + more, encoding="utf-8")
    return path


def blend(path: Path, **more: Any) -> Blend:
    """The blend of a file."""
    found = answer(path, **more)
    assert isinstance(found, Blend)
    return found


def grams(found: Blend) -> dict[str, float]:
    """What is weighed of each fat and lot."""
    return {line.fat: line.to_weigh for line in found.fats}


def test_the_older_lot_goes_first_and_alkali_is_that_of_each(tmp_path: Path) -> None:
    """By hand: mass times saponification value of each lot, in moles of potassium hydroxide, less the superfat."""
    found = blend(asked(tmp_path))
    weighed = grams(found)
    assert (weighed["coconut oil (lot CO-1)"], weighed["coconut oil (lot CO-2)"]) == (200.0, 300.0)
    own = {fat.name: fat.saponification.value for fat, _ in found.recipe.fats}
    assert (own["coconut oil (lot CO-1)"], own["coconut oil (lot CO-2)"], own["olive oil"]) == (256.4, 252.0, 190.0)
    moles = sum(weighed[name] * own[name] / 1000.0 / POTASH for name in weighed)
    by_hand = moles * SODA * 0.95 / 0.99
    assert found.alkali.sodium_hydroxide == pytest.approx(by_hand, rel=1e-4)
    assert by_hand - 0.11 <= found.recipe.sodium_hydroxide <= by_hand + 1e-6


def test_the_proof_is_of_all_blends(tmp_path: Path) -> None:
    """What it costs to use the older lot first is told as a gap to what no blend can be cheaper than."""
    found = blend(asked(tmp_path))
    assert found.proof.exact
    assert 0.0 <= found.proof.gap <= 1e-3
    assert found.proof.cheapest_possible_per_kg == pytest.approx(found.cost.per_kg * (1.0 - found.proof.gap), rel=1e-4)


def test_a_dearer_older_lot_waits_and_that_is_told(tmp_path: Path) -> None:
    """Older first is a tie-break: it never buys a dearer bar."""
    dear = SHELF.replace("number: CO-1, stock: 0.2 kg,", "number: CO-1, stock: 2 kg, price: 6 / kg,")
    found = blend(asked(tmp_path, shelf=dear))
    assert "coconut oil (lot CO-1)" not in grams(found)
    assert any("lot CO-2 goes in before the older CO-1" in note for note in found.notes)


def test_an_equal_older_lot_is_taken_alone(tmp_path: Path) -> None:
    """Where one tin does, one is opened, and the other is said to wait."""
    both = SHELF.replace("stock: 0.2 kg", "stock: 4 kg")
    assert grams(blend(asked(tmp_path, shelf=both)))["coconut oil (lot CO-1)"] == 500.0
    turned = both.replace("2027-09-01", "2027-01-01")
    found = blend(asked(tmp_path, shelf=turned))
    assert grams(found)["coconut oil (lot CO-2)"] == 500.0
    (waits,) = (line for line in found.unused if line.lot == "CO-1")
    assert (waits.enters, waits.enters_below, waits.lot_of) == ("after an older lot", None, "coconut oil")


def test_a_lot_past_its_day_is_out_and_said(tmp_path: Path) -> None:
    """On the day that is told in the file, or typed; named by its number it stays."""
    path = asked(tmp_path)
    found = blend(path, on="2027-03-02")
    assert grams(found)["coconut oil (lot CO-2)"] == 500.0
    (told,) = found.warnings
    assert (told.code, told.message) == (
        "expired-lot",
        "coconut oil (lot CO-1) was best before 2027-03-01, and is left out on 2027-03-02",
    )
    assert not any(one.code == "expired-lot" for one in blend(path, on="2027-03-01").warnings)
    named = blend(
        asked(tmp_path, 'shares: {coconut oil: 25 %, "coconut oil (lot CO-1)": {at_least: 5 %}}\n'), on="2027-03-02"
    )
    assert grams(named)["coconut oil (lot CO-1)"] >= 100.0
    assert "since the goals name it" in named.warnings[0].message


def test_one_lot_alone_has_its_day_too(tmp_path: Path) -> None:
    """A fat whose only lot is past its day is no more on the shelf; nothing in date is a fault."""
    path = asked(tmp_path, "")
    assert "olive oil" not in grams(blend(path, on="2028-07-01"))
    only = "fats: [{fat: lard, price: 2 / kg, lots: [{number: L, best_before: 2020-01-01}]}]\n"
    with pytest.raises(BadInput) as raised:
        answer(asked(tmp_path, "", only))
    assert [item.code for item in raised.value.diagnostics] == ["no-fats"]


def test_the_day_is_that_of_the_file_today_or_typed(tmp_path: Path) -> None:
    """Where no lot tells a day none is asked for, so that an answer never hangs on the calendar."""
    assert read_question(asked(tmp_path)).goals.made == "2026-11-28"
    assert read_question(asked(tmp_path), on="2027-01-05").goals.made == "2027-01-05"
    plain = asked(tmp_path, shelf="fats: [{fat: lard, price: 2 / kg}]\n")
    plain.write_text("shelf: shelf.yaml\n", encoding="utf-8")
    assert read_question(plain).goals.made == ""


def test_a_lot_that_ends_with_the_cure_is_told(tmp_path: Path) -> None:
    """Before the cure is over, or within a year of it."""
    soon = SHELF.replace("best_before: 2027-03-01", "best_before: 2026-12-24")
    notes = " ".join(blend(asked(tmp_path, shelf=soon)).notes)
    assert (
        "coconut oil (lot CO-1) is best before 2026-12-24, and bars made on 2026-11-28 are cured on 2027-01-09" in notes
    )
    assert "coconut oil (lot CO-2) is best before 2027-09-01, within a year of the cure" in notes
    assert "olive oil" not in notes


def test_a_saved_recipe_keeps_its_lots(tmp_path: Path) -> None:
    """It reads back with the very lots, and meets what it was made for."""
    path = asked(tmp_path)
    found = blend(path)
    saved = tmp_path / "saved.yaml"
    saved.write_text(recipe_yaml(found, saved), encoding="utf-8")
    again = weigh(saved, goal_file=path)
    assert again.recipe.fats == tuple(sorted(found.recipe.fats, key=lambda item: item[0].name))
    assert again.judgement.superfat == pytest.approx(found.weighed.superfat)
    assert again.meets_goals
    assert again.cost is not None
    assert again.cost.batch == pytest.approx(found.cost.batch, rel=1e-3)


def test_a_recipe_that_names_no_lot_is_weighed_on_the_safe_side(tmp_path: Path) -> None:
    """With the lowest value there is, by hand; one lot alone answers to its number as well."""
    asked(tmp_path)
    recipe = tmp_path / "recipe.yaml"
    recipe.write_text(
        "shelf: shelf.yaml\nfats: {coconut: 300 g, olive oil (lot OO-1): 700 g}\nsuperfat: 5 %\n", encoding="utf-8"
    )
    found = weigh(recipe)
    by_hand = (300 * 252.0 + 700 * 190.0) / 1000.0 / POTASH * SODA * 0.95 / 0.99
    assert found.recipe.sodium_hydroxide == pytest.approx(by_hand, abs=0.11)
    assert any("the recipe names none" in note for note in found.notes)
    assert [fat.name for fat, _ in found.recipe.fats] == ["coconut oil", "olive oil"]


def test_lots_count_as_one_fat(tmp_path: Path) -> None:
    """Four fats may be five tins, and the least share is of the fat."""
    found = blend(asked(tmp_path, "fats: {at_most: 4, each_at_least: 12 %}\nshares: {coconut oil: {at_least: 15 %}}\n"))
    shares: dict[str, float] = {}
    for line in found.fats:
        shares[line.lot_of or line.fat] = shares.get(line.lot_of or line.fat, 0.0) + line.share
    assert len(shares) <= 4
    assert min(shares.values()) >= 12.0 - 1e-6
    (number,) = (line for line in found.goals if str(line.id) == "fats.at_most")
    assert number.value == len(shares)


def test_a_pinch_of_a_lot_is_left_out_unless_it_empties_the_tin(tmp_path: Path) -> None:
    """Three grams of a second tin are weighed for nobody, but the last three grams of one are used."""
    little = SHELF.replace("stock: 0.2 kg", "stock: 3 g").replace("stock: 5 kg", "stock: 2 kg")
    assert grams(blend(asked(tmp_path, shelf=little)))["coconut oil (lot CO-1)"] == 3.0
    much = SHELF.replace("stock: 0.2 kg", "stock: 499 g")
    found = grams(blend(asked(tmp_path, shelf=much)))
    assert found.get("coconut oil (lot CO-2)", 0.0) == 0.0 or found["coconut oil (lot CO-2)"] >= 10.0


def test_data_name_the_fat_and_its_lot(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Rows of fats carry the lot beside the fat's own name, and text names both."""
    path = asked(tmp_path)
    assert main(["blend", str(path), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    lots = {(row["fat"], row["lot"]) for row in told["fats"]}
    assert lots >= {("coconut oil", "CO-1"), ("coconut oil", "CO-2"), ("olive oil", "OO-1")}
    assert {row.get("lot") for row in told["to_weigh"]["fats"] if row["fat"] == "coconut oil"} == {"CO-1", "CO-2"}
    assert main(["blend", str(path)]) == 0
    text = capsys.readouterr().out
    assert "coconut oil (lot CO-1)  hard oil" in text
    assert "(lot CO-1) (lot" not in text
    assert "olive oil (lot OO-1)" in text


def test_commands_on_recipes_take_lots_as_one_fat(tmp_path: Path) -> None:
    """Compare adds lots up, and a fat that is swapped out is out in each of its lots."""
    path = asked(tmp_path)
    saved = tmp_path / "saved.yaml"
    saved.write_text(recipe_yaml(blend(path), saved), encoding="utf-8")
    side = compare([saved, path])
    assert all(bar.judged is None or set(bar.judged.shares) >= {"coconut oil", "olive oil"} for bar in side.bars)
    swapped = swap(saved, ["coconut oil"])
    assert swapped.out == ("coconut oil (lot CO-1)", "coconut oil (lot CO-2)")
    assert any(note.startswith("All of coconut oil is out") for note in swapped.notes)


def test_near_to_a_recipe_another_lot_is_no_change(tmp_path: Path) -> None:
    """What is changed is a share of a fat, not the number on a tin."""
    asked(tmp_path)
    (tmp_path / "old.yaml").write_text(
        "title: Old\nshelf: shelf.yaml\nfats: {coconut oil (lot CO-2): 500 g, olive oil: 1400 g, castor oil: 100 g}\nsuperfat: 5 %\n",
        encoding="utf-8",
    )
    found = blend(asked(tmp_path, "near: old.yaml\n"))
    assert found.near is not None
    assert found.near.moved == pytest.approx(0.0, abs=0.5)
    assert grams(found)["coconut oil (lot CO-1)"] == 200.0
    assert found.near.fats == () or all("lot" not in line.fat for line in found.near.fats)


def test_a_clash_over_lots_names_the_stock_of_each(tmp_path: Path) -> None:
    """More than all tins together cannot be asked for."""
    found = answer(
        asked(tmp_path, "shares: {coconut oil: {at_least: 30 %}}\n", SHELF.replace("stock: 5 kg", "stock: 0.1 kg"))
    )
    assert isinstance(found, NoBlend)
    (clash,) = found.clashes
    assert {str(one.id) for one in clash} == {
        *("shares.coconut oil.at_least", "stock.coconut oil (lot CO-1)", "stock.coconut oil (lot CO-2)"),
    }


def test_a_batch_is_recorded_with_its_lots(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The recipe itself tells them, and recall finds the batch."""
    path, store = asked(tmp_path), str(tmp_path / "made.db")
    saved = tmp_path / "saved.yaml"
    saved.write_text(recipe_yaml(blend(path), saved), encoding="utf-8")
    assert main(["batch", "add", str(saved), "--store", store, "--made", "2026-11-28", "--draw-down"]) == 0
    assert main(["batch", "add", str(saved), "--store", store, "--lot", "coconut oil=X"]) == 2
    capsys.readouterr()
    assert main(["batch", "recall", "--lot", "CO-1", "--store", store, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [batch["grams"] for batch in told["batches"]] == [200.0]


def test_a_recipe_whose_lot_is_gone_says_what_to_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Its alkali was reckoned with that lot, so no other is taken for it; put back with nothing left, it reads again."""
    path = asked(tmp_path)
    saved = tmp_path / "saved.yaml"
    saved.write_text(recipe_yaml(blend(path), saved), encoding="utf-8")
    line = next(line for line in SHELF.splitlines() if "CO-1" in line)
    (tmp_path / "shelf.yaml").write_text(SHELF.replace(f"{line}\n", ""), encoding="utf-8")
    assert main(["weigh", str(saved)]) == 2
    told = " ".join(capsys.readouterr().err.split())
    assert "no such lot: 'coconut oil (lot CO-1)'" in told
    assert (
        "its lots are 'coconut oil (lot CO-2)'; or put it on the shelf again, with a stock of 0 kg if it is used up"
        in told
    )
    (tmp_path / "shelf.yaml").write_text(SHELF.replace("stock: 0.2 kg", "stock: 0 kg"), encoding="utf-8")
    assert main(["weigh", str(saved)]) == 0
    assert "coconut oil (lot CO-1)" not in {line.fat for line in blend(path).fats}


def test_what_is_built_is_what_was_answered(tmp_path: Path) -> None:
    """The order of lots is held by the programme itself, so that a saving is reckoned over the same tins."""
    question = read_question(asked(tmp_path))
    found = answered(question)
    assert isinstance(found.story, Blend)
    held = build(question.goals, question.shelf)
    assert [column.name for column in held.columns.all if "lot CO" in column.name] == [
        *("coconut oil (lot CO-1)", "coconut oil (lot CO-2)"),
    ]
