"""The making steps say what to do in the right order, with this batch's figures."""

from __future__ import annotations

from pathlib import Path

import pytest
from strategies import recipe_at

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.answers.weigh import weigh
from optimiser.cli.main import main
from optimiser.materials.additives import additives
from optimiser.materials.fat import like
from optimiser.materials.fat_table import reference
from optimiser.recipe import making_steps
from optimiser.recipe.evaluation import judge
from optimiser.recipe.making_steps import melting_step
from optimiser.recipe.times import NO_TIMES, batch_times

ROOT = Path(__file__).parents[2]


def blend(name: str) -> Blend:
    """The answer to one of the goal files."""
    found = answer(ROOT / "goals" / name)
    assert isinstance(found, Blend)
    return found


def place(steps: tuple[str, ...], words: str) -> int:
    """Which step says something."""
    (found,) = [number for number, step in enumerate(steps) if words in step]
    return found


@pytest.mark.long
@pytest.mark.parametrize("name", ["everyday.yaml", "design-fine-swirl.yaml", "design-chequer.yaml", "laundry.yaml"])
def test_gear_comes_first_and_testing_last(name: str) -> None:
    """Goggles before anything is weighed, lye before batter, unmoulding before cure, and testing left to practice."""
    steps = blend(name).steps
    assert "Goggles" in steps[0]
    assert "safety data sheet" in steps[0]
    order = ["Weigh the fats", "into the water", "the fats to about", "Pour the lye", "Unmould", "Cure on a rack"]
    places = [place(steps, words) for words in order]
    assert places == sorted(places)
    assert "licensed practice" in steps[-1]


def test_alkali_goes_into_water_and_never_the_other_way() -> None:
    """No step tells anyone to put water onto alkali."""
    step = blend("everyday.yaml").steps[place(blend("everyday.yaml").steps, "into the water")]
    assert "sprinkle the alkali into the water, never water onto alkali" in step


def test_figures_are_those_of_the_balance() -> None:
    """The steps name the grams to weigh, purity and all, as the tables do."""
    found = blend("everyday.yaml")
    text = " ".join(found.steps)
    assert f"{found.alkali.sodium_to_weigh:.1f} g sodium hydroxide (98 % pure)" in text
    assert f"{found.water.to_weigh:.1f} g water" in text
    assert f"{found.recipe.fat_grams:.0f} g in all" in text


@pytest.mark.long
def test_a_design_says_where_to_stop_and_how_warm() -> None:
    """A fine swirl stops at a light trace in a cool batter; a chequer is covered to gel."""
    swirl, chequer = blend("design-fine-swirl.yaml"), blend("design-chequer.yaml")
    assert "a light trace:" in " ".join(swirl.steps)
    assert f"{swirl.recipe.batter_temperature:.0f} degC" in " ".join(swirl.steps)
    assert chequer.recipe.gel
    assert "gels through" in " ".join(chequer.steps)


def test_a_recipe_in_hand_has_steps_and_times(tmp_path: Path) -> None:
    """Steps and times are told of any recipe, not only of our own."""
    path = tmp_path / "in-hand.yaml"
    path.write_text(
        "title: thirds\nfats: {coconut oil: 500 g, palm oil: 500 g, olive oil: 500 g}\nsuperfat: 5 %\n",
        encoding="utf-8",
    )
    found = weigh(path)
    assert "Goggles" in found.steps[0]
    assert [item.time for item in found.times.told()] == ["blend", "workable", "unmould", "cure"]
    assert all(0 < item.low < item.high for item in found.times.told())


def goals(tmp_path: Path, text: str) -> Path:
    """A goal file over the invented shelf."""
    path = tmp_path / "bar.yaml"
    path.write_text(f"title: bar\nshelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\n{text}", encoding="utf-8")
    return path


def told(path: Path) -> Blend:
    """The answer to a goal file."""
    found = answer(path)
    assert isinstance(found, Blend)
    return found


def test_additives_are_told_once_and_where_they_go(tmp_path: Path) -> None:
    """Acids go into the water before any alkali, a lactate into the cooled lye, clay at trace; each is named once."""
    wish = "additives: {vinegar: 10 %, citric acid: 1 %, sodium lactate: 2 %, kaolin: 1 %}\n"
    steps = told(goals(tmp_path, wish)).steps
    order = [place(steps, words) for words in ("citric acid", "sprinkle the alkali", "sodium lactate", "kaolin")]
    assert order == sorted(order)
    assert place(steps, "vinegar") == order[0]
    assert len(set(order)) == 4


def test_silk_goes_into_the_hot_lye(tmp_path: Path) -> None:
    """Silk dissolves only while the lye is hot: its step stands between the dissolving and the cooling, and nowhere else."""
    steps = told(goals(tmp_path, "additives: {silk: 0.2 %}\n")).steps
    silk = place(steps, "silk")
    assert place(steps, "sprinkle the alkali") < silk < place(steps, "Let the lye cool")
    assert steps[silk].startswith("While the lye is hot")
    assert "hot lye" in additives()["silk"].effect


def test_the_boil_is_told_where_the_alkali_goes_in(tmp_path: Path) -> None:
    """A strong potassium lye boils when made at once, and the step in which it is made says so; a plain lye does not."""
    path = tmp_path / "paste.yaml"
    path.write_text(
        "fats: {olive oil: 1 kg}\nsuperfat: 3 %\npotassium_share: 100 %\nlye_concentration: 45 %\n", encoding="utf-8"
    )
    making = next(step for step in weigh(path).steps if "sprinkle the alkali" in step)
    assert "made at once it would boil, at about 13" in making
    assert "boil" not in next(step for step in blend("everyday.yaml").steps if "sprinkle the alkali" in step)


def test_an_acid_forgotten_is_cautioned_against(tmp_path: Path) -> None:
    """Where the alkali counts on an acid, the answer says what the superfat would be without it."""
    found = told(goals(tmp_path, "additives: {citric acid: 2 %}\n"))
    (caution,) = [text for text in found.cautions if "counted on" in text]
    taken = 20.0 * 3.0 / 192.123
    demand = sum(fat.saponification.value * grams / 56106.0 for fat, grams in found.recipe.fats)
    left = 100.0 * (0.05 - taken / demand)
    assert f"{left:.1f} %, lye-heavy" in caution


def test_a_lye_that_cannot_be_mixed_is_never_answered(tmp_path: Path) -> None:
    """Water that comes later in a solution does not dissolve the alkali: the lye as mixed stays within 50 %."""
    found = told(goals(tmp_path, "additives: {sodium lactate: 30 %}\npractice: {sodium lactate: off}\n"))
    assert found.weighed.lye_as_mixed <= 50.0 + 0.1
    assert found.weighed.lye_as_mixed > found.weighed.lye_concentration + 5.0
    assert any("mixed at" in text for text in found.cautions)


@pytest.mark.parametrize(("alkali", "water", "word"), [("150 g", "300 g", "LYE-HEAVY"), ("100 g", "60 g", "NO LYE")])
def test_no_steps_for_what_must_not_be_made(tmp_path: Path, alkali: str, water: str, word: str) -> None:
    """A recipe with too much alkali, or too little water for it, has no steps and no times, and is not passed."""
    path = tmp_path / "r.yaml"
    fats = "fats: {olive oil: 500 g, coconut oil: 300 g}"
    path.write_text(f"title: no\n{fats}\nalkali: {{sodium hydroxide: {alkali}}}\nwater: {water}\n", encoding="utf-8")
    found = weigh(path)
    assert found.cautions[0].startswith(word)
    assert found.is_unfit
    assert found.times == NO_TIMES
    assert len(found.steps) == 1
    assert "Do not make" in found.steps[0]


def test_acid_that_takes_all_the_alkali_leaves_no_soap(tmp_path: Path) -> None:
    """250 g of citric acid take 156 g of sodium hydroxide (three of it for one, 192.1 and 40.0 g/mol): 130 g leave the oil as it is."""
    path = tmp_path / "r.yaml"
    rest = "alkali: {sodium hydroxide: 130 g}\nwater: 260 g\nadditives: {citric acid: 250 g}\n"
    path.write_text(f"title: no\nfats: {{olive oil: 1 kg}}\n{rest}", encoding="utf-8")
    found = weigh(path)
    assert found.cautions[0].startswith("NO SOAP")
    assert found.is_unfit
    assert found.times == NO_TIMES
    assert ["Do not make" in step for step in found.steps] == [True]


def test_wax_and_stearic_acid_ask_for_heat(tmp_path: Path) -> None:
    """Nobody is told to bring beeswax to 35 degC; jojoba, which is liquid, is not told to be melted."""
    steps = told(goals(tmp_path, "shares: {beeswax: 1 %, jojoba oil: 1 %}\n")).steps
    melting = steps[place(steps, "Melt")]
    assert "60-70 degC" in melting
    assert "jojoba" not in melting


def test_a_salt_bar_is_told_its_time(tmp_path: Path) -> None:
    """Half its weight in salt makes a salt bar that sets within hours, and the answer says what its figures are."""
    rules = "practice: {lauric oils: off, short saturated acids at most: off, solid fats: off, salt in the lye: off}\n"
    wish = "goals: {superfat: 20 %, harshness: {at_most: 80}}\nshares: {coconut oil: {at_least: 80 %}}\n"
    found = told(goals(tmp_path, f"{wish}additives: {{salt: 50 %}}\n{rules}"))
    assert {item.time for item in found.times.told()} >= {"unmould", "cure"}
    assert found.times.unmould is not None
    assert found.times.unmould.high < 12.0
    assert any("salt bar" in text for text in found.cautions)
    (line,) = [line for line in found.goals if line.id.key == "salt"]
    assert line.saves_if_dropped is not None
    assert (
        line.saves_if_dropped < 0.0
    )  # salt is cheaper than soap: without its line there is none, and a kilo is dearer


@pytest.mark.parametrize(
    ("name", "hot"),
    [
        ("palm stearin", True),
        ("hydrogenated soybean oil", True),
        ("hydrogenated rapeseed oil", True),
        ("beeswax", True),
        ("stearic acid", True),
        ("coconut oil", False),
        ("palm oil", False),
        ("beef tallow", False),
        ("cocoa butter", False),
    ],
)
def test_what_melts_high_asks_for_heat(name: str, hot: bool) -> None:  # noqa: FBT001
    """Stearin, hardened oils, waxes and free acids take 60-70 degC; lauric oils and butters, however hard, do not.

    Common practice, no source.
    """
    words = melting_step(recipe_at({"olive oil": 90.0, name: 10.0}))
    assert ("60-70 degC" in words) is hot
    assert (f"With {name} this takes" in words) is hot
    assert words.startswith(f"Melt {name} gently, stir in the liquid oils")


@pytest.mark.parametrize("name", ["beeswax", "stearic acid", "palm stearin"])
def test_lye_and_fats_are_of_one_warmth(name: str) -> None:
    """Where a fat needs heat the lye is as warm as the fats, and the times are told to hold for the cooler batter only.

    Common practice, no source: wax and stearic acid set in grains in a cool lye.
    """
    made = recipe_at({"olive oil": 70.0, "coconut oil": 27.0, name: 3.0})
    judged = judge(made)
    found = making_steps.steps(made, judged, (), batch_times(made, judged, {}))
    (cooled,) = [step for step in found if step.startswith("Let the lye cool")]
    assert f"within 5 degrees of the fats, which with {name} are as warm as they need" in cooled
    (timed,) = [step for step in found if step.startswith("Expect ")]
    assert "hold for 35 degC" in timed
    assert f"as warm as {name} needs" in timed
    plain = recipe_at({"olive oil": 60.0, "coconut oil": 40.0})
    told = " ".join(making_steps.steps(plain, judge(plain), (), batch_times(plain, judge(plain), {})))
    assert "within 5 degrees of 35 degC" in told
    assert "far shorter when" not in told


def test_only_liquid_oils_are_not_melted() -> None:
    """Where nothing is solid nothing is melted, and where all is there are no oils to stir in."""
    assert melting_step(recipe_at({"olive oil": 1.0})) == "Bring the fats to about 35 degC."
    assert "liquid oils" not in melting_step(recipe_at({"palm oil": 1.0, "cocoa butter": 1.0}))


def test_the_steps_are_printed_in_order_on_request(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """With --steps every step stands in the text, numbered from 1, and without it none does."""
    path = goals(tmp_path, "goals: {hardness: {at_least: 45}}\n")
    steps = told(path).steps
    assert len(steps) > 9
    assert main(["blend", str(path), "--steps"]) == 0
    flat = " ".join(capfd.readouterr().out.replace("\u00b0C", "degC").split())
    places = [flat.index(f"{place}. {' '.join(step.split())}") for place, step in enumerate(steps, start=1)]
    assert places == sorted(places)
    assert main(["blend", str(path)]) == 0
    assert "step by step" not in capfd.readouterr().out


def test_a_hardened_lauric_oil_of_ones_own_asks_for_heat() -> None:
    """What a maker tags as hydrogenated is melted as such, lauric or not."""
    coconut = reference().get("coconut oil")
    hardened = like(coconut, name="our hardened coconut", tags={*coconut.tags, "hydrogenated"})
    made = recipe_at({"olive oil": 1.0})
    assert "With our hardened coconut this takes" in melting_step(made._replace(fats=(*made.fats, (hardened, 200.0))))
    assert "this takes" not in melting_step(made._replace(fats=(*made.fats, (coconut, 200.0))))


def test_a_lye_of_vinegar_alone_has_steps() -> None:
    """Where vinegar brings all the water that there is, none is weighed and the steps are told all the same."""
    made = recipe_at({"olive oil": 70.0, "coconut oil": 30.0}, extra={"vinegar": 20.0})._replace(water=0.0)
    told = making_steps.steps(made, judge(made)._replace(superfat=5.0, lye_as_mixed=40.0))
    assert any(" 0.000 g water" in step for step in told)


@pytest.mark.parametrize(("wax", "more"), [("beeswax", False), ("carnauba wax", True)])
def test_beeswax_needs_no_more_heat_than_stearin(wax: str, more: bool) -> None:  # noqa: FBT001
    """Beeswax melts at 61-66 degC, carnauba wax above 80 (Ph. Eur., from memory): only the harder wax is told to take more."""
    told = melting_step(recipe_at({"olive oil": 97.0, wax: 3.0}))
    assert "60-70 degC" in told
    assert (f"{wax} more" in told) is more
    assert "waxes more" not in told
