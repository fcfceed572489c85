"""Names that stand for something already are no names for a fat of a maker's own; names that are odd work everywhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend, NoBlend
from optimiser.files.goal_file import GoalForm
from optimiser.files.goals import read_goals
from optimiser.files.keys import ALKALIS, tag_names
from optimiser.files.pointers import SECTIONS
from optimiser.files.shelf.shelf import read_shelf
from optimiser.files.taken_names import stands_for
from optimiser.materials.additives import additives
from optimiser.materials.fat import GROUPS, KINDS, PLURALS
from optimiser.materials.fat_table import fold as fold_fat
from optimiser.measures.vocabulary import same_as
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.writing import scalar

ODD = (
    *("butter #2", "house: olive", "[x]", "@home", "'q'", "- x", "no", "1e3", "~", "null", "a: b", "🧼", "🐝 oil"),
    *(
        "\"both\" 'q'",
        "? x",
        "! x",
        "& x",
        "* x",
        "% x",
        "`x`",
        "=",
        "<<",
        "{x}",
        "a, b",
        "crème",
        "石鹸",
        "x  y ",
        "12:30",
    ),
    *("my.oil", "at_least: 5 %", "tag \\ slash", "C18:1 rich"),
)


def shelf_faults(folder: Path, text: str, name: str = "a.yaml") -> tuple[Diagnostic, ...]:
    """What is wrong with a shelf."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as bad:
        read_shelf(path)
    return bad.value.diagnostics


@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("water", "the water of every batch"),
        ("Water", "the water of every batch"),
        ("sugar", "the additive sugar"),
        ("runny honey", "the additive honey"),
        ("sodium-hydroxide", "the alkali sodium hydroxide"),
        ("KOH", "the alkali potassium hydroxide"),
        ("butter", "all butters together"),
        ("Hard Oils", "all hard oils together"),
        ("waxes", "all waxes together"),
        ("solid fats", "all solid fats together"),
        ("animal", "everything with the tag 'animal'"),
        ("dairy products", "everything with the tag 'milk'"),
        ("vegan", "everything with the tag 'animal'"),
        ("soft oils", "all liquid oils together"),
        ("hardness", "a goal: hardness"),
        ("linoleic", "a goal: linoleic acid"),
        ("quick lather", "a goal: quick lather"),
        ("free_from", "a part of a goal file or a recipe"),
        ("at least", "a part of a goal file or a recipe"),
    ],
)
def test_a_taken_name_is_refused_with_a_free_one(tmp_path: Path, name: str, other: str) -> None:
    """A shelf in either form refuses such a fat at its line, says what the name stands for, and offers one that is free."""
    text = f"fats:\n  - {{fat: lard, price: 2 / kg}}\n  - {{fat: {name}, like: olive oil, price: 3 / kg}}\n"
    sheet = f"fat,like,price\nlard,,2\n{name},olive oil,3\n"
    for found in (shelf_faults(tmp_path, text), shelf_faults(tmp_path, sheet, "a.csv")):
        (fault,) = found
        assert fault.code == "taken-name"
        assert fault.message == f"'{name}' stands for {other}, so no fat can be called so"
        assert fault.help == f"give it a name of its own, as in 'house {name}'"
        assert fault.span is not None
        assert fault.span.line == 3
    assert stands_for(f"house {name}") is None


def test_every_name_of_a_column_a_kind_or_a_tag_is_taken() -> None:
    """Additives, alkalis, kinds, tags and the sections of a goal file: all their names, one by one."""
    names = {called for item in additives().values() for called in (item.name, *item.synonyms)}
    names |= {called for alkali, more in ALKALIS.items() for called in (alkali, *more)}
    names |= {*KINDS, *PLURALS.values(), *GROUPS, *tag_names(), *GoalForm.written()}
    names |= {*same_as("free_from"), *same_as("shares")}
    assert [name for name in sorted(names) if stands_for(name) is None] == []
    assert set(GoalForm.written()) <= set(SECTIONS)


@pytest.mark.parametrize("name", [*ODD, "my butter", "olive infusion", "house soap"])
def test_other_names_are_free(name: str) -> None:
    """Whatever stands for nothing else is a name."""
    assert stands_for(name) is None


def test_two_pictures_are_two_names(tmp_path: Path) -> None:
    """Names without a letter are told apart, and those that fold alike are refused as one."""
    assert fold_fat("🧼") != fold_fat("🐝")
    entries = "".join(f"  - {{fat: '{name}', like: olive oil, price: 3 / kg}}\n" for name in ("🧼", "🐝", "~"))
    path = tmp_path / "a.yaml"
    path.write_text(f"fats:\n{entries}", encoding="utf-8")
    assert [item.fat.name for item in read_shelf(path).fats] == ["🧼", "🐝", "~"]
    twice = entries + "  - {fat: My-Own, like: lard, price: 1}\n  - {fat: my own, like: lard, price: 1}\n"
    (fault,) = [item for item in shelf_faults(tmp_path, f"fats:\n{twice}") if item.code == "repeated-name"]
    assert fault.message == "'my own' stands on the shelf twice"


def filed(folder: Path, name: str, goal: str, share: str) -> Path:
    """A goal file of one goal line and one share line, over a shelf with a fat of this name."""
    folder.mkdir(exist_ok=True)
    shelf = f"fats:\n  - fat: {scalar(name)}\n    like: olive oil\n    price: 3 / kg\n  - {{fat: palm oil, price: 2 / kg}}\n"
    shelf += "  - {fat: coconut oil, price: 2 / kg}\n"
    (folder / "shelf.yaml").write_text(shelf, encoding="utf-8")
    path = folder / "bar.yaml"
    path.write_text(f"shelf: shelf.yaml\ngoals:\n  {goal}\nshares:\n  {share}\n", encoding="utf-8")
    return path


@pytest.mark.long
@pytest.mark.parametrize("name", ODD)
def test_lines_to_paste_open_a_blend_for_every_name(tmp_path: Path, name: str) -> None:
    """However a fat of one's own is called, the lines offered, pasted as they stand, open a blend."""
    goal, share = "hardness: {at_least: 75}", f"{scalar(name)}: {{at_least: 90 %}}"
    told = answer(filed(tmp_path, name, goal, share))
    assert isinstance(told, NoBlend)
    pasted = 0
    for way in told.concessions:
        lines = {change.where: change.paste for change in way.changes}
        if not set(lines) <= {"goals", "shares"}:
            continue
        opened = answer(filed(tmp_path, name, lines.get("goals", goal), lines.get("shares", share)))
        assert isinstance(opened, Blend), lines
        pasted += "shares" in lines
    assert pasted


# -- wishes --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ["stearic acid", "lauric acid", "lauric", "olive oil", "hard oils", "palm"])
def test_a_preference_reads_a_name_as_a_share_does(tmp_path: Path, key: str) -> None:
    """A name that a share knows means the same under prefer."""
    path = tmp_path / "a.yaml"
    path.write_text(f"shares: {{{key}: {{at_most: 9 %}}}}\nprefer: [{{{key}: {{at_most: 9 %}}}}]\n", encoding="utf-8")
    sheet = read_goals(path)
    ((wish,),) = sheet.prefer
    (share,) = sheet.shares
    assert (wish.key, wish.subject, wish.said) == (share.key, share.subject, share.said)


@pytest.mark.parametrize(("key", "acid"), [("C18:0", "C18:0"), ("stearic", "C18:0"), ("linoleic acid", "C18:2")])
def test_an_acid_is_preferred_by_its_number(tmp_path: Path, key: str, acid: str) -> None:
    """The acid in every fat is reached by its number, and by a name that no fat has."""
    path = tmp_path / "a.yaml"
    path.write_text(f"prefer: [{{'{key}': {{at_most: 9 %}}}}]\n", encoding="utf-8")
    ((wish,),) = read_goals(path).prefer
    assert (wish.key, wish.subject) == (acid, "quantity")


# -- masses where per cent are wanted --------------------------------------------------------------------------------


def goal_fault(folder: Path, text: str) -> Diagnostic:
    """The one fault of a goal file."""
    path = folder / "a.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as bad:
        read_goals(path)
    (fault,) = bad.value.diagnostics
    return fault


@pytest.mark.parametrize(
    ("text", "help_"),
    [
        ("batch: {fats: 5 kg}\nshares: {rice bran oil: 2 kg}", "2 kg in 5 kg of fats is 40 %: write 40 %"),
        ("batch: {fats: 5 kg}\nshares: {rice bran oil: {at_least: 6 kg}}", "6 kg is more than the 5 kg of all fats"),
        (
            "batch: {fats: 1 kg}\nshares: {butters: {between: [10 %, 4 oz]}}",
            "4 oz in 1 kg of fats is 11.34 %: write 11.34 %",
        ),
        ("batch: {fats: 2 kg}\nprefer: [{olive oil: {at_least: 500 g}}]", "500 g in 2 kg of fats is 25 %: write 25 %"),
        ("batch: {fats: 2 kg}\nfats: {each_at_least: 50 g}", "50 g in 2 kg of fats is 2.5 %: write 2.5 %"),
        ("batch: {fats: 2 kg}\npractice: {castor oil: 300 g}", "300 g in 2 kg of fats is 15 %: write 15 %"),
        (
            "shares: {rice bran oil: 2 kg}",
            "a mass is a share of the batch it goes into: 2 kg in 10 kg of fats is 20 %, and of less it is more",
        ),
        (
            "batch: {bars: 10}\nshares: {rice bran oil: 300 g}",
            "divide the mass by that of all fats, and multiply by 100: 300 g to 1 kg of fats is 30 %",
        ),
        ("goals: {superfat: 50 g}", "write what part of the whole it is, in per cent"),
        ("goals: {lye_concentration: 300 g/kg}", "write what part of the whole it is, in per cent"),
        ("batch: {fats: 1 kg, cured_water: 10 g}", "write what part of the whole it is, in per cent"),
    ],
)
def test_a_mass_is_never_taken_for_a_per_cent(tmp_path: Path, text: str, help_: str) -> None:
    """The help for a mass says what its per cent would be, or how to find it: never the same figure with another sign."""
    fault = goal_fault(tmp_path, text + "\n")
    assert fault.code == "wrong-unit"
    assert "per cent" in fault.message
    assert fault.help == help_


@pytest.mark.parametrize(
    ("unit", "is_one"),
    [("pc", True), ("g", False), ("tsp.", False), ("‰", False), ("fl oz", False), ("degC", False), ("ppm", False)],
)
def test_only_a_misspelt_per_cent_keeps_its_figure(tmp_path: Path, unit: str, is_one: bool) -> None:  # noqa: FBT001
    """What measures nothing may have been meant for per cent."""
    fault = goal_fault(tmp_path, f"goals: {{superfat: 7 {unit}}}\n")
    assert (fault.help == "write 7 %") == is_one


@pytest.mark.parametrize(
    ("word", "help_"),
    [
        ("lactose", "here that is the tag milk: write milk"),
        ("dairy free", "here that is a bar without anything that has the tag milk: write milk"),
        ("Nut-Free", "here that is a bar without anything that has the tag nut: write nut"),
        ("cow", "which is meant? its fat: write beef; or its milk: write milk"),
        ("palm oil", "everything of palm has the tag 'palm'; to leave out one fat, write under shares: palm oil: 0 %"),
        ("olive oil", "to leave out one fat, write under shares: olive oil: 0 %"),
    ],
)
def test_other_words_for_a_tag_point_at_it(tmp_path: Path, word: str, help_: str) -> None:
    """What is to be kept out altogether is pointed at by its tag, not by one fat that happens to be called so."""
    fault = goal_fault(tmp_path, f"free_from: [{word}]\n")
    assert (fault.code, fault.help) == ("unknown-tag", help_)
