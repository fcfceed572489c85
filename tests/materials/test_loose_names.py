"""Names that say too little of what is sold under them."""

from __future__ import annotations

import pytest

from optimiser.materials.additives import find as find_additive
from optimiser.materials.fat import KINDS
from optimiser.materials.fat_table import reference
from optimiser.materials.loose_names import LooseName, find_loose, loose_names

EVERY = tuple(dict.fromkeys(loose_names().values()))


@pytest.mark.parametrize("name", ["soy wax", "Soya_Wax", "rapeseed wax", "container wax", "shortening", "aloe butter"])
def test_what_is_sold_for_candles_and_kitchens_says_too_little(name: str) -> None:
    """Waxes for candles may hold paraffin, shortening any fat, a composite butter any hard one: common practice, no source."""
    assert find_loose(name) is not None
    assert reference().find(name) is None


@pytest.mark.parametrize("name", ["beeswax", "soybean oil", "shea butter", "hydrogenated soybean oil", "cocoa butter"])
def test_plain_fats_are_no_loose_names(name: str) -> None:
    """A name that stands for one thing is none of them."""
    assert find_loose(name) is None


@pytest.mark.parametrize("item", EVERY, ids=lambda item: item.name)
def test_no_loose_name_is_the_name_of_a_fat(item: LooseName) -> None:
    """Neither it nor a synonym finds a fat or an additive, and what it may be like is a fat of the table."""
    for called in (item.name, *item.synonyms):
        assert reference().find(called) is None
        assert find_additive(called) is None
        assert find_loose(called) is item
    assert item.kind in KINDS
    assert item.kind != "wax"
    assert not item.like or reference().get(item.like).name == item.like
    assert item.why.endswith(".")
    assert item.tags <= reference().tags() | {"gluten", "peanut", "sesame", "milk"}
