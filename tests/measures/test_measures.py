"""Bar measures: the mean of the acids, what fats add, levers, bands and derived measures."""

from __future__ import annotations

import numpy as np
import pytest
from strategies import recipe_at

from optimiser.materials.fat import Fat, like
from optimiser.materials.fat_table import reference
from optimiser.materials.fatty_acids import acids, cox_value
from optimiser.measures.measures import ACID_GROUPS, levers, measures
from optimiser.measures.profiles import acid_shares, fat_values, own_measures, pulling
from optimiser.recipe.bar_values import ORDINARY_DEMAND
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.reference import rows

IDS = tuple(measures())
ACID_MEASURES = (
    "hardness",
    "wear_life",
    "quick_lather",
    "lasting_lather",
    "harshness",
    "rancidity",
    "trace_speed",
    "set_up",
    "scum",
)

# Hardness, wear life, quick lather, lasting lather, harshness, rancidity, trace, set-up, scum of ten blends, worked out
# by hand from the weights per acid with compositions from memory (prior, for orientation; levers at their reference).
TEN_BLENDS = {
    "olive oil:100": (53, 17, 35, 56, 19, 1.8, 27, 26, 81),
    "coconut oil:100": (72, 24, 70, 54, 61, 0.3, 57, 80, 62),
    "beef tallow:80 coconut oil:20": (72, 42, 36, 65, 28, 0.8, 44, 55, 82),
    "coconut oil:33 palm oil:33 olive oil:34": (65, 29, 44, 61, 31, 1.2, 41, 50, 77),
    "olive oil:70 coconut oil:30": (59, 19, 46, 55, 31, 1.4, 36, 42, 75),
    "olive oil:45 coconut oil:25 palm oil:25 castor oil:5": (61, 25, 42, 60, 28, 1.3, 39, 44, 76),
    "olive oil:40 coconut oil:25 shea butter:20 cocoa butter:10 castor oil:5": (63, 28, 41, 58, 27, 1.2, 40, 46, 77),
    "sunflower oil:100": (31, 12, 30, 51, 22, 6.8, 20, 15, 76),
    "lard:100": (64, 38, 28, 65, 20, 1.8, 32, 41, 85),
    "high oleic sunflower oil:50 coconut oil:25 palm oil:20 castor oil:5": (59, 21, 44, 58, 28, 1.3, 37, 41, 75),
}


def fat(name: str) -> Fat:
    """A reference fat."""
    return reference().get(name)


def pure(acid: str) -> Fat:
    """An oil with one acid alone."""
    return fat("olive oil")._replace(acids={acid: 100.0})


def value(found: Fat, measure: str) -> float:
    """A bar of this fat alone."""
    return float(fat_values([found], [measure])[0, 0])


@pytest.mark.parametrize("blend", TEN_BLENDS)
def test_ten_blends(blend: str) -> None:
    """Ten well-known blends come out within four points (half a point of rancidity) of the hand-made table."""
    words = blend.replace(" oil", "_oil").replace(" butter", "_butter").replace("oleic ", "oleic_")
    parts = [part.split(":") for part in words.replace("beef ", "beef_").replace("high ", "high_").split()]
    shares = np.array([float(share) / 100 for _, share in parts])
    assert shares.sum() == pytest.approx(1)
    values = fat_values([fat(name) for name, _ in parts], ACID_MEASURES) @ shares
    for measure, found, wanted in zip(ACID_MEASURES, values, TEN_BLENDS[blend], strict=True):
        assert found == pytest.approx(wanted, abs=0.5 if measure == "rancidity" else 4), measure


@pytest.mark.parametrize(
    ("acid", "measure", "points"),
    [
        ("C8:0", "harshness", 10 - 4),
        ("C12:0", "quick_lather", 100),
        ("C16:0", "wear_life", 87),
        ("C18:0", "trace_speed", 60),
        ("C18:1", "hardness", 50),
        ("C18:1t", "hardness", 80),
        ("C18:1-OH", "lasting_lather", 70),
        ("C18:2", "rancidity", 10.3),
        ("C18:3g", "rancidity", 21.6),
        ("C22:1", "scum", 85),
        ("C10:1", "quick_lather", 40),
        ("C18:0-diOH", "hardness", 100),
        ("C30:0", "lasting_lather", 40),
    ],
)
def test_oil_of_one_acid_has_the_weight_of_that_acid(acid: str, measure: str, points: float) -> None:
    """An oil of one acid has that acid's weight, less the 4 points of harshness that liquid oils are spared."""
    assert value(pure(acid), measure) == pytest.approx(points)


def test_every_acid_has_a_weight_in_every_measure() -> None:
    """No acid of the reference table is left out of any measure."""
    for measure in measures().values():
        assert set(measure.weights) == set(acids())


def test_blend_is_the_mean_of_its_fats() -> None:
    """A fat whose acids are the mean of two oils' has the mean of their values."""
    olive, castor = fat("olive oil"), fat("castor oil")
    names = set(olive.acids) | set(castor.acids)
    mixed = olive._replace(acids={name: (olive.acids.get(name, 0) + castor.acids.get(name, 0)) / 2 for name in names})
    assert fat_values([mixed], IDS)[:, 0] == pytest.approx(fat_values([olive, castor], IDS).mean(axis=1))


def test_a_profile_in_other_units_is_the_same_fat() -> None:
    """Acids that do not sum to 100 are taken in proportion."""
    olive = fat("olive oil")
    halved = olive._replace(acids={name: share / 2 for name, share in olive.acids.items()})
    assert fat_values([halved], IDS) == pytest.approx(fat_values([olive], IDS))


def test_acids_of_a_wax_count_half() -> None:
    """Where half of a fat becomes soap its acids count half, the constant of a derived measure in full."""
    half = pure("C16:0")._replace(soap_yield=0.5, kind="hard oil")
    assert value(half, "hardness") == pytest.approx(97 / 2)
    assert value(half, "mildness") == pytest.approx(100 - 18 / 2)


def test_fat_without_acids_has_only_what_it_adds() -> None:
    """A fat that brings no acids at all has no points of soap, and does not divide by nothing."""
    bare = fat("olive oil")._replace(acids={})
    assert value(bare, "hardness") == 0
    assert acid_shares([bare], ["saturated"]).tolist() == [[0.0]]


@pytest.mark.parametrize(
    ("change", "measure", "points"),
    [
        ({"tags": frozenset({"pomace"})}, "trace_speed", 12),
        ({"tags": frozenset({"pomace"})}, "hardness", 2),
        ({"tags": frozenset({"pomace"})}, "set_up", 4),
        ({"kind": "butter"}, "trace_speed", 10),
        ({"kind": "butter"}, "hardness", 0),
        ({"kind": "fatty acid"}, "trace_speed", 600),
        ({"kind": "fatty acid"}, "set_up", 100),
        ({"kind": "wax"}, "hardness", 0),
        ({"kind": "wax"}, "harshness", 4 + 21),
        ({"kind": "hard oil"}, "harshness", 4),
        ({"kind": "butter"}, "harshness", 4 - 2),
        ({"tags": frozenset({"hydrogenated"})}, "harshness", 4 + 3),
        ({"kind": "wax"}, "mildness", -4 - 21),
    ],
)
def test_what_a_fat_adds_beyond_its_acids(change: dict[str, object], measure: str, points: float) -> None:
    """Pomace, butters, free fatty acids and waxes add their points to the same oil, which is a mild liquid one (-4)."""
    plain = fat("olive oil")
    changed = plain._replace(**change)  # type: ignore[arg-type]
    assert value(changed, measure) - value(plain, measure) == pytest.approx(points)


def test_liquid_wax_does_not_harden() -> None:
    """Jojoba is a liquid: it lowers hardness where beeswax raises it, also under a maker's own name."""
    olive, own = fat("olive oil"), like(fat("jojoba oil"), name="house infused jojoba")
    assert pulling([own, fat("jojoba oil"), fat("lanolin"), olive], "hard waxes") == [0.0] * 4
    assert (
        pulling([fat("beeswax"), fat("candelilla wax"), like(fat("beeswax"), name="own wax")], "hard waxes")
        == [1.0] * 3
    )
    liquid, waxed = (changed_by(own), changed_by(fat("beeswax")))
    assert liquid < 0.0 < waxed


def changed_by(wax: Fat) -> float:
    """Points of hardness that 1 % of a wax brings to a bar of olive oil."""
    base = recipe_at({"olive oil": 99.0})
    return changed(base, base._replace(fats=(*((oil, 990.0) for oil, _ in base.fats), (wax, 10.0))), "hardness")[0]


@pytest.mark.parametrize(
    ("lever", "points"),
    [
        *(("hardness", 1.5), ("wear_life", 1), ("quick_lather", -2), ("lasting_lather", -1), ("trace_speed", 3)),
        *(("set_up", 3), ("ash_risk", -4 - 0.6 * 3 - 0.4 * 3)),
    ],
)
def test_hard_waxes_hold_to_two_per_cent(lever: str, points: float) -> None:
    """All hard waxes together move a measure by so much for 1 % of the fats, up to 2 % and no further (prior)."""
    assert levers(lever).additives["hard waxes"] == pytest.approx(points)
    (begun, end) = levers(lever).curves["hard waxes"]
    assert begun == (0.0, 0.0)
    assert end == pytest.approx((2.0, 2 * points))
    own = own_measures([fat("beeswax")])[0][lever]
    assert own == pytest.approx(max(value(fat("beeswax"), lever) + 2 * points, -200 if lever != "ash_risk" else 0.0))


def test_mildness_is_a_hundred_less_harshness() -> None:
    """For every fat and every lever mildness mirrors harshness."""
    fats = [fat(name) for name in reference().names()]
    harshness, mildness = fat_values(fats, ["harshness", "mildness"])
    assert mildness == pytest.approx(100 - harshness)
    assert levers("mildness").free_oil == -levers("harshness").free_oil == 1.5


def test_ash_risk_follows_set_up_and_trace() -> None:
    """Ash starts at 50, and falls by 0.6 for a point of set-up above 45 and by 0.4 for a point of trace above 40."""
    fats = [fat(name) for name in reference().names() if fat(name).kind != "wax"]
    ash, set_up, trace = fat_values(fats, ["ash_risk", "set_up", "trace_speed"])
    assert ash == pytest.approx(50 - 0.6 * (set_up - 45) - 0.4 * (trace - 40))
    assert measures()["ash_risk"].weights["C12:0"] == pytest.approx(50 - 0.6 * (95 - 45) - 0.4 * (60 - 40))


@pytest.mark.parametrize(
    ("lever", "own"),
    [("free_oil", -2.0), ("water", 1.6), ("potassium", 0.0), ("batter", -5.0), ("gel", -20.0)],
)
def test_levers_of_ash_risk_carry_those_it_is_made_of(lever: str, own: float) -> None:
    """A lever moves ash by itself and through set-up and trace."""
    through = -0.6 * getattr(levers("set_up"), lever) - 0.4 * getattr(levers("trace_speed"), lever)
    assert getattr(levers("ash_risk"), lever) == pytest.approx(own + through)


def changed(base: Recipe, other: Recipe, *keys: str) -> list[float]:
    """How far figures of a recipe move."""
    one, two = judge(base).values, judge(other).values
    return [two[key] - one[key] for key in keys]


def test_each_lever_moves_a_recipe_by_its_points() -> None:
    """Water, heat, gel, potash, free oil and additives each move a kilo of fats by the points they are said to (prior)."""
    shares = {"olive oil": 70.0, "coconut oil": 30.0}
    base = recipe_at(shares, batter_temperature=35.0, gel=False)
    wet = base._replace(water=base.water + 10.0)
    assert changed(base, wet, "trace_speed", "set_up", "hardness") == pytest.approx([-0.8, -1.2, -0.1])
    assert changed(base, base._replace(batter_temperature=45.0), "trace_speed", "set_up") == pytest.approx([13, 6])
    assert changed(base, base._replace(gel=True), "trace_speed", "set_up") == pytest.approx([0, 15])
    tenth = 0.1 * 0.95 * ORDINARY_DEMAND  # mol: a tenth of the alkali of a kilo of ordinary fats at 5 % superfat
    potash = base._replace(
        sodium_hydroxide=base.sodium_hydroxide - 39.997 * tenth,
        potassium_hydroxide=56.106 * tenth,
    )
    assert changed(base, potash, "hardness", "wear_life", "quick_lather") == pytest.approx([-8, -6, 8], rel=1e-3)
    oil = 39.997 * ORDINARY_DEMAND / 100.0  # g of sodium hydroxide that 1 % of a kilo of ordinary fats takes
    rich = base._replace(sodium_hydroxide=base.sodium_hydroxide - oil)
    assert changed(base, rich, "hardness", "quick_lather", "rancidity") == pytest.approx([-0.38, -1, 0.03], rel=1e-3)
    for name, key, points in (
        *(("sodium lactate", "set_up", 6), ("salt", "set_up", 5), ("sugar", "quick_lather", 3)),
        ("citric acid", "scum", -4.5),
        ("sodium lactate", "ash_risk", -2 - 0.6 * 6),
    ):
        more = recipe_at(shares, extra={name: 1.0})._replace(batter_temperature=35.0, gel=False)
        held = more._replace(water=more.water + judge(base).total_water - judge(more).total_water)
        assert changed(base, held, key) == pytest.approx([points]), name


def test_unknown_names_are_key_errors() -> None:
    """Neither a measure, nor a lever's measure, nor an acid is guessed at."""
    with pytest.raises(KeyError):
        fat_values([fat("lard")], ["shine"])
    with pytest.raises(KeyError):
        levers("shine")
    with pytest.raises(KeyError):
        acid_shares([fat("lard")], ["C99:0"])


def by_hand(found: Fat, measure: str) -> float:
    """A bar of this fat alone, one acid after the other and with no table laid beside it."""
    weights = {name: float(row[measure] or 0) for row in rows("measure_weights") for name in row["acids"].split("; ")}
    soap = total = 0.0
    for acid, share in found.acids.items():
        soap += share * weights[acid]
        total += share
    names = {found.name, *(fact.told_of for fact in found.facts)}
    borne = {"kind": {found.kind}, "tag": set(found.tags), "fat": names}
    offsets = [row for row in rows("measure_offsets") if row["measure"] == measure]
    offset = next((float(row["offset"]) for row in offsets if borne[row["match"]] & set(row["key"].split("; "))), 0.0)
    (constant,) = (float(row["constant"]) for row in rows("measures") if row["measure"] == measure)
    return constant + found.soap_yield * (soap / total if total else 0.0) + offset


def test_side_by_side_is_one_by_one() -> None:
    """Every fat has to the last digit the figures that it has alone, and that a plain sum over its acids gives it."""
    own = like(fat("jojoba oil"), name="own jojoba", acids={"C20:1": 70.0, "C18:1": 30.0})
    fats = [*(fat(name) for name in reference().names()), own, fat("lard")._replace(acids={})]
    together, groups = fat_values(fats, IDS), acid_shares(fats, [*ACID_GROUPS, *acids()])
    for place, found in enumerate(fats):
        assert together[:, place].tolist() == fat_values([found], IDS)[:, 0].tolist()
        assert groups[:, place].tolist() == acid_shares([found], [*ACID_GROUPS, *acids()])[:, 0].tolist()
    for measure in ACID_MEASURES:
        assert [value(found, measure) for found in fats] == [by_hand(found, measure) for found in fats]
    nameless = own._replace(name="own", facts=())
    assert pulling([own, nameless], "hard waxes") == [0.0, 1.0]


def test_shapes_hold_at_nothing() -> None:
    """One row per measure and one column per fat, also where there are none of either."""
    assert fat_values([], IDS).shape == (len(IDS), 0)
    assert fat_values([fat("lard")], []).shape == (0, 1)
    assert acid_shares([fat("lard"), fat("olive oil")], ["C18:1", "saturated", "linolenic"]).shape == (3, 2)


def test_every_acid_is_saturated_or_mono_or_polyunsaturated() -> None:
    """The three groups share out all acids by their double bonds, so they sum to 100 % of every fat."""
    for group, bonds in (("saturated", {0}), ("monounsaturated", {1}), ("polyunsaturated", {2, 3, 4})):
        assert set(ACID_GROUPS[group]) == {acid.id for acid in acids().values() if acid.double_bonds in bonds}
    fats = [found for name in reference().names() if (found := fat(name)).acids]
    assert acid_shares(fats, ["saturated", "monounsaturated", "polyunsaturated"]).sum(axis=0) == pytest.approx(100)


def test_rancidity_is_the_cox_value_where_only_c18_is_unsaturated() -> None:
    """For an oil without other unsaturated acids the measure and the published index are the same figure."""
    profile = {"C16:0": 20.0, "C18:0": 10.0, "C18:1": 40.0, "C18:2": 20.0, "C18:3": 10.0}
    assert value(fat("olive oil")._replace(acids=profile), "rancidity") == pytest.approx(cox_value(profile))


@pytest.mark.parametrize("measure", ["hardness", "rancidity", "trace_speed", "set_up"])
def test_bands_leave_no_gap(measure: str) -> None:
    """Bands run from below everything to above everything, each from where the one before it ends."""
    bands = measures()[measure].bands
    assert bands[0].low is None
    assert bands[-1].high is None
    assert [band.high for band in bands[:-1]] == [band.low for band in bands[1:]]


@pytest.mark.parametrize(
    ("measure", "points", "word"),
    [
        ("trace_speed", 24.99, "very slow"),
        ("trace_speed", 25, "slow"),
        ("trace_speed", 41.9, "moderate"),
        ("trace_speed", 42, "fast"),
        ("trace_speed", 80, "very fast"),
        ("set_up", 38, "medium"),
        ("hardness", 66, "very hard"),
        ("rancidity", 2.5, "turns early"),
        ("harshness", 20, ""),
    ],
)
def test_band_words(measure: str, points: float, word: str) -> None:
    """A band holds its lower end and not its upper one; a measure without bands has no word."""
    assert measures()[measure].band(points) == word


def test_measures_say_what_they_are() -> None:
    """Every measure tells what it predicts, how it is observed, how far it is trusted and on what ground."""
    for measure in measures().values():
        assert all((measure.words, measure.predicts, measure.high_means, measure.observed_by, measure.source))
        assert measure.status in {"read", "memory", "prior", "common practice"}
        assert measure.scale == (0.5 if measure.id == "rancidity" else 10)
    assert measures()["hardness"].uncertainty == 7
    assert measures()["ash_risk"].uncertainty is None
    assert [measure.id for measure in measures().values() if measure.coarse == "advice"] == ["scum", "ash_risk"]


@pytest.mark.parametrize(
    "table",
    ["measures", "measure_derived", "measure_weights", "measure_levers", "measure_offsets", "measure_bands"],
)
def test_every_row_has_a_status_and_a_source(table: str) -> None:
    """No figure of a measure stands without saying where it comes from."""
    for row in rows(table):
        assert row["status"] in {"read", "memory", "prior", "common practice", "computed"}, row
        assert row["source"], row
