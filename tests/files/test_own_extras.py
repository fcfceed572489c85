"""Additives and liquids of a maker's own on the shelf: what they borrow, how they are called, where they end."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.blend import answer, answer_for
from optimiser.answers.reach import reach
from optimiser.answers.reach_results import Reach
from optimiser.answers.results import Blend, NoBlend
from optimiser.files.goals import read_goals
from optimiser.files.question import read_question
from optimiser.files.shelf.shelf import extras_on, own_extras, read_shelf
from optimiser.materials.additives import additives
from optimiser.materials.liquids import liquids
from optimiser.measures.measures import levers
from optimiser.model.programme import build
from optimiser.problem.shelf import Shelf
from optimiser.text.diagnostics import BadInput, Diagnostic

FATS = """\
currency: EUR
fats:
  - {fat: olive oil, price: 7.00 / kg}
  - {fat: coconut oil, price: 3.00 / kg}
  - {fat: palm oil, price: 2.00 / kg}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}
"""
OWN = """\
additives:
  - {additive: lavender scent, like: essential oil, price: 60.00 / kg, at_most: 3 %}
  - {additive: mint scent, like: essential oils, price: 50.00 / kg, at_most: 20 g / kg}
  - {additive: house lactate, like: sodium lactate, price: 1.00 / kg}
  - {additive: rapeseed glycerine, like: glycerine, price: 3.00 / kg, tags: []}
  - {additive: kaolin, price: 3.00 / kg, at_most: 2 %}
  - {additive: salt, price: 0.60 / kg, at_most: 1 %}
liquids:
  - {liquid: goat milk, water: 87 %, price: 1.20 / kg}
  - {liquid: nanny milk, like: goats milk, price: 2.00 / kg}
  - {liquid: well brew, water: 98 %, price: 0.10 / kg, tags: [gluten]}
"""


def shelf(folder: Path, more: str = OWN) -> Shelf:
    """A shelf with these entries."""
    path = folder / "shelf.yaml"
    path.write_text(FATS + more, encoding="utf-8")
    return read_shelf(path)


def faults(folder: Path, more: str) -> list[Diagnostic]:
    """What is wrong with these entries."""
    with pytest.raises(BadInput) as caught:
        shelf(folder, more)
    return list(caught.value.diagnostics)


def goals(folder: Path, text: str) -> Path:
    """A goal file over the shelf."""
    shelf(folder)
    path = folder / "bar.yaml"
    path.write_text(f"shelf: shelf.yaml\npractice: off\nshares: {{olive oil: 50 %}}\n{text}", encoding="utf-8")
    return path


def blend(folder: Path, text: str) -> Blend:
    """The bar that these goals ask for."""
    story = answer(goals(folder, text))
    assert isinstance(story, Blend)
    return story


def test_one_of_ones_own_borrows_everything(tmp_path: Path) -> None:
    """All figures are those of the likeness; the end is the shelf's, in per cent, or as for a kilo of fats."""
    made = shelf(tmp_path)
    scent, mint = (made.additives[name].additive for name in ("lavender scent", "mint scent"))
    assert (scent.base, scent.most, scent.goes_in) == ("essential oil", 3.0, additives()["essential oil"].goes_in)
    assert mint.most == pytest.approx(2.0)
    assert made.additives["house lactate"].additive.water_fraction == additives()["sodium lactate"].water_fraction
    assert made.additives["rapeseed glycerine"].additive.tags == frozenset()
    assert made.additives["kaolin"].additive.usual_high == 2.0
    assert made.liquids["nanny milk"].additive.fat_fraction == liquids()["goat milk"].fat_fraction
    assert made.liquids["goat milk"].additive.water_fraction == 0.87
    assert made.liquids["well brew"].additive.tags == {"gluten"}


def test_several_scents_are_columns_of_their_own(tmp_path: Path) -> None:
    """Two scents of one likeness go in side by side, each with its grams and its price."""
    story = blend(tmp_path, "additives: {lavender scent: 20 g, Mint_Scent: 10 g / kg}\n")
    assert {line.additive: line.grams for line in story.additives} == pytest.approx(
        {"lavender scent": 20.0, "mint scent": 10.0}
    )
    assert [line.cost for line in story.additives] == pytest.approx([1.2, 0.5])


def test_levers_of_the_likeness_apply(tmp_path: Path) -> None:
    """Two per cent of a lactate of one's own harden as two per cent of sodium lactate do."""
    own = blend(tmp_path, "additives: {house lactate: 2 %}\n")
    plain = blend(tmp_path, "additives: {sodium lactate: 2 %}\n")
    none = blend(tmp_path, "")
    for key in ("hardness", "set_up", "quick_lather"):
        assert own.figures[key] == pytest.approx(plain.figures[key])
        assert own.figures[key] - none.figures[key] == pytest.approx(
            2.0 * levers(key).additives["sodium lactate"], abs=1e-6
        )


def test_may_use_takes_one_of_ones_own(tmp_path: Path) -> None:
    """It goes in where it pays: as far as the usual most of its likeness."""
    story = blend(tmp_path, "may_use: [house lactate]\nprefer: [{hardness: {at_least: 99}}]\n")
    assert [(line.additive, round(line.share, 4)) for line in story.additives] == [("house lactate", 3.0)]


@pytest.mark.parametrize(
    ("asked", "name"),
    [("lavender scent: 4 %", "lavender scent"), ("kaolin: 30 g / kg", "kaolin"), ("salt: 2 %", "salt in the lye")],
)
def test_the_end_on_the_shelf_holds(tmp_path: Path, asked: str, name: str) -> None:
    """More than the shelf allows clashes with it, though house practice is off; `practice` alone moves it."""
    story = answer(goals(tmp_path, f"additives: {{{asked}}}\n"))
    assert isinstance(story, NoBlend)
    key = asked.partition(":")[0]
    assert [sorted(str(member.id) for member in clash) for clash in story.clashes] == [
        sorted([f"additives.{key}.exactly", f"practice.{name}.at_most"])
    ]


@pytest.mark.parametrize(
    "asked", ["lavender scent: 40 g", "lavender scent: {at_least: 4 %}", "lavender scent: 40 g, kaolin: 40 g"]
)
def test_no_way_out_moves_the_end_on_the_shelf(tmp_path: Path, asked: str) -> None:
    """Alone or with others it stays where it is: every change that is offered is one of the goals'."""
    story = answer(goals(tmp_path, f"additives: {{{asked}}}\n"))
    assert isinstance(story, NoBlend)
    assert story.concessions
    assert {change.id.section for way in story.concessions for change in way.changes} == {"additives"}
    (said, *_) = [member.said for clash in story.clashes for member in clash if member.id.section == "practice"]
    assert str(said).startswith("your shelf's own end: ")


def test_reach_keeps_the_end_on_the_shelf(tmp_path: Path) -> None:
    """A wish is lifted while its additive is asked, the end that the shelf sets is not."""
    path = goals(tmp_path, "additives: {lavender scent: {at_least: 1 %}}\n")
    told = reach(path)
    assert isinstance(told, Reach)
    (line,) = [line for line in told.lines if line.id == "lavender scent"]
    assert line.low == pytest.approx(0.0, abs=1e-6)
    assert line.high == pytest.approx(3.0)


@pytest.mark.parametrize("key", ["lavender scent", "kaolin", "salt"])
def test_practice_moves_the_end_on_the_shelf(tmp_path: Path, key: str) -> None:
    """A figure of the maker's under `practice` replaces the end that the shelf sets, by the additive's name."""
    path = goals(tmp_path, f"additives: {{{key}: 4 %}}\n")
    path.write_text(path.read_text(encoding="utf-8").replace("practice: off", f"practice: {{{key}: 5 %}}"), "utf-8")
    asked = read_question(path)
    ends = [
        row.limit
        for row in build(asked.goals, asked.shelf).rows
        if row.figure == key and row.side == "at_most" and row.origin != "physics"
    ]
    assert ends == [5.0]


@pytest.mark.parametrize(
    ("tag", "text", "is_barred"),
    [
        ("milk", "liquids: {nanny milk: 20 %}", True),
        ("milk", "additives: {goat milk powder: 1 %}", True),
        ("palm", "additives: {glycerine: 1 %}", True),
        ("coconut", "liquids: {coconut water: 20 %}", True),
        ("palm", "additives: {rapeseed glycerine: 1 %}", False),
        ("milk", "liquids: {well brew: 20 %}", False),
        ("gluten", "liquids: {well brew: 20 %}", True),
    ],
)
def test_free_from_takes_additives_and_liquids_along(tmp_path: Path, tag: str, text: str, is_barred: bool) -> None:  # noqa: FBT001
    """A tag bars liquids and additives; one of one's own without the tag is let through."""
    story = answer(goals(tmp_path, f"free_from: [{tag}]\n{text}\n").rename(tmp_path / "goals.yaml"))
    names = {str(member.id) for clash in story.clashes for member in clash} if isinstance(story, NoBlend) else set()
    assert (f"free_from.{tag}" in names) is is_barred


@pytest.mark.parametrize(
    ("word", "tag", "text"),
    [
        ("dairy", "milk", "additives: {goat milk powder: 1 %}"),
        ("Dairy_Products", "milk", "liquids: {goat milk: 20 %}"),
        ("vegan", "animal", "additives: {honey: 1 %}"),
        ("vegan", "animal", "additives: {goat milk powder: 1 %}"),
        ("soy", "soya", "liquids: {soya milk: 20 %}"),
    ],
)
def test_a_word_for_a_tag_bars_what_the_tag_bars(tmp_path: Path, word: str, tag: str, text: str) -> None:
    """A word for milk keeps it out of the pot in whatever form, and the answer speaks of the tag."""
    path = goals(tmp_path, f"free_from: [{word}]\n{text}\n").rename(tmp_path / "goals.yaml")
    sheet = read_goals(path)
    assert [str(item.said) for item in sheet.free_from] == [f"free from {tag}"]
    story = answer(path)
    assert isinstance(story, NoBlend)
    assert f"free_from.{tag}" in {str(member.id) for clash in story.clashes for member in clash}


def test_a_liquid_of_ones_own_is_poured(tmp_path: Path) -> None:
    """Half of what stands for the water is milk, by its own name, at its own price."""
    story = blend(tmp_path, "liquids: {nanny milk: 50 %}\n")
    (line,) = story.liquids
    assert (line.liquid, round(line.share, 6)) == ("nanny milk", 50.0)
    assert line.cost == pytest.approx(line.grams * 0.002)
    assert line.grams == pytest.approx(story.water.grams)


def test_goals_and_a_shelf_that_were_read_alone_come_together(tmp_path: Path) -> None:
    """Whoever reads both from Python and asks has the ends of the shelf too."""
    sheet = read_goals(goals(tmp_path, "additives: {kaolin: {at_least: 1 %, at_most: 9 %}}\n"))
    story = answer_for(sheet._replace(prefer=()), shelf(tmp_path))
    assert isinstance(story, Blend)
    assert "practice.kaolin.at_most" in {str(goal.id) for goal in story.goals}


@pytest.mark.parametrize(
    ("entry", "code", "words"),
    [
        ("additives: [{additive: lavendar, price: 6 / kg}]", "unknown-additive", "like:"),
        ("additives: [{additive: zzqqxx, price: 6 / kg}]", "unknown-additive", "for one of your own add"),
        ("liquids: [{liquid: zzqqxx, price: 6 / kg}]", "unknown-liquid", "for one of your own add"),
        ("additives: [{additive: sodum lactate, price: 6 / kg}]", "unknown-additive", "sodium lactate"),
        ("additives: [{additive: mine, like: essentail oil, price: 6 / kg}]", "unknown-additive", "essential oil"),
        ("additives: [{additive: kaolin, like: bentonite, price: 6 / kg}]", "contradiction", "name of its own"),
        ("additives: [{additive: lard, like: kaolin, price: 6 / kg}]", "taken-name", "house lard"),
        ("additives: [{additive: beer, like: kaolin, price: 6 / kg}]", "taken-name", "house beer"),
        ("additives: [{additive: mine, like: kaolin, price: 6 / kg, at_most: 30 g}]", "wrong-unit", "30 g / kg"),
        ("additives: [{additive: mine, like: kaolin, price: 6 / kg, at_most: 130 %}]", "out-of-range", "100 %"),
        (
            "additives: [{additive: mine, like: kaolin, price: 6 / kg}]\nliquids: [{liquid: Mine, water: 90 %, price: 6 / kg}]",
            "repeated-name",
            "another name",
        ),
        ("liquids: [{liquid: mine, price: 6 / kg}]", "unknown-liquid", "water:"),
        ("liquids: [{liquid: mine, like: gaot milk, price: 6 / kg}]", "unknown-liquid", "goat milk"),
        ("liquids: [{liquid: beer, like: goat milk, price: 6 / kg}]", "contradiction", "name of its own"),
        ("liquids: [{liquid: salt, water: 90 %, price: 6 / kg}]", "taken-name", "house salt"),
        ("liquids: [{liquid: mine, water: 5 %, price: 6 / kg}]", "out-of-range", "20 %"),
        (
            "liquids: [{liquid: goat milk, price: 6 / kg}, {liquid: goats milk, price: 7 / kg}]",
            "repeated-name",
            "keep one",
        ),
    ],
)
def test_entries_that_cannot_be_are_told(tmp_path: Path, entry: str, code: str, words: str) -> None:
    """Names that stand for nothing or for something else, and figures that cannot be, each with what to write."""
    (found,) = faults(tmp_path, f"{entry}\n")
    assert found.code == code
    assert words in found.help


def test_own_names_are_known_of_a_faulty_shelf(tmp_path: Path) -> None:
    """What is wrong with a price is told of the shelf alone: the goal file's names are known all the same."""
    path = tmp_path / "shelf.yaml"
    path.write_text(
        FATS.replace("7.00", "seven") + OWN.replace("60.00", "sixty").replace("3.00", "three"), encoding="utf-8"
    )
    names = [item.name for item in extras_on(path)]
    assert names[:2] == ["lavender scent", "mint scent"]
    assert "nanny milk" in names
    assert "kaolin" not in names
    assert own_extras(None, path, tmp_path / "none.yaml")() == {}


def test_an_own_name_is_not_known_without_its_shelf(tmp_path: Path) -> None:
    """Without the shelf that has it a scent is an unknown additive, offered no long list of names."""
    path = tmp_path / "bar.yaml"
    path.write_text("additives: {lavender scent: 1 %}\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_goals(path)
    (found,) = caught.value.diagnostics
    assert (found.code, found.help.count("'") <= 8) == ("unknown-additive", True)


def test_a_spreadsheet_has_them_too(tmp_path: Path) -> None:
    """A table of prices has additives and liquids of one's own with the same columns."""
    path = tmp_path / "shelf.csv"
    path.write_text(
        "item,name,like,price,at_most,water\nfat,lard,,2.20,,\nadditive,lavender scent,essential oil,60.00,3 %,\n"
        "liquid,nanny milk,goat milk,1.20,,86 %\nliquid,goat milk,,1.10,,\n",
        encoding="utf-8",
    )
    made = read_shelf(path)
    assert made.additives["lavender scent"].additive.most == 3.0
    assert made.liquids["nanny milk"].additive.water_fraction == 0.86
    assert made.liquids["goat milk"].price == 1.10
