"""Grams are rounded once: what a recipe holds is what tables, steps, data and saved files show."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Bar, bars, examples, recipe_at

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.answers.weigh import weigh
from optimiser.materials.fat_table import reference
from optimiser.problem.batch import Batch
from optimiser.recipe.balance import (
    down,
    fat_places,
    jug_places,
    near,
    places,
    sensible_places,
    step_in_hand,
    up,
    written,
)
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.report.json import documents
from optimiser.report.json.writing import to_json
from optimiser.report.recipe_yaml import recipe_yaml
from optimiser.report.terminal import text

ALKALIS = ("sodium hydroxide", "potassium hydroxide")
ROW = r"^  {name} +(\d[\d ]*(?:\.\d+)?)  "
STEP = r"(\d[\d ]*(?:\.\d+)?) g {name}"
OUNCE = 7.08738  # g: a quarter of an ounce
QUARTER = 7.087  # g: near a quarter of an ounce, on a balance that reads grams
FATS = ("olive oil", "coconut oil", "palm oil", "shea butter", "castor oil", "lard")


def printed(pattern: str, answer: str) -> dict[str, str]:
    """The grams of each alkali where a pattern finds its name in an answer, as they are printed."""
    found = {name: re.findall(pattern.format(name=name), answer, re.MULTILINE) for name in ALKALIS}
    return {name: grams for name, (grams, *_) in ((name, every) for name, every in found.items() if every)}


def shown(story: Any, kind: str) -> tuple[dict[str, str], dict[str, str]]:
    """Grams of the alkalis in the table, and in the step that says to weigh them."""
    answer = getattr(text, kind)(story, 200, steps=True)
    table, _, steps = answer.partition("step by step")
    return printed(ROW, table), printed(STEP, " ".join(steps.split()))


def as_data(figures: dict[str, Any], keys: str) -> dict[str, float]:
    """Grams of the alkalis in a document."""
    told = {name: figures[keys.format(name.replace(" ", "_"))] for name in ALKALIS}
    return {name: grams for name, grams in told.items() if grams}


def numbers(told: dict[str, str]) -> dict[str, float]:
    """Printed grams as numbers."""
    return {name: float(grams.replace(" ", "")) for name, grams in told.items()}


@st.composite
def recipes_in_hand(draw: st.DrawFn) -> str:
    """A recipe file that leaves the alkali open: any size, superfat, potassium share, strength and acid."""
    grams = st.floats(3.0, 90_000.0).map(lambda value: round(value, 2))
    fats = draw(st.dictionaries(st.sampled_from(FATS), grams, min_size=1, max_size=4))
    superfat, potassium = draw(st.floats(0.0, 12.0)), draw(st.sampled_from((0.0, 0.0, 17.3, 60.0, 100.0)))
    lines = [f"fats: {{{', '.join(f'{name}: {weight} g' for name, weight in fats.items())}}}"]
    lines += [f"superfat: {superfat:.2f} %", f"potassium_share: {potassium} %"]
    lines += [f"lye_concentration: {draw(st.floats(26.0, 40.0)):.1f} %"]
    if draw(st.booleans()):
        lines.append(f"additives: {{citric acid: {round(0.01 * sum(fats.values()), 3)} g}}")
    return "\n".join(lines) + "\n"


@settings(max_examples=examples(40))
@given(recipes_in_hand())
def test_a_recipe_in_hand_has_one_figure_of_alkali(tmp_path_factory: pytest.TempPathFactory, written_down: str) -> None:
    """Table, step and data show the same grams of each alkali, to the step that they are told to, and judge those."""
    path = tmp_path_factory.mktemp("hand") / "recipe.yaml"
    path.write_text(written_down, encoding="utf-8")
    story = weigh(path)
    table, step = shown(story, "weighed")
    assert table == step
    data = json.loads(to_json(documents.weighed(story)))["alkali"]
    assert numbers(table) == as_data(data, "{}_g")
    held = as_held(story.recipe)
    assert numbers(table) == held
    fine = data["step_g"]
    assert fine == step_in_hand(story.recipe.fat_grams)
    assert all(round(grams / fine, 6) == round(grams / fine) for grams in held.values())
    assert story.judgement.superfat == judge(story.recipe).superfat == pytest.approx(data["superfat"], abs=1e-6)


@settings(max_examples=examples(25))
@given(
    bars(most_fats=5),
    st.sampled_from(
        (
            *(Batch(fats_kg=size) for size in (0.35, 1.0, 7.77, 1200.0)),
            *(Batch(fats_kg=3.3, scale_g=step) for step in (0.01, 0.05, 0.5, 1.0, 2.0, QUARTER)),
        )
    ),
)
def test_a_blend_has_one_figure_of_alkali(bar: Bar, batch: Batch) -> None:
    """Table, step, data, saved file and that file weighed again show the same grams of each alkali, whatever the balance."""
    story = answer_for(bar.sheet._replace(batch=batch), bar.shelf)
    assert isinstance(story, Blend)
    table, step = shown(story, "blend")
    assert table == step
    data = json.loads(to_json(documents.blend(story)))
    saved = recipe_yaml(story._replace(shelf_file="shelf.yaml", goal_file="bar.yaml"), Path("saved.yaml"))
    for told in (as_data(data["to_weigh"], "{}_g"), as_data(data["alkali"], "{}_to_weigh_g"), in_file(saved)):
        assert numbers(table) == told
    fine = data["to_weigh"]["alkali_step_g"]
    assert fine == (batch.scale_g or (1.0 if story.recipe.fat_grams >= 1e6 else 0.1))
    assert all(abs(grams - round(grams / fine) * fine) < 0.0011 for grams in numbers(table).values())
    assert story.weighed.superfat == pytest.approx(data["to_weigh"]["superfat"], abs=1e-6)


def in_file(saved: str) -> dict[str, float]:
    """Grams of the alkalis in a saved recipe."""
    body = saved.partition("\nalkali:")[2]
    return {name: float(grams) for name, grams in re.findall(r"^  (\w+ hydroxide): ([\d.]+) g$", body, re.MULTILINE)}


def test_table_and_step_told_the_same_at_a_superfat_of_nothing(tmp_path: Path) -> None:
    """A kilo of coconut oil at 0 % takes 179.9 and a bit grams of sodium hydroxide: 179.9 g everywhere, and never 180.0."""
    path = tmp_path / "recipe.yaml"
    path.write_text("fats: {coconut oil: 1000 g}\nsuperfat: 0 %\n", encoding="utf-8")
    story = weigh(path)
    exact = reference().get("coconut oil").saponification.value / 56.106 * 39.997
    assert 0.05 < exact - 179.9 < 0.1  # what would be rounded up if it were rounded to the nearest
    assert shown(story, "weighed") == ({"sodium hydroxide": "179.9"}, {"sodium hydroxide": "179.9"})
    assert 0.0 < story.judgement.superfat < 0.06


@pytest.mark.parametrize(
    ("given_as", "told"),
    [
        ("134.56 g", "134.56"),
        ("134 g", "134"),
        ("0.1345 kg", "134.5"),
        ("134.5678 g", "134.568"),
    ],
)
def test_what_the_maker_weighed_is_shown_as_written(given_as: str, told: str, tmp_path: Path) -> None:
    """Alkali in the file is not rounded for any balance: it is shown, and judged, to the milligram."""
    path = tmp_path / "recipe.yaml"
    path.write_text(
        f"fats: {{olive oil: 1 kg, coconut oil: 120 g}}\nalkali: {{NaOH: {given_as}}}\nwater: 300 g\n", encoding="utf-8"
    )
    story = weigh(path)
    table, step = shown(story, "weighed")
    assert table == step == {"sodium hydroxide": told}
    data = documents.weighed(story)["alkali"]
    assert data["sodium_hydroxide_g"] == story.recipe.sodium_hydroxide == float(told)
    assert data["step_g"] is None


@pytest.mark.parametrize(
    ("fats", "alkali", "told", "step"),
    [
        ("{olive oil: 32 oz}", "{NaOH: 4.1 oz}", {"sodium hydroxide": 116.2}, 0.1),  # 116.2330 g
        ("{olive oil: 2 lb}", "{NaOH: 0.25 lb}", {"sodium hydroxide": 113.3}, 0.1),  # 113.3981 g: never 113.4
        ("{olive oil: 2 lb}", "{NaOH: 4 ounces}", {"sodium hydroxide": 113.3}, 0.1),
        ("{olive oil: 3 oz}", "{NaOH: 0.35 oz}", {"sodium hydroxide": 9.92}, 0.01),  # 9.9223 g, of a sample
        (
            "{olive oil: 32 oz}",
            "{NaOH: 2 oz, KOH: 79.123 g}",
            {"sodium hydroxide": 56.6, "potassium hydroxide": 79.123},  # 56.6990 g
            0.0,
        ),
    ],
)
def test_alkali_in_ounces_goes_on_a_balance_in_grams(
    tmp_path: Path, fats: str, alkali: str, told: dict[str, float], step: float
) -> None:
    """Ounces and pounds of alkali are taken in tenths of a gram, rounded down, and what was rounded is said; grams stay."""
    path = tmp_path / "recipe.yaml"
    path.write_text(f"fats: {fats}\nalkali: {alkali}\nwater: 11 oz\n", encoding="utf-8")
    story = weigh(path)
    assert as_held(story.recipe) == told
    table, made = shown(story, "weighed")
    assert numbers(table) == told
    assert table == made
    assert story.recipe.alkali_step == step
    (note,) = [note for note in story.notes if "rounded down" in note]
    how = alkali.partition("NaOH: ")[2].partition(",")[0].rstrip("}")
    assert (
        note == f"{how} of sodium hydroxide is taken as {told['sodium hydroxide']:g} g, rounded down for the balance."
    )


def as_held(recipe: Recipe) -> dict[str, float]:
    """The alkalis that a recipe holds, in grams."""
    held = {"sodium hydroxide": recipe.sodium_hydroxide, "potassium hydroxide": recipe.potassium_hydroxide}
    return {name: grams for name, grams in held.items() if grams}


def test_what_it_was_rounded_to_is_said(tmp_path: Path) -> None:
    """The table's heading says to what the grams were rounded, and says nothing where they are the maker's own."""
    path = tmp_path / "recipe.yaml"
    for recipe, said in (
        ("fats: {olive oil: 1 kg}\nsuperfat: 5 %\n", "grams to weigh, to 0.1 g\n"),
        ("fats: {olive oil: 50 g}\nsuperfat: 5 %\n", "grams to weigh, to 0.01 g\n"),
        ("fats: {olive oil: 1 kg}\nalkali: {NaOH: 120 g}\nwater: 250 g\n", "grams to weigh\n"),
    ):
        path.write_text(recipe, encoding="utf-8")
        assert said in text.weighed(weigh(path))
        (step,) = [step for step in weigh(path).steps if step.startswith("Weigh ")]
        assert step.endswith(f" g water{said[14:-1].replace(', to', ', each to')}.")


@settings(max_examples=examples(200))
@given(st.floats(0.0, 1e7), st.sampled_from((0.01, 0.05, 0.1, 0.5, 1.0, 5.0, OUNCE)))
def test_rounding_goes_where_it_is_said_to(grams: float, step: float) -> None:
    """Down is never up, up never down, near within half a step; all are whole milligrams, and stay where they are."""
    hair = 2e-6 * step + 0.001  # near enough to a step is on it; nothing finer than a milligram is written
    assert grams - step - hair < down(grams, step) <= grams + 2e-6 * step
    assert grams - 2e-6 * step <= up(grams, step) < grams + step + hair
    assert abs(near(grams, step) - grams) <= step / 2 + hair
    for way in (down, up, near):
        once = way(grams, step)
        assert once == round(once, 3)
        assert way(grams, 0.0) == grams
        assert way(once, step) == once or step == OUNCE  # a quarter of an ounce is no whole milligrams


@pytest.mark.parametrize(
    ("fats", "step"), [(5.0, 0.01), (99.9, 0.01), (100.0, 0.1), (999_999.0, 0.1), (1_000_000.0, 1.0)]
)
def test_the_step_of_a_recipe_in_hand(fats: float, step: float) -> None:
    """A sample is weighed to 0.01 g, a batch to 0.1 g, a tonne to 1 g (common practice, no source)."""
    assert step_in_hand(fats) == step


def test_decimals_of_a_recipe() -> None:
    """Alkali has every decimal that it holds; of the rest no more are shown than are sensible where no balance was named."""
    recipe = recipe_at({"olive oil": 1.0})._replace(sodium_hydroxide=128.5, potassium_hydroxide=0.0, water=261.123)
    assert jug_places(recipe) == 1
    assert jug_places(recipe._replace(sodium_hydroxide=128.25)) == 2
    assert jug_places(recipe._replace(sodium_hydroxide=128.0, water=261.0)) == 0
    assert jug_places(recipe._replace(sodium_hydroxide=128.0, water=261.0, alkali_step=0.1)) == 1
    assert jug_places(recipe._replace(fat_step=0.001, alkali_step=0.001)) == 3
    pounds = recipe._replace(fats=((recipe.fats[0][0], 453.592),))
    assert fat_places(pounds) == 1
    assert fat_places(pounds._replace(fat_step=0.001)) == 3


def test_written_grams() -> None:
    """Thousands are parted only where there are very many, and nothing is written as minus nothing."""
    assert written(12345.6, 1) == "12345.6"
    assert written(1234567.0, 0) == "1 234 567"
    assert written(-0.01, 1) == "0.0"
    assert places([0.5, 0.25]) == 2
    assert [sensible_places(total) for total in (9.9, 10.0, 99_999.0, 100_000.0)] == [2, 1, 1, 0]
