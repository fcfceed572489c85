"""The size of a batch as makers say it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser.files.sizes import batch_of
from optimiser.text.diagnostics import BadInput
from optimiser.text.quantities import Misread, read_mass
from optimiser.text.sizes import read_size


@pytest.mark.parametrize(
    ("text", "by", "figures", "headroom"),
    [
        ("24 bars of 110 g", "bars", ("24", "110 g"), ""),
        ("1 bar of 4 oz", "bars", ("1", "4 oz"), ""),
        ("12 bars, 110 g", "bars", ("12", "110 g"), ""),
        ("2.5 kg fats", "fats", ("2.5 kg",), ""),
        ("1 lb 4 oz of oils", "fats", ("1 lb 4 oz",), ""),
        ("5 lb of all the fats", "fats", ("5 lb",), ""),
        ("4 kg batter", "batter", ("4 kg",), ""),
        ("4 kg in the pot", "batter", ("4 kg",), ""),
        ("mould 30 x 9 x 7 cm", "block", ("30 cm", "9 cm", "7 cm"), ""),
        ("mold 12 x 3.5 x 2.75 in", "block", ("12 in", "3.5 in", "2.75 in"), ""),
        ("mould 30cm by 9cm by 70mm", "block", ("30cm", "9cm", "70mm"), ""),
        ("mould 30\u00d79\u00d77 cm, headroom 1 cm", "block", ("30 cm", "9 cm", "7 cm"), "1 cm"),
        ("mould 30 x 9 x 7 cm less 10 %", "block", ("30 cm", "9 cm", "7 cm"), "10 %"),
        ("mould 8 x 20 cm round", "round", ("8 cm", "20 cm"), ""),
        ("round mould 8 x 20 cm", "round", ("8 cm", "20 cm"), ""),
        ("12 cavities of 100 ml", "cavities", ("12", "100 ml"), ""),
        ("12 cavities of 100 ml, headroom 5 %", "cavities", ("12", "100 ml"), "5 %"),
        ("mould of 1.9 l", "cavities", ("1", "1.9 l"), ""),
        ("3 moulds of 1.9 l", "cavities", ("3", "1.9 l"), ""),
    ],
)
def test_sizes_are_read_as_they_are_said(text: str, by: str, figures: tuple[str, ...], headroom: str) -> None:
    """Each way of saying it, with the last unit lent to figures that have none."""
    assert read_size(text)[:5] == (by, figures, headroom, "1", ())


@pytest.mark.parametrize(
    ("text", "by", "figures", "headroom", "count"),
    [
        ("2 moulds of 30 x 9 x 7 cm", "block", ("30 cm", "9 cm", "7 cm"), "", "2"),
        ("2 x mould 30 x 9 x 7 cm", "block", ("30 cm", "9 cm", "7 cm"), "", "2"),
        ("a mould of 30 x 9 x 7 cm", "block", ("30 cm", "9 cm", "7 cm"), "", "1"),
        ("2 loaves 12 x 3.5 x 2.75 in, headroom 0.5 in", "block", ("12 in", "3.5 in", "2.75 in"), "0.5 in", "2"),
        ("3 round moulds of 8 x 20 cm less 10 %", "round", ("8 cm", "20 cm"), "10 %", "3"),
        ("12 cavities of 8 x 5.5 x 2.5 cm", "block", ("8 cm", "5.5 cm", "2.5 cm"), "", "12"),
        ("12 cavities of 7 x 3 cm round", "round", ("7 cm", "3 cm"), "", "12"),
    ],
)
def test_several_alike_are_counted(text: str, by: str, figures: tuple[str, ...], headroom: str, count: str) -> None:
    """A number before the moulds, and cavities by the measures of one."""
    assert read_size(text)[:5] == (by, figures, headroom, count, ())
    assert read_size(text).is_cavities == ("cavities" in text)


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("2 moulds of 30 x 9 x 7 cm", 3.78),
        ("mould 30 x 9 x 7 cm and 6 cavities of 100 ml", 2.49),
        ("mould 30 x 9 x 7 cm + round mould 8 x 20 cm, headroom 2 cm + 2 cavities of 0.1 l", 1.89 + 0.904779 + 0.2),
        ("12 cavities of 8 x 5.5 x 2.5 cm, headroom 5 mm", 1.32 * 0.8),
        ("mould of 1.9 l", 1.9),
    ],
)
def test_moulds_are_filled_together(text: str, litres: float) -> None:
    """What several hold is added up, each with its own headroom."""
    mould = batch_of(text).mould
    assert mould is not None
    assert mould.litres == pytest.approx(litres, rel=1e-5)


@pytest.mark.parametrize("text", ["24 bars of 110 g and mould 3 x 3 x 3 cm", "2 kg fats and 2 moulds of 1 l"])
def test_moulds_and_another_size_are_no_batch(text: str) -> None:
    """A size that is no mould cannot be filled beside one."""
    with pytest.raises(BadInput, match="is no mould"):
        batch_of(text)


@pytest.mark.parametrize(
    ("text", "code", "help_"),
    [
        ("24 bar", "no-value", "24 bars of 110 g"),
        ("24 bars of", "no-value", "24 bars of 110 g"),
        ("12 cavities", "no-value", "12 cavities of 100 ml"),
        ("mould 30 x 9", "no-value", "mould 30 x 9 x 7 cm"),
        ("mould", "no-value", "mould 30 x 9 x 7 cm"),
        ("round mould 8 x 20 x 3 cm", "no-value", "8 x 20 cm round"),
        ("2.5 kg", "wrong-shape", "2.5 kg fats"),
        ("0 kg", "out-of-range", "2.5 kg fats"),
        ("-3 kg", "out-of-range", "2.5 kg fats"),
        ("1e9 kg", "out-of-range", "2.5 kg fats"),
        ("plenty", "not-a-figure", "4 kg batter"),
        ("", "no-figure", "4 kg batter"),
        ("x" * 500, "too-long", ""),
        ("2.5 fats", "no-unit", "2.5 kg"),
    ],
)
def test_what_is_no_size_says_what_to_write(text: str, code: str, help_: str) -> None:
    """A text that says none, or not all of it, is told with a way to write it."""
    with pytest.raises(Misread) as caught:
        read_size(text)
    assert (caught.value.code, help_ in caught.value.help) == (code, True), caught.value.help


@pytest.mark.parametrize(
    "text",
    [
        *("0 kg fats", "-3 kg fats", "1e9 kg fats", "nan kg fats", "0 bars of 110 g", "2.5 bars of 110 g"),
        *("24 bars of 0 g", "24 bars of 1 t", "mould 30 x 9 x 7", "mould 0 x 9 x 7 cm", "mould 30 x 9 x 7 kg"),
        *("mould 30 x 9 x 7 cm, headroom 5 cm", "12 cavities of 1 cup", "0 cavities of 100 ml", "2e9 kg batter"),
        *("0 moulds of 30 x 9 x 7 cm", "2.5 moulds of 30 x 9 x 7 cm", "mould of 300 l", "mould 1 l and 12 cavities"),
    ],
)
def test_sizes_that_nobody_makes_are_refused(text: str) -> None:
    """Nothing, less than nothing, far too much, a unit of something else: each is a fault of --to."""
    with pytest.raises(BadInput) as caught:
        batch_of(text)
    assert caught.value.diagnostics[0].message.startswith("--to: ")


@settings(max_examples=examples(200))
@given(
    st.lists(
        st.sampled_from(
            [
                *(
                    "24",
                    "2.5",
                    "-1",
                    "bars",
                    "bar",
                    "of",
                    "110 g",
                    "kg",
                    "fats",
                    "batter",
                    "mould",
                    "round",
                    "x",
                    "30",
                    "cm",
                ),
                *(
                    "in",
                    "headroom",
                    "10 %",
                    "cavities",
                    "100 ml",
                    ",",
                    "lb",
                    "oz",
                    "4",
                    "nan",
                    "\u00d7",
                    "%",
                    "less",
                    "by",
                ),
            ]
        ),
        max_size=10,
    ).map(" ".join)
    | st.text(max_size=40)
)
def test_whatever_is_typed_is_a_size_or_a_fault(text: str) -> None:
    """Nothing else is raised, and a size that is taken is above nothing and below what anybody makes."""
    size = size_of(text)
    assert size is None or 0.0 < size <= 2e8


def size_of(text: str) -> float | None:
    """The figure of a size; None where it is a fault of what was typed."""
    try:
        batch = batch_of(text)
    except BadInput:
        return None
    litres = None if batch.mould is None else batch.mould.litres
    (size,) = [one for one in (batch.fats_kg, batch.batter_kg, batch.bars, litres) if one is not None]
    return float(size)


def test_moulds_hold_what_arithmetic_says() -> None:
    """Volumes by hand: 30 x 9 x 7 = 1890 cm3; 12 x 3.5 x 2.75 in = 115.5 in3 of 16.387064 mL; pi/4 8^2 20 = 1005.3 cm3."""
    litres = {
        text: mould.litres
        for text in (
            *("mould 30 x 9 x 7 cm", "mould 12 x 3.5 x 2.75 in", "mould 8 x 20 cm round", "12 cavities of 100 ml"),
            *("mould 30 x 9 x 7 cm, headroom 1 cm", "mould 8 x 20 cm round less 10 %"),
        )
        if (mould := batch_of(text).mould) is not None
    }
    assert list(litres.values()) == pytest.approx(
        [1.89, 115.5 * 0.016387064, math.pi * 0.32, 1.2, 1.62, 0.9 * math.pi * 0.32]
    )


@pytest.mark.parametrize(
    ("text", "ounces"),
    [
        ("1 lb 4 oz", 20.0),
        ("2 pounds and 3.5 ounces", 35.5),
        ("1lb, 0.5oz", 16.5),
        ("3 lbs 15.9 oz.", 63.9),
        ("5 lb", 80.0),
    ],
)
def test_pounds_and_ounces_are_one_mass(text: str, ounces: float) -> None:
    """A pound is 16 ounces of 28.349523125 g (international avoirdupois, by definition)."""
    assert read_mass(text) == pytest.approx(ounces * 0.028349523125)


def test_a_pound_of_ounces_after_pounds_is_refused() -> None:
    """16 oz are a pound: "1 lb 20 oz" is a slip."""
    with pytest.raises(Misread, match="20 oz after pounds are a pound and more"):
        read_mass("1 lb 20 oz")
