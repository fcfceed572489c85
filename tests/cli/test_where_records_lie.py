"""Where the batch record lies and is found again, and how a lot's number may be typed."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from benches import laid

from optimiser.cli.main import main
from optimiser.store.asking import list_batches

RECORD = "records/barwright.sqlite"
SHELF = """currency: EUR
fats:
  - {fat: olive oil, price: 6.90 / kg}
  - {fat: coconut oil, price: 3.10 / kg, lot: {number: CO-2291, saponification_value: 256.4, tolerance: 1.5}}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}
"""
RECIPE = (
    "title: House bar\nshelf: ../inventory/shelf.yaml\nfats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n"
)


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A workshop with a shelf and a recipe, and oneself in it."""
    monkeypatch.chdir(laid(tmp_path, {"inventory/shelf.yaml": SHELF, "recipes/house.yaml": RECIPE}))
    return tmp_path


def said(capfd: pytest.CaptureFixture[str], *asked: str) -> str:
    """What an action says, which goes well."""
    assert main(["batch", *asked]) == 0
    return capfd.readouterr().out


def data(capfd: pytest.CaptureFixture[str], *asked: str) -> dict[str, Any]:
    """What an action, which goes well, says as data."""
    return dict(json.loads(said(capfd, *asked, "--json")))


def test_the_record_is_found_from_anywhere_in_the_workspace(
    bench: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Beside the shelf's folder at first, and from then on the nearest one upward; --store names another."""
    monkeypatch.chdir(bench / "recipes")
    assert main(["batch", "add", "house.yaml"]) == 0
    assert (bench / RECORD).is_file()
    assert not (bench / "recipes" / "records").exists()
    monkeypatch.chdir(bench / "inventory")
    assert "1 batch" in said(capfd, "list")
    assert main(["batch", "add", "../recipes/house.yaml", "--store", "mine.sqlite"]) == 0
    assert (bench / "inventory" / "mine.sqlite").is_file()
    assert len(list_batches(bench / RECORD)) == 1


def test_a_recipe_in_no_workspace_has_its_record_where_one_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """Without a workspace a record is made in one's folder where the recipe lies below it, and found again from both."""
    monkeypatch.chdir(tmp_path)
    laid(tmp_path, {"mine/recipe.yaml": "fats: {olive oil: 700 g}\nsuperfat: 5 %\n"})
    assert main(["batch", "add", "mine/recipe.yaml"]) == 0
    assert (tmp_path / RECORD).is_file()
    assert main(["batch", "list"]) == 0
    monkeypatch.chdir(tmp_path / "mine")
    assert "1 batch" in said(capfd, "list")


@pytest.mark.parametrize("beside", ["shelf.yaml", "goals/house.yaml"])
def test_one_workspace_has_one_record_whatever_is_told_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str], beside: str
) -> None:
    """What a batch and what a lot tells lands in one record, from the workspace's own folder and from that of its recipes."""
    recipe = "fats: {olive oil: 700 g}\nsuperfat: 5 %\n"
    laid(tmp_path, {beside: "", "recipes/infuse.yaml": recipe})
    monkeypatch.chdir(tmp_path)
    assert main(["batch", "add", "recipes/infuse.yaml", "--lot", "olive oil=INF-1"]) == 0
    monkeypatch.chdir(tmp_path / "recipes")
    assert main(["batch", "lot", "INF-1", "--of", "olive oil", "--from", "rapeseed oil=OL-77=2 kg"]) == 0
    assert [path.relative_to(tmp_path) for path in tmp_path.rglob("*.sqlite")] == [Path(RECORD)]
    monkeypatch.chdir(tmp_path)
    capfd.readouterr()
    out = said(capfd, "recall", "--lot", "OL-77")
    assert "1 batch" in out
    assert f"Read in {RECORD}." in out
    assert data(capfd, "recall", "--lot", "OL-77")["store"] == RECORD


def test_a_further_record_of_the_workspace_is_warned_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """Where two records lie in a workspace no answer of one passes for that of both; where none is in reach the other is named."""
    recipe = "fats: {olive oil: 700 g}\nsuperfat: 5 %\n"
    laid(tmp_path, {"shelf.yaml": "", "recipes/infuse.yaml": recipe})
    monkeypatch.chdir(tmp_path)
    other = "recipes/records/barwright.sqlite"
    (tmp_path / "recipes" / "records").mkdir()
    assert main(["batch", "add", "recipes/infuse.yaml", "--lot", "olive oil=CO-2291", "--store", other]) == 0
    capfd.readouterr()
    assert main(["batch", "list"]) == 2
    assert f"--store {other}" in " ".join(capfd.readouterr().err.split())
    assert main(["batch", "lot", "INF-1", "--of", "olive oil"]) == 0
    assert "[several-records]" in capfd.readouterr().err
    for asked, code in ((["recall", "--lot", "CO-2291"], 2), (["list"], 0), (["stock"], 0)):
        assert main(["batch", *asked]) == code
        err = " ".join(capfd.readouterr().err.split())
        assert "[several-records]" in err
        assert other in err
        assert RECORD in err
    monkeypatch.chdir(tmp_path / "recipes")
    assert main(["batch", "recall", "--lot", "CO-2291"]) == 0
    assert "[several-records]" in capfd.readouterr().err


@pytest.mark.usefixtures("bench")
def test_a_lot_is_recalled_however_its_number_is_parted(capfd: pytest.CaptureFixture[str]) -> None:
    """CO2291, co 2291 and CO-22 91 are the lot CO-2291, and one number written in two ways is recalled whole."""
    for number in ("CO-2291", "CO2291"):
        assert main(["batch", "add", "recipes/house.yaml", "--lot", f"coconut oil={number}"]) == 0
    capfd.readouterr()
    for number in ("CO2291", "co 2291", "CO-22 91", "CO-2291"):
        assert len(data(capfd, "recall", "--lot", number)["batches"]) == 2
