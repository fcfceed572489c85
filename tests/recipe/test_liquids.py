"""Liquids that stand for water in a recipe in hand: how much, what is said of them, and where they go."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.results import WeighedRecipe
from optimiser.answers.weigh import weigh
from optimiser.materials.liquids import liquids
from optimiser.recipe.cautions import cautions
from optimiser.recipe.evaluation import judge, superfat_with_liquids
from optimiser.text.diagnostics import BadInput

FATS = "fats: {olive oil: 700 g, coconut oil: 300 g}\n"
SHELF = """\
currency: EUR
fats: [{fat: olive oil, price: 7.00 / kg}, {fat: coconut oil, price: 3.00 / kg}]
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}
additives: [{additive: lavender scent, like: essential oil, price: 60.00 / kg, at_most: 3 %}]
liquids:
  - {liquid: goat milk, water: 87 %, price: 1.20 / kg}
  - {liquid: nanny milk, like: goat milk, water: 80 %, price: 2.00 / kg}
"""


def weighed(folder: Path, text: str) -> WeighedRecipe:
    """A recipe beside the shelf, judged."""
    (folder / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    path = folder / "recipe.yaml"
    path.write_text(FATS + text, encoding="utf-8")
    return weigh(path)


def poured(story: WeighedRecipe) -> dict[str, float]:
    """The liquids in grams, and plain water."""
    return {item.name: grams for item, grams in story.recipe.liquids} | {"water": story.recipe.water}


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("water: 280 g\nliquids: {goat milk: 50 %}\n", {"goat milk": 140.0, "water": 140.0}),
        ("water: 140 g\nliquids: {goat milk: 140 g}\n", {"goat milk": 140.0, "water": 140.0}),
        (
            "water: 300 g\nliquids: {goat milk: 25 %, beer: 100 g}\n",
            {"goat milk": 100.0, "beer": 100.0, "water": 200.0},
        ),
        ("water: 280 g\nliquids: {goat milk: 100 %}\n", {"goat milk": 280.0, "water": 0.0}),
        ("water: 0 g\nliquids: {goat milk: 320 g}\n", {"goat milk": 320.0, "water": 0.0}),
    ],
)
def test_a_share_is_of_all_that_stands_for_water(tmp_path: Path, text: str, grams: dict[str, float]) -> None:
    """A liquid told by its share is among the water that is told; one told by its mass comes beside it."""
    assert poured(weighed(tmp_path, f"superfat: 5 %\n{text}")) == pytest.approx(grams)


@pytest.mark.parametrize("share", [10, 50, 100])
@pytest.mark.parametrize("name", ["goat milk", "coconut milk", "aloe juice"])
def test_the_lye_asked_for_counts_their_water(tmp_path: Path, name: str, share: int) -> None:
    """Where a lye concentration is told, plain water and liquid make just that lye, the liquid at its share."""
    story = weighed(tmp_path, f"superfat: 5 %\nlye_concentration: 33 %\nliquids: {{{name}: {share} %}}\n")
    assert story.judgement.lye_concentration == pytest.approx(33.0, abs=0.02)
    assert 100.0 * poured(story)[name] / story.recipe.jug == pytest.approx(share, abs=0.05)
    assert story.judgement.superfat == pytest.approx(5.0, abs=0.06)


@pytest.mark.parametrize(("share", "grams"), [(30.0, 80.0), (20.0, 150.0)])
def test_a_share_beside_a_mass_is_of_all_of_it(tmp_path: Path, share: float, grams: float) -> None:
    """Milk by its share and beer by its mass: the lye is as asked, and the share is of water, milk and beer together."""
    text = f"superfat: 5 %\nlye_concentration: 30 %\nliquids: {{goat milk: {share} %, beer: {grams} g}}\n"
    story = weighed(tmp_path, text)
    told = poured(story)
    assert story.judgement.lye_concentration == pytest.approx(30.0, abs=0.02)
    assert told["beer"] == grams
    assert 100.0 * told["goat milk"] / sum(told.values()) == pytest.approx(share, abs=0.05)


def test_alkali_that_is_given_stays(tmp_path: Path) -> None:
    """A sour liquid changes nothing of the alkali in hand; the water follows it."""
    story = weighed(tmp_path, "alkali: {NaOH: 140 g}\nlye_concentration: 33 %\nliquids: {buttermilk: 50 %}\n")
    assert story.recipe.sodium_hydroxide == 140.0
    assert story.judgement.lye_concentration == pytest.approx(33.0, abs=0.02)


def test_a_lye_that_is_not_told_is_of_a_third(tmp_path: Path) -> None:
    """Without water and lye the lye has 33 %, as without liquids; with an impure alkali by what of it is alkali."""
    text = "shelf: shelf.yaml\nsuperfat: 5 %\nliquids: {nanny milk: 50 %}\n"
    assert weighed(tmp_path, text).judgement.lye_concentration == pytest.approx(33.0, abs=0.02)


def test_the_acid_of_a_liquid_takes_alkali_and_its_fat_does_not(tmp_path: Path) -> None:
    """Buttermilk of 0.8 % lactic acid (from memory) asks for 0.089 mol/kg more, its fat for none (stoichiometry)."""
    plain = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\n").recipe.sodium_hydroxide
    sour = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\nliquids: {buttermilk: 50 %}\n").recipe.sodium_hydroxide
    assert sour - plain == pytest.approx(0.140 * 8.0 / 90.078 * 39.997, abs=0.02)


def test_fat_of_a_liquid_is_told_beside_the_superfat(tmp_path: Path) -> None:
    """140 g of coconut milk hold 29.9 g of fat (USDA SR28, 12118): told as left over, not as superfat."""
    story = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\nliquids: {coconut milk: 50 %}\n")
    (told,) = [caution for caution in story.cautions if "beyond the superfat" in caution]
    demand = (700 * 189.4 + 300 * 253.2) / 56106.0  # mol, near enough for the digits told
    fat = 29.86 * 0.248 / 56.106
    assert "30 g of fat" in told
    assert superfat_with_liquids(story.recipe, story.judgement) == pytest.approx(
        100 * (0.05 * demand + fat) / (demand + fat), abs=0.15
    )
    assert story.judgement.superfat == pytest.approx(5.0, abs=0.06)


def test_free_fat_of_a_liquid_softens(tmp_path: Path) -> None:
    """The measures count the fat of a liquid as free oil: the bar is softer, as with more superfat."""
    plain = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\n")
    rich = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\nliquids: {coconut milk: 50 %}\n")
    fat = 140.0 * liquids()["coconut milk"].fat_mol_per_kg / 1000.0
    dry = 14.0 * 0.2712 * 0.1  # points of hardness: the lever of water, for what the milk holds less of it
    softer = plain.judgement.values["hardness"] - rich.judgement.values["hardness"]
    assert softer == pytest.approx(0.38 * 100.0 * fat / 3.45 - dry, abs=0.02)


def test_milk_waits_where_plain_water_dissolves_the_alkali(tmp_path: Path) -> None:
    """With water as heavy as the alkali the milk goes in at trace; with less the alkali goes into frozen milk."""
    split = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\nliquids: {goat milk: 40 %}\n")
    frozen = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\nliquids: {goat milk: 80 %}\n")
    assert any("goat milk waits" in step for step in split.steps)
    assert any(step.startswith("At a light trace stir in goat milk 112.0 g") for step in split.steps)
    assert split.judgement.lye_as_mixed > 45.0
    assert any("frozen to slush" in step for step in frozen.steps)
    assert not any("stir in goat milk" in step for step in frozen.steps)
    assert frozen.judgement.lye_as_mixed == pytest.approx(frozen.judgement.lye_concentration)


@pytest.mark.parametrize("share", [80, 100])
def test_a_lye_with_milk_in_it_is_kept_cold_throughout(tmp_path: Path, share: int) -> None:
    """Alkali goes into frozen milk over ice by the spoonful: no step tells of a heat or of cooling; the fats are cool too."""
    steps = weighed(tmp_path, f"superfat: 5 %\nwater: 280 g\nliquids: {{goat milk: {share} %}}\n").steps
    (making,) = [step for step in steps if "sprinkle the alkali" in step]
    assert "over the ice" in making
    assert "a spoonful at a time" in making
    assert "nears 25 degC" in making
    told = " ".join(steps)
    assert "could reach" not in told
    assert "lye cool" not in told
    assert "until it is clear" not in told
    assert "Keep the lye below 25 degC" in told
    assert "the fats to about 30-35 degC" in told
    assert ("There is no plain water" in told) is (share == 100)


def test_milk_and_a_warm_batter_that_is_asked_for(tmp_path: Path) -> None:
    """Who asks for a warmer batter has the fats as warm as that."""
    text = "superfat: 5 %\nwater: 280 g\nliquids: {goat milk: 100 %}\nbatter_temperature: 42 degC\n"
    assert "the fats to about 42 degC" in " ".join(weighed(tmp_path, text).steps)


def test_silk_in_a_cold_lye(tmp_path: Path) -> None:
    """No step calls a lye hot that milk keeps cold."""
    text = "superfat: 5 %\nwater: 280 g\nliquids: {goat milk: 100 %}\nadditives: {silk: 1 g, sodium lactate: 10 g}\n"
    told = " ".join(weighed(tmp_path, text).steps)
    assert "lye is hot" not in told
    assert "cooled lye" not in told
    assert "into the cold lye" in told
    assert "strain out what is left" in told


@pytest.mark.parametrize(("water", "mixed", "strong"), [(280, 42, True), (320, 39, False), (450, 31, False)])
def test_a_lye_is_called_strong_where_it_is(tmp_path: Path, water: int, mixed: int, strong: bool) -> None:  # noqa: FBT001
    """Only what is mixed at more than 40 % is called hotter and thicker than usual; the strength is told as it is."""
    story = weighed(tmp_path, f"superfat: 5 %\nwater: {water} g\nliquids: {{goat milk: 30 %}}\n")
    (split,) = [step for step in story.steps if "is dissolved in" in step]
    assert f"in the water alone, a lye of {mixed} %" in split
    assert ("hotter and thicker" in split) is strong
    assert "own weight" not in split


@pytest.mark.parametrize("name", sorted(name for name, item in liquids().items() if item.goes_in == "split"))
def test_what_waits_is_never_told_to_be_cold(tmp_path: Path, name: str) -> None:
    """A liquid that goes in at the warmth of the batter is not to be frozen or chilled as well; in the lye it is."""
    late = weighed(tmp_path, f"superfat: 5 %\nwater: 280 g\nliquids: {{{name}: 20 %}}\n").steps
    assert any(step.startswith(f"At a light trace stir in {name}") and "warmth of the batter" in step for step in late)
    assert not any(word in " ".join(late).lower() for word in ("use it cold", " ice", "freeze", "chill"))
    early = " ".join(weighed(tmp_path, f"superfat: 5 %\nwater: 330 g\nliquids: {{{name}: 100 %}}\n").steps)
    assert "frozen to slush" in early
    assert "warmth of the batter" not in early


def test_what_waits_is_not_in_the_jug(tmp_path: Path) -> None:
    """Beside milk and puree that wait, the alkali goes into water alone, and water never onto alkali."""
    story = weighed(tmp_path, "superfat: 5 %\nwater: 300 g\nliquids: {goat milk: 20 %, banana puree: 20 %}\n")
    told = " ".join(story.steps)
    assert "banana puree and goat milk wait till" in told or "goat milk and banana puree wait till" in told
    assert "sprinkle the alkali into the water, never water onto alkali" in told
    assert "each in a vessel of its own 180.0 g water, 60.0 g goat milk and 60.0 g banana puree" in told


def test_tea_alone_is_the_jug(tmp_path: Path) -> None:
    """Where tea is all the water there is none to pour it into."""
    told = " ".join(weighed(tmp_path, "superfat: 5 %\nwater: 280 g\nliquids: {tea: 100 %}\n").steps)
    assert "Pour tea" not in told
    assert "sprinkle the alkali into the tea, never the other way round" in told
    assert "in a vessel of its own 280.0 g tea" in told


def test_tea_is_poured_into_the_jug(tmp_path: Path) -> None:
    """What the heat does not spoil is the water that the alkali goes into."""
    story = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\nliquids: {tea: 60 %}\n")
    assert any("Pour tea into the water" in step for step in story.steps)
    assert any("sprinkle the alkali into the water and tea, never the other way round" in step for step in story.steps)


def test_a_puree_alone_is_no_lye(tmp_path: Path) -> None:
    """A puree waits for trace, so it cannot be all the water that the alkali has."""
    story = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\nliquids: {banana puree: 90 %}\n")
    assert story.is_unfit
    assert story.cautions[0].startswith("NO LYE")


def test_own_figures_of_the_shelf_are_used(tmp_path: Path) -> None:
    """A milk of one's own has the water that the shelf tells, and costs what it costs there."""
    story = weighed(tmp_path, "shelf: shelf.yaml\nsuperfat: 5 %\nwater: 280 g\nliquids: {nanny milk: 50 %}\n")
    assert story.judgement.total_water == pytest.approx(140.0 + 0.80 * 140.0)
    ((milk, _),) = story.recipe.liquids
    assert (milk.name, milk.base) == ("nanny milk", "goat milk")
    assert milk.sugar_fraction == pytest.approx(0.0445 * 0.20 / 0.1297)
    assert story.cost is not None
    assert story.cost.batch == pytest.approx(
        0.7 * 7.0 + 0.3 * 3.0 + 0.14 * 2.0 + story.recipe.sodium_hydroxide / 1000.0 * 2.40
    )


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("liquids: {goat milk: 10 g / kg}\n", "wrong-unit"),
        ("liquids: {goat milk: 0 %}\n", "out-of-range"),
        ("liquids: {goat milk: 150 %}\n", "out-of-range"),
        ("liquids: {goat milk: 60 %, beer: 60 %}\n", "too-much"),
        ("liquids: {goat milk: 50 %, goats milk: 5 %}\n", "repeated-key"),
        ("liquids: {goat milk: 2 cups}\n", "wrong-unit"),
        ("liquids: {goat milk: 50}\n", "no-unit"),
        ("additives: {salt: 20}\n", "no-unit"),
        ("additives: {salt: 0 g}\n", "out-of-range"),
        ("additives: {salt: 1 tbsp}\n", "wrong-unit"),
        ("water: 0 g\n", "out-of-range"),
    ],
)
def test_what_cannot_be_poured_is_refused(tmp_path: Path, text: str, code: str) -> None:
    """Shares above all there is, spoons, the same milk twice, and no water at all."""
    with pytest.raises(BadInput) as caught:
        weighed(tmp_path, f"superfat: 5 %\n{text}")
    assert [item.code for item in caught.value.diagnostics] == [code]


def test_an_additive_is_told_in_any_way(tmp_path: Path) -> None:
    """A mass, a share of the fats, and a mass for a kilo of them, of 1000 g of fats."""
    story = weighed(tmp_path, "superfat: 5 %\nadditives: {salt: 20 g, kaolin: 1.5 %, mica: 10 g / kg}\n")
    told = {item.name: grams for item, grams in story.recipe.solids}
    assert told == pytest.approx({"salt": 20.0, "kaolin": 15.0, "mica": 10.0})


@pytest.mark.parametrize(
    ("name", "grams"), [("essential oil", 300), ("mica", 60), ("kaolin", 150), ("honey", 150), ("lavender scent", 40)]
)
def test_more_than_is_usual_is_cautioned(tmp_path: Path, name: str, grams: int) -> None:
    """Far too much scent, colour, clay or honey is said beside the figures as well as warned of in the file."""
    story = weighed(tmp_path, f"shelf: shelf.yaml\nsuperfat: 5 %\nadditives: {{{name}: {grams} g}}\n")
    (told,) = [caution for caution in story.cautions if caution.startswith(f"{name.capitalize()} at ")]
    whose = "most that your shelf allows (3 %)" if name == "lavender scent" else "usual most ("
    assert whose in told
    assert [item.code for item in story.warnings] == ["above-usual"]


def test_the_usual_is_not_cautioned(tmp_path: Path) -> None:
    """What is just met is no cause for a word."""
    story = weighed(tmp_path, "shelf: shelf.yaml\nsuperfat: 5 %\nadditives: {lavender scent: 30 g, kaolin: 50 g}\n")
    assert not [caution for caution in story.cautions if "most" in caution and " at " in caution]
    assert story.warnings == ()


@pytest.mark.parametrize(("name", "words"), [("borax", "H360FD"), ("pine tar", "sensitise")])
def test_what_an_additive_must_never_go_without_is_said(tmp_path: Path, name: str, words: str) -> None:
    """Borax is toxic to reproduction (CLP Annex VI, from memory) and pine tar sensitises: it stands among the cautions."""
    story = weighed(tmp_path, f"superfat: 5 %\nadditives: {{{name}: 5 g}}\n")
    assert any(words in caution for caution in cautions(story.recipe, judge(story.recipe)))


@pytest.mark.parametrize("name", ["beer", "wine"])
@pytest.mark.parametrize("share", [100, 50])
def test_what_boils_off_does_so_before_the_scales(tmp_path: Path, name: str, share: int) -> None:
    """Beer and wine are simmered and chilled first and weighed then: else the lye is stronger than told (arithmetic)."""
    steps = weighed(tmp_path, f"superfat: 5 %\nwater: 280 g\nliquids: {{{name}: {share} %}}\n").steps
    (simmered,) = [at for at, step in enumerate(steps) if "immer" in step]
    (scales,) = [at for at, step in enumerate(steps) if step.startswith("Weigh ") and name in step]
    assert simmered < scales
    assert "Weigh it only then" in steps[simmered]


def test_a_liquid_that_simmers_is_weighed_afterwards() -> None:
    """Every liquid whose advice boils or simmers it says that water goes off, and no other does."""
    boiled = {item.name for item in liquids().values() if "immer" in item.advice or "boil it" in item.advice.casefold()}
    assert boiled == {item.name for item in liquids().values() if item.made_first == "boiled"} != set()
    assert {item.made_first for item in liquids().values()} == {"", "yes", "boiled"}


def test_a_lye_of_milk_alone_is_frozen_on_the_first_page(tmp_path: Path) -> None:
    """Where milk is all the water, the caution says to freeze it; where water is enough beside it, how hot the lye gets."""
    frozen = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\nliquids: {goat milk: 100 %}\n")
    told = " ".join(cautions(frozen.recipe, frozen.judgement))
    assert "have it frozen to slush" in told
    assert "lye may reach" not in told
    split = weighed(tmp_path, "superfat: 5 %\nwater: 280 g\nliquids: {goat milk: 40 %}\n")
    told = " ".join(cautions(split.recipe, split.judgement))
    assert "frozen" not in told
    assert "lye may reach" in told or "boil" in told
