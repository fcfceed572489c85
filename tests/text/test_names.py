"""Names as people write them, and the offer of near ones."""

from __future__ import annotations

import pytest

from optimiser.text.names import fold, nearest, offer, shown

FATS = ("olive oil", "coconut oil", "castor oil", "shea butter", "beef tallow")


@pytest.mark.parametrize("written", ["Olive Oil", "olive_oil", " OLIVE-OIL ", "olive\u00a0oil", "olive  oil"])
def test_one_name_however_it_is_written(written: str) -> None:
    """Case, blanks, underscores and hyphens do not count."""
    assert fold(written) == "olive oil"


def test_near_names_are_offered_nearest_first() -> None:
    """A slip of the pen and a name cut short both find what was meant."""
    assert nearest("olve oil", FATS)[0] == "olive oil"
    assert nearest("tallow", FATS) == ("beef tallow",)
    assert nearest("xyzzy", FATS) == ()


def test_words_that_many_names_share_bring_no_name_nearer() -> None:
    """Only what sets a name apart is compared, so "oil" alone makes no likeness; a slip in the shared word is found."""
    assert nearest("garden oil", ("grape oil", "dende oil")) == ()
    assert nearest("my oil", ("soy oil", "nim oil")) == ()
    assert nearest("cacao buter", ("cacao butter", "cow butter")) == ("cacao butter",)
    assert nearest("babasu", ("babassu oil", "baobab oil")) == ("babassu oil",)
    assert nearest("gm", ("g", "kg", "oz"), most=1) == ("g",)


def test_an_offer_falls_back_on_the_whole_list() -> None:
    """With nothing near, a short list is told in full and a long one is not."""
    assert offer("xyzzy", FATS) == "known here: olive oil, coconut oil, castor oil, shea butter, beef tallow"
    assert offer("xyzzy", [f"n{number}{number}q" for number in range(50)], "look it up") == "look it up"


def test_curly_quotes_are_pointed_out() -> None:
    """A name in typographic quotes is offered without them."""
    help_ = offer("“olive oil”", FATS)
    assert "curly quotes" in help_
    assert "'olive oil'" in help_


def test_long_words_are_neither_compared_nor_shown_in_full() -> None:
    """A word of a thousand letters costs no time and no screen."""
    assert nearest("x" * 1000, FATS) == ()
    assert len(shown("x" * 1000)) < 50
