"""The making sheet as a page: its weights are those of the data, what others named is inert, and nothing is fetched."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from benches import ROOT, answer_as_data, blend_of
from jinja2 import UndefinedError
from sheets import Page, read

from optimiser.answers.label import Label, label
from optimiser.answers.results import Blend, NoBlend, WeighedRecipe
from optimiser.answers.sheet import MakingSheet, making_sheet, sheet_of
from optimiser.answers.weigh import weigh
from optimiser.materials.fat import LabelNames
from optimiser.problem.units import Units
from optimiser.recipe.cautions import in_brief, standing
from optimiser.recipe.weights import Weights
from optimiser.report.page import html as page_html
from optimiser.report.page.contents import Both, contents
from optimiser.report.page.html import sheet_html

MET = ["everyday", "budget", "fine-swirl", "design-salt-bar", "laundry", "mature-skin"]
HOSTILE = "<script>alert(1)</script> \"'> {{ 7*7 }} {% raw %} &amp; <!-- \u202e \u05e9\u05dc\u05d5\u05dd ]]> #set"
OUTSIDE = re.compile(r"""(?:src|href|url|@import|action|data-src)\s*[=(]""", re.IGNORECASE)


def sheet_of_recipe(folder: Path, text: str, units: Units | None = None, *, both: bool = False) -> MakingSheet:
    """The sheet of a recipe with this text."""
    path = folder / "recipe.yaml"
    path.write_text(text, encoding="utf-8")
    sheet = making_sheet(path, units=units, both=both)
    assert not isinstance(sheet, NoBlend)
    return sheet


def weighed(name: str) -> dict[str, Any]:
    """What `blend --json` says is to be weighed."""
    told: dict[str, Any] = json.loads(answer_as_data(ROOT / "goals" / f"{name}.yaml")[1])["to_weigh"]
    return told


def grams_of(page: Page) -> dict[str, float]:
    """The weights of a page by name; a total stands after what it is of, and has no name of its own."""
    return {name: grams for name, grams, _ in reversed(page.weights)}


@pytest.mark.parametrize("name", MET)
def test_weights_are_those_of_the_data(name: str) -> None:
    """Every weight on the page, as it is printed and as programs read it, is that of `--json`, and none is missing."""
    page, data = read(sheet_html(sheet_of(blend_of(name)))), weighed(name)
    found = [(told, grams, said) for told, grams, said in page.weights]
    wanted = {item["fat"]: item["grams"] for item in data["fats"]}
    wanted |= {item["additive"]: item["grams"] for item in data["additives"]}
    wanted |= {item["liquid"]: item["grams"] for item in data["liquids"]}
    wanted |= {"sodium hydroxide": data["sodium_hydroxide_g"], "water": data["water_g"]}
    for fat, grams in wanted.items():
        same = [(told, said) for told, told_grams, said in found if told == fat and told_grams == grams]
        assert same, fat
        assert float(re.sub(r"[^\d.]", "", same[0][1])) == grams
    total = sum(item["grams"] for item in data["fats"])
    assert total in [pytest.approx(grams) for _, grams, _ in found]


@pytest.mark.parametrize("name", ["everyday", "fine-swirl", "design-salt-bar"])
def test_weights_of_the_page_meet_every_goal(name: str, tmp_path: Path) -> None:
    """What stands on the page, put back through `weigh --against`, meets every goal of the file."""
    page, data = read(sheet_html(sheet_of(blend_of(name)))), weighed(name)
    grams = grams_of(page)
    fats = {item["fat"]: grams[item["fat"]] for item in data["fats"]}
    extra = {item["additive"]: grams[item["additive"]] for item in data["additives"]}
    told = [f"{key}: {{{', '.join(f'{name}: {value} g' for name, value in some.items())}}}" for key, some in
            (("fats", fats), ("alkali", {"sodium hydroxide": grams["sodium hydroxide"]}), ("additives", extra)) if some]  # fmt: skip
    path = tmp_path / "from-the-page.yaml"
    path.write_text("\n".join([*told, f"water: {grams['water']} g"]) + "\n", encoding="utf-8")
    found = weigh(path, goal_file=ROOT / "goals" / f"{name}.yaml")
    assert found.meets_goals is True


@pytest.mark.parametrize("units", list(Units))
def test_units_are_those_of_the_balance(units: Units, tmp_path: Path) -> None:
    """In each of the units every weight on the page is that of the recipe to the last digit told, alkali never above it."""
    text = "fats: {olive oil: 713 g, coconut oil: 287 g}\nsuperfat: 5 %\nadditives: {salt: 7 g}\n"
    sheet = sheet_of_recipe(tmp_path, text, units, both=True)
    page = read(sheet_html(sheet))
    for name, grams, said in page.weights:
        first = grams_told(said, units)
        step = {Units.GRAMS: 1.0, Units.KILOGRAMS: 1.0}.get(units, units.grams if units != Units.POUNDS else 45.4)
        assert first == pytest.approx(grams, abs=step), name
        if "hydroxide" in name:
            assert first <= grams + 1e-3
    assert len(page.weights) == 7
    also = [item.weight.also for item in contents(sheet).fats]
    assert all(also)
    second = Units.OUNCES if units.is_metric else Units.GRAMS
    for item, told in zip(sheet.fats, also, strict=True):
        assert float(told) * second.grams == pytest.approx(item.grams, abs=0.15)


@pytest.mark.parametrize("units", list(Units))
def test_an_alkali_is_never_told_as_more_than_it_is(units: Units) -> None:
    """Beside the units of the balance too its digits are cut off: whoever weighs by the other column weighs no more."""
    both = Both.of(Weights(units, 2), both=True)
    other = Units.OUNCES if units.is_metric else Units.GRAMS
    for tenths in range(1000, 1400, 7):
        grams = tenths / 10.0
        assert grams_told(both.alkali(grams).also, other) <= grams + 1e-3
    assert any(
        grams_told(both.weight(tenths / 10.0).also, other) > tenths / 10.0 + 1e-3 for tenths in range(1000, 1400, 7)
    ) == (units.is_metric)


def grams_told(said: str, units: Units) -> float:
    """Grams of a weight as it is printed."""
    figures = [float(one) for one in re.findall(r"[\d.]+", said.replace("\u00a0", " "))]
    if units == Units.POUNDS_AND_OUNCES:
        return sum(
            figure * part for figure, part in zip(reversed(figures), (units.grams, 16 * units.grams), strict=False)
        )
    return figures[0] * units.grams


@pytest.mark.parametrize("name", MET)
def test_cautions_stand_in_full_and_on_every_page(name: str) -> None:
    """Handling, first aid and to whom all of it defers in full; in brief beside the alkali and at the foot of each page."""
    sheet = sheet_of(blend_of(name))
    page = read(sheet_html(sheet))
    for line in (*standing(sheet.recipe), *sheet.story.cautions):
        assert flat(line) in flat(page.text)
    for line in in_brief(sheet.recipe):
        assert flat(page.text).count(flat(line).split(" First aid")[0]) == 2
    assert "--steps" not in page.text


def flat(text: str) -> str:
    """Words with plain blanks, and degrees spelt out."""
    return " ".join(text.replace("\u00b0C", "degC").replace("\u00b0F", "degF").split())


def test_steps_times_goals_cost_and_calendar_are_told() -> None:
    """Every step, every measure with its limit, every goal of the file, what binds, the cost and the days."""
    story = blend_of("everyday")
    told = contents(sheet_of(story))
    page = flat(read(sheet_html(sheet_of(story))).text)
    assert all(flat(step) in page for step in story.steps)
    assert {row.whose for row in told.goals} >= {f"line {number}" for number in (7, 8, 9, 10, 11, 12, 13, 15, 16, 17)}
    assert (
        next(
            row for row in told.goals if row.says == "olive\u00a0oil at least 15\u00a0%" or "olive oil" in row.says
        ).mark
        == "binds"
    )
    assert next(row for row in told.goals if "hardness" in row.says).mark == "met"
    assert {row.words: row.limits for row in told.measures}["rancidity"] == "at most 1.7"
    assert "2.69 EUR / kg of cured bar" in page
    assert "Test for free alkali, then wash" in page
    assert "cover it and let it gel" in page


def test_pinches_are_one_rule_and_tags_bind_where_they_cost() -> None:
    """Fats that are left out for being but a pinch share a row; what is kept out binds only where it saves something."""
    rows = contents(sheet_of(blend_of("design-fine-swirl"))).goals
    (pinch,) = (row for row in rows if row.says.startswith("no pinch of "))
    assert (pinch.whose, pinch.here, pinch.mark) == ("house", "", "binds")
    assert pinch.says.count(" oil") >= 2
    kept_out = {row.says: (row.here, row.mark, bool(row.saves)) for row in rows if row.says.startswith("free from")}
    assert kept_out["free from palm"] == ("", "binds", True)
    assert {row.whose for row in rows if "mature skin" in row.says} == {"design"}


def test_what_is_likely_lye_heavy_says_so_first(heavy_story: Blend) -> None:
    """Danger stands above every weight, in a box of its own."""
    html = sheet_html(sheet_of(heavy_story))
    assert "LIKELY LYE-HEAVY" in html
    assert html.index("LIKELY LYE-HEAVY") < html.index('id="fats"')
    assert "LIKELY" not in sheet_html(sheet_of(blend_of("everyday")))


def test_a_rule_that_stood_aside_is_told() -> None:
    """What of the house gave way to the maker stands on the sheet."""
    assert "Stood aside: coconut oil at most 50" in flat(read(sheet_html(sheet_of(blend_of("design-salt-bar")))).text)


def hostile(story: Blend) -> Blend:
    """The same bar with hostile names wherever a maker names something."""
    fats = tuple((fat._replace(name=HOSTILE), grams) for fat, grams in story.recipe.fats)
    return story._replace(
        title=HOSTILE,
        shelf_title=HOSTILE,
        goal_file=HOSTILE,
        currency=HOSTILE[:8],
        fats=tuple(line._replace(fat=HOSTILE, lot=HOSTILE) for line in story.fats),
        recipe=story.recipe._replace(
            fats=fats, additives=tuple((a._replace(name=HOSTILE), g) for a, g in story.recipe.additives)
        ),
        steps=(f"Melt {HOSTILE}.",),
        notes=(HOSTILE,),
        cautions=(*story.cautions, f"{HOSTILE}: take care."),
    )


def test_hostile_names_are_words_and_nothing_else(blend_story: Blend) -> None:
    """No name opens an element, ends an attribute or fills in a template; each is read as it is written."""
    sheet = sheet_of(hostile(blend_story), HOSTILE)._replace(number=HOSTILE[:30])
    html = sheet_html(sheet)
    page, plain = read(html), read(sheet_html(sheet_of(blend_story)))
    assert {one.name for one in page.elements} == {one.name for one in plain.elements}
    assert "script" not in {one.name for one in page.elements}
    assert not [name for one in page.elements for name in one.attributes if name.startswith("on")]
    shown = HOSTILE.replace("\u202e", "<U+202E>")
    assert page.text.count(shown) >= 8
    assert "\u202e" not in html
    assert "49" not in {word for word in page.text.split() if word == "49"}


def test_nothing_is_fetched_and_nothing_runs() -> None:
    """One file: no address, no script, and a policy that forbids both."""
    html = sheet_html(sheet_of(blend_of("everyday")))
    assert not OUTSIDE.search(html.replace("http-equiv=", ""))
    assert set(re.findall(r"https?://[^\"' ]+", html)) == {"http://www.w3.org/2000/svg"}
    assert "<script" not in html
    assert "default-src 'none'; style-src 'unsafe-inline'" in html


def test_the_same_input_gives_the_same_page() -> None:
    """No clock and no chance: two pages of one answer are alike to the byte."""
    first, second = (sheet_html(sheet_of(blend_of("everyday"))) for _ in range(2))
    assert first == second


def test_a_template_that_names_what_is_not_there_is_a_fault() -> None:
    """A slip in a template is never an empty place on a sheet."""
    environment = page_html._environment()
    template = environment.from_string("{{ titel }}")
    with pytest.raises(UndefinedError, match="titel"):
        template.render(contents(sheet_of(blend_of("everyday")))._asdict())


def test_what_is_changed_of_a_recipe_in_hand_is_told(tmp_path: Path) -> None:
    """A blend near to a recipe tells what becomes of its alkali and how much is changed; another tells nothing of the kind."""
    shelf = ROOT / "inventory" / "kittiwake.yaml"
    (tmp_path / "old.yaml").write_text(
        f"shelf: {shelf}\nfats: {{olive oil: 700 g, coconut oil: 300 g}}\nsuperfat: 5 %\n", encoding="utf-8"
    )
    (tmp_path / "goals.yaml").write_text(
        f"shelf: {shelf}\nnear: old.yaml\nshares: {{castor oil: {{at_least: 6 %}}}}\n", encoding="utf-8"
    )
    sheet = making_sheet(tmp_path / "goals.yaml")
    assert not isinstance(sheet, NoBlend)
    told = contents(sheet)
    assert any("of the fats changed" in flat(line) for line in told.changed)
    assert any("Sodium hydroxide" in line and "in place of" in flat(line) for line in told.changed)
    assert "of the fats changed" in flat(read(sheet_html(sheet)).text)
    assert contents(sheet_of(blend_of("everyday"))).changed == ()


def test_a_paste_is_told_as_a_paste(tmp_path: Path) -> None:
    """No calendar, no unmoulding, readings of its own, and what is not told of it."""
    sheet = sheet_of_recipe(tmp_path, "fats: {olive oil: 1 kg}\nalkali: {potassium hydroxide: 190 g}\nwater: 500 g\n")
    told, page = contents(sheet), read(sheet_html(sheet))
    assert told.what == "paste"
    assert told.days == ()
    assert "Cure calendar" not in page.text
    assert "Into jars at" in page.text
    assert "Not told of a paste: hardness" in page.text
    assert [box.name for box in told.alkalis] == ["potassium hydroxide"]


def test_a_recipe_without_a_shelf_has_no_cost(weighed_story: WeighedRecipe) -> None:
    """Where no price is known nothing is said of cost; a recipe held against goals tells which it misses."""
    sheet = sheet_of(weighed_story._replace(cost=None), "recipes/estuary.yaml")
    told = contents(sheet)
    assert told.cost is None
    assert 'id="cost"' not in sheet_html(sheet)
    assert next(row.mark for row in told.goals if row.says.startswith("hardness")) == "missed as weighed"


def test_one_page_is_kept_whole(blend_story: Blend, golden: Callable[[str, str], None]) -> None:
    """The page of an invented bar below its style, to the byte."""
    golden("sheet.html", sheet_html(sheet_of(blend_story, "goals/estuary.yaml")).partition("</style>")[2])


def test_the_lists_for_the_label_stand_on_the_sheet() -> None:
    """Both lists are those of `label`, in order, with the Union's words, the net weight, and that they are a draft."""
    text = flat(read(sheet_html(sheet_of(blend_of("everyday")))).text)
    found = label(ROOT / "goals" / "everyday.yaml")
    assert isinstance(found, Label)
    for said, listed in (("As charged", found.as_charged), ("As saponified", found.as_saponified)):
        assert f"{said}: {', '.join(one.name for one in listed)}." in text
    assert "Water is Aqua" in text
    assert "Net weight of a bar as cured: 110 g (3.8 oz)" in text
    assert "A draft, no legal advice" in text


def test_a_name_from_the_shelf_is_inert_on_the_sheet(blend_story: Blend) -> None:
    """What the shelf states for a label is words, whatever it holds."""
    names = LabelNames(HOSTILE, HOSTILE, HOSTILE, "", "", "the shelf", "stated", verified=True)
    fats = tuple((fat._replace(label=names), grams) for fat, grams in blend_story.recipe.fats)
    html = sheet_html(sheet_of(blend_story._replace(recipe=blend_story.recipe._replace(fats=fats))))
    assert HOSTILE.replace("\u202e", "<U+202E>") in read(html).text
    assert "<script" not in html
