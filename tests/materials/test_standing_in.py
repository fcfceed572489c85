"""Facts of what may stand in for a fat: kinds, states that are kept, common fats, looks."""

from __future__ import annotations

from itertools import product

from optimiser.materials.fat import KINDS
from optimiser.materials.fat_table import reference
from optimiser.materials.standing_in import brought, common_fats, forms, kept_states, look_of
from optimiser.reference import rows


def test_every_pair_of_kinds_has_a_form() -> None:
    """Like for like is the nearest form and needs no words; each other pair says what is changed."""
    assert set(forms()) == set(product(KINDS, KINDS))
    for (out, stands_in), form in forms().items():
        assert (form.step == 0) == (out == stands_in)
        assert bool(form.words) == (out != stands_in)
    assert forms()["hard oil", "butter"].step < forms()["hard oil", "liquid oil"].step


def test_every_common_fat_is_of_the_table_and_told_once() -> None:
    """Names are canonical, sorted and each there once; the fats of every plain recipe are among them."""
    assert list(common_fats()) == sorted(set(common_fats()))
    assert [reference().get(name).name for name in common_fats()] == list(common_fats())
    assert {"olive oil", "coconut oil", "palm oil", "beef tallow", "lard", "shea butter", "castor oil"} <= {
        *common_fats()
    }


def test_states_are_tags_and_told_of_what_the_bar_lacks() -> None:
    """Lard ends a vegetable bar, and a bar of tallow only gets pork beside it."""
    assert {state.tag for state in kept_states()} <= reference().tags()
    assert {state.holds for state in kept_states()} == {"firm", "soft", "told"}
    lard, tallow = reference().get("lard"), reference().get("beef tallow")
    assert [state.tag for state in brought(reference().get("olive oil").tags, lard)] == ["animal", "pork"]
    assert [state.tag for state in brought(tallow.tags, lard)] == ["pork"]
    assert brought(lard.tags, lard) == ()


def test_looks_speak_of_fats_that_are_there() -> None:
    """Each row names a fat, a tag or a kind of the table, and a fat's own row stands before its kind's."""
    for row in rows("fat_looks"):
        known = {"fat": reference().names(), "tag": reference().tags(), "kind": KINDS}[row["match"]]
        assert row["key"] in known
        assert row["colour"] or row["bench"]
    assert "smell of cocoa" in look_of(reference().get("cocoa butter")).colour
    assert "grains" in look_of(reference().get("bacuri butter")).bench
    assert look_of(reference().get("olive pomace oil")).colour == "green"
    assert look_of(reference().get("moringa oil")) == ("", "")
