"""Bar measures against soaps that somebody measured: order and direction, since the figures only compare.

The rows are in data/measured_soaps.csv, each with its study; "as reported" means as its abstract or page tells it.
"""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import spearmanr

from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.measures.measures import measures
from optimiser.measures.profiles import acid_shares, fat_values

MEASURED = Path(__file__).parent / "data" / "measured_soaps.csv"
NAMES = {"tallow": "beef tallow"}


def measured(quantity: str) -> list[tuple[str, str]]:
    """(sample, value) of every row of a quantity."""
    with MEASURED.open(encoding="utf-8", newline="") as table:
        found = [(row["sample"], row["value"]) for row in csv.DictReader(table) if row["quantity"] == quantity]
    assert found, quantity
    return found


def blend(sample: str, measure: str) -> float:
    """The measure of a blend written "palm kernel oil:70; palm oil:30"."""
    total = 0.0
    for part in sample.split("; "):
        name, _, share = part.partition(":")
        fat = reference().get(NAMES.get(name, name))
        total += float(share) / 100 * float(fat_values([fat], [measure])[0, 0])
    return total


def rank_correlation(first: list[float], second: list[float]) -> float:
    """Spearman's rank correlation."""
    return float(spearmanr(first, second).statistic)


def test_brinell_hardness_of_five_soaps() -> None:
    """Faruk, Adebayo & Bello: tallow hardest, then shea and palm kernel, then palm, groundnut softest.

    Not independent: the weights of laurate and oleate were tuned to these five.
    """
    soaps = measured("brinell")
    hardness = [blend(sample, "hardness") for sample, _ in soaps]
    assert rank_correlation(hardness, [float(value) for _, value in soaps]) >= 0.9
    assert hardness.index(max(hardness)) == 0
    assert hardness.index(min(hardness)) == len(soaps) - 1


def test_palm_kernel_hardens_palm() -> None:
    """University of Benin: hardness rises with the palm kernel share in five blends, and so does the measure."""
    soaps = measured("bar hardness")
    hardness = [blend(sample, "hardness") for sample, _ in soaps]
    assert rank_correlation(hardness, [float(value) for _, value in soaps]) == pytest.approx(1)


def titres() -> list[tuple[Fat, float]]:
    """Fats with a published titre (ISO 935): no lauric oils, whose soaps are harder than their acids, no waxes."""
    found = []
    for name in reference().names():
        fat = reference().get(name)
        if fat.kind in {"wax", "fatty acid"} or "lauric" in fat.tags:
            continue
        ends = [
            end
            for fact in fat.facts
            if fact.property == "titre" and not fact.alternative
            for end in (fact.low, fact.high)
            if end is not None
        ]
        if ends:
            found.append((fat, sum(ends) / len(ends)))
    return found


def test_hardness_follows_titre() -> None:
    """The order of some 27 fats by hardness is that of the titre of their acids: Spearman's rho at least 0.85."""
    table = titres()
    assert len(table) >= 20
    hardness = fat_values([fat for fat, _ in table], ["hardness"])[0]
    assert rank_correlation(hardness.tolist(), [titre for _, titre in table]) >= 0.85


@pytest.mark.parametrize(
    ("measure", "sign"),
    [("quick_lather", 1), ("wear_life", -1)],
)
def test_coconut_in_tallow(measure: str, sign: int) -> None:
    """Ginn et al. 1968, doi 10.1007/bf02541252: from 95:5 to 75:25 tallow:coconut lather is liked better and wear rises."""
    ratios = ("tallow:95; coconut oil:5", "tallow:85; coconut oil:15", "tallow:75; coconut oil:25")
    values = [sign * blend(sample, measure) for sample in ratios]
    assert all(one < other for one, other in pairwise(values))


def test_soaps_by_class() -> None:
    """GTZ 1993, five soda soaps: palm kernel hardest, quickest and harshest, cottonseed softest, palm and shea slow."""
    soft = [sample for sample, word in measured("soda-soap hardness") if word == "soft"]
    hard = [sample for sample, word in measured("soda-soap hardness") if word != "soft"]
    assert max(blend(sample, "hardness") for sample in soft) < min(blend(sample, "hardness") for sample in hard)
    quick = [sample for sample, word in measured("lather speed") if word == "quick"]
    slow = [sample for sample, word in measured("lather speed") if word == "slow"]
    assert max(blend(sample, "quick_lather") for sample in slow) < min(
        blend(sample, "quick_lather") for sample in quick
    )
    (harsh,) = [sample for sample, word in measured("effect on skin") if word == "harsh"]
    others = [blend(sample, "harshness") for sample, word in measured("effect on skin") if word != "harsh"]
    assert blend(harsh, "harshness") > max(others) + measures()["harshness"].scale


def test_irritation_by_chain_length() -> None:
    """Prottey & Ferguson 1973: soap of lauric acid irritates most, then capric, oleic, last palmitic and stearic."""
    weights = measures()["harshness"].weights
    ranks = [(weights[acid], float(rank)) for acid, rank in measured("skin irritation")]
    for one, other in ((one, other) for one in ranks for other in ranks if one[1] > other[1]):
        assert one[0] > other[0]


@pytest.mark.parametrize(
    ("quantity", "measure", "order"),
    [
        ("hardness of base", "hardness", ["soft", "hard"]),
        ("foam persistence", "lasting_lather", ["medium", "large"]),
    ],
)
def test_classes_of_single_soaps(quantity: str, measure: str, order: list[str]) -> None:
    """Soaps of single acids classed hard have more hardness than those classed soft, and so for persistence of foam."""
    weights = measures()[measure].weights
    low, high = ([weights[acid] for acid, word in measured(quantity) if word == name] for name in order)
    assert max(low) < min(high)


def test_quick_lather_follows_the_amount_of_foam() -> None:
    """Soaps of single acids classed as foaming much start better than those classed medium, those better than little."""
    weights = measures()["quick_lather"].weights
    classes = {
        name: float(np.mean([weights[acid] for acid, word in measured("foam amount") if word == name]))
        for name in ("much", "medium", "little")
    }
    assert classes["much"] > classes["medium"] > classes["little"]


def test_named_acids_are_those_of_the_fats() -> None:
    """Coconut oil is mostly lauric and myristic soap, olive mostly oleic, castor mostly ricinoleic (Codex, Ph. Eur.)."""
    fats = [reference().get(name) for name in ("coconut oil", "olive oil", "castor oil")]
    shares = acid_shares(fats, ["short_saturated", "C18:1", "C18:1-OH"])
    assert np.all(np.diag(shares) > [60, 55, 80])
