"""Recipes whose fats are told in per cent of a batch."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from optimiser.answers.weigh import weigh
from optimiser.cli.main import main
from optimiser.files.recipe_file import read_recipe
from optimiser.recipe.batch_size import litres
from optimiser.recipe.evaluation import batter_grams
from optimiser.text.diagnostics import BadInput

SHARES = "fats: {olive oil: 70 %, coconut oil: 25 %, castor oil: 5 %}\nsuperfat: 5 %\n"


def written(folder: Path, batch: str, rest: str = SHARES) -> Path:
    """A recipe file with this batch."""
    path = folder / "shares.yaml"
    path.write_text(f"{batch}\n{rest}", encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("batch", "fats"),
    [("{fats: 2 kg}", 2000.0), ("{fats: 5 lb}", 2268.0), ("{fats: 1 lb 4 oz}", 567.0), ("{fats: 500 g}", 500.0)],
)
def test_shares_of_a_mass_of_fats(tmp_path: Path, batch: str, fats: float) -> None:
    """Per cent of the mass told, to the gram or a tenth of it: a pound is 453.59237 g (international avoirdupois pound)."""
    found = weigh(written(tmp_path, f"batch: {batch}"))
    assert found.recipe.fat_grams == pytest.approx(fats, abs=0.5)
    assert [round(found.judgement.shares[name]) for name in ("olive oil", "coconut oil", "castor oil")] == [70, 25, 5]
    assert 5.0 <= found.judgement.superfat < 5.1


def test_bars_batter_and_moulds_come_to_what_was_asked(tmp_path: Path) -> None:
    """Within what the steps of the balance leave: cured bars, all in the pot, litres in the mould."""
    bars = weigh(written(tmp_path, "batch: {bars: 24, cured_weight: 110 g}"))
    assert bars.judgement.cured_grams == pytest.approx(24 * 110.0, abs=2.0)
    batter = weigh(written(tmp_path, "batch: {batter: 4 kg}"))
    assert batter_grams(batter.recipe) == pytest.approx(4000.0, abs=2.0)
    block = weigh(written(tmp_path, "batch: {mould: {length: 30 cm, width: 9 cm, depth: 7 cm}}"))
    assert litres(block.recipe) == pytest.approx(1.89, abs=0.002)
    short = weigh(written(tmp_path, "batch: {mould: {length: 30 cm, width: 9 cm, depth: 7 cm, headroom: 1 cm}}"))
    assert litres(short.recipe) == pytest.approx(30 * 9 * 6 / 1000, abs=0.002)
    round_ = weigh(written(tmp_path, "batch: {mould: {diameter: 8 cm, depth: 20 cm, headroom: 10 %}}"))
    assert litres(round_.recipe) == pytest.approx(0.9 * math.pi * 16 * 20 / 1000, abs=0.002)
    cups = weigh(written(tmp_path, "batch: {mould: {cavities: 12, volume: 100 ml}}"))
    assert litres(cups.recipe) == pytest.approx(1.2, abs=0.002)


def test_what_is_told_in_grams_stays_and_shares_go_with_the_fats(tmp_path: Path) -> None:
    """An additive of 20 g is 20 g in any batch, one of 1 % goes with its fats, and the pot still comes to what was asked."""
    extra = SHARES + "additives: {sodium lactate: 20 g, kaolin: 1 %}\n"
    found = weigh(written(tmp_path, "batch: {batter: 4 kg}", extra)).recipe
    held = {item.name: grams for item, grams in found.additives}
    assert held["sodium lactate"] == 20.0
    assert held["kaolin"] == pytest.approx(found.fat_grams / 100.0, abs=0.05)
    assert batter_grams(found) == pytest.approx(4000.0, abs=2.0)


def test_thirds_are_taken_as_parts_of_their_sum(tmp_path: Path) -> None:
    """33.3 % three times is a third each."""
    thirds = "fats: {olive oil: 33.3 %, coconut oil: 33.3 %, lard: 33.3 %}\nsuperfat: 5 %\n"
    found = weigh(written(tmp_path, "batch: {fats: 3 kg}", thirds)).recipe
    assert [grams for _, grams in found.fats] == [1000.0, 1000.0, 1000.0]


@pytest.mark.parametrize(
    ("batch", "rest", "code", "words"),
    [
        ("", SHARES, "missing-key", "nothing says how much is made"),
        ("batch: {fats: 1 kg}", SHARES.replace("70 %", "60 %"), "out-of-range", "add up to 90 %"),
        ("batch: {fats: 1 kg}", SHARES.replace("70 %", "90 %"), "too-much", "add up to 120 %"),
        ("batch: {fats: 1 kg}", SHARES.replace("70 %", "700 g"), "contradiction", "in per cent, and olive oil by mass"),
        (
            "batch: {fats: 1 kg}",
            "fats: {olive oil: 700 g}\nsuperfat: 5 %\n",
            "contradiction",
            "told by mass, and 'batch'",
        ),
        ("batch: {bars: 3}\nbars: 4", SHARES, "contradiction", "under 'batch' and beside it"),
        ("batch: {fats: 1 kg, gel: yes}", SHARES, "unknown-key", "'gel' stands by itself"),
        (
            "batch: {bars: 3}",
            SHARES.replace("superfat: 5 %", "alkali: {NaOH: 140 g}"),
            "contradiction",
            "alkali is told in grams",
        ),
        ("batch: {mould: {diameter: 8 cm}}", SHARES, "missing-key", "has no 'depth'"),
        ("batch: {mould: {diameter: 8 cm, volume: 1 l}}", SHARES, "contradiction", "no mould has diameter and volume"),
        ("batch: {mould: {cavities: 0, volume: 1 l}}", SHARES, "out-of-range", "0 cavities are no mould"),
        ("batch: {mould: {cavities: 6, volume: 1 cup}}", SHARES, "wrong-unit", "volume is a volume"),
        (
            "batch: {mould: {length: 9 cm, width: 9 cm, depth: 2 cm, headroom: 2 cm}}",
            SHARES,
            "out-of-range",
            "leaves no mouldful",
        ),
        ("batch: {mould: {headroom: 2 cm}}", SHARES, "no-value", "has no measures"),
    ],
)
def test_what_does_not_go_together_is_told(tmp_path: Path, batch: str, rest: str, code: str, words: str) -> None:
    """How much is made is said once, and in full."""
    with pytest.raises(BadInput) as caught:
        read_recipe(written(tmp_path, batch, rest))
    (found,) = caught.value.diagnostics
    assert (found.code, words in found.message) == (code, True), found.message


def test_a_trial_keeps_the_grams_that_were_made(tmp_path: Path) -> None:
    """A trial of a recipe told in per cent holds its fats in grams of the batch, and is read back as such."""
    recipe = written(tmp_path, "batch: {bars: 24, cured_weight: 110 g}")
    folder = tmp_path / "trials"
    assert main(["trial", "add", str(recipe), "--trace", "2 min", "--folder", str(folder)]) == 0
    (kept,) = folder.glob("*.yaml")
    made = weigh(recipe).recipe
    for fat, grams in made.fats:
        assert f"{fat.name}: {grams:g} g" in kept.read_text(encoding="utf-8")
