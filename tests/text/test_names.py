"""Names as people write them, and the offer of near ones."""

from __future__ import annotations

import random
import string
import time

import pytest

from optimiser.materials.fat_table import reference
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


def with_slips(chance: random.Random, name: str, slips: int) -> str:
    """A name as somebody mistypes it: a letter left out, put in, written for another, or changed with its neighbour."""
    for _ in range(slips):
        at, letter = chance.randrange(len(name) - 1), chance.choice(string.ascii_lowercase)
        two = name[at : at + 2]
        name = name[:at] + chance.choice((two[1], letter + two, letter + two[1], two[::-1])) + name[at + 2 :]
    return name


@pytest.mark.parametrize(("slips", "first"), [(1, 0.99), (2, 0.84)])
def test_a_mistyped_fat_is_offered_first(slips: int, first: float) -> None:
    """Of 400 names of fats with one slip 99 in 100 are offered first, with two (of short names too) 84 in 100."""
    chance = random.Random(20)  # noqa: S311
    table = reference()
    every = table.every_name()
    found = tried = 0
    while tried < 400:
        meant = chance.choice(every)
        typed = with_slips(chance, meant, slips)
        if table.find(typed) is None:
            offered = nearest(typed, every)
            tried += 1
            found += bool(offered) and table.find(offered[0]) is table.find(meant)
    assert found >= first * tried


def test_words_for_something_else_bring_no_offer() -> None:
    """Two slips in a short word are another word: nobody who writes one of these means a fat."""
    words = (
        "again",
        "begin",
        "bench",
        "best",
        "blend",
        "cured",
        "goals",
        "here",
        "pour",
        "reads",
        "scale",
        "soap",
        "sure",
    )
    assert {word: nearest(word, reference().every_name()) for word in words} == dict.fromkeys(words, ())


def test_of_several_names_of_one_thing_the_nearest_is_offered() -> None:
    """A "cacao buter" is no "cacao oil"; a name that a word stands in whole comes after those that are near."""
    assert nearest("cacoa butter", ("cacao oil", "cacao butter")) == ("cacao butter",)
    assert nearest("olive", ("olive pomace oil", "clive oil", "olive oil")) == (
        "olive oil",
        "clive oil",
        "olive pomace oil",
    )


def test_a_thousand_unknown_names_take_no_time() -> None:
    """990 unknown names against the table and 990 fats of one's own: a second of the processor is far more than it takes."""
    chance = random.Random(3)  # noqa: S311
    own = tuple("".join(chance.choices(string.ascii_lowercase, k=14)) + " oil" for _ in range(990))
    every = (*reference().every_name(), *own)
    unknown = [with_slips(chance, name, 1) for name in own]
    before = time.process_time()
    offered = [nearest(name, every) for name in unknown]
    assert time.process_time() - before < 1.0
    assert [names[:1] for names in offered] == [(name,) for name in own]


@pytest.mark.parametrize(
    ("word", "names", "meant"),
    [
        ("palm o il", ("palm oil", "palm olein", "palm stearin"), "palm oil"),
        ("sheabutter", ("shea butter", "shea olein"), "shea butter"),
        ("%g", ("mg", "g", "kg"), "g"),
        ("}g", ("mg", "g", "kg"), "g"),
    ],
)
def test_a_blank_or_a_stray_sign_is_no_letter(word: str, names: tuple[str, ...], meant: str) -> None:
    """A blank too many, one too few, a sign beside the word: the word itself is meant, and no other beside it."""
    assert nearest(word, names) == (meant,)


def test_a_slip_in_a_word_that_many_share_is_one_too() -> None:
    """A slip in the last word of a code is one for that code, though the first word is the same in many."""
    assert nearest("unknown-fut", ("unknown-fat", "unknown-tag", "unknown-rule", "unknown-key"))[0] == "unknown-fat"
