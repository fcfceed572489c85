"""Designs bring their own working steps, in order, and no step contradicts another."""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import combinations
from types import MappingProxyType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples, recipe_at

from optimiser.files.designs import designs
from optimiser.materials.additives import additives, own_additive
from optimiser.materials.liquids import liquids, own_liquid
from optimiser.problem.designs import Design, Step
from optimiser.recipe.cautions import is_unfit
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.filling_steps import TRACES
from optimiser.recipe.making_steps import steps
from optimiser.recipe.soda_ash import ash_advice
from optimiser.recipe.times import batch_times

SWIRLS = ("fine swirl", "in-the-pot swirl", "drop swirl", "marbled slab", "fade", "column pour", "spoon swirl")
KNOCKED = re.compile(r"(?:^|, and |\. )[Kk]nock the mould")
NOTHING: Mapping[str, float] = MappingProxyType({})
FATS = {"olive oil": 450.0, "coconut oil": 300.0, "shea butter": 150.0, "castor oil": 100.0}
HEATING = sorted(
    {*(n for n, i in additives().items() if i.heats == "yes"), *(n for n, i in liquids().items() if i.heats == "yes")}
)


def design(name: str) -> Design:
    """A design of our own table."""
    return next(one for one in designs() if name in one.names)


def batch(extra: Mapping[str, float] = NOTHING, *, gel: bool = False, potassium: float = 0.0) -> Recipe:
    """A kilo of an ordinary bar, with additives and liquids in grams, and some of its alkali potassium (per cent of moles)."""
    shares = {name: grams / 10.0 for name, grams in extra.items()}
    return recipe_at(FATS, extra=shares, potassium=potassium, gel=gel)


def needed_by(*techniques: Design) -> Mapping[str, float]:
    """What the designs are not made without, in grams for a kilo of fats."""
    return {one.needs.additive: 10.0 * one.needs.usual for one in techniques if one.needs is not None}


def told(made: Recipe, *techniques: Design) -> tuple[str, ...]:
    """The steps of a batch that may be made."""
    judged = judge(made)
    assert not is_unfit(judged)
    return steps(made, judged, techniques, batch_times(made, judged, {}, techniques))


def place(found: tuple[str, ...], words: str) -> int:
    """Which step, and only one, says something."""
    (at,) = [number for number, step in enumerate(found) if words in step]
    return at


# -- every design --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("one", designs(), ids=lambda one: one.name)
def test_every_design_brings_steps_that_are_all_told_in_order(one: Design) -> None:
    """Each design has steps of its own; all stand in the batch's steps, in order, between weighing and testing."""
    assert one.steps
    found = told(batch(needed_by(one), gel=bool(one.gel and one.gel.value)), one)
    wanted = [
        step.do.removesuffix(".")
        for stage in ("ready", "apart", "pour", "top", "after")
        for step in one.steps
        if step.stage == stage
    ]
    places = [place(found, words) for words in wanted]
    assert places == sorted(places)
    assert places[0] > 1
    assert places[-1] < len(found) - 1
    for step in one.steps:
        lye = place(found, "sprinkle the alkali")
        mixed = place(found, "Pour the lye into the fats")
        out = place(found, "Unmould ")
        at = place(found, step.do.removesuffix("."))
        assert {"ready": at < lye, "after": at > out}.get(step.stage, mixed < at < out)


@pytest.mark.parametrize("one", designs(), ids=lambda one: one.name)
def test_a_mould_is_filled_once_and_knocked_only_where_it_may_be(one: Design) -> None:
    """The plain pour gives way to a design's own; the mould is knocked unless the pour is the design, which is said."""
    found = told(batch(needed_by(one)), one)
    knocks = [step for step in found if KNOCKED.search(step)]
    assert len(knocks) == int(one.knock and one.pour_to != "thick")
    assert sum("Do not knock the mould" in step for step in found) == int(not one.knock)
    plain = [step for step in found if step.startswith("Pour, ")]
    assert len(plain) == int(not one.at("pour"))
    for top in one.at("top"):
        for knock in knocks:
            assert found.index(knock) < place(found, top.removesuffix("."))


@pytest.mark.parametrize("name", SWIRLS)
def test_swirls_split_colour_and_pour_unknocked(name: str) -> None:
    """Every swirl splits its batter, colours the parts, says to what trace, pours, and is not knocked."""
    one = design(name)
    pours = " ".join(one.at("pour")).casefold()
    assert one.parts
    assert not one.knock
    assert "split" in pours or "each next pour" in pours
    assert "colour" in pours
    assert f"{one.pour_to} trace" in pours
    assert re.search(r"\bpour|\blay\b", pours)


@pytest.mark.parametrize("one", designs(), ids=lambda one: one.name)
def test_words_of_designs_are_those_of_the_bench(one: Design) -> None:
    """No "face", no "thin trace" and no promise stands in what a design says; each trace it names is one of three."""
    said = " ".join(
        (one.about, one.batter, one.cover, one.cure, *(s.do for s in one.steps), *(r.why for r in one.rows))
    )
    assert not re.search(r"\bfaces?\b|thin trace|nourish|offend", said, re.IGNORECASE)
    assert set(re.findall(r"\b(?:an?|same) (\w+) trace\b", said)) <= set(TRACES)
    assert one.blend_to in ("", *TRACES)
    assert one.blend_to == "" or TRACES.index(one.blend_to) <= TRACES.index(one.pour_to)


@pytest.mark.parametrize("one", designs(), ids=lambda one: one.name)
def test_only_a_design_that_gels_speaks_of_warmth_in_its_cover(one: Design) -> None:
    """What a design says of covering is told of batches that do not gel, unless it chooses gel: so it names no gel."""
    if one.gel is not None and one.gel.value:
        assert "gel" in one.cover
    else:
        assert not re.search(r"\bgel|keep it warm|cover warm", one.cover.casefold())


def test_the_plain_words_of_the_trade_find_the_techniques() -> None:
    """Trade words lead to our designs; those that are techniques of their own have an entry.

    Common practice, no source.
    """
    words = {
        "feather swirl": "fine swirl",
        "hanger swirl": "fine swirl",
        "peacock": "marbled slab",
        "column pour": "column pour",
        "spoon swirl": "spoon swirl",
        "confetti": "confetti",
        "salt bar": "salt bar",
        "shaving bar": "shaving bar",
    }
    assert {word: design(word).name for word in words} == words


# -- order and place -----------------------------------------------------------------------------------------------


def test_everything_goes_in_at_its_place() -> None:
    """Sugar before the alkali, lactate into the cooled lye, honey and clay at trace, scent after them, then the design."""
    extra = {
        "sugar": 10.0,
        "sodium lactate": 20.0,
        "honey": 15.0,
        "kaolin": 10.0,
        "essential oil": 20.0,
        "poppy seeds": 5.0,
    }
    found = told(batch(extra), design("drop swirl"))
    words = (
        "sugar 10",
        "sprinkle the alkali",
        "sodium lactate 20",
        "Pour the lye",
        "honey 15",
        "essential oil 20",
        "Pour the base",
    )
    order = [place(found, each) for each in words]
    assert order == sorted(order)
    assert "loosened with a spoonful of warm water" in found[place(found, "honey 15")]
    assert "wetted to a smooth paste" in found[place(found, "kaolin 10")]
    assert place(found, "poppy seeds") == place(found, "honey 15")


def test_no_water_is_kept_back_from_a_strong_lye() -> None:
    """What is wetted is never wetted with water that the alkali needs."""
    assert not [item.name for item in additives().values() if "kept back" in item.advice]


def test_colours_go_into_the_parts_of_a_split_batter_and_else_into_all_of_it() -> None:
    """Mica waits for the jugs of a swirl, and is stirred into the whole batter of a plain pour."""
    extra = {"mica": 8.0, "ultramarines": 4.0}
    swirl, plain = told(batch(extra), design("fine swirl")), told(batch(extra), design("single pour"))
    assert place(swirl, "mica 8") < place(swirl, "sprinkle the alkali")
    assert place(plain, "mica 8") > place(plain, "Pour the lye into the fats")
    assert found_once(swirl, "stirred smooth in a spoonful of oil")
    assert re.search(r"mica 8\.0+ g and ultramarines 4\.0+ g, stirred smooth", " ".join(plain))


def found_once(found: tuple[str, ...], words: str) -> bool:
    """Whether words stand once in all the steps."""
    return " ".join(found).count(words) == 1


def test_a_batter_with_something_to_stir_in_stops_light_and_goes_on() -> None:
    """For a thick pour the blender stops at a light trace where clay is still to go in, and goes on to thick after it."""
    found = told(batch({"kaolin": 10.0}), design("embeds"))
    assert "Stop at a light trace" in found[place(found, "Pour the lye into the fats")]
    order = [place(found, words) for words in ("Pour the lye into the fats", "kaolin", "Blend on", "Pour a bed")]
    assert order == sorted(order)
    assert "Stop at a thick trace" in " ".join(told(batch(), design("embeds")))


def test_two_designs_are_told_with_their_names() -> None:
    """With two designs the first own step of a stage says whose it is, and the blender stops at the lighter trace of the two."""
    found = told(batch(), design("in-the-pot swirl"), design("stamped bar"))
    assert (
        sum(step.startswith("For the in-the-pot swirl: ") for step in found) == 3
    )  # ready, what the batter must do, the pour
    assert sum(step.startswith("For the stamped bar: ") for step in found) == 2
    assert "Stop at a light trace" in " ".join(found)
    assert not [step for step in found if step.endswith("; cut.")]


def test_a_design_of_the_makers_without_steps_is_poured_plainly() -> None:
    """Where a design brings no steps the mould is poured and knocked, unless it forbids the knock."""
    bare = design("fine swirl")._replace(steps=(), pour_to="medium", blend_to="", parts=False)
    assert [step for step in told(batch(), bare) if step.startswith("Pour, low over the batter. Do not knock")]
    assert [step for step in told(batch(), bare._replace(knock=True)) if step.startswith("Pour, and knock")]
    added = bare._replace(steps=(Step("pour", "Pour it round and round"),))
    assert "Pour it round and round." in told(batch(), added)


def test_the_cover_is_that_of_the_top_that_bears_least() -> None:
    """Layers under a piped top are covered as the piping bears it, whichever is named first."""
    for pair in (("straight layers", "piped top"), ("piped top", "straight layers")):
        found = told(batch(needed_by(*map(design, pair))), *map(design, pair))
        assert design("piped top").cover in found
        assert design("straight layers").cover not in found


def test_what_may_heat_is_told_as_a_doubt() -> None:
    """A scent is asked after flowers and spices, a liquid of which only its water is known after milk and sugar."""
    bottled = own_liquid("bottled drink", None, 0.9)
    made = batch({"fragrance oil": 20.0})
    made = made._replace(water=made.water - 100.0, additives=(*made.additives, (bottled, 100.0)))
    text = " ".join(told(made, design("single pour")))
    assert "Should the fragrance oil be of flowers or spices" in text
    assert "Should the bottled drink hold milk or sugar" in text
    assert "Keep it cool" not in text


# -- pastes and salt -------------------------------------------------------------------------------------------------


def test_a_potassium_soap_has_neither_mould_nor_rack() -> None:
    """Over half potassium it is a paste: cooked or stood, tried, let down, tested; a bar's steps are not for it."""
    found = " ".join(told(batch(potassium=90.0), design("fine swirl")))
    assert not re.search(r"Line the mould|Unmould|rack in moving|[Kk]nock|swirl|; cut", found)
    order = [found.index(words) for words in ("Cook it", "Try it", "let it down", "Test the soap for free alkali")]
    assert order == sorted(order)


def test_a_shaving_bar_with_some_potassium_is_a_bar() -> None:
    """With two fifths potassium it is moulded, cut and cured as a bar."""
    found = " ".join(told(batch(potassium=40.0), design("shaving bar")))
    assert "Line the mould" in found
    assert "Unmould" in found
    assert "Cook it" not in found


@pytest.mark.parametrize("named", [True, False])
def test_a_salt_bar_is_cut_within_hours(named: bool) -> None:  # noqa: FBT001
    """With half its weight in salt a bar is cut within hours and has no time in days; the salt goes in after the scent.

    Common practice, no source.
    """
    made = batch({"essential oil": 20.0, "salt": 500.0})
    found = told(made, *([design("salt bar")] if named else []))
    assert sum("Unmould in 1 to 4 h" in step for step in found) == 1
    assert sum("still warm" in step for step in found) == 1
    assert place(found, "essential oil 20") < place(found, "salt 500")
    assert not [step for step in found if "; cut" in step]
    assert "Before any alkali, stir salt 20" in " ".join(told(batch({"salt": 20.0})))


# -- no step against another -----------------------------------------------------------------------------------------


def contradicts(found: tuple[str, ...]) -> list[str]:
    """What cannot stand beside each other in the steps of one batch."""
    text = " ".join(found)
    gels = bool(re.search(r"so that it gels through|let it gel\b", text))
    cool = bool(re.search(r"does not gel|not to gel|out of strong heat|evenly cool", text))
    knocked, unknocked = bool(KNOCKED.search(text)), "Do not knock" in text
    covered = bool(re.search(r"\bCover\b|Close it with a lid", text))
    return [
        *(["gel and cool"] if gels and cool else []),
        *(["knocked and not"] if knocked and unknocked else []),
        *(["covered and uncovered"] if covered and "Keep it cool and uncovered" in text else []),
        *(
            ["filled twice"]
            if "Pour, " in text and any(step.startswith(("Pour the base", "Pour the colours")) for step in found)
            else []
        ),
        *(["no mould and a mould"] if "no mould and no rack" in text and "Unmould" in text else []),
        *(["face"] if re.search(r"\bface\b", text) else []),
    ]


@pytest.mark.parametrize("one", [None, *designs()], ids=lambda one: one.name if one else "plain")
@pytest.mark.parametrize("extra", [{}, {"kaolin": 10.0}])
def test_times_are_told_to_the_trace_that_the_step_before_says(one: Design | None, extra: Mapping[str, float]) -> None:
    """The blender's seconds stand right after the step that says where to stop for good, and are told to that very trace."""
    techniques = (one,) if one else ()
    made = batch({**extra, **needed_by(*techniques)})
    found = told(made, *techniques)
    if any("of blender in all" in step for step in found):
        at = place(found, "of blender in all to a")
        trace = re.search(r"in all to a (\w+) trace", found[at])
        assert trace is not None
        assert f"a {trace[1]} trace:" in found[at - 1]
        assert not any(step.startswith("Blend on") for step in found[at + 1 :])


def test_a_thick_batter_is_spooned_and_not_knocked() -> None:
    """What holds peaks is neither poured nor knocked, whether a design says how it is filled or not."""
    bare = design("single pour")._replace(pour_to="thick", steps=())
    for one in (design("shaving bar"), bare):
        found = told(batch(), one)
        assert any(step.startswith("Spoon ") for step in found)
        assert not any("nock the mould" in step or step.startswith("Pour, ") for step in found)


@pytest.mark.parametrize("one", designs(), ids=lambda one: one.name)
@pytest.mark.parametrize("gel", [True, False])
@pytest.mark.parametrize("extra", ["", "honey", "goat milk", "fragrance oil"])
def test_no_step_of_a_design_contradicts_another(one: Design, gel: bool, extra: str) -> None:  # noqa: FBT001
    """Gelled or not, plain, with milk, honey or scent: no step says cover and gel where another says keep it cool."""
    found = told(batch({extra: 20.0} if extra else {}, gel=gel), one)
    assert contradicts(found) == []
    assert ("gels through" in " ".join(found)) is gel
    if extra in ("honey", "goat milk"):
        assert ("Keep it cool and uncovered" in " ".join(found)) is not gel


@given(
    st.lists(st.sampled_from([*additives(), *liquids()]), max_size=4, unique=True),
    st.lists(st.sampled_from(designs()), max_size=2, unique_by=lambda one: one.name),
    st.booleans(),
    st.sampled_from([0.0, 40.0, 80.0]),
)
@settings(max_examples=examples(60), deadline=None)
def test_no_recipe_has_steps_against_each_other(
    extra: list[str],
    chosen: list[Design],
    gel: bool,  # noqa: FBT001
    share: float,
) -> None:
    """Any additives, liquids, designs and alkali: no contradiction, and each additive is named with its grams once."""
    known = {**additives(), **liquids()}
    made = batch(dict.fromkeys(extra, 20.0), gel=gel, potassium=share)
    judged = judge(made)
    found = steps(made, judged, chosen)
    assert found
    assert is_unfit(judged) or contradicts(found) == []
    for name in extra if not is_unfit(judged) else ():
        named = re.compile(rf"(?:^|\s){re.escape(name)} 20\.0+ g", re.IGNORECASE)
        assert known[name].is_liquid or sum(bool(named.search(step)) for step in found[3:]) == 1
    assert is_unfit(judged) or all(step.endswith((".", "!")) for step in found)


@given(
    st.sampled_from(HEATING),
    st.lists(st.sampled_from(designs()), max_size=2, unique_by=lambda one: one.name),
)
@settings(max_examples=examples(40), deadline=None)
def test_steps_and_ash_help_agree_on_warmth(name: str, chosen: list[Design]) -> None:
    """Where the steps keep a batch cool, ash help advises neither gel nor a warmer pour, whatever the design."""
    made = batch({name: 20.0})
    free = {tip.id for tip in ash_advice(made, judge(made), techniques=chosen).tips if tip.is_free}
    assert "Keep it cool and uncovered" in " ".join(told(made, *chosen))
    assert not free & {"gel", "warm", "lid"}


def test_designs_that_share_a_bar_do_not_quarrel() -> None:
    """Any two designs together have steps without a contradiction."""
    pairs = list(combinations(designs(), 2))
    assert len(pairs) > 100
    for pair in pairs:
        assert contradicts(told(batch(needed_by(*pair)), *pair)) == [], [one.name for one in pair]


@pytest.mark.parametrize(
    ("name", "heats"),
    [("clove bud oil", "yes"), ("Ylang Ylang", "yes"), ("lavender oil", "may"), ("our spice blend", "yes")],
)
def test_scents_of_flowers_and_spices_are_known_by_name(name: str, heats: str) -> None:
    """A scent of the maker's own heats the batter where its name is of those that do; a clay of the same name does not.

    Common practice, no source.
    """
    assert own_additive(name, additives()["essential oil"], None).heats == heats
    assert own_additive(name, additives()["kaolin"], None).heats == ""
