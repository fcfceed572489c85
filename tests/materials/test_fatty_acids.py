"""Chemistry of the fat and its alkali: shapes, edges and refusals. Published figures are compared in tests/outside."""

from __future__ import annotations

import pytest

from optimiser.materials import alkali
from optimiser.materials import fatty_acids as chemistry
from optimiser.materials.lye import KOH, NAOH
from optimiser.reference import rows

OLIVE = {"C16:0": 12.0, "C18:0": 3.0, "C18:1": 73.0, "C18:2": 11.0, "C18:3": 1.0}


def test_every_acid_id_tells_its_own_carbons_and_double_bonds() -> None:
    """The id of an acid spells its carbons and double bonds, and the table holds the same."""
    for name, acid in chemistry.acids().items():
        carbons, rest = name[1:].split(":")
        assert (int(carbons), int(rest[0])) == (acid.carbons, acid.double_bonds)
        assert acid.hydroxyls == {"-OH": 1, "-diOH": 2}.get(rest[1:], 0)


def test_unknown_acid_is_a_key_error() -> None:
    """An acid that is not in the table is named in a KeyError."""
    with pytest.raises(KeyError, match="C99:0"):
        chemistry.saponification_value({"C99:0": 100.0})


@pytest.mark.parametrize("profile", [{}, {"C12:0": 0.0}, {"C12:0": 101.0, "C14:0": -1.0}])
def test_a_profile_without_a_composition_is_refused(profile: dict[str, float]) -> None:
    """Nothing, only nothing, and a negative share are no composition."""
    with pytest.raises(ValueError, match="profile"):
        chemistry.saponification_value(profile)


def test_unsaponifiables_take_no_alkali_and_no_iodine() -> None:
    """Fifty grams of unsaponifiables in a kilogram take a twentieth off both values."""
    for figure in (chemistry.saponification_value, chemistry.iodine_value):
        assert figure(OLIVE, unsaponifiable=50.0) == pytest.approx(0.95 * figure(OLIVE))


def test_free_acids_need_more_alkali_than_their_triglyceride() -> None:
    """A gram of free acids holds more acid than a gram of the triglyceride, so it needs more."""
    assert chemistry.saponification_value(OLIVE, free=True) > chemistry.saponification_value(OLIVE)


def test_ranges_that_pin_the_composition_give_one_value() -> None:
    """Where low ends and high ends meet, the smallest and the largest value are that of the composition."""
    low, high = chemistry.saponification_range({name: (share, share) for name, share in OLIVE.items()})
    assert low == pytest.approx(high) == pytest.approx(chemistry.saponification_value(OLIVE))


@pytest.mark.parametrize("scale", [0.5, 1.7])
def test_ranges_that_cannot_sum_to_a_hundred_are_taken_at_the_nearest_sum(scale: float) -> None:
    """Too little, or too much, of everything is normalised instead of refused."""
    ranges = {name: (0.99 * scale * share, scale * share) for name, share in OLIVE.items()}
    low, high = chemistry.saponification_range(ranges)
    assert low == pytest.approx(high, rel=1e-9) == pytest.approx(chemistry.saponification_value(OLIVE), rel=1e-9)


def test_more_unsaponifiables_lower_the_low_end_alone() -> None:
    """The low end takes the high end of the unsaponifiables, the high end the low one."""
    pinned = {"C18:1": (100.0, 100.0)}
    low, high = chemistry.saponification_range(pinned, unsaponifiable=(5.0, 80.0))
    assert low == pytest.approx(chemistry.saponification_value({"C18:1": 100.0}, unsaponifiable=80.0))
    assert high == pytest.approx(chemistry.saponification_value({"C18:1": 100.0}, unsaponifiable=5.0))


@pytest.mark.parametrize("wrong", [(5.0, 4.0), (-1.0, 4.0)])
def test_a_range_upside_down_is_refused(wrong: tuple[float, float]) -> None:
    """A range runs from a low end that is not negative to a high end that is not lower."""
    with pytest.raises(ValueError, match="range"):
        chemistry.saponification_range({"C18:1": wrong})


def test_alkali_for_one_mole() -> None:
    """One mole of demand at no superfat takes one molar mass of either alkali."""
    assert alkali.alkali_needed(1.0, superfat=0.0) == alkali.PureAlkali(NAOH, 0.0)
    assert alkali.alkali_needed(1.0, superfat=0.0, potassium_share=1.0) == alkali.PureAlkali(0.0, KOH)


def test_superfat_is_never_taken_off_what_acids_need() -> None:
    """Citric acid takes its alkali in full, whatever the superfat."""
    without = alkali.alkali_needed(3.0, superfat=0.1)
    with_acid = alkali.alkali_needed(3.0, superfat=0.1, acid_mol=0.2)
    assert with_acid.sodium_hydroxide - without.sodium_hydroxide == pytest.approx(0.2 * NAOH)


@pytest.mark.parametrize(("superfat", "potassium"), [(5.0, 0.0), (-0.01, 0.0), (0.05, 50.0), (0.05, -0.1)])
def test_per_cent_where_a_fraction_belongs_is_refused(superfat: float, potassium: float) -> None:
    """A superfat of 5 would be five times no alkali at all: it is refused, and the right reading named."""
    with pytest.raises(ValueError, match=r"0\.05"):
        alkali.alkali_needed(1.0, superfat=superfat, potassium_share=potassium)


def test_negative_demand_is_refused() -> None:
    """No fat gives alkali back."""
    with pytest.raises(ValueError, match="demand"):
        alkali.alkali_needed(-1.0, superfat=0.0)


def test_superfat_of_a_charge_that_demands_nothing_is_refused() -> None:
    """Without a demand there is nothing to leave unreacted."""
    with pytest.raises(ValueError, match="demand"):
        alkali.superfat_left(0.0, 1.0)


def test_free_alkali_reads_as_negative_superfat() -> None:
    """A tenth more alkali than the fats can take is a superfat of minus ten per cent."""
    assert alkali.superfat_left(2.0, 2.2) == pytest.approx(-0.1)


@pytest.mark.parametrize("purity", [0.0, -0.5, 98.0])
def test_impossible_purity_is_refused(purity: float) -> None:
    """Purity is a fraction above 0 and at most 1."""
    with pytest.raises(ValueError, match="purity"):
        alkali.weighed(100.0, purity)


def test_impure_alkali_is_weighed_in_excess() -> None:
    """Of a 90 % potassium hydroxide, 100 g stand for 90 g."""
    assert alkali.weighed(90.0, 0.9) == pytest.approx(100.0)


def test_mass_of_saponification_balances() -> None:
    """Fat and sodium hydroxide in, soap and glycerol out: the soap of 1 kg at 190 is 1.0315 kg."""
    soap = 1 + alkali.demand(190.0) * NAOH / 1000 - chemistry.glycerol_released(190.0)
    assert soap == pytest.approx(1.0315, abs=5e-5)
    assert chemistry.total_fatty_matter(190.0) == pytest.approx(0.957, abs=5e-4)


def test_density_of_a_fat_falls_with_warmth_and_is_refused_far_out() -> None:
    """Olive oil weighs about 0.91-0.92 kg/L in a cool room and less when warm; no figure is given for hot frying fat."""
    cool, warm = (chemistry.fat_density(190.0, 84.0, t) for t in (20.0, 40.0))
    assert 0.910 <= cool <= 0.920
    assert warm < cool
    with pytest.raises(ValueError, match="density"):
        chemistry.fat_density(190.0, 84.0, 180.0)


@pytest.mark.parametrize("potassium", [1.01, 1.5, 2.0])
def test_more_than_all_potassium_is_refused(potassium: float) -> None:
    """A share of the alkali is a whole at most: 1.5 would take sodium hydroxide away."""
    with pytest.raises(ValueError, match="potassium"):
        alkali.alkali_needed(1.0, superfat=0.05, potassium_share=potassium)


@pytest.mark.parametrize("superfat", [1.01, 2.0])
def test_more_than_all_fat_left_over_is_refused(superfat: float) -> None:
    """Nor is a superfat more than all of the fat."""
    with pytest.raises(ValueError, match="superfat"):
        alkali.alkali_needed(1.0, superfat=superfat)


@pytest.mark.parametrize("unsaponifiable", [-0.1, 1000.1])
def test_unsaponifiables_are_a_part_of_the_fat(unsaponifiable: float) -> None:
    """Less than nothing and more than all are refused; nothing and all are not."""
    for figure in (chemistry.saponification_value, chemistry.iodine_value):
        with pytest.raises(ValueError, match="unsaponifiable"):
            figure(OLIVE, unsaponifiable=unsaponifiable)
        assert figure(OLIVE, unsaponifiable=1000.0) == 0.0


def test_iodine_of_acids_that_no_standard_prints() -> None:
    """Acids without a printed factor follow its rule: 253.81 d/M free, and 3 x 253.81 d/(3 M + 38.05) in a triglyceride."""
    for row in rows("acids"):
        acid = chemistry.acid(row["acid"])
        profile = {acid.id: 100.0}
        free = 100.0 * 253.81 * acid.double_bonds / acid.molar_mass
        bound = 300.0 * 253.81 * acid.double_bonds / (3.0 * acid.molar_mass + 38.05)
        near = 0.01 if row["iodine_free"] or row["iodine_triglyceride"] else 1e-4
        assert chemistry.iodine_value(profile, free=True) == pytest.approx(free, rel=near, abs=1e-9)
        assert chemistry.iodine_value(profile) == pytest.approx(bound, rel=near, abs=1e-9)


@pytest.mark.parametrize(("temperature", "known"), [(-0.1, False), (0.0, True), (110.0, True), (110.1, False)])
def test_densities_of_fats_end_where_they_are_said_to(temperature: float, known: bool) -> None:  # noqa: FBT001
    """Lund's relation, taken from 0 to 110 degC: 0.9991 (0.8475 + 0.0003 SV + 0.00014 IV) - 0.00068 (t - 15)."""
    if known:
        by_hand = 0.9991 * (0.8475 + 0.0003 * 190.0 + 0.00014 * 84.0) - 0.00068 * (temperature - 15.0)
        assert chemistry.fat_density(190.0, 84.0, temperature) == pytest.approx(by_hand)
    else:
        with pytest.raises(ValueError, match="density"):
            chemistry.fat_density(190.0, 84.0, temperature)


def test_soap_glycerol_and_fatty_matter_of_triolein() -> None:
    """A kilo of triolein (885.45 g/mol) gives 104.0 g of glycerol (92.09) and 957.0 g of fatty acids, by IUPAC 2021 weights."""
    sv = chemistry.saponification_value({"C18:1": 100.0})
    assert sv == pytest.approx(3000.0 * 56.106 / 885.453, rel=1e-5)
    assert chemistry.glycerol_released(sv) == pytest.approx(92.094 / 885.453, rel=1e-4)
    assert chemistry.total_fatty_matter(sv) == pytest.approx(3.0 * 282.468 / 885.453, rel=1e-4)


def test_one_bad_range_among_good_ones_is_refused() -> None:
    """A table of a fat in which one acid's ends are swapped is refused, however good the others are."""
    with pytest.raises(ValueError, match="range"):
        chemistry.saponification_range({"C18:1": (60.0, 80.0), "C16:0": (15.0, 10.0)})


def test_a_charge_that_demands_nothing_takes_what_its_acids_take() -> None:
    """Wax that takes no alkali needs none, and beside it a tenth of a mole of acid takes 4 g of sodium hydroxide."""
    assert alkali.alkali_needed(0.0, superfat=0.05) == alkali.PureAlkali(0.0, 0.0)
    assert alkali.alkali_needed(0.0, superfat=0.05, acid_mol=0.1).sodium_hydroxide == pytest.approx(3.9997)


@pytest.mark.parametrize("purity", [1.001, 1.5, 2.0, 9.8])
def test_no_alkali_is_purer_than_pure(purity: float) -> None:
    """Pure alkali is weighed as it is; a purity slightly above 1 is a slip of the pen, and would weigh too little."""
    assert alkali.weighed(100.0, 1.0) == 100.0
    with pytest.raises(ValueError, match="purity"):
        alkali.weighed(100.0, purity)


@pytest.mark.parametrize(("acid", "mass"), [("C12:0", 200.322), ("C18:1", 282.468)])
def test_fatty_matter_is_the_acids_over_the_triglyceride(acid: str, mass: float) -> None:
    """Three acids over three acids and 38.049 g of glyceryl, by IUPAC 2021 weights: 94.0 % of trilaurin, 95.7 % of triolein."""
    sv = chemistry.saponification_value({acid: 100.0})
    assert chemistry.total_fatty_matter(sv) == pytest.approx(3.0 * mass / (3.0 * mass + 38.049), rel=1e-7)


def test_all_of_the_fat_may_be_left_over() -> None:
    """A superfat of a hundred per cent is no soap and no alkali, and no fault; more than all is one."""
    need = alkali.alkali_needed(3.5, superfat=1.0)
    assert need.sodium_hydroxide == need.potassium_hydroxide == 0.0
    with pytest.raises(ValueError, match="superfat"):
        alkali.alkali_needed(3.5, superfat=1.0001)
