"""The goal file: what is read out of it, and what is said when it cannot be."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from optimiser.files.goals import read_goals
from optimiser.files.question import currency_faults
from optimiser.files.shelf.shelf import read_shelf
from optimiser.problem.goals import GoalSheet
from optimiser.text.diagnostics import BadInput, Diagnostic

if TYPE_CHECKING:
    from pathlib import Path

    from optimiser.problem.limits import Limit

FULL = """\
title: Estuary swirl, guest-house bar
shelf: ../inventory/ours.yaml

batch: {bars: 36, cured_weight: 110 g}

goals:
  hardness: {at_least: 45, at_most: 65}
  trace_speed: slow
  superfat: {between: [3 %, 6 %]}
  lye_concentration: {between: [28 %, 33 %]}
  cost: {at_most: 6.40 / kg}

shares:
  hard oils: {at_most: 55 %}
  coconut oil: {at_most: 28 %}
  castor oil: 5 %

free_from: [palm, animal]

fats: {at_most: 6, each_at_least: 4 %}

prefer:
  - mildness: {at_least: 60}

practice: {castor oil: 20 %}
"""


def read(folder: Path, text: str) -> GoalSheet:
    """The goals in a text."""
    path = folder / "bar.yaml"
    path.write_text(text, encoding="utf-8")
    return read_goals(path)


def faults(folder: Path, text: str) -> tuple[Diagnostic, ...]:
    """What is wrong with a text."""
    with pytest.raises(BadInput) as caught:
        read(folder, text)
    return caught.value.diagnostics


def fault(folder: Path, text: str) -> Diagnostic:
    """The one thing that is wrong with a text."""
    (only,) = faults(folder, text)
    return only


def brief(limits: tuple[Limit, ...]) -> list[tuple[str, str, str, float, str]]:
    """The bare bones of limits."""
    return [(limit.key, limit.subject, limit.side, limit.value, limit.unit) for limit in limits]


def test_a_full_file_is_read_in_every_part(tmp_path: Path) -> None:
    """Every section of a goal file comes out as limits with units, in file order."""
    sheet = read(tmp_path, FULL)
    assert sheet.title == "Estuary swirl, guest-house bar"
    assert sheet.shelf == tmp_path.parent / "inventory" / "ours.yaml"
    assert (sheet.batch.bars, sheet.batch.fats_kg, sheet.batch.mould) == (36, None, None)
    assert sheet.batch.cured_weight_kg == pytest.approx(0.11)
    assert "cured_weight" in sheet.batch.given
    assert brief(sheet.goals) == [
        ("hardness", "quantity", "at_least", 45, "index"),
        ("hardness", "quantity", "at_most", 65, "index"),
        ("trace_speed", "quantity", "at_least", 25, "index"),
        ("trace_speed", "quantity", "at_most", 33, "index"),
        ("superfat", "quantity", "at_least", 3, "%"),
        ("superfat", "quantity", "at_most", 6, "%"),
        ("lye_concentration", "quantity", "at_least", 28, "%"),
        ("lye_concentration", "quantity", "at_most", 33, "%"),
        ("cost", "quantity", "at_most", 6.4, "money"),
    ]
    assert sheet.goals[-1].per == "kg"
    assert brief(sheet.shares) == [
        ("hard oils", "kind", "at_most", 55, "%"),
        ("coconut oil", "fat", "at_most", 28, "%"),
        ("castor oil", "fat", "exactly", 5, "%"),
    ]
    assert [(item.tag, str(item.said)) for item in sheet.free_from] == [
        ("palm", "free from palm"),
        ("animal", "free from animal"),
    ]
    assert brief(sheet.fat_count) == [
        ("number of fats", "count", "at_most", 6, "fats"),
        ("each fat", "count", "at_least", 4, "%"),
    ]
    assert [brief(step) for step in sheet.prefer] == [[("mildness", "quantity", "at_least", 60, "index")]]
    (change,) = sheet.practice
    assert (change.rule, brief(change.limits)) == ("castor oil", [("castor oil", "base", "at_most", 20, "%")])
    assert not sheet.practice_off


def test_limits_say_what_the_maker_said(tmp_path: Path) -> None:
    """Each side carries the maker's own words with the unit, ready to be told back."""
    sheet = read(tmp_path, FULL)
    assert [str(limit.said) for limit in (*sheet.goals, *sheet.shares, *sheet.fat_count)] == [
        "hardness at least 45",
        "hardness at most 65",
        "trace speed slow (at least 25)",
        "trace speed slow (at most 33)",
        "superfat between 3 % and 6 % (at least 3 %)",
        "superfat between 3 % and 6 % (at most 6 %)",
        "lye concentration between 28 % and 33 % (at least 28 %)",
        "lye concentration between 28 % and 33 % (at most 33 %)",
        "cost at most 6.40 / kg",
        "hard oils at most 55 %",
        "coconut oil at most 28 %",
        "castor oil exactly 5 %",
        "number of fats at most 6",
        "each fat at least 4 %",
    ]


def test_limits_know_their_line(tmp_path: Path) -> None:
    """A limit's span is its value in the file."""
    span = read(tmp_path, FULL).goals[1].span
    assert (span.line, span.column, span.text) == (7, 37, "  hardness: {at_least: 45, at_most: 65}")


def test_an_empty_list_of_wishes_is_a_bar_of_one_kilo(tmp_path: Path) -> None:
    """A title alone is a goal file; blank sections count as absent."""
    sheet = read(tmp_path, "title: any soap\ngoals:\nshares:\n# - nothing yet\n")
    assert (sheet.goals, sheet.shares, sheet.practice, sheet.shelf) == ((), (), (), None)
    assert (sheet.batch.fats_kg, sheet.batch.span) == (1.0, None)


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("45", [("exactly", 45)]),
        ("at least 45", [("at_least", 45)]),
        ('">= 45"', [("at_least", 45)]),
        ("<= 45", [("at_most", 45)]),
        ("{At Least: 45}", [("at_least", 45)]),
        ("{at-most: medium}", [("at_most", 58)]),
        ("{at_least: hard}", [("at_least", 58)]),
        ("{exactly: 45}", [("exactly", 45)]),
        ("{between: [medium, hard]}", [("at_least", 48), ("at_most", 66)]),
        ("soft", [("at_most", 48)]),
        ("Very Hard", [("at_least", 66)]),
        ("045", [("exactly", 45)]),
        ("4.5e1", [("exactly", 45)]),
    ],
)
def test_a_wish_may_be_written_in_many_ways(tmp_path: Path, written: str, expected: list[tuple[str, float]]) -> None:
    """Figures, signs, words and bands all become sides."""
    sheet = read(tmp_path, f"goals:\n  hardness: {written}\n")
    assert [(limit.side, limit.value) for limit in sheet.goals] == expected


@pytest.mark.parametrize(
    ("key", "found"),
    [
        ("Canola Oil", ("rapeseed oil", "fat")),
        ("butter", ("butters", "kind")),
        ("HARD_OILS", ("hard oils", "kind")),
        ("solid fats", ("solid fats", "group")),
        ("palm", ("palm", "tag")),
        ("palm oil", ("palm oil", "fat")),
        ("castor", ("castor oil", "fat")),
        ("strongly unsaturated", ("strongly unsaturated", "tag")),
    ],
)
def test_shares_find_fats_kinds_and_tags(tmp_path: Path, key: str, found: tuple[str, str]) -> None:
    """Names fold, synonyms are followed, and a tag is the tag even where a fat's short name is the same."""
    (limit,) = read(tmp_path, f"shares: {{{key}: <= 30 %}}\n").shares
    assert (limit.key, limit.subject) == found


@pytest.mark.parametrize("key", ["quick lather", "Quick_Lather", "QUICK-LATHER"])
def test_goals_match_however_they_are_written(tmp_path: Path, key: str) -> None:
    """Case, blanks, underscores and hyphens do not count in keys."""
    assert read(tmp_path, f"Goals: {{{key}: 40}}\n").goals[0].key == "quick_lather"


@pytest.mark.parametrize(
    ("batch", "expected"),
    [
        ("{fats: 2.5 kg}", (2.5, None, 0.1, 35.0, False, 0.1, None)),
        ("{fats: 5 lb, gel: on}", (2.26796185, None, 0.1, 35.0, True, 0.1, None)),
        ("{bars: 12, batter_temperature: 95 degF, cured water: 8 %}", (None, 12, 0.1, 35.0, False, 0.08, None)),
        ("{bars: 12 bars, scale: 1 g, cured_weight: 4 oz}", (None, 12, 0.1133980925, 35.0, False, 0.1, 1.0)),
        ("{gel: NO}", (1.0, None, 0.1, 35.0, False, 0.1, None)),
    ],
)
def test_batches(tmp_path: Path, batch: str, expected: tuple[object, ...]) -> None:
    """A batch is fats, bars or a mould, with defaults for what is not told."""
    made = read(tmp_path, f"batch: {batch}\n").batch
    got = (
        made.fats_kg,
        made.bars,
        made.cured_weight_kg,
        made.batter_temperature,
        made.gel,
        made.cured_water,
        made.scale_g,
    )
    assert got == pytest.approx(expected)


def test_a_mould_is_read_in_centimetres(tmp_path: Path) -> None:
    """Inches and centimetres may be mixed."""
    mould = read(tmp_path, "batch: {mould: {length: 12 in, width: 9 cm, depth: 70 mm}}\n").batch.mould
    assert mould is not None
    assert (mould.length_cm, mould.width_cm, mould.depth_cm) == pytest.approx((30.48, 9, 7))


@pytest.mark.parametrize("off", ["off", "no", "false", "Off"])
def test_house_practice_can_be_switched_off(tmp_path: Path, off: str) -> None:
    """All of it by one word, or rule by rule."""
    sheet = read(tmp_path, f"practice: {off}\n")
    assert sheet.practice_off
    (change,) = read(tmp_path, f"practice: {{lauric oils: {off}}}\n").practice
    assert (change.rule, change.limits) == ("lauric oils", ())


def test_a_bare_figure_keeps_the_side_of_its_rule(tmp_path: Path) -> None:
    """A cap stays a cap and a floor a floor when only the figure is overridden."""
    sheet = read(tmp_path, "practice: {waxes: 4 %, short saturated acids at least: 5 %, hardness: 40, superfat: 8 %}\n")
    assert [change.limits[0].side for change in sheet.practice] == ["at_most", "at_least", "at_least", "exactly"]


def test_cost_is_read_for_any_mass(tmp_path: Path) -> None:
    """Per kilo, pound and bar stay as they are; other masses become kilos."""
    for written, value, per in (("0.65 / bar", 0.65, "bar"), ("2.90 / lb", 2.90, "lb"), ("0.64 / 100 g", 6.4, "kg")):
        (limit,) = read(tmp_path, f"goals: {{cost: <= {written}}}\n").goals
        assert limit.value == pytest.approx(value)
        assert limit.per == per


def test_additives_are_shares_of_the_fats(tmp_path: Path) -> None:
    """A bare figure means exactly, and synonyms are followed."""
    (limit,) = read(tmp_path, "additives: {Sodium Lactate: 2 %}\n").additives
    assert (limit.key, limit.subject, limit.side, limit.value) == ("sodium lactate", "additive", "exactly", 2)


@pytest.mark.parametrize(
    ("text", "code", "place", "help_"),
    [
        ("goalz: {hardness: 45}", "unknown-key", (1, 1), "did you mean 'goals'?"),
        ("oils: {hardness: 45}", "unknown-key", (1, 1), "here it is written 'shares'"),
        ("goals: {hardnes: 45}", "unknown-key", (1, 9), "did you mean 'hardness' or 'harshness'?"),
        ("goals: {coconut oil: 5 %}", "unknown-key", (1, 9), "shares of fats, kinds and tags stand under 'shares'"),
        ("goals: {hardness:45}", "unknown-key", (1, 9), "a space is missing after the colon: hardness: 45"),
        ("goals: {trace_speed: slwo}", "unknown-word", (1, 22), "did you mean 'slow'?"),
        ("goals: {hardness: {min: 45}}", "unknown-key", (1, 20), "here it is written 'at_least'"),
        (
            "goals: {hardness: {at_least: 1,5}}",
            "unknown-key",
            (1, 32),
            "a comma parts entries here: use a point in figures, as in 1.5",
        ),
        ("goals:\n  hardness: 1,5", "comma", (2, 13), "use a point: 1.5"),
        ("goals: {hardness: 45 %}", "wrong-unit", (1, 19), "write 45"),
        ("goals: {hardness: [45, 60]}", "wrong-shape", (1, 19), "write {between: [45, 60]}"),
        ("goals: {hardness: }", "no-value", (1, 19), "write a value after the colon, or take the line out"),
        (
            "goals: {hardness: {at_least: 65, at_most: 45}}",
            "contradiction",
            (1, 30),
            "nothing lies between them: turn them round, or drop one",
        ),
        ("goals: {superfat: {between: [6 %, 3 %]}}", "contradiction", (1, 30), "write [3 %, 6 %]"),
        (
            "goals: {superfat: {between: [3,5 %, 6 %]}}",
            "wrong-shape",
            (1, 29),
            "write [3 %, 6 %]; a comma parts the two, so use a point in figures, as in 1.5",
        ),
        ("goals: {superfat: {exactly: 5 %, at_most: 6 %}}", "contradiction", (1, 20), "keep one of the two"),
        ("goals: {superfat: -2 %}", "lye-heavy", (1, 19), "5 % is usual; 0 % is the least"),
        ("goals: {superfat: 0.05}", "share-or-fraction", (1, 19), "write 0.05 % or 5 %"),
        ("goals: {lye_concentration: 60 %}", "out-of-range", (1, 28), "28 % to 33 % is usual; 50 % is the most"),
        ("goals: {cost: 6.40}", "no-unit", (1, 15), "write 6.40 / kg, / lb or / bar"),
        ("goals: {cost: -1 / kg}", "out-of-range", (1, 15), "a cost is above 0"),
        (
            "goals: {hardness: .nan}",
            "not-a-figure",
            (1, 19),
            "write a plain figure, or take the line out where there is to be no limit",
        ),
        (
            "goals: {mildness: soft}",
            "not-a-figure",
            (1, 19),
            "mildness has no words: write a figure, as in mildness: {at_least: 70}",
        ),
        (
            "shares: {castor oil: yes}",
            "not-a-figure",
            (1, 22),
            "castor oil has no words: write a figure, as in castor oil: {at_most: 20 %}",
        ),
        (
            "shares: {castor oil: {at_most: 1,5 %}}",
            "unknown-key",
            (1, 34),
            "a comma parts entries here: use a point in figures, as in 1.5",
        ),
        (
            "shares: {garden oil: 5 %}",
            "unknown-fat",
            (1, 10),
            "a fat of your own must stand on the shelf; 'barwright fats' lists the known ones",
        ),
        ("batch: {bars: 2.5}", "not-whole", (1, 15), "write 2 or 3"),
        (
            "water_hardness: hard",
            "not-a-figure",
            (1, 17),
            "the waterworks or a test strip tells it: write water hardness: 250 mg/L, 14 dH or 15 gpg",
        ),
        (
            "goals:\n  hardness: 12:30",
            "not-a-figure",
            (2, 13),
            "write a figure, as in hardness: {at_least: 56}",
        ),
        ("shares: {hardness: 45}", "unknown-fat", (1, 10), "it stands under 'goals'"),
        ("shares: {olive oil: 120 %}", "out-of-range", (1, 21), "it lies between 0 % and 100 %"),
        ("shares: {canola oil: 5 %, rapeseed oil: 6 %}", "repeated-key", (1, 27), "keep one of the two"),
        ("shares: {olive oil: 70 %, coconut oil: 40 %}", "too-much", (1, 40), "make them add up to 100 % at most"),
        ("free_from: [palms]", "unknown-tag", (1, 13), "did you mean 'palm'?"),
        (
            "free_from: [castor oil]",
            "unknown-tag",
            (1, 13),
            "to leave out one fat, write under shares: castor oil: 0 %",
        ),
        ("fats: {at_most: 3, at_least: 4}", "contradiction", (1, 30), "turn them round, or drop one"),
        (
            "fats: {exactly: 5, each_at_least: 30 %}",
            "contradiction",
            (1, 35),
            "ask for fewer fats, or for less of each",
        ),
        ("fats: {at_most: 0}", "out-of-range", (1, 17), "it lies between 1 and 1000"),
        ("fats: {at_most: 2.5}", "not-whole", (1, 17), "write 2 or 3"),
        (
            "prefer: {mildness: 60}",
            "wrong-shape",
            (1, 9),
            "start each wish with '- ', the dearest first: - mildness: {at_least: 60}",
        ),
        ("prefer:\n  - mildnes: 60", "unknown-key", (2, 5), "did you mean 'mildness'?"),
        ("practice: {castor: 20 %}", "unknown-rule", (1, 12), "did you mean 'castor oil'?"),
        (
            "practice: {polyunsaturated acids at most: 18 %}",
            "unknown-rule",
            (1, 12),
            "did you mean 'polyunsaturated acids'?",
        ),
        ("practice: {Hardness At Least: 45}", "unknown-rule", (1, 12), "did you mean 'hardness'?"),
        (
            "additives: {sodum lactate: 2 %}",
            "unknown-additive",
            (1, 13),
            "did you mean 'sodium lactate'? 'barwright additives' lists them all",
        ),
        (
            "additives: {clove essential oil: 2 %}",
            "unknown-additive",
            (1, 13),
            "one of your own stands on the shelf: - {additive: clove essential oil, like: essential oil, price: ... / kg}",
        ),
        (
            "additives: {turmeric: 2 %}",
            "unknown-additive",
            (1, 13),
            (
                "'barwright additives' lists them all; one of your own stands on the shelf: "
                "- {additive: turmeric, like: ..., price: ... / kg}"
            ),
        ),
        (
            "batch: 1 kg",
            "wrong-shape",
            (1, 8),
            "for a mass of all fats write batch: {fats: 1 kg}, for one of all in the pot {batter: 1 kg}",
        ),
        ("batch: {bars: 0}", "out-of-range", (1, 15), "write a number from 1 to 1,000,000"),
        ("batch: {fats: 0 kg}", "out-of-range", (1, 15), "it lies above 0 and up to 100000 kg"),
        ("batch: {bars: 12, fats: 1 kg}", "contradiction", (1, 19), "keep the one that counts"),
        ("batch: {bars: 12, batter_temperature: 35}", "no-unit", (1, 39), "write 35 degC or 35 degF"),
        (
            "batch: {mould: {length: 30 cm, width: 9 cm}}",
            "missing-key",
            (1, 17),
            "write it like mould: {length: 30 cm, width: 9 cm, depth: 7 cm}",
        ),
        (
            "design: fine swril",
            "unknown-design",
            (1, 9),
            "did you mean 'fine swirl'?",
        ),
        ("for: matur skin", "unknown-user", (1, 6), "did you mean 'mature skin'?"),
        (
            "may use: [sodium lactat]",
            "unknown-lever",
            (1, 11),
            "did you mean 'sodium lactate'?",
        ),
        (
            "may_use: olive oil",
            "not-a-lever",
            (1, 10),
            "take it out: every fat of the shelf may be used without being named here",
        ),
        ("water hardness: 250", "no-unit", (1, 17), "write 250 mg/L, 250 dH or 250 gpg"),
        ("water hardness: 14 F", "wrong-unit", (1, 17), "units: mg/L or ppm (as CaCO3), dH, fH, gpg, Clark, mmol/L"),
    ],
)
def test_each_fault_is_told_with_its_place_and_a_way_out(
    tmp_path: Path, text: str, code: str, place: tuple[int, int], help_: str
) -> None:
    """One slip gives one diagnostic, at the smallest stretch of text, with what to write instead."""
    found = fault(tmp_path, text + "\n")
    assert found.span is not None
    assert (found.code, (found.span.line, found.span.column), found.help) == (code, place, help_)


@pytest.mark.parametrize(
    ("text", "message", "help_"),
    [
        (
            "fats: {olive oil: 700 g, lard: 1 lb}\nsuperfat: 5 %\n",
            "this is a recipe, not a goal file",
            "barwright weigh",
        ),
        ("fats:\n  - {fat: lard, price: 2 / kg}\n", "this is a shelf, not a goal file", "--shelf"),
        ("recipe: thirds.yaml\ntrace: 4 min\n", "this is a trial, not a goal file", "give the recipe"),
    ],
)
def test_another_file_in_place_of_goals_is_named(tmp_path: Path, text: str, message: str, help_: str) -> None:
    """A recipe, a shelf or a trial given as a goal file is one fault that says what it is and what to do with it."""
    found = fault(tmp_path, text)
    assert (found.code, found.message) == ("wrong-file", message)
    assert help_ in found.help


def test_all_faults_are_told_at_once_and_in_file_order(tmp_path: Path) -> None:
    """Slips of YAML, of units and of names are told together."""
    text = """\
goals:
  hardness: >=45
  superfat: 0.05
  superfat: 5 %
shares:
  olve oil: 5 %
batch: {bars: 0, cured_weight: 110}
colour: red
"""
    assert [(item.code, item.span.line) for item in faults(tmp_path, text) if item.span] == [
        ("greater-than", 2),
        ("share-or-fraction", 3),
        ("repeated-key", 4),
        ("unknown-fat", 6),
        ("out-of-range", 7),
        ("no-unit", 7),
        ("unknown-key", 8),
    ]


def test_no_fault_is_told_in_the_words_of_a_library(tmp_path: Path) -> None:
    """The maker reads neither of types nor of validation."""
    text = "goals: 5\nshares: [a]\nfats: {at_most: x}\nprefer: x\nbatch: [1]\npractice: 5\nadditives: x\nfree_from: {a: 1}\n"
    told = " ".join(f"{item.message} {item.help}" for item in faults(tmp_path, text)).casefold()
    assert len(faults(tmp_path, text)) == 8
    assert not [
        word for word in ("valid", "dict", "tuple", "type=", "pydantic", "illegal", "constraint") if word in told
    ]


def test_fats_of_the_makers_own_are_known_from_the_shelf(tmp_path: Path) -> None:
    """A share may name a fat that only the shelf knows, on the shelf that is named, nearest, or given."""
    (tmp_path / "inventory").mkdir()
    shelf = "fats:\n  - {fat: House Infused Olive, like: olive oil, price: 9.80 / kg}\n"
    (tmp_path / "inventory" / "ours.yaml").write_text(shelf, encoding="utf-8")
    (limit,) = read(tmp_path, "shares: {house infused olive: 20 %}\n").shares
    assert (limit.key, limit.subject) == ("House Infused Olive", "fat")
    (tmp_path / "other.csv").write_text("fat,like,price\nnettle olive,olive oil,9 / kg\n", encoding="utf-8")
    (limit,) = read(tmp_path, "shelf: other.csv\nshares: {nettle olive: 20 %}\n").shares
    assert limit.key == "nettle olive"
    given = read_goals(tmp_path / "bar.yaml", tmp_path / "other.csv")
    assert given.shares[0].key == "nettle olive"
    assert fault(tmp_path, "shares: {nettle olive: 20 %}\n").code == "unknown-fat"


def test_a_cost_in_another_currency_is_found_out(tmp_path: Path) -> None:
    """Costs in the shelf's currency, or in none, pass; others are faults."""
    path = tmp_path / "ours.yaml"
    path.write_text("currency: EUR\nfats:\n  - {fat: olive oil, price: 6 / kg}\n", encoding="utf-8")
    shelf = read_shelf(path)
    assert currency_faults(read(tmp_path, "goals: {cost: <= 6.40 / kg}\n"), shelf) == ()
    assert currency_faults(read(tmp_path, "goals: {cost: <= €6.40 / kg}\n"), shelf) == ()
    (found,) = currency_faults(read(tmp_path, "prefer: [{cost: <= USD 6.40 / kg}]\n"), shelf)
    assert found.code == "other-currency"


def test_an_old_word_of_a_band_is_taken_and_told_anew(tmp_path: Path) -> None:
    """What keeps badly was once called short: it is still understood, and every answer says that it turns early."""
    (old,) = read(tmp_path, "shelf: x.yaml\ngoals: {rancidity: short}\n").goals
    (new,) = read(tmp_path, "shelf: x.yaml\ngoals: {rancidity: turns early}\n").goals
    assert (old.side, old.value, old.said) == (new.side, new.value, new.said)
    assert str(old.said) == "rancidity turns early (at least 2.5)"


def test_a_number_beyond_all_bars_is_told_short(tmp_path: Path) -> None:
    """A fault says 1e+308 bars, and not a number of 309 digits."""
    written = tmp_path / "goals.yaml"
    written.write_text("batch: {bars: 1e308}\n", encoding="utf-8")
    with pytest.raises(BadInput) as bad:
        read_goals(written)
    assert bad.value.diagnostics[0].message == "1e+308 bars cannot be made"
