"""Goals and a shelf made in Python: the same values, and the same answers, as from files."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend, NoBlend
from optimiser.files.goals import read_goals
from optimiser.files.shelf.shelf import read_shelf
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.asking import at_least, at_most, exactly, goals_of, shelf_of
from optimiser.problem.limits import Limit
from optimiser.report.json import documents
from optimiser.report.terminal import text

GOALS = """\
title: a bar
batch: {fats: 2 kg}
goals: {hardness: {at_least: 45}, cost: {at_most: 9 / kg}, superfat: 6 %}
shares: {olive oil: {at_least: 30}, hard oils: {at_most: 40}, lauric: {at_most: 25}}
additives: {sodium lactate: {at_least: 1 %}}
free_from: [palm]
"""
SHELF = """\
currency: EUR
fats: [{fat: olive oil, price: 7.4 / kg}, {fat: coconut oil, price: 3.1 / kg}, {fat: shea butter, price: 9.8 / kg}, {fat: lard, price: 2.2 / kg}]
alkalis: {sodium hydroxide: {price: 2.4 / kg, purity: 98 %}}
additives: [{additive: sodium lactate, price: 9 / kg}]
"""


def test_python_and_files_ask_alike(tmp_path: Path) -> None:
    """The same wishes give the same rows in the same words, and the same blend to the last digit."""
    (tmp_path / "bar.yaml").write_text(
        GOALS.replace("lauric: {at_most: 25}", "coconut: {at_most: 25}"), encoding="utf-8"
    )
    (tmp_path / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    read = read_goals(tmp_path / "bar.yaml", tmp_path / "shelf.yaml"), read_shelf(tmp_path / "shelf.yaml")
    made = (
        goals_of(
            *(at_least("Hardness", 45), at_most("cost", 9), exactly("superfat", 6)),
            *(at_least("olive oil", 30), at_most("hard oil", 40), at_most("coconut", 25)),
            at_least("sodium lactate", 1),
            free_from=["palm"],
            fats_kg=2.0,
        ),
        shelf_of(
            {"olive oil": 7.4, "coconut oil": 3.1, "shea butter": 9.8, "lard": 2.2},
            sodium_hydroxide=2.4,
            purities=(0.98, 1.0),
            additives_at={"sodium lactate": 9.0},
            currency="EUR",
        ),
    )
    one, other = answer_for(*read), answer_for(*made)
    assert isinstance(one, Blend)
    assert isinstance(other, Blend)
    assert [(line.fat, line.grams) for line in one.fats] == [(line.fat, line.grams) for line in other.fats]
    assert one.alkali == other.alkali
    assert one.cost == other.cost
    assert [str(line.id) for line in one.goals] == [str(line.id) for line in other.goals]
    assert {str(line.said) for line in other.goals} <= {str(line.said) for line in one.goals} | {
        "cost at most 9 / kg",
        "superfat exactly 6 %",
        "sodium lactate at least 1 %",
    }


@pytest.mark.parametrize(
    ("name", "key", "subject"),
    [
        ("wear life", "wear_life", SubjectKind.QUANTITY),
        ("Olive Oil", "olive oil", SubjectKind.FAT),
        ("hard oil", "hard oils", SubjectKind.KIND),
        ("solid fats", "solid fats", SubjectKind.GROUP),
        ("palm", "palm", SubjectKind.TAG),
        ("sugar", "sugar", SubjectKind.ADDITIVE),
    ],
)
def test_names_are_those_of_the_files(name: str, key: str, subject: SubjectKind) -> None:
    """A measure, a fat, a kind, a group, a tag, an additive: each is found by the name that a file would have."""
    wish = at_most(name, 20)
    assert (wish.key, wish.subject, wish.side, wish.value) == (key, subject, Side.AT_MOST, 20)


@pytest.mark.parametrize("figure", [math.nan, math.inf, -1.0, 101.0])
def test_figures_that_nothing_can_have_are_refused(figure: float) -> None:
    """NaN would hang a solver, and a share of 101 % is a slip."""
    with pytest.raises(ValueError, match=r"olive oil lies between 0 and 100"):
        at_least("olive oil", figure)


def test_what_is_not_known_is_refused() -> None:
    """A name that nothing has, a tag that nothing bears, a price of nothing real, a unit where there is none."""
    with pytest.raises(ValueError, match="'sparkle' is no measure, fat, kind, tag, additive or liquid"):
        at_least("sparkle", 3)
    with pytest.raises(ValueError, match=r"'sand' is no tag that is known here: .*palm"):
        goals_of(free_from=["sand"])
    with pytest.raises(ValueError, match="'whale oil' is no fat"):
        shelf_of({"whale oil": 3.0}, sodium_hydroxide=2.0)
    with pytest.raises(ValueError, match="'glitter' is no additive"):
        shelf_of({"olive oil": 3.0}, sodium_hydroxide=2.0, additives_at={"glitter": 1.0})
    with pytest.raises(ValueError, match="a price of -1 for olive oil"):
        shelf_of({"olive oil": -1.0}, sodium_hydroxide=2.0)
    with pytest.raises(ValueError, match=r"from 0\.8 to 1, not 0\.5: that is a lye sold ready made"):
        shelf_of({"olive oil": 1.0}, sodium_hydroxide=2.0, purities=(0.5, 0.9))
    with pytest.raises(ValueError, match="a purity is a fraction"):
        shelf_of({"olive oil": 1.0}, sodium_hydroxide=2.0, purities=(98.0, 0.9))
    with pytest.raises(ValueError, match="only a cost is per something"):
        at_least("hardness", 45, per="bar")


def test_masses_and_liquids_are_asked_for() -> None:
    """An additive by its grams in the batch or for a kilo of fats, a liquid by its share of what stands for the water."""
    kaolin, salt, milk = exactly("kaolin", 30, unit="g"), at_least("salt", 5, unit="g/kg"), exactly("goat milk", 50)
    goals = goals_of(kaolin, salt, milk, fats_kg=2.0, practice=False)
    assert [(wish.key, wish.unit, wish.value) for wish in goals.additives] == [
        ("kaolin", "g", 30.0),
        ("salt", "g/kg", 5.0),
        ("salt", "%", 3.0),
    ]
    assert [(wish.key, wish.unit, wish.value) for wish in goals.liquids] == [("goat milk", "%", 50.0)]
    extras = {"goat milk": 1.2, "salt": 50.0}
    shelf = shelf_of({"olive oil": 7.0, "coconut oil": 3.0}, sodium_hydroxide=2.4, additives_at=extras)
    assert list(shelf.liquids) == ["goat milk"]
    found = answer_for(goals, shelf)
    assert isinstance(found, Blend)
    assert [round(line.grams, 6) for line in found.additives] == [30.0, 10.0]
    assert [round(line.share, 6) for line in found.liquids] == [50.0]
    assert found.liquids[0].cost == pytest.approx(0.0012 * found.liquids[0].grams)


@pytest.mark.parametrize(("what", "unit"), [("olive oil", "g"), ("hardness", "g/kg"), ("kaolin", "oz"), ("cost", "g")])
def test_units_that_nothing_has_are_refused(what: str, unit: str) -> None:
    """Only additives and liquids are told in grams."""
    with pytest.raises(ValueError, match=r"is not told in"):
        at_least(what, 3.0, unit=unit)


def test_near_names_are_offered() -> None:
    """A slip of the finger brings the name that was meant, as in a file."""
    with pytest.raises(ValueError, match="hardness"):
        at_least("hardnes", 45)
    with pytest.raises(ValueError, match="olive oil"):
        shelf_of({"olve oil": 3.0}, sodium_hydroxide=2.0)


def test_what_a_file_would_refuse_is_refused() -> None:
    """An empty shelf, a fat under two of its names, a cost per tonne, a batch of nothing or told twice."""
    with pytest.raises(ValueError, match="makes no soap"):
        shelf_of({}, sodium_hydroxide=2.0)
    with pytest.raises(ValueError, match="olive oil stands on the shelf twice"):
        shelf_of({"olive oil": 3.0, "Olive Oil": 4.0}, sodium_hydroxide=2.0)
    with pytest.raises(ValueError, match="salt stands on the shelf twice"):
        shelf_of({"olive oil": 3.0}, sodium_hydroxide=2.0, additives_at={"salt": 1.0, "table salt": 2.0})
    with pytest.raises(ValueError, match="per kg, bar or lb, not per 'tonne'"):
        at_most("cost", 5, per="tonne")
    for batch in ({"fats_kg": 0.0}, {"bars": -3}, {"bar_kg": math.nan}, {"fats_kg": math.inf}):
        with pytest.raises(ValueError, match="is above 0"):
            goals_of(**batch)
    with pytest.raises(ValueError, match="not by both"):
        goals_of(fats_kg=1.0, bars=10)


@pytest.mark.parametrize(
    "wishes",
    [
        (at_least("hardness", 50), at_least("hardness", 95)),
        (exactly("superfat", 5), exactly("superfat", 8)),
        (exactly("olive oil", 20), at_most("olive oil", 40)),
        (at_most("cost", 6), at_most("cost", 0.2, per="bar")),
    ],
)
def test_one_side_is_asked_for_once(wishes: tuple[Limit, ...]) -> None:
    """Two figures for one side would share an id, and a clash would be told of the wrong one; both ends are two wishes."""
    with pytest.raises(ValueError, match="twice on one side"):
        goals_of(*wishes)
    assert len(goals_of(at_least("hardness", 50), at_most("hardness", 60)).goals) == 2


def test_a_fat_is_the_fat_and_an_acid_its_number() -> None:
    """As under `prefer`: "stearic acid" is what stands on the shelf, C18:0 is in every fat; "lauric" is none of either alone."""
    assert at_most("stearic acid", 2).subject == SubjectKind.FAT
    assert at_most("C18:0", 20).subject == SubjectKind.QUANTITY


@pytest.mark.parametrize("figure", [Decimal(60), Fraction(60), np.float64(60.0), 60])
def test_any_number_will_do(figure: float) -> None:
    """Whatever kind of number a caller has, the figure is the same float."""
    assert at_least("hardness", figure).value == 60.0
    assert type(at_least("hardness", figure).value) is float


@pytest.mark.parametrize(
    ("call", "fault"),
    [
        (lambda: at_least("hardness", 10**400), ValueError),
        (lambda: at_least("hardness", True), TypeError),  # noqa: FBT003
        (lambda: shelf_of({"olive oil": 1e300}, sodium_hydroxide=2.0), ValueError),
        (lambda: shelf_of({"olive oil": "3"}, sodium_hydroxide=2.0), TypeError),  # type: ignore[dict-item]
        (lambda: shelf_of({5: 3.0}, sodium_hydroxide=2.0), TypeError),  # type: ignore[dict-item]
        (lambda: shelf_of({"olive oil": 3.0}, sodium_hydroxide=None), TypeError),  # type: ignore[arg-type]
        (lambda: shelf_of({"olive oil": 3.0}, sodium_hydroxide=2.0, purities=(1.0,)), TypeError),  # type: ignore[arg-type]
        (lambda: shelf_of({"olive oil": 3.0}, sodium_hydroxide=2.0, purities=(1e-12, 1.0)), ValueError),
        (lambda: shelf_of({"olive oil": 3.0}, sodium_hydroxide=2.0, currency=5), TypeError),  # type: ignore[arg-type]
    ],
)
def test_odd_figures_are_refused_in_words(call: Callable[[], object], fault: type[Exception]) -> None:
    """Nothing that is no price, purity, name or figure gets as far as the solver."""
    with pytest.raises(fault, match=r" (is|are) "):
        call()


def test_what_is_no_wish_is_refused() -> None:
    """A text for a wish, a text for a figure, nothing for a name."""
    with pytest.raises(TypeError, match="a wish is made by at_least"):
        goals_of("hardness")  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="'60' is none"):
        at_least("hardness", "60")  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="a name is a text"):
        at_least(None, 60)  # type: ignore[arg-type]


@pytest.mark.parametrize("tags", ["palm", ["palm"]])
def test_one_tag_may_stand_alone(tags: str | list[str]) -> None:
    """A single tag need not be put into a list."""
    assert [item.tag for item in goals_of(free_from=tags).free_from] == ["palm"]


def test_so_many_bars_are_so_many() -> None:
    """Ten bars of 120 g cured are 1.2 kg of cured soap."""
    found = answer_for(
        goals_of(bars=10, bar_kg=0.12),
        shelf_of({"olive oil": 7.4, "lard": 2.2, "coconut oil": 3.1}, sodium_hydroxide=2.4),
    )
    assert isinstance(found, Blend)
    assert found.cost.bars == pytest.approx(10.0)
    assert found.cost.cured_grams == pytest.approx(1200.0)


def test_a_clash_is_told_without_a_file() -> None:
    """Goals that cannot be met together are named in the words they were asked in, though no line of a file holds them."""
    found = answer_for(
        goals_of(at_least("olive oil", 80), at_least("coconut oil", 30)),
        shelf_of({"olive oil": 7.4, "coconut oil": 3.1}, sodium_hydroxide=2.4),
    )
    assert isinstance(found, NoBlend)
    told = {str(member.said) for clash in found.clashes for member in clash}
    assert {"olive oil at least 80 %", "coconut oil at least 30 %"} <= told


def test_what_was_asked_without_a_file_is_told_without_one() -> None:
    """Text and data of an answer in Python name no file, no line of one, and no command on one."""
    shelf = shelf_of({"olive oil": 7.4, "coconut oil": 3.1}, sodium_hydroxide=2.4)
    found = answer_for(goals_of(at_least("olive oil", 60), free_from=["palm"]), shelf)
    none = answer_for(goals_of(at_least("olive oil", 80), at_least("coconut oil", 30)), shelf)
    assert isinstance(found, Blend)
    assert isinstance(none, NoBlend)
    for told in (text.blend(found, width=80), text.no_blend(none, width=80)):
        assert "''" not in told
        assert "a shelf" in told
    assert {(line["file"], line["line"]) for line in documents.blend(found)["goals"]} == {(None, None)}


def test_a_purity_may_be_off_from_python_too() -> None:
    """How much purer an alkali may be is that of its grade, or what the caller tells, and never more than to pure."""
    fats, price = {"olive oil": 7.4}, 2.4
    by_grade = shelf_of(fats, sodium_hydroxide=price, potassium_hydroxide=4.0, purities=(0.98, 0.9))
    assert by_grade.purest == pytest.approx((0.995, 0.92))
    told = shelf_of(fats, sodium_hydroxide=price, purities=(0.98, 0.9), purity_tolerances=(0.01, 0.0))
    assert told.purest == pytest.approx((0.99, 1.0))
    assert told.purity_basis == ("told", "assumed")
    assert shelf_of(fats, sodium_hydroxide=price).purest == (1.0, 1.0)
    for wrong in ((0.03, 0.0), (-0.01, 0.0), (math.nan, 0.0)):
        with pytest.raises(ValueError, match="purity tolerance"):
            shelf_of(fats, sodium_hydroxide=price, purities=(0.98, 0.9), purity_tolerances=wrong)
    with pytest.raises(TypeError, match="two fractions"):
        shelf_of(fats, sodium_hydroxide=price, purity_tolerances=0.01)  # type: ignore[arg-type]


def test_a_name_that_says_too_little_is_refused_from_python_with_its_reason() -> None:
    """Soy wax may be paraffin in part, so a price by that name is none to blend from."""
    with pytest.raises(ValueError, match=r"'Soy wax' says too little without a certificate: .*paraffin"):
        shelf_of({"Soy wax": 3.0}, sodium_hydroxide=2.4)
