"""What looks odd in the files, told after an answer: of the fats in it and of those named; the rest in a line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from optimiser.cli.main import main

SHELF = """\
fats:
  - {fat: coconut oil, price: 3 / kg}
  - {fat: olive oil, price: 6 / kg}
  - {fat: market oil, like: olive oil, price: MARKET / kg}
  - {fat: camel fat, like: beef tallow, price: 80 / kg}
  - {fat: mystery butter, price: 90 / kg, saponification_value: 186}
"""
OTHERS = "2 more fats of the shelf have borrowed or odd figures: --json lists them all."


def said(folder: Path, capsys: pytest.CaptureFixture[str], text: str, market: int = 70) -> str:
    """What stands on stderr after the answer, on one line."""
    (folder / "shelf.yaml").write_text(SHELF.replace("MARKET", str(market)), encoding="utf-8")
    (folder / "bar.yaml").write_text(f"shelf: shelf.yaml\npractice: off\n{text}", encoding="utf-8")
    verb = "weigh" if text.startswith("fats") else "blend"
    if verb == "weigh":
        (folder / "bar.yaml").write_text(f"shelf: shelf.yaml\n{text}", encoding="utf-8")
    main([verb, str(folder / "bar.yaml")])
    return " ".join(capsys.readouterr().err.split())


def test_fats_that_nobody_named_are_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A blend of the other fats is followed by how many there are, and by no warning of theirs."""
    told = said(tmp_path, capsys, "shares: {olive oil: {at_least: 20 %}}\n")
    assert told == OTHERS.replace("2", "3")


def test_a_fat_that_a_goal_names_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Named with nothing of it in the blend it is told all the same."""
    told = said(tmp_path, capsys, "shares: {market oil: {at_most: 20 %}}\n")
    assert "'market oil' has no saponification value of its own" in told
    assert "camel fat" not in told
    assert told.endswith(OTHERS)


def test_a_fat_in_the_blend_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Cheap enough to be taken, though nobody named it."""
    told = said(tmp_path, capsys, "shares: {liquid oils: {at_least: 20 %}}\n", 1)
    assert "'market oil' has no saponification value of its own" in told
    assert told.endswith(OTHERS)


def test_a_fat_in_a_recipe_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What the recipe names, and of a single other fat which way to learn more."""
    told = said(tmp_path, capsys, "fats: {camel fat: 500 g, market oil: 500 g}\nsuperfat: 5 %\n")
    assert "'camel fat' has" in told
    assert "'market oil' has" in told
    assert told.endswith("1 more fat of the shelf has borrowed or odd figures: --json tells which.")


def test_an_odd_price_is_told_of_any_fat(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A slip of the price may be why a fat is not in the blend."""
    assert "market oil costs 7000" in said(tmp_path, capsys, "", 7000)


def test_data_has_every_warning(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As JSON nothing is folded away."""
    said(tmp_path, capsys, "")
    main(["blend", str(tmp_path / "bar.yaml"), "--json"])
    codes = [item["code"] for item in json.loads(capsys.readouterr().out)["warnings"]]
    assert codes == ["borrowed-figures", "borrowed-figures", "measures-unknown"]
