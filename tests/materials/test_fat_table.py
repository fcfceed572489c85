"""The table of fats: names, profiles, figures, a lot's certificate and a maker's own fat."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from optimiser.materials.composition import Fact, Figure, acid_facts, density_at_40, inside, picked, typical_acids
from optimiser.materials.fat import KINDS, Fat, like, of_saponification_alone, with_certificate
from optimiser.materials.fat_table import fold, reference
from optimiser.materials.fatty_acids import acids, saponification_value
from optimiser.text.names import offer

NAMES = reference().names()
FATS = {name: reference().get(name) for name in NAMES}


def test_the_table_is_broad_enough_for_a_working_shelf() -> None:
    """At least 90 fats have a profile, in every kind there is."""
    assert len(NAMES) >= 90
    assert {fat.kind for fat in FATS.values()} == set(KINDS)


@pytest.mark.parametrize("name", NAMES)
def test_a_profile_is_a_whole_and_lies_in_its_ranges(name: str) -> None:
    """Typical acids sum to 100 %, are known acids, and each lies in its published range."""
    fat = FATS[name]
    assert sum(fat.acids.values()) == pytest.approx(100, abs=1e-9)
    assert set(fat.acids) <= set(acids())
    assert inside(fat.acids, fat.acid_ranges)


@pytest.mark.parametrize("name", NAMES)
def test_a_figure_lies_between_its_ends(name: str) -> None:
    """Working values lie between their low and high end; only lanolin may take no alkali at all."""
    fat = FATS[name]
    for figure in (fat.saponification, fat.iodine, fat.unsaponifiable):
        assert 0 <= figure.low <= figure.value <= figure.high
    assert fat.saponification.low > 0 or name == "lanolin"
    assert 0.8 < fat.density < 1


@pytest.mark.parametrize("name", NAMES)
def test_no_lot_can_lie_above_what_pure_triglyceride_of_its_lightest_range_takes(name: str) -> None:
    """The working saponification value never exceeds what the typical acids take without any unsaponifiable matter."""
    fat = FATS[name]
    gross = saponification_value(fat.acids, free=fat.kind == "fatty acid")
    assert fat.saponification.value <= gross + 1e-9


@pytest.mark.parametrize("name", [name for name in NAMES if FATS[name].kind != "wax"])
def test_no_working_value_lies_above_what_its_acids_leave(name: str) -> None:
    """Nothing is raised to a published value: only measured values lie above typical acids less typical unsaponifiables."""
    fat = FATS[name]
    own = saponification_value(fat.acids, unsaponifiable=fat.unsaponifiable.value, free=fat.kind == "fatty acid")
    measured = name in {"shea butter", "mango butter"}
    assert (fat.saponification.value > own + 1e-9) is measured
    assert any("that of real lots" in note for note in fat.notes) is measured


@pytest.mark.parametrize(
    ("name", "worked"),
    [
        ("babassu oil", 244.2),  # its acids; the lowest published value is 245
        ("brazil nut oil", 191.9),  # 192
        ("mid oleic sunflower oil", 189.6),  # 190
        ("shea butter", 181.0),  # usual trade butter (memory); its acids leave 176
        ("mango butter", 190.15),  # two studies (read)
        ("evening primrose oil", 190.9),  # printed 188, which bounds it
    ],
)
def test_working_values_that_are_not_what_is_printed(name: str, worked: float) -> None:
    """Fats whose sources and acids part are worked at the figure that is argued for in their notes."""
    assert FATS[name].saponification.value == pytest.approx(worked, abs=0.05)


@pytest.mark.parametrize(
    ("name", "kind", "why"),
    [
        ("lard", "hard oil", "solid at 20 degC; iodine value 55-65"),
        ("chicken fat", "liquid oil", "a paste at 20 degC; iodine value 64-80"),
        ("duck fat", "liquid oil", "a paste at 20 degC; iodine value 60-80"),
        ("goose fat", "liquid oil", "a paste at 20 degC; iodine value 58-75"),
        ("horse fat", "liquid oil", "a paste at 20 degC; iodine value 71-95"),
        ("emu oil", "liquid oil", "pours at 20 degC"),
        ("laurel berry oil", "liquid oil", "a paste at 20 degC; iodine value 70-95"),
    ],
)
def test_kinds_follow_how_a_fat_melts(name: str, kind: str, why: str) -> None:
    """A fat softer than palm olein (iodine value 56 and more) is no hard oil, whatever animal it comes from (memory)."""
    assert FATS[name].kind == kind, why


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        # relative density 0.953-0.965 at 20/20 degC (Ph. Eur., memory), 0.00068 kg/L less a kelvin
        ("castor oil", 0.953 * 0.9982 - 0.0136, 0.965 * 0.9982 - 0.0136),
        # relative density 0.911-0.920 at 20 degC (Ph. Eur., memory)
        ("sweet almond oil", 0.911 * 0.9982 - 0.0136, 0.920 * 0.9982 - 0.0136),
    ],
)
def test_densities_set_by_hand(name: str, low: float, high: float) -> None:
    """Densities that no relation gives lie where the pharmacopoeia's do, at 40 degC."""
    assert low <= FATS[name].density <= high


def test_only_known_fats_disagree_with_their_sources_and_each_says_why() -> None:
    """Where typical acids leave a published range the notes say so, with a reason beside it."""
    disagreeing = {name for name, fat in FATS.items() if any("stand for" in note for note in fat.notes)}
    assert disagreeing == {
        "babassu oil",  # oleic range rich in the middle; just under the published minimum
        "brazil nut oil",  # 0.1 under a recalled minimum
        "camellia oil",  # acids of one standard, iodine value of another
        "chia seed oil",  # linolenic of one study
        "karanja oil",  # the limits of its acids exclude each other
        "laurel berry oil",  # kernel and pulp oil differ
        "mid oleic sunflower oil",  # a published range one unit wide
    }
    for name in disagreeing:
        assert len(FATS[name].notes) >= 2


@pytest.mark.parametrize(
    ("name", "acid_value", "saponification"),
    [
        ("beeswax", 20.5, 95.5),  # Ph. Eur. beeswax, white: 17-24 and 87-104 (read)
        ("candelilla wax", 17.0, 54.0),  # USP35-NF30: 12-22 (read) and 43-65 (memory)
        ("carnauba wax", 4.5, 86.5),  # USP28-NF23: 2-7 and 78-95 (read)
        ("jojoba oil", 0.32, 92.2),  # Merck Index (read)
        ("lanolin", 0.5, 97.3),  # Ph. Eur. 0134: at most 1 (memory); 0135 89.3-105.3 (read)
    ],
)
def test_of_a_wax_only_its_free_acids_make_soap(name: str, acid_value: float, saponification: float) -> None:
    """A wax counts by its acid value alone, and so does its soap: that value of all the alkali it could ever take."""
    wax = FATS[name]
    assert wax.saponification.value == pytest.approx(acid_value)
    assert wax.soap_yield == pytest.approx(acid_value / saponification)
    assert any("acid value" in note for note in wax.notes)


def test_all_but_waxes_make_soap_of_all_their_acids() -> None:
    """Everything that is no wax counts whole; no wax counts by more than an acid value of 24."""
    waxes = {fat.name for fat in FATS.values() if fat.kind == "wax"}
    assert waxes >= {"beeswax", "candelilla wax", "carnauba wax", "jojoba oil", "lanolin"}
    assert all(fat.soap_yield == 1 for fat in FATS.values() if fat.kind != "wax")
    assert all(FATS[name].saponification.high <= 24 for name in waxes)


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("Olive_Oil", "olive oil"),
        ("OLIVE-OIL", "olive oil"),
        ("olive oil, virgin", "olive oil"),
        ("Olive oil virgin", "olive oil"),
        ("Coconut oil, virgin", "coconut oil"),
        ("shea butter, raw", "shea butter"),
        ("stearic acid, 70", "stearic acid 70"),
        ("triglycerides, medium chain", "fractionated coconut oil"),
        ("extra virgin olive oil", "olive oil"),
        ("olive", "olive oil"),
        ("pomace", "olive pomace oil"),
        ("coconut", "coconut oil"),
        ("palm", "palm oil"),
        ("canola oil", "rapeseed oil"),
        ("Canola", "rapeseed oil"),
        ("tallow", "beef tallow"),
        ("premier jus", "beef tallow"),
        ("borneo tallow", "illipe butter"),
        ("candlenut oil", "kukui oil"),
        ("corn oil", "maize oil"),
        ("groundnut oil", "peanut oil"),
        ("stearic acid 50", "stearic acid"),
        ("cupuaçu butter", "cupuacu butter"),
        ("mango", "mango butter"),
    ],
)
def test_a_fat_answers_to_its_names(asked: str, found: str) -> None:
    """Case, blanks, hyphens, commas and accents do not matter; synonyms and short names find their fat."""
    fat = reference().find(asked)
    assert fat is not None
    assert fat.name == found


LAST = ("oil", "butter", "fat", "tallow", "wax", "acid")


def test_every_name_is_found_in_inverted_order() -> None:
    """What sets an oil apart may stand behind it, with a comma or without: each name of each fat, parted at every word."""
    tried = 0
    for name in reference().every_name():
        words = name.split()
        if words[-1] not in LAST:
            continue
        for place in range(1, len(words) - 1):
            front, rest = " ".join(words[:place]), " ".join(words[place:])
            for inverted in (f"{rest}, {front}", f"{rest} {front}", f"{rest},{front}".upper()):
                found = reference().find(inverted)
                assert found is not None, inverted
                assert found.name == reference().get(name).name
                tried += 1
    assert tried > 300


def test_no_name_is_listed_in_inverted_order() -> None:
    """Names are written as they are said: none has a comma, and none is another one turned round."""
    names = reference().every_name()
    assert [name for name in names if "," in name] == []
    folded = set(map(fold, names))
    turned = [
        name
        for name in folded
        for place in range(1, len(name.split()))
        if name.split()[place - 1] in LAST and " ".join((*name.split()[place:], *name.split()[:place])) in folded
    ]
    assert turned == []


def test_a_misspelt_name_is_no_synonym_but_is_offered() -> None:
    """A slip of the pen is not listed: near names find it."""
    assert reference().find("carnuba wax") is None
    assert "carnauba wax" in offer("carnuba wax", reference().every_name())


@pytest.mark.parametrize("unknown", ["", "engine oil", "oil", "butter", "olive olive oil"])
def test_an_unknown_name_finds_nothing(unknown: str) -> None:
    """A name that the table does not know is None from find and a KeyError from get."""
    assert reference().find(unknown) is None
    with pytest.raises(KeyError):
        reference().get(unknown)


def test_every_name_finds_one_fat_and_no_two_fats_share_one() -> None:
    """Each listed name, folded, belongs to exactly one fat, and a fat lists no name twice."""
    listed = [fold(name) for name in reference().every_name()]
    assert len(listed) == len(set(listed))
    for name, fat in FATS.items():
        assert all(reference().get(called) is fat for called in (name, *fat.synonyms))


def test_a_short_name_is_only_a_second_chance() -> None:
    """A name without its "oil" or "butter" never overrules a fat that is called so, and means one fat."""
    table = reference()
    assert not set(table.short) & set(table.index)
    for short, name in table.short.items():
        assert {found for called, found in table.index.items() if called in {f"{short} oil", f"{short} butter"}} == {
            name
        }


@pytest.mark.parametrize("word", ["palm", "coconut", "peanut", "soya", "sesame", "mustard", "pomace"])
def test_a_word_that_is_a_tag_is_a_fat_only_at_second_chance(word: str) -> None:
    """Under a goal's shares such a word must mean every fat of the tag, so no fat claims it as its own name."""
    table = reference()
    assert not {fold(tag) for tag in table.tags()} & set(table.index)
    assert word in table.get(word).tags


@given(st.text())
def test_folding_twice_is_folding_once(name: str) -> None:
    """A folded name is its own folded name."""
    assert fold(fold(name)) == fold(name)


@given(st.sampled_from(NAMES), st.sampled_from(["{}", " {} ", "_{}-"]), st.booleans())
def test_a_name_survives_dressing(name: str, dress: str, shout: bool) -> None:  # noqa: FBT001  # drawn
    """Capitals and stray blanks, underscores and hyphens lead to the same fat."""
    asked = dress.format(name.replace(" ", "_"))
    assert reference().get(asked.upper() if shout else asked) is FATS[name]


@given(
    st.lists(st.tuples(st.floats(0, 60), st.floats(0, 40)), min_size=2, max_size=8),
    st.floats(0, 1),
)
def test_typical_acids_stay_in_ranges_that_can_sum_to_a_hundred(
    drawn: list[tuple[float, float]],
    part: float,
) -> None:
    """Whenever acids with room on both sides can reach 100 % inside their ranges, the typical ones do."""
    ranges = {f"acid {number}": (low, low + width) for number, (low, width) in enumerate(drawn)}
    starts = {name: low + part * (high - low) for name, (low, high) in ranges.items()}
    lows, highs = (sum(end[side] for end in ranges.values()) for side in (0, 1))
    assume(sum(starts.values()) > 1)
    typical = typical_acids(starts, ranges)
    assert sum(typical.values()) == pytest.approx(100, abs=1e-9)
    if lows <= 100 <= highs and all(starts.values()):
        assert inside(typical, ranges, slack=1e-6)


def _fact(**changes: object) -> Fact:
    given_ = {
        "property": "C16:0",
        "low": 1.0,
        "high": 2.0,
        "unit": "%",
        "source": "a book",
        "locator": "",
        "how": "read",
    }
    rest = {"note": "", "alternative": False, "told_of": "oil"}
    return Fact(**(given_ | rest | changes))  # type: ignore[arg-type]  # a table of keyword arguments


def test_an_edition_is_chosen_by_a_word_and_the_rest_stays() -> None:
    """The named alternatives take the place of the first figures; what they do not tell is kept."""
    facts = (
        _fact(),
        _fact(property="C18:0"),
        _fact(low=5.0, high=6.0, alternative=True, note="older edition"),
        _fact(property="iodine_value", told_of="nut"),
    )
    chosen = picked(facts, "oil + older edition;nut")
    assert (chosen["C16:0"].low, chosen["C18:0"].low) == (5.0, 1.0)
    assert picked(facts, "oil")["C16:0"].low == 1.0
    assert set(acid_facts(chosen)) == {"C16:0", "C18:0"}


def test_a_density_is_believed_when_it_names_its_temperatures_and_fits() -> None:
    """The published density is brought to 40 degC; one without temperatures or far off gives way to Lund's relation."""
    told = _fact(property="relative_density", low=0.908, high=0.921, note="x=40 degC / water 20 degC")
    assert density_at_40(told, 252, 9.6) == pytest.approx(0.9145 * 0.9982)
    lund = density_at_40(None, 252, 9.6)
    assert density_at_40(_fact(low=0.908, high=0.921), 252, 9.6) == lund
    assert density_at_40(_fact(low=0.98, high=0.99, note=told.note), 252, 9.6) == lund


@given(st.floats(1, 300), st.floats(0, 20), st.floats(0, 250))
def test_a_certificate_replaces_all_three_ends(value: float, tolerance: float, iodine: float) -> None:
    """With a certificate a fat has the lot's values, and the tag follows the lot's iodine value."""
    fat = FATS["coconut oil"]
    if value - tolerance <= 0:
        with pytest.raises(ValueError, match="positive"):
            with_certificate(fat, saponification_value=value, tolerance=tolerance)
        return
    lot = with_certificate(fat, saponification_value=value, tolerance=tolerance, iodine_value=iodine)
    assert lot.saponification == Figure(value, value - tolerance, value + tolerance)
    assert lot.iodine == Figure(iodine, iodine, iodine)
    assert ("strongly unsaturated" in lot.tags) == (iodine >= 120)
    assert (lot.name, lot.acids, lot.kind) == (fat.name, fat.acids, fat.kind)


def test_a_certificate_cannot_make_a_wax_take_more_alkali() -> None:
    """A wax keeps its acid value whatever the certificate's alcoholic-potash figure says, and tells so."""
    wax = FATS["beeswax"]
    lot = with_certificate(wax, saponification_value=95, tolerance=2)
    assert lot.saponification == wax.saponification
    assert "not counted" in lot.notes[-1]


@pytest.mark.parametrize(("value", "tolerance", "iodine"), [(0, 0, None), (190, -1, None), (190, 1, -3)])
def test_an_impossible_certificate_is_refused(value: float, tolerance: float, iodine: float | None) -> None:
    """Values that no fat has are refused."""
    with pytest.raises(ValueError, match=r"positive|not negative"):
        with_certificate(FATS["lard"], saponification_value=value, tolerance=tolerance, iodine_value=iodine)


def test_a_fat_of_ones_own_keeps_what_is_not_given() -> None:
    """A house fat takes the reference fat's figures, its own name, and no synonyms of the other."""
    olive = FATS["olive oil"]
    own = like(olive, name="house infused olive", tags={"calendula"})
    assert (own.name, own.synonyms, own.acids, own.saponification.value, own.iodine) == (
        "house infused olive",
        (),
        olive.acids,
        olive.saponification.value,
        olive.iodine,
    )
    assert own.tags == {"calendula"}
    assert own.notes[0] == "Built on olive oil."


@pytest.mark.parametrize(
    ("name", "tags"),
    [
        ("calendula olive infusion", None),
        ("our infusion", None),
        ("Chamomile Infused olive", None),
        ("nettle olive", {"infused"}),
    ],
)
def test_an_infusion_is_that_very_oil(name: str, tags: set[str] | None) -> None:
    """Its ends and the spread of its lots are those of the oil that the herbs are in, and nothing is borrowed."""
    own, olive = like(FATS["olive oil"], name=name, tags=tags), FATS["olive oil"]
    assert (own.saponification, own.spread) == (olive.saponification, olive.spread)
    assert (own.borrowed, own.group) == ("", "olive oil")


@pytest.mark.parametrize(
    ("name", "model", "part", "lender"),
    [
        ("mystery butter", "cocoa butter", 0.06, "cocoa butter"),
        ("market oil", "olive oil", 0.025, "olive oil"),
        ("neem infusion", "olive oil", 0.025, "olive oil"),
        ("our suet", "beef tallow", 0.04, "beef tallow"),
    ],
)
def test_borrowed_figures_are_less_sure_than_the_lenders(name: str, model: str, part: float, lender: str) -> None:
    """A likeness is no measurement: ends and spread lie as far off as the kind calls for."""
    own, known = like(FATS[model], name=name), FATS[model]
    value = known.saponification.value
    assert own.saponification.low == pytest.approx(min(known.saponification.low, (1 - part) * value))
    assert own.saponification.high == pytest.approx(max(known.saponification.high, (1 + part) * value))
    assert own.spread == pytest.approx(max(known.spread, value - own.saponification.low))
    assert (own.borrowed, own.group) == (lender, model)
    lot = with_certificate(own, saponification_value=value - 1, tolerance=1.5)
    assert (lot.borrowed, lot.spread) == ("", 1.5)
    assert lot.saponification.low == pytest.approx(value - 2.5)


@given(st.sampled_from(NAMES))
def test_no_likeness_is_surer_than_the_fat_itself(name: str) -> None:
    """Whatever the fat, borrowed figures are at least 2 % off below, and never nearer than the lender's own ends."""
    own, known = like(FATS[name], name="ours"), FATS[name]
    assert own.saponification.low <= min(known.saponification.low, 0.98 * known.saponification.value)
    assert own.saponification.high >= known.saponification.high
    assert own.spread >= known.spread


def test_a_saponification_value_alone_makes_a_fat_without_measures() -> None:
    """Its alkali is known, its acids and whatever is not told are not; what is told is kept."""
    fat = of_saponification_alone("mystery butter", Figure(186, 180, 192))
    assert (fat.kind, fat.tags, fat.acids, fat.spread) == ("butter", frozenset(), {}, 6)
    assert fat.untold == {"acids", "certificate", "iodine", "tags", "kind"}
    assert math.isnan(fat.iodine.value)
    told = of_saponification_alone("x", Figure(186, 180, 192), kind="hard oil", tags={"palm"}, iodine=130)
    assert told.untold == {"acids", "certificate"}
    assert (told.kind, told.iodine.value) == ("hard oil", 130)
    assert told.tags == {"palm", "strongly unsaturated", "half-drying"}
    lot = with_certificate(fat, saponification_value=187, tolerance=1, iodine_value=40)
    assert lot.untold == {"acids", "tags", "kind"}
    assert lot.saponification == Figure(187, 186, 188)
    with pytest.raises(ValueError, match="alone"):
        of_saponification_alone("x", Figure(95, 90, 100), kind="wax")


def test_the_figures_of_a_fat_of_ones_own_follow_its_acids() -> None:
    """Given acids, the values are worked out from them, less the reference fat's unsaponifiables."""
    olive = FATS["olive oil"]
    own = like(olive, name="lab olive", acids={"C16:0": 6, "C18:1": 36, "C18:2": 8})
    assert own.acids == {"C16:0": 12, "C18:1": 72, "C18:2": 16}
    expected = saponification_value({"C16:0": 12, "C18:1": 72, "C18:2": 16}, unsaponifiable=7.5)
    assert own.saponification.value == pytest.approx(expected)
    assert own.saponification.low < own.saponification.value < own.saponification.high
    given_too = like(olive, name="lab olive", acids={"C18:1": 100}, saponification=Figure(190, 189, 191))
    assert given_too.saponification == Figure(190, 189, 191)


def test_a_fat_of_ones_own_is_retagged_by_its_iodine_value() -> None:
    """Strongly unsaturated is worked out, never declared."""
    own = like(FATS["linseed oil"], name="blown linseed", iodine=Figure(100, 95, 105), tags={"strongly unsaturated"})
    assert "strongly unsaturated" not in own.tags


def test_an_unknown_kind_is_refused() -> None:
    """A kind is one of the five."""
    with pytest.raises(ValueError, match="no kind of fat"):
        like(FATS["lard"], name="engine grease", kind="grease")


@pytest.mark.parametrize(
    ("tag", "some"),
    [
        (
            "palm",
            {"palm oil", "palm kernel oil", "palm stearin", "hydrogenated palm oil", "palmitic acid", "stearic acid"},
        ),
        ("animal", {"lard", "beef tallow", "milk fat", "lanolin", "beeswax", "goose fat", "emu oil", "stearic acid"}),
        (
            "tree nut",
            {"sweet almond oil", "hazelnut oil", "walnut oil", "pistachio oil", "macadamia oil", "brazil nut oil"},
        ),
        ("nut", {"peanut oil", "kukui oil", "sweet almond oil"}),
        ("lauric", {"coconut oil", "palm kernel oil", "babassu oil", "murumuru butter", "tucuma kernel butter"}),
        ("strongly unsaturated", {"linseed oil", "soybean oil", "sunflower oil", "grapeseed oil", "hemp seed oil"}),
        ("strong smelling", {"neem oil", "karanja oil", "tamanu oil", "laurel berry oil", "lanolin"}),
    ],
)
def test_tags_gather_the_fats_a_maker_would_expect(tag: str, some: set[str]) -> None:
    """Each tag covers the fats that a promise on a label would have to cover."""
    assert some <= {name for name, fat in FATS.items() if tag in fat.tags}


def test_tags_that_are_promises_do_not_reach_too_far() -> None:
    """Plant oils bear no animal tag, every tree nut is a nut, and high-oleic oils are not strongly unsaturated."""
    assert not FATS["coconut oil"].tags & {"animal", "palm"}
    assert "strongly unsaturated" not in FATS["high oleic sunflower oil"].tags
    for fat in FATS.values():
        assert "nut" in fat.tags or not fat.tags & {"tree nut", "peanut"}


def test_the_table_names_every_tag_its_fats_bear() -> None:
    """The table's tags are exactly those of its fats."""
    assert reference().tags() == frozenset().union(*(fat.tags for fat in FATS.values()))


def test_a_fat_is_built_once() -> None:
    """Finding a fat twice, by either of its names, gives the same object."""
    first: Fat | None = reference().find("tallow")
    assert first is reference().find("beef tallow")
