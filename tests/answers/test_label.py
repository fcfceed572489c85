"""The label: lists, net weight, what must be looked up, and what it never says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from strategies import recipe_at

from optimiser.answers.label import Label, label, labelled
from optimiser.answers.results import NoBlend
from optimiser.materials.fat_table import reference
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.reference import rows
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
SHELF = """\
fats:
  - {fat: olive oil, price: 3 / kg}
  - {fat: house infusion, like: olive oil, price: 4 / kg}
  - {fat: mystery butter, saponification_value: 186, price: 8 / kg}
additives:
  - {additive: lavender scent, like: essential oil, price: 60 / kg}
liquids:
  - {liquid: house brew, water: 90 %, price: 1 / kg}
alkalis:
  sodium hydroxide: {price: 2 / kg}
  potassium hydroxide: {price: 4 / kg, purity: 90 %}
"""


def told(folder: Path, recipe: str, shelf: str = SHELF) -> Label:
    """The label of a recipe beside a shelf."""
    (folder / "shelf.yaml").write_text(shelf, encoding="utf-8")
    path = folder / "bar.yaml"
    path.write_text(f"shelf: shelf.yaml\n{recipe}", encoding="utf-8")
    found = label(path)
    assert isinstance(found, Label)
    return found


def of(recipe: Recipe) -> Label:
    """The label of a recipe as a value."""
    return labelled(recipe, judge(recipe), bar_grams=100.0)


def test_a_goal_file_is_labelled_as_it_would_be_weighed() -> None:
    """The lists are of the recipe on the balance: as much as goes into its pot, as much as its bars weigh."""
    found = label(ROOT / "goals" / "everyday.yaml")
    assert isinstance(found, Label)
    assert sum(one.grams for one in found.as_charged) == pytest.approx(found.judgement.batter_grams)
    assert sum(one.grams for one in found.as_saponified) == pytest.approx(found.judgement.cured_grams)
    assert found.as_saponified[0].name.startswith("Sodium ")
    assert found.net_weight.bar_grams == pytest.approx(110.0)


def test_goals_without_a_blend_have_no_label() -> None:
    """Where there is no blend the answer is why."""
    found = label(ROOT / "goals" / "cannot-be.yaml")
    assert isinstance(found, NoBlend)
    assert found.clashes


def test_a_shelf_is_neither_a_recipe_nor_goals() -> None:
    """Another file is refused by what it is."""
    with pytest.raises(BadInput, match="neither a recipe nor a goal file"):
        label(ROOT / "inventory" / "kittiwake.yaml")


def test_bars_that_were_counted_share_the_weight(tmp_path: Path) -> None:
    """With ten bars told each weighs a tenth of what there is once cured."""
    found = told(tmp_path, "fats: {olive oil: 1000 g}\nsuperfat: 5 %\nbars: 10\n")
    assert found.net_weight.bar_grams == pytest.approx(found.judgement.cured_grams / 10.0)
    assert found.net_weight.batch_grams == pytest.approx(found.judgement.cured_grams)


def test_a_paste_has_no_bar_and_keeps_its_water(tmp_path: Path) -> None:
    """Soft soap is filled into jars: its whole weight is told, water and all, and its soaps are of potassium."""
    found = told(tmp_path, "fats: {olive oil: 1000 g}\nsuperfat: 3 %\npotassium_share: 100 %\nwater: 400 g\n")
    assert found.net_weight.bar_grams is None
    assert found.net_weight.batch_grams == pytest.approx(found.judgement.batter_grams)
    assert [one.name for one in found.as_saponified][:2] == ["Potassium Olivate", "Water"]


def test_what_has_no_name_is_asked_for_and_likeness_is_told(tmp_path: Path) -> None:
    """A fat and a liquid of the maker's own want inci:, an infusion goes by its oil's names, a scent's allergens are asked for."""
    recipe = "fats: {house infusion: 700 g, mystery butter: 300 g}\nsuperfat: 5 %\nliquids: {house brew: 50 %}\nadditives: {lavender scent: 20 g}\n"
    found = told(tmp_path, recipe)
    said = "\n".join(found.to_check)
    assert "No name for a list of ingredients is known here of house brew and mystery butter: write inci:" in said
    assert "House infusion goes by the names of olive oil" in said
    assert "Of lavender scent the shelf states no allergens" in said
    stated = SHELF.replace("price: 8 / kg", "price: 8 / kg, inci: Butter Name, inci_sodium_soap: Sodium Butterate")
    stated = stated.replace("like: olive oil", "like: olive oil, inci: Olive And Marigold")
    stated = stated.replace("price: 60 / kg", "price: 60 / kg, allergens: none").replace(
        "90 %, price", "90 %, inci: Brew, price"
    )
    found = told(tmp_path, recipe, stated)
    assert {"Butter Name", "Olive And Marigold", "Brew"} <= {one.name for one in found.as_charged}
    assert {"Sodium Butterate", "Sodium Olivate"} <= {one.name for one in found.as_saponified}
    said = "\n".join(found.to_check)
    assert "inci:" not in said
    assert "allergens" not in said


def test_two_lots_of_a_fat_are_one_name_and_ask_nothing() -> None:
    """Lots are weighed apart and labelled as one: their number is nothing for a list, and a lot is no likeness."""
    almond = reference().get("sweet almond oil")
    lots = tuple(almond._replace(name=f"sweet almond oil (lot A-{n})", base="sweet almond oil") for n in (1, 2))
    found = of(Recipe(((lots[0], 600.0), (lots[1], 400.0)), 125.0, 0.0, 250.0))
    assert [one.name for one in found.as_charged] == [
        "Prunus Amygdalus Dulcis (Sweet Almond) Oil",
        "Water",
        "Sodium Hydroxide",
    ]
    assert not any("goes by the names" in said for said in found.to_check)
    assert sum("sweet almond oil (tree nut" in said for said in found.avoided) == 1


def test_names_that_were_not_verified_are_told() -> None:
    """Baobab's names were built by the convention and never seen listed: they are to be looked up, olive's are not."""
    said = "\n".join(of(recipe_at({"olive oil": 9.0, "baobab oil": 1.0})).to_check)
    assert "Adansonia Digitata Seed Oil" in said
    assert "Sodium Baobabate" in said
    assert "Olivate" not in said


def test_what_some_people_avoid_is_told() -> None:
    """Almond is a tree nut, milk is milk, coconut is on older lists; olive is nobody's worry."""
    recipe = recipe_at({"olive oil": 6.0, "sweet almond oil": 2.0, "coconut oil": 2.0}, extra={"milk powder": 1.0})
    said = "\n".join(of(recipe).avoided)
    assert "sweet almond oil (tree nut" in said
    assert "milk powder (milk" in said
    assert "Coconut oil: a tree nut on the food list" in said
    assert "olive" not in said
    assert "coconut oil (" not in said
    assert of(recipe_at({"olive oil": 10.0})).avoided == ()


def test_the_notes_are_for_what_is_in_the_bar() -> None:
    """Scent brings the note on allergens; most salt and little soap the question whether it is soap by 21 CFR 701.20."""
    plain, salted = of(recipe_at({"olive oil": 9.0})), of(recipe_at({"coconut oil": 5.0}, extra={"salt": 80.0}))
    scented = of(recipe_at({"olive oil": 9.0}, extra={"essential oil": 3.0}))

    def says(found: Label, part: str) -> bool:
        return any(part in note.said for note in found.notes)

    assert not says(plain, "Allergens of scents")
    assert says(scented, "Allergens of scents")
    assert plain.soap_share > 80.0
    assert not says(plain, "Less than half")
    assert salted.soap_share < 50.0
    assert says(salted, "Less than half")


def test_every_label_defers_and_claims_nothing() -> None:
    """Both laws are named, local rules and an assessor are deferred to, and no word of ours says that a soap heals."""
    found = of(recipe_at({"olive oil": 9.0}))
    said = " ".join(note.said for note in found.notes)
    for part in (
        "21 CFR 701.20",
        "21 CFR 701.3",
        "1223/2009",
        "rules where you sell",
        "safety assessor",
        "local rules",
    ):
        assert part in said
    claims = re.compile(
        r"\b(heals|cures|treats|relieves|soothes|anti\w+|therap\w+|eczema|acne|psoriasis)\b", re.IGNORECASE
    )
    for text in (said, *(row["said"] for row in rows("label_notes"))):
        assert not claims.search(text)


def test_a_bar_that_must_not_be_made_says_so(tmp_path: Path) -> None:
    """A lye-heavy recipe has hydroxide left in its list, and is unfit."""
    found = told(tmp_path, "fats: {olive oil: 1000 g}\nalkali: {sodium hydroxide: 190 g}\nwater: 300 g\n")
    assert found.is_unfit
    assert "Sodium Hydroxide" in [one.name for one in found.as_saponified]
    assert any("LYE-HEAVY" in one for one in found.cautions)
