"""Goal files over price scenarios: read, answered at today's prices, repriced part by part, and put together.

Parts are laid by the number of scenarios alone, never by who does them, and each begins from the same; so the answer is the
same to the byte whoever did which part when, and a part that was kept is as good as one done anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from optimiser.analysis.sweep_parts import BEGIN, HOLD, REPRICE, Begun, PartAnswer, cost_of
from optimiser.analysis.sweep_start import spread_over
from optimiser.answers import sweep_figures as figures
from optimiser.answers.asked import read_question
from optimiser.answers.sweep_cases import Bar, bar_of, hash_of_case, packed
from optimiser.answers.sweep_kept import Place, arrays_of, unpacked
from optimiser.answers.sweep_layout import Laid, laid, part_size, refuse_too_many, seconds_of
from optimiser.answers.sweep_results import NotSwept, Sweep, SweptGoal
from optimiser.engines.work import Engine, Here, Part
from optimiser.files.price_file import NOTHING_TYPED, Typed, read_prices
from optimiser.files.sweep_folder import Manifest, SweepFolder, hash_of_file
from optimiser.maths.arrays import Matrix, Vector
from optimiser.problem.price_scenarios import Scenarios
from optimiser.problem.question import Question
from optimiser.solve.optimum import least_ratio
from optimiser.solve.outcomes import SolverFault, Work
from optimiser.solve.solver import Live
from optimiser.text.diagnostics import Together

BEGIN_WITH = 2_000  # scenarios from which the vertices of a bar are begun
MOST_HELD = 30_000_000  # costs of held blends that are held at a time
SAVES = 0.01  # of the cost: a saving that is worth another blend
Watch = Callable[[int, int, str], None]
"""Told how much is done, of how much, and what is being done."""
Hire = Callable[[float], Engine]
"""Finds whoever does the parts, given about how many seconds of work there are."""


def quiet(done: int, of: int, what: str) -> None:
    """Nobody watches."""


def here(_seconds: float) -> Engine:
    """This very process does all parts."""
    return Here()


class Kept(NamedTuple):
    """Where a sweep keeps its parts, and whether it goes on with those that are there."""

    folder: Path
    resume: bool
    version: str


def sweep(  # noqa: PLR0913  # what is asked, and who works on it
    goal_files: Sequence[Path],
    prices_file: Path,
    shelf_file: Path | None = None,
    typed: Typed = NOTHING_TYPED,
    *,
    hire: Hire = here,
    kept: Kept | None = None,
    watch: Watch = quiet,
) -> Sweep:
    """Goal files over price scenarios.

    Args:
        goal_files: one for each bar.
        prices_file: a history (CSV), or shocks or a spread (YAML).
        shelf_file: used in place of the shelves that the goal files name.
        typed: what was typed beside the prices.
        hire: finds whoever does the parts, given about how many seconds of work there are; else this process does.
        kept: where parts are kept, to be gone on with.
        watch: hears how far it is.

    Raises:
        BadInput: with every fault of the files.
        SolverFault: the solver failed; no fault of the files.
        EngineFault: whoever does the parts cannot.
    """
    faults = Together()
    questions: list[tuple[str, Question]] = []
    for path in goal_files:
        with faults:
            questions.append((str(path), read_question(path, shelf_file)))
    faults.settle()
    scenarios = read_prices(prices_file, [question.shelf for _, question in questions], typed)
    refuse_too_many(len(questions), scenarios.size)
    ready = []
    for number, (file, question) in enumerate(questions):
        watch(number, len(questions), "today's blends")
        ready.append(bar_of(file, question, scenarios))
    bars = [one for one in ready if isinstance(one, Bar)]
    folder = None if kept is None else opened(kept, goal_files, prices_file, shelf_file, (questions, bars, scenarios))
    goals = Sweeper(bars, scenarios, hire(seconds_of(bars, scenarios.size)), folder, watch).run()
    warnings = tuple(dict.fromkeys(item for _, question in questions for item in question.warnings))
    return Sweep(
        prices_file=str(prices_file),
        title=scenarios.title,
        source=scenarios.source,
        scenarios=scenarios.size,
        labels=scenarios.labels,
        rules=scenarios.rules,
        goals=tuple(goals),
        none=tuple(one for one in ready if isinstance(one, NotSwept)),
        warnings=warnings,
    )


def opened(
    kept: Kept,
    goal_files: Sequence[Path],
    prices_file: Path,
    shelf_file: Path | None,
    made: tuple[list[tuple[str, Question]], list[Bar], Scenarios],
) -> SweepFolder:
    """The folder that parts are kept in.

    Raises:
        BadInput: it holds another sweep, or none to go on with.
    """
    questions, bars, scenarios = made
    shelves = [Path(question.shelf.path) for _, question in questions if question.shelf.path]
    files = dict.fromkeys([*goal_files, prices_file, *([shelf_file] if shelf_file else []), *shelves])
    asked = {"scenarios": str(scenarios.size), "seed": str(scenarios.seed)}
    if scenarios.source != "spread":  # its file and seed tell all of a spread
        asked["prices"] = " ".join(scenarios.rules)
    manifest = Manifest(
        version=kept.version,
        files={str(path): hash_of_file(path) for path in files},
        asked=asked,
        cases={bar.file: hash_of_case(bar.case, scenarios) for bar in bars},
        parts=len(laid(bars, scenarios)),
    )
    return SweepFolder(kept.folder, manifest, resume=kept.resume)


class Sweeper:
    """The steps of a sweep over bars that are ready."""

    def __init__(
        self, bars: list[Bar], scenarios: Scenarios, engine: Engine, folder: SweepFolder | None, watch: Watch
    ) -> None:
        self._bars, self._scenarios = bars, scenarios
        self._engine, self._folder, self._watch = engine, folder, watch
        self._hashes = [] if folder is None else [hash_of_case(bar.case, scenarios) for bar in bars]

    def run(self) -> list[SweptGoal]:
        """Every bar over all scenarios."""
        if not self._bars:
            return []
        begun = self._begin()
        self._bars = [
            bar._replace(case=bar.case._replace(start=one.start)) for bar, one in zip(self._bars, begun, strict=True)
        ]
        shared = [packed(bar.case) for bar in self._bars]
        parts = laid(self._bars, self._scenarios)
        answers = self._repriced(shared, parts)
        wholes = [
            figures.whole(
                (answers[place] for place, part in enumerate(parts) if part.bar == number), bar.case.start.swept
            )
            for number, bar in enumerate(self._bars)
        ]
        del answers
        out: list[SweptGoal] = []
        at_once = max(1, MOST_HELD // (self._scenarios.size * (figures.HANDFUL + 2)))
        for first in range(0, len(self._bars), at_once):
            bars = range(first, min(first + at_once, len(self._bars)))
            samples = [self._sample(self._bars[number]) for number in bars]
            blends = [
                np.array(
                    [
                        *figures.chosen_few(self._bars[number].case, wholes[number], sample),
                        self._fixed(self._bars[number]),
                    ]
                )
                for number, sample in zip(bars, samples, strict=True)
            ]
            held = self._hold(shared, bars, blends)
            out += [
                self._told(self._bars[number], begun[number], wholes[number], sample, (own, costs))
                for number, sample, own, costs in zip(bars, samples, blends, held, strict=True)
            ]
        return out

    def _sample(self, bar: Bar) -> Matrix:
        """Prices of some scenarios of a bar (s, p)."""
        few = self._scenarios.size if self._scenarios.multipliers is not None else figures.SAMPLE
        return bar.case.prices(spread_over(self._scenarios.between(0, min(few, self._scenarios.size)), figures.SAMPLE))

    def _begin(self) -> list[Begun]:
        """What the parts of each bar begin from."""
        few = self._scenarios.size if self._scenarios.multipliers is not None else BEGIN_WITH
        sample = spread_over(self._scenarios.between(0, min(few, self._scenarios.size)), BEGIN_WITH)
        shared = [packed(bar.case) for bar in self._bars]
        parts = [Part(BEGIN, number, (sample,)) for number in range(len(self._bars))]
        found: dict[int, Begun] = dict(self._watched(shared, parts, [1] * len(parts), "break-even prices"))
        return [found[number] for number in range(len(parts))]

    def _repriced(self, shared: list[bytes], parts: list[Laid]) -> list[PartAnswer]:
        """The cheapest blends of all parts; those that were kept are not done again."""
        found: dict[int, PartAnswer] = {}
        if self._folder is not None:
            for place in range(len(parts)):
                answer = unpacked(self._folder.part(place), self._place(parts[place]))
                if answer is not None:
                    found[place] = answer
        todo = [place for place in range(len(parts)) if place not in found]
        work = [Part(REPRICE, parts[place].bar, self._own(parts[place])) for place in todo]
        sizes = [parts[place].last - parts[place].first for place in todo]
        for number, answer in self._watched(shared, work, sizes, "scenarios"):
            if self._folder is not None:
                self._folder.keep(todo[number], arrays_of(answer, self._place(parts[todo[number]])))
            found[todo[number]] = answer
        return [found[place] for place in range(len(parts))]

    def _place(self, part: Laid) -> Place:
        """Where a part belongs among those that are kept."""
        case = self._bars[part.bar].case
        return Place(self._hashes[part.bar], part.first, part.last, len(case.start.swept.money))

    def _own(self, part: Laid) -> tuple[Any, ...]:
        """What a part brings along: its scenarios, and of a table its rows."""
        table = self._scenarios.multipliers
        return part.first, part.last, None if table is None else table[part.first : part.last]

    def _watched(
        self, shared: list[bytes], parts: list[Part], sizes: list[int], what: str
    ) -> Iterator[tuple[int, Any]]:
        """Parts done, and told as they are."""
        done, of = 0, sum(sizes)
        self._watch(0, of, what)
        for number, result in self._engine.run(shared, parts):
            done += sizes[number]
            self._watch(done, of, what)
            yield number, result

    def _told(
        self, bar: Bar, begun: Begun, found: figures.Whole, sample: Matrix, blends: tuple[Matrix, Matrix]
    ) -> SweptGoal:
        """One bar put together; `blends` are those held (h, n) and what they cost (h, s)."""
        case, scenarios = bar.case, self._scenarios
        swept = case.start.swept
        held = figures.held_over(blends[1], found)
        told = figures.told_blends(case, bar.names, bar.least, list(blends[0]), held)
        fixed = next((one for one in told[:-1] if near(one.fats, told[-1].fats)), told[-1]._replace(label="F"))
        known = found.known
        kept, costs = (found.kept, found.costs) if found.is_all_known else (found.kept[known], found.costs[known])
        saving = kept - costs
        np.maximum(saving, 0.0, out=saving)
        saving /= kept
        most = int(np.argmax(saving)) if len(known) else 0
        ends = {one.place: (one.low, one.high) for one in begun.break_even}
        today = figures.cost_today(swept, swept.kept)
        limit = min(swept.most_costs, default=None)
        named = scenarios.source == "shocks"
        return SweptGoal(
            file=bar.file,
            title=bar.title,
            currency=bar.currency,
            kept=figures.swing(found.kept, today, named=named),
            remade=figures.swing(costs if len(known) else found.kept, today, named=named),
            saving_mean=100.0 * (1.0 - float(costs.mean()) / float(kept.mean())) if len(known) else 0.0,
            saving_most=100.0 * float(saving[most]) if len(known) else 0.0,
            most_in=scenarios.label(int(known[most])) if len(known) else "",
            worth=float((saving > SAVES).mean()) if len(known) else 0.0,
            fats=figures.told_fats(case, bar.known_as, found, ends, figures.high_of(case, sample)),
            blends=told[:-1],
            fixed=fixed,
            handful=held.handful,
            over=None if limit is None else over(costs, limit),
            over_kept=None if limit is None else over(found.kept, limit),
            held=(*bar.held, *not_cheapest(begun.lead)),
            is_counted=not swept.has_few_choices,
            solved=found.solved,
            alone=found.alone,
            missing=len(found.numbers) - len(known),
            different=len(found.points),
            numbers=found.numbers.astype(np.float64),
            costs=found.costs,
            kept_costs=found.kept,
            spread=figures.spread_of(found.kept, costs),
            is_near=bar.is_near,
            source=scenarios.source,
            worst_in=scenarios.label(int(np.argmax(found.kept))),
            remade_worst_in=scenarios.label(int(known[np.argmax(costs)])) if len(known) else "",
        )

    def _hold(self, shared: list[bytes], bars: range, blends: list[Matrix]) -> list[Matrix]:
        """What blends (h, n) of some bars cost if they are held, a bar each (h, s)."""
        size, count = part_size(self._scenarios.size), self._scenarios.size
        parts = [
            Laid(place, first, min(first + size, count))
            for place in range(len(bars))
            for first in range(0, count, size)
        ]
        work = [Part(HOLD, bars[one.bar], (*self._own(one), blends[one.bar])) for one in parts]
        out: list[Matrix] = [np.empty((len(held), count)) for held in blends]
        for number, costs in self._engine.run(shared, work):
            out[parts[number].bar][:, parts[number].first : parts[number].last] = costs.T
        return out

    def _fixed(self, bar: Bar) -> Vector:
        """The blend that is best held fixed: the cheapest at the mean prices, since the mean cost of a blend is its cost there."""
        case = bar.case
        swept = case.start.swept
        if swept.cost_rows:  # what must cost so much in every scenario is not to be had by its mean
            return swept.kept
        prices = case.prices(self._scenarios.mean()[None, :])[0]
        money = swept.at(prices)
        live = Live(swept.programme(money), Work())
        live.suggest(swept.kept)
        start = float(cost_of(swept, prices[None, :], swept.kept)[0])
        try:
            found = least_ratio(live, start)
        except SolverFault:
            found = None
        if found is None or (start and found.ratio >= start * (1.0 - 1e-12)):
            return swept.kept
        return found.point


def over(costs: Vector, limit: float) -> float:
    """In which share of scenarios a cost is above a limit, beyond what rounding does."""
    return float((costs > limit * (1.0 + 1e-9)).mean()) if len(costs) else 0.0


def not_cheapest(lead: float) -> tuple[str, ...]:
    """Why there are no break-even prices, where today's blend is not the cheapest of what is swept by so much (relative)."""
    if lead <= 0.0:
        return ()
    less = f"{100.0 * lead:.2f} %" if lead >= 5e-5 else "a hair"
    told = f"Today's blend is not the cheapest of what is swept: one with enough of a fat left out as a pinch costs {less} less"
    return (f"{told} even today. So there are no break-even prices.",)


def near(one: tuple[tuple[str, float], ...], other: tuple[tuple[str, float], ...]) -> bool:
    """Whether two blends are the same to a hundredth of a per cent."""
    first, second = dict(one), dict(other)
    return all(abs(first.get(name, 0.0) - second.get(name, 0.0)) < 0.01 for name in {*first, *second})
