"""Laws of the chemistry that hold for every composition and every charge."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog
from strategies import PLAIN

from optimiser.materials import alkali, lye
from optimiser.materials import fatty_acids as chemistry
from optimiser.materials.fat import like, with_certificate
from optimiser.materials.fat_table import reference
from optimiser.materials.fatty_acids import acids
from optimiser.recipe.evaluation import Recipe, judge

ACIDS = sorted(acids())
shares = st.floats(0.0, 100.0).map(lambda value: round(value, 3))
profiles = st.dictionaries(st.sampled_from(ACIDS), shares, min_size=1).filter(lambda found: sum(found.values()) > 1)
fractions = st.floats(0.0, 1.0)
moles = st.floats(0.01, 1000.0)


@st.composite
def reachable_ranges(draw: st.DrawFn) -> dict[str, tuple[float, float]]:
    """Ranges of acids around a composition that sums to 100."""
    profile = draw(profiles)
    total = sum(profile.values())
    around = {name: 100 * share / total for name, share in profile.items()}
    return {name: (share * draw(fractions), share + (100 - share) * draw(fractions)) for name, share in around.items()}


@given(profiles, st.floats(0.1, 50.0))
def test_only_proportions_matter(profile: dict[str, float], factor: float) -> None:
    """A composition written in other units has the same figures."""
    scaled = {name: factor * share for name, share in profile.items()}
    for figure in (chemistry.saponification_value, chemistry.iodine_value, chemistry.cox_value):
        assert figure(scaled) == pytest.approx(figure(profile), rel=1e-9, abs=1e-12)


@given(profiles, profiles, fractions)
def test_iodine_value_and_acid_value_of_a_blend_are_the_means(
    one: dict[str, float],
    other: dict[str, float],
    part: float,
) -> None:
    """Blending by mass of fatty acids blends the iodine value, the Cox value and the acid value in proportion."""
    blend = dict.fromkeys(one | other, 0.0)
    for profile, weight in ((one, part), (other, 1 - part)):
        for name, share in profile.items():
            blend[name] += weight * share / sum(profile.values())
    wanted = part * chemistry.iodine_value(one) + (1 - part) * chemistry.iodine_value(other)
    assert chemistry.iodine_value(blend) == pytest.approx(wanted, abs=1e-9)
    wanted = part * chemistry.cox_value(one) + (1 - part) * chemistry.cox_value(other)
    assert chemistry.cox_value(blend) == pytest.approx(wanted, abs=1e-9)
    acid_value = [chemistry.saponification_value(profile, free=True) for profile in (one, other)]
    wanted = part * acid_value[0] + (1 - part) * acid_value[1]
    assert chemistry.saponification_value(blend, free=True) == pytest.approx(wanted, rel=1e-9)


@given(profiles)
def test_saponification_value_lies_between_those_of_its_acids(profile: dict[str, float]) -> None:
    """No blend of acids takes more alkali than its lightest acid or less than its heaviest."""
    single = [chemistry.saponification_value({name: 100.0}) for name, share in profile.items() if share > 0]
    value = chemistry.saponification_value(profile)
    assert min(single) * (1 - 1e-12) <= value <= max(single) * (1 + 1e-12)


@given(reachable_ranges())
def test_closed_form_range_is_the_linear_programme(ranges: dict[str, tuple[float, float]]) -> None:
    """The greedy extremes are those that a linear programme solver finds for sum(share/M), shares summing to 100."""
    names = list(ranges)
    costs = np.array([1 / acids()[name].molar_mass for name in names])
    found = []
    for sign in (1, -1):
        solved = linprog(
            sign * costs, A_eq=np.ones((1, len(names))), b_eq=[100], bounds=[ranges[name] for name in names]
        )
        assert solved.status == 0, solved.message
        found.append(chemistry.saponification_value(dict(zip(names, np.maximum(solved.x, 0).tolist(), strict=True))))
    low, high = chemistry.saponification_range(ranges)
    assert low == pytest.approx(found[0], rel=1e-6)
    assert high == pytest.approx(found[1], rel=1e-6)
    assert low <= high * (1 + 1e-12)


@given(moles, fractions, fractions, st.floats(0.0, 10.0))
def test_superfat_left_undoes_alkali_needed(demand: float, superfat: float, potassium: float, acid: float) -> None:
    """The alkali worked out for a superfat leaves that superfat, whichever alkali and whatever acids."""
    needed = alkali.alkali_needed(demand, superfat=superfat, potassium_share=potassium, acid_mol=acid)
    moles = alkali.alkali_mol(needed.sodium_hydroxide, needed.potassium_hydroxide)
    assert alkali.superfat_left(demand, moles, acid) == pytest.approx(superfat, abs=1e-6 + 1e-12 * acid / demand)


@given(moles, fractions, fractions)
def test_more_superfat_never_needs_more_alkali(demand: float, one: float, other: float) -> None:
    """Alkali falls as superfat rises."""
    low, high = sorted((one, other))
    assert (
        alkali.alkali_needed(demand, superfat=high).sodium_hydroxide
        <= alkali.alkali_needed(demand, superfat=low).sodium_hydroxide
    )


@given(st.floats(1.0, 1e5), st.floats(0.5, 1.0))
def test_weighing_and_purity_round_trip(pure: float, purity: float) -> None:
    """What is weighed out holds exactly the pure alkali asked for."""
    assert alkali.weighed(pure, purity) * purity == pytest.approx(pure)


@given(st.floats(1.0, 1e4), st.floats(0.02, 0.5))
def test_lye_concentration_round_trip(alkali: float, concentration: float) -> None:
    """The water worked out from a concentration gives that concentration."""
    water = alkali * (1 - concentration) / concentration
    assert lye.lye_concentration(alkali, water) == pytest.approx(concentration)


@given(st.floats(0.01, 0.49), st.floats(0.0, 1.0), st.floats(4.0, 90.0), st.floats(0.1, 1e4))
def test_density_does_not_depend_on_the_size_of_the_jug(w: float, potassium: float, t: float, size: float) -> None:
    """A jug of any size holds the same lye, always denser than water and lighter than 1.6 kg/L."""
    grams = {"sodium_g": w * (1 - potassium), "potassium_g": w * potassium, "water_g": 1 - w}
    one = lye.lye_density(**grams, temperature=t)
    other = lye.lye_density(**{name: size * value for name, value in grams.items()}, temperature=t)
    assert other == pytest.approx(one, rel=1e-9)
    assert lye.lye_density(sodium_g=0, potassium_g=0, water_g=1, temperature=t) < one < 1600


@given(
    st.sampled_from(PLAIN),
    st.sampled_from(PLAIN),
    st.floats(0.05, 0.95),
    st.floats(0.0, 20.0),
    st.floats(0.0, 20.0),
    st.floats(-5.0, 5.0),
)
def test_a_wider_tolerance_never_makes_a_recipe_safer(  # two fats, a part and two tolerances
    one: str, other: str, part: float, narrow: float, wide: float, off: float
) -> None:
    """Worst case and likely low of a recipe do not rise as a certificate, or a told figure, grows less sure."""
    narrow, wide = sorted((narrow, wide))
    fat, rest = reference().get(one), reference().get(other)
    value = fat.saponification.value + off
    judged = []
    for tolerance in (narrow, wide):
        lot = with_certificate(fat, saponification_value=value, tolerance=tolerance)
        judged.append(judge(Recipe(((lot, 1000 * part), (rest, 1000 * (1 - part))), 120.0, 0.0, 280.0)))
    sure, unsure = judged
    assert unsure.superfat == pytest.approx(sure.superfat)
    assert unsure.superfat_worst_case <= sure.superfat_worst_case + 1e-9
    assert unsure.superfat_likely_low <= sure.superfat_likely_low + 1e-9


@given(st.sampled_from(PLAIN), st.floats(0.05, 1.0))
def test_a_likeness_never_makes_a_recipe_safer(name: str, part: float) -> None:
    """A fat that is only like another leaves no more superfat in the worst case, nor at the likely low, than that other."""
    fat, olive = reference().get(name), reference().get("olive oil")
    own = like(fat, name="ours")
    known, borrowed = (
        judge(Recipe(((one, 1000 * part), (olive, 1000 * (1 - part))), 120.0, 0.0, 280.0)) for one in (fat, own)
    )
    assert borrowed.superfat == pytest.approx(known.superfat)
    assert borrowed.superfat_worst_case < known.superfat_worst_case + 1e-9
    assert borrowed.superfat_likely_low < known.superfat_likely_low + 1e-9
