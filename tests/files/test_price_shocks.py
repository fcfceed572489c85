"""Shocks and spreads: what they move and by how much, and every fault with its place."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from sweeping import ROOT

from optimiser.files.price_file import Typed, read_prices
from optimiser.files.schema import schema
from optimiser.files.shelf.shelf import read_shelf
from optimiser.problem.price_scenarios import Scenarios, factor_of
from optimiser.text.diagnostics import BadInput, Diagnostic


def read(text: str, folder: Path, typed: Typed = Typed()) -> Scenarios:  # noqa: B008
    """The scenarios of a text, over the demo shelf."""
    path = folder / "prices.yaml"
    path.write_text(text, encoding="utf-8")
    return read_prices(path, [read_shelf(ROOT / "inventory" / "kittiwake.yaml")], typed)


def faults(text: str, folder: Path, typed: Typed = Typed()) -> tuple[Diagnostic, ...]:  # noqa: B008
    """What is wrong with it."""
    with pytest.raises(BadInput) as bad:
        read(text, folder, typed)
    return bad.value.diagnostics


def moved(found: Scenarios, place: int) -> dict[str, float]:
    """The prices that one scenario moves."""
    row = found.between(place, place + 1)[0].tolist()
    return {name: round(one, 9) for name, one in zip(found.names, row, strict=True) if one != 1.0}


def test_a_price_by_itself_is_a_scenario_by_itself(tmp_path: Path) -> None:
    """It is called by what it says, and nothing else moves."""
    found = read("shocks: {coconut oil: +40 %, palm oil: -10}\n", tmp_path)
    assert found.labels == ("coconut oil +40 %", "palm oil -10")
    assert moved(found, 0) == {"coconut oil": 1.4}
    assert moved(found, 1) == {"palm oil": 0.9}


def test_kinds_and_tags_move_all_their_fats_and_a_fat_of_its_own_goes_before(tmp_path: Path) -> None:
    """Butters one upon another with all fats; shea as it says by itself; alkali by itself alone."""
    found = read(
        "shocks:\n  a: {all fats: +10 %, butters: +50 %, shea butter: -20 %, sodium hydroxide: +5 %}\n", tmp_path
    )
    one = moved(found, 0)
    assert one["shea butter"] == 0.8
    assert one["cocoa butter"] == pytest.approx(1.65)
    assert one["lard"] == 1.1
    assert one["sodium hydroxide"] == 1.05
    assert "potassium hydroxide" not in one


def test_a_tag_takes_what_bears_it(tmp_path: Path) -> None:
    """Palm takes palm kernel along; an infusion follows its oil."""
    one = moved(read("shocks: {a: {palm: +60 %, olive oil: 5 %}}\n", tmp_path), 0)
    assert {"palm oil", "palm kernel oil", "palm stearin"} <= {name for name, by in one.items() if by == 1.6}
    assert one["calendula olive infusion"] == 1.05


SPREAD = """spread:
  each: 15 %
  prices: {olive oil: 25 %, butters: 5 %}
  together: 0.3
  correlations: [{of: [coconut oil, palm kernel oil], is: 0.82}]
  scenarios: 4000
  seed: 7
"""


def test_a_spread_draws_what_it_says(tmp_path: Path) -> None:
    """Spreads and correlations of the logarithms, the median today's price, and an infusion with its oil."""
    found = read(SPREAD, tmp_path)
    logs = np.log(found.between(0, 4000))
    at = {name: logs[:, place] for place, name in enumerate(found.names)}
    assert found.size == 4000
    assert at["coconut oil"].std() == pytest.approx(np.log(1.15), rel=0.05)
    assert at["olive oil"].std() == pytest.approx(np.log(1.25), rel=0.05)
    assert at["shea butter"].std() == pytest.approx(np.log(1.05), rel=0.05)
    assert np.corrcoef(at["coconut oil"], at["palm kernel oil"])[0, 1] == pytest.approx(0.82, abs=0.03)
    assert np.corrcoef(at["coconut oil"], at["olive oil"])[0, 1] == pytest.approx(0.3, abs=0.05)
    assert np.median(at["lard"]) == pytest.approx(0.0, abs=0.01)
    assert (at["calendula olive infusion"] == at["olive oil"]).all()
    assert (at["sodium hydroxide"] == 0.0).all()


def test_a_scenario_is_the_same_wherever_it_is_drawn(tmp_path: Path) -> None:
    """Some of them by themselves, and of more of them in all."""
    few, many = read(SPREAD, tmp_path), read(SPREAD, tmp_path, Typed(drawn=9000))
    assert (few.between(990, 2010) == few.between(0, 4000)[990:2010]).all()
    assert (few.between(3000, 3500) == many.between(3000, 3500)).all()
    assert many.size == 9000


def test_another_seed_draws_others(tmp_path: Path) -> None:
    """And says which it was."""
    one, other = read(SPREAD, tmp_path), read(SPREAD, tmp_path, Typed(seed=8))
    assert (one.between(0, 10) != other.between(0, 10)).any()
    assert any("Seed 8" in rule for rule in other.rules)


def test_the_mean_is_that_of_the_law(tmp_path: Path) -> None:
    """A normal logarithm of variance v has the mean exp(v / 2) (from memory); a table its own."""
    found = read(SPREAD, tmp_path)
    assert found.mean()[found.names.index("olive oil")] == pytest.approx(np.exp(0.5 * np.log(1.25) ** 2))
    assert found.mean()[found.names.index("sodium hydroxide")] == 1.0
    shocks = read("shocks: {palm oil: +40 %, lard: 20 %}\n", tmp_path)
    assert shocks.mean()[shocks.names.index("palm oil")] == pytest.approx(1.2)


def test_a_factor_is_the_root_of_the_covariance() -> None:
    """Its product with itself; none where correlations cannot hold together."""
    together = np.array([[1.0, 0.5], [0.5, 1.0]])
    factor = factor_of([0.1, 0.2], together)
    assert factor is not None
    assert factor @ factor.T == pytest.approx(np.array([[0.01, 0.01], [0.01, 0.04]]), rel=1e-6)
    assert factor_of([1.0, 1.0, 1.0], np.array([[1, 0.9, -0.9], [0.9, 1, 0.9], [-0.9, 0.9, 1]])) is None


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("shocks: {olve oil: 3 %}\n", "unknown-fat", (1, 10)),
        ("shocks: {palm oil: 0.4}\n", "share-or-fraction", (1, 20)),
        ("shocks: {a: {palm oil: 3 kg}}\n", "wrong-unit", (1, 24)),
        ("shocks: {palm oil: -100 %}\n", "out-of-range", (1, 20)),
        ("shocks: {}\n", "no-value", (1, 9)),
        ("shocks: [palm oil]\n", "wrong-shape", (1, 9)),
        ("title: x\n", "missing-key", (1, 1)),
        ("shocks: {palm oil: 3 %}\nspread: {each: 15 %}\n", "contradiction", (2, 1)),
        ("spread: {each: 400 %}\n", "out-of-range", (1, 16)),
        ("spread: {each: 15 %, together: 2}\n", "out-of-range", (1, 32)),
        ("spread: {each: 15 %, scenarios: 0}\n", "out-of-range", (1, 33)),
        ("spread: {each: 15 %, correlations: [{of: [palm oil], is: 0.5}]}\n", "wrong-shape", (1, 42)),
        ("spread: {each: 15 %, correlations: {of: 1}}\n", "wrong-shape", (1, 36)),
        (
            "spread: {each: 15 %, together: -0.9, correlations: [{of: [lard, palm oil], is: 0.5}]}\n",
            "contradiction",
            (1, 53),
        ),
        ("spread: {count: 5, each: 5 %}\n", "unknown-key", (1, 10)),
        ("spread: {each: 15 %, together: -0.5}\n", "contradiction", (1, 22)),
        ("shocks: {water: +5 %}\n", "unknown-fat", (1, 10)),
        ("spread: {each: 5 %, seed: -1}\n", "out-of-range", (1, 27)),
    ],
)
def test_faults_have_their_place(text: str, code: str, place: tuple[int, int], tmp_path: Path) -> None:
    """One fault, by its code, at line and column."""
    (fault,) = faults(text, tmp_path)
    assert fault.code == code
    assert fault.span is not None
    assert (fault.span.line, fault.span.column) == place


def test_what_is_typed_must_go_with_the_file(tmp_path: Path) -> None:
    """Shocks are not drawn, a spread has no rows, and nothing spreads by nothing."""
    assert faults("shocks: {palm oil: 3 %}\n", tmp_path, Typed(drawn=5))[0].code == "usage"
    assert faults(SPREAD, tmp_path, Typed(today="x"))[0].code == "usage"
    assert faults(SPREAD, tmp_path, Typed(drawn=0))[0].code == "usage"
    assert faults(SPREAD, tmp_path, Typed(seed=-1))[0].code == "usage"
    assert faults("spread: {together: 0.3}\n", tmp_path)[0].code == "no-value"


def test_the_schema_knows_the_keys() -> None:
    """Editors are told of shocks, spreads and what a spread takes."""
    made = schema("prices")
    assert set(made["properties"]) == {"title", "shocks", "spread"}
    assert "together" in made["properties"]["spread"]["properties"]
    assert "is" in made["properties"]["spread"]["properties"]["correlations"]["items"]["properties"]


@pytest.mark.parametrize("name", ["shocks", "spread"])
def test_the_examples_are_read(name: str) -> None:
    """Those of the tree, marked as invented, without a fault and in keeping with the schema."""
    import jsonschema
    import yaml

    path = ROOT / "examples" / f"{name}.yaml"
    text = path.read_text(encoding="utf-8")
    assert text.startswith("# Invented")
    assert read_prices(path, [read_shelf(ROOT / "inventory" / "kittiwake.yaml")]).size >= 4
    jsonschema.validate(yaml.safe_load(text), schema("prices"))


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("shocks: {a: {coconut oil: +40 %, Coconut Oil: -40 %}}\n", "repeated-name", (1, 34)),
        ("shocks: {a: {all fats: +4 %, all oils: +5 %}}\n", "repeated-name", (1, 30)),
        ("shocks: {coconut oil: +40 %, Coconut Oil: -40 %}\n", "repeated-name", (1, 30)),
        ("spread: {prices: {palm oil: 5 %, Palm Oil: 9 %}}\n", "repeated-name", (1, 34)),
        (
            "spread: {each: 5 %, correlations: [{of: [lard, palm oil], is: 0.5}, {of: [palm oil, lard], is: 0.1}]}\n",
            "repeated-name",
            (1, 69),
        ),
        ("spread: {each: 5 %, correlations: [{of: [lard, lard], is: 0.5}]}\n", "contradiction", (1, 36)),
        (
            "spread: {prices: {lard: 5 %}, correlations: [{of: [lard, palm oil], is: 0.5}]}\n",
            "contradiction",
            (1, 46),
        ),
        (
            "spread: {each: 5 %, correlations: [{of: [olive oil, calendula olive infusion], is: 0.5}]}\n",
            "contradiction",
            (1, 36),
        ),
        (
            "spread: {each: 5 %, correlations: [{of: [lard, butters], is: 0.5}, {of: [butter, lard], is: 0.1}]}\n",
            "repeated-name",
            (1, 68),
        ),
    ],
)
def test_two_lines_on_one_thing_are_refused(text: str, code: str, place: tuple[int, int], tmp_path: Path) -> None:
    """Where the second stands, with where the first does; no line is dropped for another without a word."""
    (fault,) = faults(text, tmp_path)
    assert fault.code == code
    assert fault.span is not None
    assert (fault.span.line, fault.span.column) == place
    assert fault.help


def test_a_line_on_two_things_by_name_goes_before_one_on_their_kind(tmp_path: Path) -> None:
    """In whichever order they stand; the rest of the kind keeps what is said of it."""
    lines = ("{of: [lard, butters], is: 0.5}", "{of: [shea butter, lard], is: 0.1}")
    factors = []
    for order in (lines, lines[::-1]):
        found = read(f"spread: {{each: 5 %, together: 0.3, correlations: [{', '.join(order)}]}}\n", tmp_path)
        assert found.factor is not None
        factors.append(found.factor)
        covariance = found.factor @ found.factor.T
        spread = np.sqrt(np.diag(covariance))
        lard, shea, cocoa = (found.group[found.names.index(name)] for name in ("lard", "shea butter", "cocoa butter"))
        assert covariance[lard, shea] / spread[lard] / spread[shea] == pytest.approx(0.1)
        assert covariance[lard, cocoa] / spread[lard] / spread[cocoa] == pytest.approx(0.5)
    assert factors[0].tobytes() == factors[1].tobytes()


def test_two_kinds_that_say_two_things_of_one_pair_are_refused(tmp_path: Path) -> None:
    """Neither is nearer to the pair than the other; a line on all fats gives way to one on a kind."""
    tags = "spread: {each: 5 %%, together: 0.3, correlations: [{of: [lard, butters], is: 0.35}, {of: [lard, %s], is: 0.25}]}\n"
    (fault,) = faults(tags % "lauric", tmp_path)
    assert fault.code == "contradiction"
    assert "0.35" in fault.message
    assert read(tags % "all fats", tmp_path).factor is not None


def test_kinds_that_move_a_price_twice_are_told(tmp_path: Path) -> None:
    """One upon the other, in a sentence; where a shock names a fat once none is said."""
    twice = read("shocks: {a: {all fats: +10 %, butters: +10 %}}\n", tmp_path)
    assert moved(twice, 0)["shea butter"] == pytest.approx(1.21)
    assert any("one upon the other" in rule for rule in twice.rules)
    assert len(read("shocks: {a: {butters: +10 %, palm oil: +10 %}}\n", tmp_path).rules) == 1


def test_water_has_no_price(tmp_path: Path) -> None:
    """The help says so, and nothing of lye."""
    (fault,) = faults("shocks: {water: +5 %}\n", tmp_path)
    assert "costs nothing" in fault.help


@pytest.mark.parametrize("each", ["", "olive oil: 25 %, "])
def test_what_moves_as_one_may_spread_each_by_its_own(each: str, tmp_path: Path) -> None:
    """An infusion goes with its oil step for step, and as far as it is told to; so does the mean of the law, and it is said."""
    text = f"spread: {{each: 10 %, prices: {{{each}calendula olive infusion: 40 %}}, scenarios: 4000}}\n"
    found = read(text, tmp_path)
    logs = np.log(found.between(0, 4000))
    oil, infusion = (logs[:, found.names.index(name)] for name in ("olive oil", "calendula olive infusion"))
    assert oil.std() == pytest.approx(np.log(1.25 if each else 1.1), rel=0.05)
    assert infusion.std() == pytest.approx(np.log(1.4), rel=0.05)
    assert np.corrcoef(oil, infusion)[0, 1] == pytest.approx(1.0)
    assert found.mean()[found.names.index("calendula olive infusion")] == pytest.approx(np.exp(0.5 * np.log(1.4) ** 2))
    assert any("'calendula olive infusion'" in rule for rule in found.rules)


def test_what_stays_beside_what_it_is_like_stays(tmp_path: Path) -> None:
    """An oil with no spread of its own, where its infusion has one."""
    found = read("spread: {prices: {olive oil: 0 %, calendula olive infusion: 40 %}, scenarios: 1000}\n", tmp_path)
    logs = np.log(found.between(0, 1000))
    assert (logs[:, found.names.index("olive oil")] == 0.0).all()
    assert logs[:, found.names.index("calendula olive infusion")].std() == pytest.approx(np.log(1.4), rel=0.1)
