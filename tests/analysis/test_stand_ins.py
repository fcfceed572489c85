"""Ranking of what may stand in for a fat: form, function, acids, price, and what comes before all of them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimiser.analysis.stand_ins import acid_distances, broken_of, stand_ins, there_for, worst_steps
from optimiser.analysis.usual_stand_ins import usual_share, usual_stand_ins
from optimiser.materials.fat import Fat
from optimiser.materials.fat_table import reference
from optimiser.materials.standing_in import common_fats
from optimiser.measures.differences import functions, within

COMMON = common_fats()


def fat(name: str) -> Fat:
    """A fat of the table."""
    return reference().get(name)


def ranked(out: str, bar: dict[str, float], *names: str, prices: dict[str, float] | None = None) -> list[str]:
    """Names in their order."""
    found = stand_ins(
        fat(out), [(fat(name), share) for name, share in bar.items()], [fat(name) for name in names], prices
    )
    return [item.fat.name for item in found]


HOUSE = {"olive oil": 40.0, "coconut oil": 30.0, "palm oil": 30.0}


def test_an_animal_fat_comes_last_in_a_vegetable_bar_and_first_in_one_of_lard() -> None:
    """Tallow does what palm did, and still no vegetable bar is answered by it first."""
    assert ranked("palm oil", HOUSE, "beef tallow", "shea butter", "high oleic sunflower oil")[-1] == "beef tallow"
    with_lard = {"olive oil": 40.0, "coconut oil": 25.0, "palm oil": 20.0, "lard": 15.0}
    assert ranked("palm oil", with_lard, "beef tallow", "shea butter")[0] == "beef tallow"


def test_a_nut_oil_comes_after_oils_that_nobody_must_declare() -> None:
    """Hazelnut is nearer to olive than rapeseed is, and brings an allergen that the bar had not."""
    assert ranked("olive oil", HOUSE, "hazelnut oil", "avocado oil") == ["avocado oil", "hazelnut oil"]


def test_what_house_practice_bars_comes_last() -> None:
    """A wax, a free fatty acid or a third of castor oil stands in for nothing as long as another fat is there."""
    found = ranked("palm oil", HOUSE, "stearic acid", "castor oil", "beeswax", "shea butter", "rapeseed oil")
    assert found[0] == "shea butter"
    assert broken_of([(fat("castor oil"), 30.0), (fat("olive oil"), 70.0)]) != {}
    assert broken_of([(fat("castor oil"), 5.0), (fat("olive oil"), 95.0)]) == {}


def test_of_two_alike_the_cheaper_comes_first() -> None:
    """Palm kernel oil and babassu do the same in place of coconut: the price decides, whichever is cheaper."""
    for cheap, dear in (("palm kernel oil", "babassu oil"), ("babassu oil", "palm kernel oil")):
        prices = {"coconut oil": 3.0, cheap: 2.0, dear: 8.0}
        assert ranked("coconut oil", HOUSE, cheap, dear, prices=prices) == [cheap, dear]


def test_a_fat_of_several_times_the_price_comes_after_others_of_its_form() -> None:
    """Argan is the nearest to rice bran, and nobody pours it for that."""
    bar = {"olive oil": 60.0, "coconut oil": 30.0, "rice bran oil": 10.0}
    prices = {"rice bran oil": 3.7, "argan oil": 32.0, "rapeseed oil": 2.1}
    assert ranked("rice bran oil", bar, "argan oil", "rapeseed oil", prices=prices) == ["rapeseed oil", "argan oil"]
    assert ranked("rice bran oil", bar, "argan oil", "rapeseed oil") == ["argan oil", "rapeseed oil"]


@given(st.sampled_from(COMMON), st.floats(5.0, 95.0))
def test_a_fat_in_its_own_place_changes_nothing(name: str, share: float) -> None:
    """The distance of a fat to itself is nothing, in function and in acids, and no measure goes the bad way."""
    bar = [(fat(name), share), (fat("olive pomace oil" if name == "olive oil" else "olive oil"), 100.0 - share)]
    (same,) = stand_ins(fat(name), bar, [fat(name)])
    assert (same.form, same.steps, same.distance, same.acids, same.brings, same.breaks) == (0, 0, 0.0, 0.0, (), ())


@given(st.permutations(COMMON[:12]))
def test_the_order_of_the_shelf_does_not_matter(names: list[str]) -> None:
    """The same fats in another order rank the same."""
    others = [name for name in names if name != "coconut oil"]
    assert ranked("coconut oil", HOUSE, *others) == ranked("coconut oil", HOUSE, *sorted(others))


def test_weights_say_what_a_fat_is_there_for() -> None:
    """Where it differs from the rest the weight is the larger; they sum to one; alone every function weighs the same."""
    scale = np.array([10.0, 10.0, 10.0])
    weights = there_for(np.array([50.0, 60.0, 90.0]), np.array([[50.0], [50.0], [50.0]]), [100.0], scale)
    assert weights.sum() == pytest.approx(1.0)
    assert weights[2] == pytest.approx(4.0 * weights[1])
    assert weights[0] == pytest.approx(0.1 * weights[2])
    assert there_for(np.array([1.0, 2.0]), np.empty((2, 0)), [], scale[:2]).tolist() == [0.5, 0.5]


def test_steps_count_the_bad_side_alone() -> None:
    """Up to its own +/- it is no step; each +/- more is one; a milder bar is none, however much milder."""
    rooms = np.array([within(name) for name in functions()])
    place = functions().index("harshness")
    for parts, steps in ((0.9, 0.0), (1.0, 0.0), (1.1, 1.0), (2.5, 2.0), (-9.0, 0.0)):
        moved = np.zeros((len(functions()), 1))
        moved[place] = parts * rooms[place]
        assert worst_steps(moved).tolist() == [steps]


def test_acids_differ_by_half_of_what_each_does() -> None:
    """Coconut and palm share little: what one has more of the other has less of, counted once."""
    coconut, palm = fat("coconut oil").acids, fat("palm oil").acids
    by_hand = 0.5 * sum(abs(coconut.get(acid, 0.0) - palm.get(acid, 0.0)) for acid in {*coconut, *palm})
    assert acid_distances(fat("coconut oil"), [fat("palm oil")])[0] == pytest.approx(by_hand)


@pytest.mark.parametrize(
    ("name", "among"),
    [
        ("coconut oil", {"palm kernel oil", "babassu oil"}),
        ("palm oil", {"lard", "beef tallow"}),
        ("lard", {"palm oil", "beef tallow"}),
        ("shea butter", {"mango butter"}),
        ("olive oil", {"high oleic sunflower oil"}),
        ("beeswax", {"candelilla wax"}),
    ],
)
def test_a_card_lists_what_the_trade_uses(name: str, among: set[str]) -> None:
    """Without a recipe the usual stand-ins are ranked in an ordinary bar, with a word on what differs."""
    found = usual_stand_ins(fat(name))
    assert 1 <= len(found) <= 5
    assert among <= {item.found.fat.name for item in found[: max(2, len(among))]}
    assert name not in {item.found.fat.name for item in found}


def test_a_bar_has_no_more_of_a_fat_than_house_practice_lets_in() -> None:
    """A quarter of most fats, and of castor oil or a wax what the rules say."""
    assert usual_share(fat("palm oil")) == 25.0
    assert usual_share(fat("castor oil")) == 10.0
    assert usual_share(fat("beeswax")) == 2.0


def test_within_what_measures_are_sure_to_price_decides_and_a_fat_that_is_there_comes_first() -> None:
    """Shea, mango and cocoa butter move no measure of this bar beyond its own +/-: the cheapest first, but for one it has already."""
    prices = {"palm oil": 2.0, "shea butter": 4.0, "mango butter": 5.0, "cocoa butter": 5.5}
    names = ("mango butter", "shea butter", "cocoa butter")
    bar = {"olive oil": 50.0, "coconut oil": 30.0, "palm oil": 20.0}
    shares = [(fat(name), share) for name, share in bar.items()]
    found = stand_ins(fat("palm oil"), shares, [fat(name) for name in names], prices)
    assert [item.away for item in found] == [0, 0, 0]
    assert len({round(item.distance, 6) for item in found}) == 3
    assert [item.fat.name for item in found] == ["shea butter", "mango butter", "cocoa butter"]
    with_cocoa = {"olive oil": 40.0, "coconut oil": 30.0, "palm oil": 15.0, "cocoa butter": 15.0}
    assert ranked("palm oil", with_cocoa, *names, prices=prices)[0] == "cocoa butter"
