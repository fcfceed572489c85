"""What a recipe gives cause to say: each sentence just where it belongs, and nowhere else."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pytest
from strategies import recipe_at

from optimiser.materials.composition import Figure
from optimiser.materials.fat import like, of_saponification_alone, with_certificate
from optimiser.materials.fat_table import reference
from optimiser.recipe import cautions, handling, unsure_fats
from optimiser.recipe.cautions import is_unfit, particular, urgent
from optimiser.recipe.evaluation import Judgement, Recipe, judge
from optimiser.recipe.weights import of_jug

PLAIN = recipe_at({"olive oil": 3.0, "coconut oil": 1.0})


def said(recipe: Recipe, judged: Judgement | None = None) -> str:
    """All that a recipe gives cause to say, in one text."""
    return "\n".join(particular(recipe, judged or judge(recipe)))


def with_figures(**figures: Any) -> Judgement:
    """The plain recipe judged, some figures other than they are."""
    return judge(PLAIN)._replace(**figures)


def with_share(potassium: float) -> Judgement:
    """The plain recipe judged, as if so much of its alkali were potassium hydroxide."""
    judged = judge(PLAIN)
    return judged._replace(
        values={**judged.values, "potassium_share": potassium},
        pure_sodium_hydroxide=39.997 * (1 - potassium / 100),
        pure_potassium_hydroxide=56.106 * potassium / 100,
    )


def test_an_ordinary_recipe_has_only_its_heat_to_tell() -> None:
    """A plain bar gives no cause for anything but the heat of its lye."""
    (line,) = particular(PLAIN, judge(PLAIN))
    low, high = judge(PLAIN).lye_temperature
    assert line == cautions.HOT.format(low=low, high=high)


@pytest.mark.parametrize(
    ("reached", "words"),
    [
        ((119.0, 120.9), cautions.HOT),
        ((119.0, 121.0), cautions.MAY_BOIL),
        ((121.0, 121.0), cautions.BOILS),
    ],
)
def test_a_lye_that_boils_is_said_to(reached: tuple[float, float], words: str) -> None:
    """Where both estimates come to the boil it will boil, where one does it may, and below no boil is spoken of."""
    (line,) = particular(PLAIN, with_figures(lye_temperature=reached, lye_boiling_point=121.0))
    assert line == words.format(low=reached[0], high=reached[1], boil=121.0)
    assert ("boil" in line) is (words != cautions.HOT)


def test_a_strong_potassium_lye_will_boil() -> None:
    """Potassium hydroxide at 45 % is said to boil near 133 degC, and nothing hotter is told."""
    judged = judge(recipe_at({"olive oil": 1.0}, potassium=100.0, lye=45.0))
    told = next(particular(recipe_at({"olive oil": 1.0}, potassium=100.0, lye=45.0), judged))
    assert "lye will boil, at about 13" in told
    assert max(judged.lye_temperature) == judged.lye_boiling_point


def test_acid_in_the_water_is_told_in_the_heat() -> None:
    """Citric acid at 3 % of the fats brings a 38 % lye, which without it stays below, to the boil."""
    plain, sour = (recipe_at({"olive oil": 1.0}, lye=38.0, extra=extra) for extra in ({}, {"citric acid": 3.0}))
    assert next(particular(plain, judge(plain))).endswith("add slowly.")
    assert "boil" in next(particular(sour, judge(sour)))
    assert judge(sour).lye_temperature[0] - judge(plain).lye_temperature[0] == pytest.approx(17.0, abs=2.0)


def test_a_heat_that_nobody_knows_is_not_told() -> None:
    """Where no table reaches, no temperature is printed."""
    assert said(PLAIN, with_figures(lye_temperature=(math.nan, math.nan))) == ""


@pytest.mark.parametrize(
    ("lye", "words"),
    [
        (24.9, cautions.WEAK),
        (25.0, ""),
        (25.1, ""),
        (39.9, ""),
        (40.0, ""),
        (40.1, cautions.STRONG),
        (45.0, cautions.STRONG),
    ],
)
def test_strong_and_weak_lyes_are_told(lye: float, words: str) -> None:
    """Beyond 25 to 40 % the answer says so, with the figure; the ends themselves are ordinary."""
    text = said(recipe_at({"olive oil": 1.0}, lye=lye))
    for other in (cautions.WEAK, cautions.STRONG):
        assert (other.format(lye=lye) in text) == (other == words)
    exactly = said(PLAIN, with_figures(lye_concentration=lye))
    assert ("than most makers use" in exactly) == bool(words)


@pytest.mark.parametrize(("superfat", "told"), [(24.9, False), (25.0, False), (25.2, True), (39.0, True)])
def test_a_greasy_bar_is_told(superfat: float, told: bool) -> None:  # noqa: FBT001
    """More than a quarter of the fats left free is said to be greasy, and what it comes to."""
    line = cautions.GREASY.format(value=superfat)
    assert (line in said(PLAIN, with_figures(superfat=superfat))) is told
    assert ("greasy bar" in said(recipe_at({"olive oil": 1.0}, superfat=superfat + (1e-9 if told else -1e-9)))) is told


def test_pure_potassium_hydroxide_is_doubted() -> None:
    """Taken as pure it is said to be sold at about 90 %, and what a paste is then left with: a tenth of its alkali is missing.

    Of alkali for a superfat of 3 % nine tenths are 0.9 x 97 = 87.3 % of what the fats take: 12.7 % is left over.
    """
    paste = recipe_at({"olive oil": 1.0}, potassium=100.0, superfat=3.0)
    assert "taken as 100 % pure, and is usually sold at about 90 %" in said(paste)
    assert "a superfat of about 13 %" in said(paste)
    assert "taken as 100 %" not in said(paste._replace(potassium_purity=0.9))
    assert "taken as 100 %" not in said(recipe_at({"olive oil": 1.0}))


@pytest.mark.parametrize(
    ("potassium", "words"),
    [
        (0.0, ""),
        (19.9, ""),
        (20.0, ""),
        (20.1, cautions.SOFTER),
        (59.9, cautions.SOFTER),
        (60.0, cautions.PASTE),
        (100.0, cautions.PASTE),
    ],
)
def test_a_paste_is_told(potassium: float, words: str) -> None:
    """Above a fifth of potassium hydroxide it is told to be softer than a soda bar, from three fifths a paste."""
    mass = 100 * 56.106 * potassium / (56.106 * potassium + 39.997 * (100 - potassium))
    told = said(PLAIN, with_share(potassium))
    for one in (cautions.SOFTER, cautions.PASTE):
        assert (one.format(share=potassium, mass=mass) in told) is (one == words)
    if potassium in (0.0, 100.0):
        assert ("this is a paste" in said(recipe_at({"olive oil": 1.0}, potassium=potassium))) is bool(words)


@pytest.mark.parametrize(
    ("worst", "likely", "told"), [(-0.1, 0.0, True), (-0.1, 1.0, True), (0.0, 1.0, False), (-2.0, -0.1, False)]
)
def test_the_worst_case_is_told_where_the_likely_one_is_not(worst: float, likely: float, told: bool) -> None:  # noqa: FBT001
    """Free alkali in the worst case is told with its size; where it is likely, the louder caution stands instead."""
    judged = with_figures(superfat_worst_case=worst, superfat_likely_low=likely)
    assert (f"{-worst:.1f} % more alkali than fat would be left" in said(PLAIN, judged)) is told
    assert ("LIKELY LYE-HEAVY" in " ".join(urgent(judged))) is (likely < 0)


@pytest.mark.parametrize(
    ("worst", "cure"),
    [
        (-0.01, "about 0.1 points more superfat"),
        (-1.0, "about 1.0 points more superfat"),
        (-1.42, "about 1.5 points more superfat"),
        (-3.0, "about 3.0 points more superfat"),
        (-3.01, "Only certificates of analysis of the lots will do against that, the one of the coconut oil first."),
    ],
)
def test_the_worst_case_says_how_much_would_cure_it(worst: float, cure: str) -> None:
    """A few points are told to a tenth, never too few; beyond three only certificates will do, the widest fat's first."""
    tallow, coconut = reference().get("olive oil"), reference().get("coconut oil")
    tallow = tallow._replace(saponification=Figure(190.0, 185.0, 195.0))
    coconut = coconut._replace(saponification=Figure(258.0, 240.0, 264.0))
    recipe = PLAIN._replace(fats=((tallow, 500.0), (coconut, 500.0)))
    judged = with_figures(superfat_worst_case=worst, superfat_likely_low=1.0)
    assert cure in said(recipe, judged)
    assert "little more" not in said(recipe, judged)


def test_more_superfat_cures_the_worst_case_as_told() -> None:
    """With as many points more of superfat as are told nothing is short, and with a tenth fewer it still is."""
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, superfat=1.0)
    worst = judge(recipe).superfat_worst_case
    assert worst < -0.5
    for points, holds in ((math.ceil(-10.0 * worst) / 10.0, True), (math.ceil(-10.0 * worst) / 10.0 - 0.5, False)):
        more = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, superfat=1.0 + points)
        assert (judge(more).superfat_worst_case >= 0.0) is holds


@pytest.mark.parametrize(
    ("superfat", "likely", "mixed", "heads"),
    [
        (5.0, 0.0, 50.0, []),
        (5.0, -0.1, 50.0, ["LIKELY LYE-HEAVY"]),
        (-0.1, -1.0, 33.0, ["LYE-HEAVY"]),
        (5.0, 4.0, 50.1, ["NO LYE"]),
        (-0.1, -1.0, 60.0, ["LYE-HEAVY", "NO LYE"]),
        (0.0, 0.0, 33.0, []),
        (99.9, 90.0, 33.0, []),
        (100.0, 90.0, 33.0, ["NO SOAP"]),
        (121.1, 110.0, 60.0, ["NO SOAP", "NO LYE"]),
    ],
)
def test_what_heads_an_answer(superfat: float, likely: float, mixed: float, heads: list[str]) -> None:
    """Free alkali, likely free alkali and a lye that cannot be mixed come first; only the likely one may be made."""
    judged = with_figures(superfat=superfat, superfat_likely_low=likely, lye_as_mixed=mixed)
    assert [text.partition(":")[0] for text in urgent(judged)] == heads
    assert is_unfit(judged) is bool(set(heads) - {"LIKELY LYE-HEAVY"})
    every = cautions.cautions(PLAIN, judged)
    assert every[: len(heads)] == urgent(judged)
    standing = cautions.standing(PLAIN)
    assert every[len(heads) : len(heads) + len(standing)] == standing


@pytest.mark.parametrize(
    ("sodium", "potassium", "named"),
    [
        (1.0, 0.0, ("sodium hydroxide",)),
        (0.0, 1.0, ("potassium hydroxide",)),
        (1.0, 1.0, ("sodium hydroxide", "potassium hydroxide")),
        (0.0, 0.0, ()),
    ],
)
def test_standing_cautions_are_of_the_alkalis_in_use(sodium: float, potassium: float, named: tuple[str, ...]) -> None:
    """Only what is weighed is told of, in full and in two lines; where nothing is, both are."""
    recipe = PLAIN._replace(sodium_hydroxide=sodium, potassium_hydroxide=potassium)
    assert cautions.alkalis(recipe) == named
    assert cautions.standing(recipe) == handling.in_full(named)
    assert cautions.in_brief(recipe) == handling.in_brief(named)
    assert (handling.in_full(named) == handling.in_full()) is (len(named) != 1)


@pytest.mark.parametrize(("beeswax", "lever"), [(1.0, False), (2.0, False), (2.1, True)])
def test_wax_is_told_and_where_its_effect_ends(beeswax: float, lever: bool) -> None:  # noqa: FBT001
    """Beeswax hardly saponifies; beyond 2 % of the fats it counts as no more, and the answer says both."""
    text = said(recipe_at({"olive oil": 100.0 - beeswax, "beeswax": beeswax}))
    assert cautions.WAX.format(names="Beeswax") in text
    assert (cautions.WAX_LEVER in text) is lever
    jojoba = said(recipe_at({"olive oil": 90.0, "jojoba oil": 10.0}))
    assert cautions.WAX.format(names="Jojoba oil") in jojoba
    assert cautions.WAX_LEVER not in jojoba
    assert "wax" not in said(PLAIN)


def test_free_acids_are_told() -> None:
    """Stearic acid seizes a batter; two acids share a sentence; a fat of ordinary kind has none."""
    assert cautions.ACIDS.format(names="Stearic acid") in said(recipe_at({"olive oil": 99.0, "stearic acid": 1.0}))
    both = said(recipe_at({"olive oil": 90.0, "stearic acid": 5.0, "lauric acid": 5.0}))
    assert cautions.ACIDS.format(names="Stearic acid and lauric acid") in both
    assert "free fatty acid turns to soap" not in said(PLAIN)


def unsure(name: str, share: float, spread: float) -> Recipe:
    """Olive oil and a share of a fat whose low end lies so far (a fraction) below its value."""
    recipe = recipe_at({"olive oil": 100.0 - share, name: share})
    fats = []
    for fat, grams in recipe.fats:
        low = fat.saponification.value * (1.0 - (spread if fat.name == name else 0.01))
        fats.append((fat._replace(saponification=Figure(fat.saponification.value, low, 300.0)), grams))
    return recipe._replace(fats=tuple(fats))


@pytest.mark.parametrize(
    ("name", "share", "spread", "told"),
    [
        ("shea butter", 10.0, 0.08, True),
        ("shea butter", 9.9, 0.08, False),
        ("shea butter", 40.0, 0.051, True),
        ("shea butter", 40.0, 0.049, False),
        ("beeswax", 40.0, 0.20, False),
    ],
)
def test_fats_of_unsure_value_are_told(name: str, share: float, spread: float, told: bool) -> None:  # noqa: FBT001
    """A tenth or more of a fat that may lie over 5 % below its value is named with how far; a wax has its own caution."""
    text = said(unsure(name, share, spread))
    assert (unsure_fats.UNSURE.format(names=name.capitalize(), short=100.0 * spread) in text) is told


def test_of_several_unsure_fats_the_surest_sets_the_figure() -> None:
    """Two unsure fats share a sentence, which says no more of either than is true of both."""
    recipe = recipe_at({"shea butter": 1.0, "mango butter": 1.0})
    spreads = {"shea butter": 0.09, "mango butter": 0.06}
    fats = tuple(
        (
            fat._replace(
                saponification=fat.saponification._replace(low=fat.saponification.value * (1 - spreads[fat.name]))
            ),
            1.0,
        )
        for fat, _ in recipe.fats
    )
    text = said(recipe._replace(fats=fats))
    assert unsure_fats.UNSURE.format(names="Shea butter and mango butter", short=6.0) in text


@pytest.mark.parametrize(
    ("extra", "verb", "heavy"),
    [
        ({"citric acid": 0.5}, "is", False),
        ({"citric acid": 3.0}, "is", True),
        ({"citric acid": 1.0, "lactic acid": 1.0}, "are", True),
    ],
)
def test_acids_counted_on_are_told(extra: Mapping[str, float], verb: str, heavy: bool) -> None:  # noqa: FBT001
    """Acids that take alkali are named with their grams, and what the superfat would be without them."""
    recipe = recipe_at({"olive oil": 1.0}, extra=extra)
    (line,) = [text for text in particular(recipe, judge(recipe)) if "counted on" in text]
    assert line.startswith(" and ".join(f"{name} ({10 * share:g} g)" for name, share in extra.items()).capitalize())
    assert f" {verb} counted on" in line
    assert ("take its share" in line and "Weigh it, and put it in" in line) is (verb == "is")
    assert ("take their share" in line and "Weigh them, and put them in" in line) is (verb == "are")
    left = judge(recipe._replace(additives=())).superfat
    assert f"the superfat would be {left:.1f} %" in line
    assert ("lye-heavy" in line) is heavy
    assert "counted on" not in said(recipe_at({"olive oil": 1.0}, extra={"sugar": 3.0}))


@pytest.mark.parametrize(
    ("extra", "words"),
    [
        ({"sodium lactate": 10.0}, "sodium lactate brings the rest"),
        ({"sodium lactate": 5.0, "honey": 5.0}, "sodium lactate and honey bring the rest"),
        ({"sodium lactate": 1.0}, ""),
        ({"vinegar": 10.0}, ""),
    ],
)
def test_a_lye_mixed_stronger_is_told(extra: Mapping[str, float], words: str) -> None:
    """Where solutions bring more than a point's worth of water later, the strength as mixed is told."""
    recipe = recipe_at({"olive oil": 1.0}, extra=extra)
    text = said(recipe)
    assert (words in text) if words else ("is mixed at" not in text)
    if words:
        assert f"is mixed at {judge(recipe).lye_as_mixed:.0f} %" in text


def test_additives_beyond_what_was_tried_are_told() -> None:
    """To 3 % of the fats the effect of lactate is known, and beyond it the answer says so; of salt, that it is a salt bar."""
    for name in ("sodium lactate", "salt", "sugar"):
        assert "measures" not in said(recipe_at({"olive oil": 1.0}, extra={name: 3.0}))
    beyond = said(recipe_at({"olive oil": 1.0}, extra={"sodium lactate": 3.1}))
    assert cautions.STRETCHED.format(name="Sodium lactate", share=3.1, most=3.0) in beyond
    salted = said(recipe_at({"olive oil": 1.0}, extra={"salt": 40.0}))
    assert cautions.SALT_BAR.format(name="Salt", share=40.0, most=20.0) in salted
    on_the_way = said(recipe_at({"olive oil": 1.0}, extra={"salt": 10.0}))
    assert cautions.NEAR_SALT_BAR.format(name="Salt", share=10.0, most=20.0) in on_the_way


@pytest.mark.parametrize(("grams", "told"), [(39.0, False), (41.0, True), (400.0, True)])
def test_borrowed_figures_are_told_from_a_twentieth_on(grams: float, told: bool) -> None:  # noqa: FBT001
    """A fat that is only like another is named with its lender, and not told twice where its figure is unsure too."""
    mystery = like(reference().get("cocoa butter"), name="mystery butter")
    recipe = PLAIN._replace(fats=((mystery, grams), (reference().get("olive oil"), 800.0 - grams)))
    words = said(recipe, with_figures())
    assert ("Mystery butter: alkali reckoned with the figures of cocoa butter" in words) == told
    assert "mystery butter" not in words.replace("figures of cocoa butter", "").lower().replace(
        "mystery butter: alkali", ""
    )


@pytest.mark.parametrize(("grams", "told"), [(39.0, False), (41.0, True), (400.0, True)])
def test_a_saponification_value_alone_is_told(grams: float, told: bool) -> None:  # noqa: FBT001
    """A fat of which nothing else is known is named from a twentieth on, and not once it has a certificate."""
    alone = of_saponification_alone("mystery butter", Figure(186.0, 183.0, 189.0))
    for fat, expected in ((alone, told), (with_certificate(alone, saponification_value=186, tolerance=2), False)):
        recipe = PLAIN._replace(fats=((fat, grams), (reference().get("olive oil"), 800.0 - grams)))
        words = said(recipe, with_figures())
        assert ("Mystery butter: alkali reckoned with a saponification value that no certificate" in words) == expected


def test_a_figure_of_its_own_is_not_borrowed() -> None:
    """With a certificate, or as an infusion, there is nothing to tell."""
    olive = reference().get("olive oil")
    lot = with_certificate(like(olive, name="market oil"), saponification_value=190, tolerance=2)
    for fat in (lot, like(olive, name="calendula olive infusion")):
        assert "likeness" not in said(PLAIN._replace(fats=((fat, 800.0),)), with_figures())


@pytest.mark.parametrize(
    ("percent", "said"),
    [
        (0.0, "0.0"),
        (2.04, "2.0"),
        (-1.4, "-1.4"),
        (-0.03, "-0.03"),
        (0.004, "just over 0.0"),
        (0.006, "0.01"),
        (0.0001, "just over 0.0"),
        (-1e-9, "just under 0.0"),
    ],
)
def test_a_superfat_beside_none_is_never_told_as_none(percent: float, said: str) -> None:
    """Whether alkali is left over is read off the figure: what is below nothing is never printed as nothing."""
    assert cautions.beside_none(percent) == said


def test_an_acid_is_told_as_the_table_tells_it() -> None:
    """Two per cent of two pounds of fats are 18.144 g, and stand as 18.1 g beside a table in tenths of a gram."""
    made = recipe_at({"olive oil": 1.0}, extra={"citric acid": 2.0})
    acid = made.additives[0][0]
    made = made._replace(sodium_hydroxide=131.2, water=260.1, additives=((acid, 18.144),))
    assert of_jug(made).told(18.144) == "18.1 g"
    assert "Citric acid (18.1 g) is counted on" in said(made)
