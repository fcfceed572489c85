"""A file of price scenarios: named shocks ("coconut oil: +40 %"), or a spread with correlations from which scenarios are drawn."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, ClassVar, NamedTuple

import numpy as np

from optimiser.files.fields import FIGURE, TEXT, as_title
from optimiser.files.price_repeats import Pair, correlations, span_under, unpaired, unrepeated
from optimiser.files.price_subjects import Named, Priced, group_of, in_step, named
from optimiser.problem.price_scenarios import Scenarios, factor_of, log_spread
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.forms import (
    Faults,
    Form,
    Gathering,
    Read,
    field,
    form_schema,
    read_form,
    read_part,
    scalar,
    table,
    told,
)
from optimiser.text.names import listed
from optimiser.text.nodes import Node, Row, Table, Text
from optimiser.text.quantities import Misread, read_count, read_plain, read_share
from optimiser.text.source import read_yaml

EXAMPLE = "shocks: {coconut oil: +40 %, palm scare: {palm: +60 %, tallow: +10 %}}"
MOST_SCENARIOS = 100_000_000
USUAL_SCENARIOS = 10_000
MOST_CHANGE, LEAST_CHANGE = 9900.0, -99.0  # per cent


class Change(NamedTuple):
    """One price moved: what it is of, and the factor that it is multiplied by."""

    named: Named
    factor: float


class Shock(NamedTuple):
    """A scenario by name."""

    label: str
    changes: tuple[Change, ...]


def _change(key: Text, node: Node, priced: Priced) -> Change:
    what = named(key, node, priced)
    value = told(node, lambda: read_share(scalar(node, str(key)), str(key)).value)
    if not LEAST_CHANGE <= value <= MOST_CHANGE:
        message = f"a price moves by {LEAST_CHANGE:g} % at the least and {MOST_CHANGE:g} % at the most, not {value:g} %"
        raise Faults(Diagnostic(Code.OUT_OF_RANGE, message, "write +40 % for two fifths dearer", node.span))
    return Change(what, 1.0 + value / 100.0)


def _shocks(node: Node, what: str, priced: Priced) -> tuple[Shock, ...]:
    faults, out = Gathering(), []
    labels: dict[str, Text] = {}
    entries = table(node, what, EXAMPLE)
    if not entries:
        raise Faults(Diagnostic(Code.NO_VALUE, "no shock is told", f"write {EXAMPLE}", node.span))
    for key, value in entries.items():
        with faults:
            unrepeated(labels, str(key), key)
            if isinstance(value, Table):
                inner, seen = Gathering(), dict[str, Text]()
                changes = []
                for one, moved in value.items():
                    with inner:
                        changes.append(_change(one, moved, priced))
                        unrepeated(seen, changes[-1].named.word, one)
                inner.settle()
                out.append(Shock(str(key), tuple(changes)))
            else:
                out.append(Shock(f"{key} {value}", (_change(key, value, priced),)))
    faults.settle()
    return tuple(out)


def _spread_of(node: Node, what: str, _: Any) -> float:
    value = read_share(scalar(node, what), what).value
    if not 0.0 <= value <= 300.0:
        raise Misread(Code.OUT_OF_RANGE, f"a spread is from 0 to 300 %, not {value:g} %", "write 15 %")
    return log_spread(value / 100.0)


def _correlation(node: Node, what: str, _: Any) -> float:
    value = read_plain(scalar(node, what), what).value
    if not -1.0 <= value <= 1.0:
        raise Misread(Code.OUT_OF_RANGE, f"a correlation is from -1 to 1, not {value:g}", "write 0.8")
    return value


def _spreads(node: Node, what: str, priced: Priced) -> tuple[Change, ...]:
    """The spreads of single things; a `Change` whose factor is the spread of the logarithm."""
    faults, out = Gathering(), []
    seen: dict[str, Text] = {}
    for key, value in table(node, what, "prices: {coconut oil: 20 %}").items():
        with faults:
            out.append(Change(named(key, value, priced), told(value, lambda: _spread_of(value, str(key), None))))  # noqa: B023
            unrepeated(seen, out[-1].named.word, key)
    faults.settle()
    return tuple(out)


class PairForm(Form):
    """How two prices go together."""

    what: ClassVar[str] = "a correlation"
    example: ClassVar[str] = "{of: [coconut oil, palm kernel oil], is: 0.8}"

    of: Row = field(
        Read("of", lambda node, _, __: _two(node), {"type": "array", "items": TEXT, "minItems": 2, "maxItems": 2}),
        description="The two things, by name.",
    )
    value: float = field(
        Read("is", _correlation, {"type": "number", "minimum": -1, "maximum": 1}),
        description="The correlation of the logarithms of their prices, from -1 to 1.",
        alias="is",
    )


def _two(node: Node) -> Row:
    if not isinstance(node, Row) or len(node) != 2 or not all(isinstance(one, Text) for one in node):
        message = "a correlation is of two things"
        raise Faults(Diagnostic(Code.WRONG_SHAPE, message, f"write {PairForm.example}", node.span))
    return node


def _pairs(node: Node, what: str, priced: Priced) -> tuple[Pair, ...]:
    if not isinstance(node, Row):
        raise Faults(Diagnostic(Code.WRONG_SHAPE, f"'{what}' is a list", f"write - {PairForm.example}", node.span))
    faults, out = Gathering(), list[Pair]()
    for item in node:
        with faults:
            form = read_part(PairForm, item)
            one, other = (named(key, key, priced) for key in form.of if isinstance(key, Text))
            pair = Pair((one, other), form.value, item)
            unpaired(out, pair)
            out.append(pair)
    faults.settle()
    return tuple(out)


def _count(node: Node, what: str, _: Any) -> int:
    value = read_count(scalar(node, what), what)
    if not 1 <= value <= MOST_SCENARIOS:
        raise Misread(Code.OUT_OF_RANGE, f"{what} is from 1 to {MOST_SCENARIOS}, not {value}", "write 10000")
    return value


def _seed(node: Node, what: str, _: Any) -> int:
    value = read_count(scalar(node, what), what)
    if not 0 <= value <= MOST_SCENARIOS:
        raise Misread(Code.OUT_OF_RANGE, f"{what} is from 0 to {MOST_SCENARIOS}, not {value}", "write 1")
    return value


SPREAD = Read("spread", _spread_of, FIGURE)


class SpreadForm(Form):
    """A spread of prices, from which scenarios are drawn."""

    what: ClassVar[str] = "a spread"
    example: ClassVar[str] = "spread: {each: 15 %, together: 0.3, scenarios: 10000}"
    usual: ClassVar[Mapping[str, str]] = {"fats": "prices", "correlation": "together", "count": "scenarios"}

    each: float = field(SPREAD, default=0.0, description="How far the price of every fat spreads, of its price today.")
    prices: tuple[Change, ...] = field(
        Read("prices", _spreads, {"type": "object", "additionalProperties": FIGURE}),
        default=(),
        description="Other spreads, by fat, kind, tag, additive or alkali.",
    )
    together: float = field(
        Read("together", _correlation, {"type": "number", "minimum": -1, "maximum": 1}),
        default=0.0,
        description="The correlation of any two prices that no other line is about.",
    )
    correlations: tuple[Pair, ...] = field(
        Read("correlations", _pairs, form_schema(PairForm, many=True)),
        default=(),
        description="Correlations of pairs of things.",
    )
    scenarios: int = field(
        Read("scenarios", _count, {"type": "integer", "minimum": 1}),
        default=USUAL_SCENARIOS,
        description="How many scenarios are drawn.",
    )
    seed: int = field(
        Read("seed", _seed, {"type": "integer", "minimum": 0}),
        default=1,
        description="Another number draws other scenarios of the same spread.",
    )


class PricesForm(Form):
    """A file of price scenarios."""

    what: ClassVar[str] = "a file of price scenarios"
    example: ClassVar[str] = EXAMPLE
    usual: ClassVar[Mapping[str, str]] = {"scenarios": "shocks", "shock": "shocks"}

    title: str = field(Read("title", as_title, TEXT), default="", description="What the file is called in answers.")
    shocks: tuple[Shock, ...] = field(
        Read(
            "shocks",
            _shocks,
            {
                "type": "object",
                "additionalProperties": {"anyOf": [FIGURE, {"type": "object", "additionalProperties": FIGURE}]},
            },
        ),
        default=(),
        description="Scenarios by name: each moves the prices of fats, kinds, tags, additives or alkalis by so much.",
    )
    spread: SpreadForm | None = field(
        Read("spread", lambda node, _, priced: read_part(SpreadForm, node, priced), form_schema(SpreadForm)),
        default=None,
        description="A spread from which scenarios are drawn.",
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:  # noqa: ARG003
        """Refuses a file with both, or with neither, of shocks and a spread."""
        both = [keys[name] for name in ("shocks", "spread") if name in keys]
        if len(both) == 2:
            message = "a file has shocks or a spread, and not both"
            raise Faults(Diagnostic(Code.CONTRADICTION, message, "make two files of them", both[1].span))
        if not both and not keys.keys() - {"title"}:
            span = next(iter(keys.values())).span if keys else None
            raise Faults(
                Diagnostic(Code.MISSING_KEY, "there are neither shocks nor a spread", f"write {EXAMPLE}", span)
            )


def read_scenarios(path: Path, priced: Priced, count: int | None = None, seed: int | None = None) -> Scenarios:
    """The scenarios of such a file.

    Args:
        path: the file (YAML).
        priced: what has a price on the shelves.
        count: how many are drawn of a spread, in place of what the file says.
        seed: the same of its seed.

    Raises:
        BadInput: with every fault of the file, or `count` and `seed` with shocks.
    """
    form = read_form(PricesForm, read_yaml(path), priced)
    if form.spread is not None:
        return _drawn(path, form, form.spread, priced, (count, seed))
    if count is not None or seed is not None:
        message = f"{path} tells its scenarios one by one, and none are drawn"
        raise BadInput([Diagnostic(Code.USAGE, message, "leave --scenarios and --seed out")])
    names = priced.names
    moved = np.ones((len(form.shocks), len(names)))
    for row, shock in zip(moved, form.shocks, strict=True):
        for name, factor in _factors(shock, priced).items():
            row[names.index(name)] = factor
    rules = ["Prices that a shock does not name stay as they are."]
    if any(_compounds(shock) for shock in form.shocks):
        rules.append("Where two kinds or tags of a shock take in one fat, both move its price, one upon the other.")
    labels = tuple(shock.label for shock in form.shocks)
    return Scenarios("shocks", str(path), names, len(labels), labels, moved, rules=tuple(rules), title=form.title)


def _compounds(shock: Shock) -> bool:
    """Whether two kinds or tags take in one thing that is not named itself."""
    single = frozenset[str]().union(*(one.named.members for one in shock.changes if one.named.is_one))
    wide = [name for one in shock.changes if not one.named.is_one for name in one.named.members - single]
    return len(wide) > len(set(wide))


def _factors(shock: Shock, priced: Priced) -> dict[str, float]:
    """The factor of each price that a shock moves: a thing named for itself, else kinds and tags one upon the other."""
    out: dict[str, float] = {}
    for change in shock.changes:
        if not change.named.is_one:
            for name in change.named.members:
                out[name] = out.get(name, 1.0) * change.factor
    return out | _by_itself(shock.changes, priced)


def _by_itself(changes: tuple[Change, ...], priced: Priced) -> dict[str, float]:
    """What is told of single things; a fat of the maker's own follows what it is like, unless it is named itself."""
    like = {name: one.factor for one in changes if one.named.is_one for name in one.named.members}
    own = {one.named.word: one.factor for one in changes if one.named.is_one and one.named.word in priced.names}
    return like | own


def _drawn(
    path: Path, form: PricesForm, spread: SpreadForm, priced: Priced, typed: tuple[int | None, int | None]
) -> Scenarios:
    """Scenarios drawn from a spread.

    Raises:
        BadInput: the correlations cannot hold together, or nothing spreads.
    """
    spreads = dict.fromkeys(priced.fats, spread.each)
    for change in spread.prices:
        if not change.named.is_one:
            spreads |= dict.fromkeys(change.named.members, change.factor)
    spreads |= _by_itself(spread.prices, priced)
    groups = list(dict.fromkeys(group_of(name, priced) for name, size in spreads.items() if size > 0.0))
    if not groups:
        message = "nothing spreads, so every scenario is today"
        raise BadInput([Diagnostic(Code.NO_VALUE, message, f"write {SpreadForm.example}")])
    of_group, scale, own = in_step(spreads, priced)
    together = correlations(spread.correlations, groups, lambda name: group_of(name, priced), spread.together)
    factor = factor_of([of_group[name] for name in groups], together)
    if factor is None:
        where = span_under(read_yaml(path).root, "spread", "together")
        span = spread.correlations[-1].node.span if spread.correlations else where
        message = "these correlations cannot all hold together: two things near to a third must be near to each other"
        raise BadInput(
            [Diagnostic(Code.CONTRADICTION, message, "raise 'together', or bring the pairs nearer to it", span)]
        )
    count, seed = typed
    rules = [
        "Drawn: half of all prices lie above today's, and about two in three within the spread of it.",
        f"Seed {spread.seed if seed is None else seed}: another draws other scenarios.",
    ]
    if own:
        rules.append(
            f"In step with what {'it is' if len(own) == 1 else 'they are'} like, each by a spread of its own: {listed(own)}."
        )
    return Scenarios(
        source="spread",
        path=str(path),
        names=priced.names,
        size=spread.scenarios if count is None else count,
        factor=factor,
        group=tuple(
            groups.index(group_of(name, priced)) if spreads.get(name, 0.0) > 0.0 else -1 for name in priced.names
        ),
        seed=spread.seed if seed is None else seed,
        rules=tuple(rules),
        title=form.title,
        scale=scale if own else (),
    )
