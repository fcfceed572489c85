"""Figures as people write them, and those that are refused."""

from __future__ import annotations

import pytest

from optimiser.text.durations import read_duration
from optimiser.text.quantities import (
    Misread,
    read_count,
    read_length,
    read_mass,
    read_money,
    read_number,
    read_share,
    read_temperature,
    same_currency,
    write_number,
)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("45", 45),
        ("010", 10),
        ("1e3", 1000),
        ("1.0e3", 1000),
        (".5", 0.5),
        ("5.", 5),
        ("1 000", 1000),
        ("1\u202f000.5", 1000.5),
        ("-2", -2),
        ("\u22122", -2),
        ("+7", 7),
        ("４５", 45),
    ],
)
def test_numbers_are_read_as_a_person_reads_them(text: str, value: float) -> None:
    """Neither octal nor words: leading noughts, blanks between thousands and powers of ten mean what they say."""
    assert read_number(text).value == value


# international avoirdupois ounce and pound, inch: by definition (1959 agreement)
@pytest.mark.parametrize(
    ("text", "kilograms"),
    [
        ("110 g", 0.11),
        ("110g", 0.11),
        ("2.5 kg", 2.5),
        ("4 oz", 4 * 0.028349523125),
        ("5 lb", 5 * 0.45359237),
        ("5 Lbs", 5 * 0.45359237),
        ("250 mg", 0.00025),
        ("1 000 grams", 1.0),
    ],
)
def test_masses(text: str, kilograms: float) -> None:
    """A mass may be given in any of five units, glued or not."""
    assert read_mass(text) == pytest.approx(kilograms, rel=1e-12)


def test_lengths_and_temperatures() -> None:
    """Inches and degrees Fahrenheit become centimetres and degrees Celsius."""
    assert read_length("12 in") == pytest.approx(30.48)
    assert read_length('12"') == pytest.approx(30.48)
    assert read_length("30 cm") == 30
    assert [read_temperature(text) for text in ("35 degC", "35 °C", "35℃", "95 degF", "95 F")] == pytest.approx(
        [35] * 5
    )


@pytest.mark.parametrize(
    ("text", "value"), [("5 %", 5), ("5%", 5), ("28", 28), ("0", 0), ("0.05 %", 0.05), ("1 per cent", 1)]
)
def test_shares(text: str, value: float) -> None:
    """A share is per cent; above 1 the sign may be left out."""
    assert read_share(text).value == value


@pytest.mark.parametrize(
    ("text", "readings"), [("0.05", ("0.05 %", "5 %")), ("1", ("1 %", "100 %")), ("0.5", ("0.5 %", "50 %"))]
)
def test_a_share_that_reads_both_ways_is_refused_with_both(text: str, readings: tuple[str, str]) -> None:
    """From 0 to 1 without a sign nobody can tell a fraction from per cent."""
    with pytest.raises(Misread) as caught:
        read_share(text)
    assert caught.value.code == "share-or-fraction"
    assert all(reading in caught.value.help for reading in readings)


@pytest.mark.parametrize(
    ("text", "amount", "per", "currency"),
    [
        ("6.40 / kg", 6.40, "kg", ""),
        ("6.40/kg", 6.40, "kg", ""),
        ("0.65 / bar", 0.65, "bar", ""),
        ("2.90 per lb", 2.90, "lb", ""),
        ("EUR 6.40 / kg", 6.40, "kg", "EUR"),
        ("6.40 EUR/kg", 6.40, "kg", "EUR"),
        ("€6.40/kg", 6.40, "kg", "€"),
        ("14.90 / 5 kg", 2.98, "kg", ""),
        ("14.90", 14.90, "", ""),
    ],
)
def test_money(text: str, amount: float, per: str, currency: str) -> None:
    """Money is for a mass or a bar, with its currency on either side or nowhere."""
    money = read_money(text)
    assert money.amount == pytest.approx(amount)
    assert (money.per, money.currency) == (per, currency)


@pytest.mark.parametrize(
    ("read", "text", "code", "help_"),
    [
        (read_mass, "1,5 kg", "comma", "use a point: 1.5"),
        (read_mass, "1,500 g", "comma", "write 1500, or 1.500 if the comma is a decimal one"),
        (read_mass, "1,234.5 g", "comma", "write 1234.5"),
        (read_mass, "110", "no-unit", "write '110 g', '110 kg', '110 oz' or '110 lb'"),
        (read_mass, "110 gg", "wrong-unit", "did you mean 'g'? units: mg, g, kg, oz, lb"),
        (read_mass, "50 ml", "wrong-unit", "weigh it and give mg, g, kg, oz, lb"),
        (read_mass, "½ lb", "not-a-figure", "write it with a point, as in 0.5"),
        (read_number, "12:30", "not-a-figure", ""),
        (
            read_number,
            ".nan",
            "not-a-figure",
            "write a plain figure, or take the line out where there is to be no limit",
        ),
        (
            read_number,
            "-inf",
            "not-a-figure",
            "write a plain figure, or take the line out where there is to be no limit",
        ),
        (
            read_number,
            "1e999",
            "not-a-figure",
            "write a plain figure, or take the line out where there is to be no limit",
        ),
        (read_number, "", "no-figure", ""),
        (read_number, "45-60", "range", "write {between: [45, 60]} where a range may stand"),
        (read_number, "45 to 60", "range", "write {between: [45, 60]} where a range may stand"),
        (read_temperature, "35", "no-unit", "write 35 degC or 35 degF"),
        (read_temperature, "35 K", "wrong-unit", "write 35 degC or 35 degF"),
        (read_money, "6.40 kg", "wrong-unit", "write 6.40 / kg"),
        (read_money, "6.40 / litre", "wrong-unit", "write 6.40 / and what it weighs, as in 6.40 / 4.6 kg"),
        (read_money, "6.9 / 5 L", "wrong-unit", "write 6.9 / and what it weighs, as in 6.9 / 4.6 kg"),
        (read_money, "6.40 / spoon", "wrong-unit", "write 6.40 / kg, / lb or / bar"),
        (read_money, "6.40 / 0 kg", "out-of-range", "the amount bought is above 0"),
        (read_share, "5 g", "wrong-unit", "write what part of the whole it is, in per cent"),
    ],
)
def test_what_cannot_be_read_is_refused_with_a_way_out(read: object, text: str, code: str, help_: str) -> None:
    """Every refusal has a code of its own and says what to write."""
    assert callable(read)
    with pytest.raises(Misread) as caught:
        read(text)
    assert (caught.value.code, caught.value.help) == (code, help_)


def test_a_count_is_whole() -> None:
    """Half a fat is no fat."""
    assert read_count("6", "number of fats") == 6
    with pytest.raises(Misread, match="whole number"):
        read_count("4.5", "number of fats")


def test_currencies_match_by_sign_and_code() -> None:
    """A sign stands for its code, a dollar for any dollar, and nothing for all."""
    assert same_currency("€", "EUR")
    assert same_currency("eur", "EUR")
    assert same_currency("", "EUR")
    assert same_currency("$", "CAD")
    assert not same_currency("$", "EUR")
    assert not same_currency("GBP", "EUR")


def test_figures_are_written_without_exponents() -> None:
    """What is written can be read by a person and by this program."""
    assert [write_number(value) for value in (5.0, 0.05, 1e-7, 1234.5)] == ["5", "0.05", "0.0000001", "1234.5"]


def test_a_word_that_is_no_figure_is_told_what_to_write() -> None:
    """A fault never stands there without what to write instead."""
    with pytest.raises(Misread) as bad:
        read_mass("some")
    assert bad.value.help == "write a mass, as in 2 kg"
    with pytest.raises(Misread) as bad:
        read_duration("soon")
    assert bad.value.help == "write it like 4 min 30 s"
