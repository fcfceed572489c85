"""The command line: arguments, streams and exit codes; no arithmetic."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from optimiser import progress, streams
from optimiser.streams import say, speaks_unicode, tell, wants_colour
from optimiser.text.diagnostics import BadInput, Diagnostic, as_data
from optimiser.text.opening import refused
from optimiser.text.signs import for_shell
from optimiser.trial_options import add_actions
from optimiser.usage import Parser
from optimiser.usage import width as terminal_width

FOUND, NONE, BAD, FAULT, INTERRUPTED = 0, 1, 2, 3, 130

EXAMPLES = """examples:
  barwright new workshop               lay out goals/ and inventory/
  barwright blend goals/everyday.yaml  the cheapest blend, or why there is none
  barwright weigh recipe.yaml          alkali, water and measures of a recipe
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 found, 1 none exists, 2 bad input or usage, 3 our own fault."""
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # none are used, and looking for them is slow
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # threads cost more than a bar's sums, and other digits
    gc.disable()  # a short run leaves nothing worth collecting, and looking for it costs a tenth of the time
    try:
        streams.hold()
        try:
            code = run(arguments)
        finally:
            streams.finish()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:  # the reader had enough
        streams.give_up()
        return FOUND
    except streams.Unwritten as lost:
        streams.give_up()
        streams.tell(f"barwright: the answer cannot be written: {lost.why}")
        return BAD
    return code


def run(arguments: Sequence[str] | None) -> int:
    """Run one command, its faults told."""
    parser = build_parser()
    try:
        asked = parser.parse_args(arguments)
    except OSError:  # not even the usage could be told
        return BAD
    if asked.command is None:
        say(parser.format_help())
        return FOUND
    try:
        with progress.shown_on(sys.stderr, wanted=not getattr(asked, "json", False)):
            code: int = asked.run(asked)
    except BadInput as bad:
        return complain(bad, as_json=getattr(asked, "json", False))
    except (BrokenPipeError, streams.Unwritten):
        raise
    except Exception as fault:  # the last net: no traceback for a soap maker
        if isinstance(fault, OSError) and (theirs := refused(fault)) is not None:
            return complain(theirs, as_json=getattr(asked, "json", False))
        if os.environ.get("BARWRIGHT_TRACEBACK"):
            raise
        return confess(fault)
    return code


def confess(fault: Exception) -> int:
    """Say what went wrong that is no fault of the files: the program's own, or a search that its work did not suffice for."""
    kind = type(fault).__name__
    if kind == "Undecided":
        tell("barwright: {fault}.", fault=fault)
        tell("Let more fats in, or leave the count or some limits out, and there is an answer.")
        return FAULT
    tell("barwright: a fault of the program, not of your files: {kind}: {fault}", kind=kind, fault=fault)
    tell("Set BARWRIGHT_TRACEBACK=1 and run it again to see where, and please report it.")
    return FAULT


def complain(bad: BadInput, *, as_json: bool = False) -> int:
    """Show every fault of what was written on stderr, and for programs as one JSON document on stdout too."""
    warn(bad.diagnostics)
    if as_json:
        from optimiser.report.data import FORMAT, to_json

        say(to_json({"format": FORMAT, "status": "bad-input", "faults": as_data(bad.diagnostics)}))
    return BAD


def warn(faults: Sequence[Diagnostic]) -> None:
    """Show faults on stderr."""
    from optimiser.text.render import render

    tell(render(faults, width=terminal_width(), colour=wants_colour(sys.stderr)))


def build_parser() -> argparse.ArgumentParser:
    """All commands and their options."""
    parser = Parser(
        prog="barwright",
        description="Works a cold-process soap recipe out backwards, from what the bar must be.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action=ShowVersion, nargs=0, help="name and version, and stop")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands")

    def command(name: str, run: Callable[[argparse.Namespace], int], help_text: str) -> argparse.ArgumentParser:
        made = commands.add_parser(name, help=help_text, description=help_text)
        made.set_defaults(run=run)
        return made

    blend = command("blend", run_blend, "the cheapest blend that meets the goals, or why there is none")
    add_goals(blend)
    blend.add_argument("--save", metavar="FILE", type=Path, help="also write the recipe, rounded for the balance")
    blend.add_argument("--watch", action="store_true", help="answer anew whenever the goals or the shelf are saved")
    blend.add_argument("--steps", action="store_true", help="tell the making steps too")
    blend.add_argument("--lp", metavar="FILE", type=Path, help="also write the programme for other solvers (LP format)")
    blend.add_argument("--force", action="store_true", help="let --save and --lp write over a file")
    feasible = command("feasible", run_feasible, "only whether there is a blend, and if not, which goals clash")
    add_goals(feasible)
    add_goals(command("reach", run_reach, "for each figure, the room that the other goals leave"))
    weigh = command("weigh", run_weigh, "a recipe in hand: alkali, water, measures, cost")
    weigh.add_argument("recipe", metavar="RECIPE", type=Path, help="the recipe file (YAML)")
    weigh.add_argument("--steps", action="store_true", help="tell the making steps too")
    weigh.add_argument("--against", metavar="GOALS", type=Path, help="judge it against a goal file")
    add_output(weigh)
    weigh.add_argument("--shelf", metavar="PATH", type=Path, help="a shelf for prices, lots and purities")
    fats = command("fats", run_fats, "the fats of the reference table, or one of them with its sources")
    fats.add_argument("name", metavar="NAME", nargs="?", help="a fat, by any of its names")
    add_output(fats)
    designed = command("designs", run_designs, "what each design asks of the batter, and whom a bar may be for")
    designed.add_argument("name", metavar="NAME", nargs="?", help="a design or a user, by any of its names")
    add_output(designed)
    measured = command("measures", run_measures, "the measures of a bar, what may be a goal, and the house practice")
    measured.add_argument("name", metavar="NAME", nargs="?", help="a measure or figure")
    add_output(measured)
    add_actions(command("trial", run_trial, "what happened at the bench, and your own scales from it"), add_output)
    schema = command("schema", run_schema, "JSON Schema of the files, for editors")
    schema.add_argument("kind", choices=("goals", "shelf", "recipe"), nargs="?", default="goals")
    schema.add_argument("--shelf", metavar="PATH", type=Path, help="let the schema know this shelf's own fats too")
    new = command("new", run_new, "a folder to start from: goals, a shelf, editor settings")
    new.add_argument("folder", metavar="FOLDER", type=Path)
    return parser


def add_goals(parser: argparse.ArgumentParser) -> None:
    """What every command on a goal file takes."""
    parser.add_argument("goals", metavar="GOALS", type=Path, help="the goal file (YAML)")
    parser.add_argument("--shelf", metavar="PATH", type=Path, help="use this shelf in place of the file's")
    add_output(parser)


def add_output(parser: argparse.ArgumentParser) -> None:
    """How the answer is to look."""
    parser.add_argument("--json", action="store_true", help="one JSON document on stdout, faults of the files too")
    parser.add_argument("--no-color", "--no-colour", dest="no_colour", action="store_true", help="plain text")


class ShowVersion(argparse.Action):
    """Print name and version; looked up only when asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        """Print it and stop."""
        say(version())
        parser.exit()


def version() -> str:
    """Name and version as installed."""
    from importlib.metadata import PackageNotFoundError
    from importlib.metadata import version as installed

    try:
        return f"barwright {installed('barwright')}"
    except PackageNotFoundError:
        return "barwright (not installed)"


# -- commands ------------------------------------------------------------------------------------------------------


def run_blend(asked: argparse.Namespace) -> int:
    """The main job, once or at every save."""
    for option in ("save", "lp"):
        if asked.watch and getattr(asked, option) is not None:
            help_text = f"leave out --{option}, or --watch"
            raise BadInput([Diagnostic("usage", "--watch answers on the screen only", help_text)])
    return run_watch(asked) if asked.watch else run_once(asked)


def run_watch(asked: argparse.Namespace) -> int:
    """The main job at every save; a half-written file is told and waited out."""
    from optimiser.watching import place, watch

    here = place(asked.goals, asked.shelf)

    def once() -> None:
        here.return_to()
        try:
            run_once(asked)
        except BadInput as bad:
            complain(bad, as_json=asked.json)
        except OSError as error:
            if isinstance(error, BrokenPipeError) or (theirs := refused(error)) is None:
                raise
            complain(theirs, as_json=asked.json)
        streams.finish()
        tell("-- watching {goals}; Ctrl-C ends it", goals=asked.goals)

    watch(here.files, once)
    return FOUND


def run_once(asked: argparse.Namespace) -> int:
    """The main job; nothing is written before the answer stands."""
    from optimiser.answer import answered, read
    from optimiser.kept_files import refuse, written
    from optimiser.story import NoBlend

    refuse(asked)
    found = answered(*read(asked.goals, asked.shelf))
    text = told(asked, "no_blend" if isinstance(found.story, NoBlend) else "blend", found.story)
    for path in written(asked, found):
        tell("Written: {path}", path=path)
    say(text)
    return NONE if isinstance(found.story, NoBlend) else FOUND


def run_feasible(asked: argparse.Namespace) -> int:
    """Whether, and if not why not."""
    from optimiser.answer import feasibility

    none = feasibility(asked.goals, asked.shelf)
    if none is not None:
        show_no_blend(none, asked)
        return NONE
    if asked.json:
        from optimiser.report.data import FORMAT, to_json

        say(to_json({"format": FORMAT, "status": "feasible"}))
    else:
        say(
            "There is a blend that meets these goals.\nNext: barwright blend {goals}\n",
            goals=for_shell(str(asked.goals)),
        )
    return FOUND


def run_reach(asked: argparse.Namespace) -> int:
    """How far every figure could go."""
    from optimiser.reaching import reach
    from optimiser.story import NoBlend

    found = reach(asked.goals, asked.shelf)
    if isinstance(found, NoBlend):
        show_no_blend(found, asked)
        return NONE
    show(asked, "reach", found)
    return FOUND


def run_weigh(asked: argparse.Namespace) -> int:
    """Judge a recipe in hand."""
    from optimiser.weigh import weigh

    told = weigh(asked.recipe, shelf_file=asked.shelf, goal_file=asked.against)
    show(asked, "weighed", told)
    return NONE if told.meets_goals is False or told.is_unfit else FOUND


def run_fats(asked: argparse.Namespace) -> int:
    """The reference table."""
    from optimiser.report import reference

    say(reference.fats(asked.name, **how(asked)))
    return FOUND


def run_designs(asked: argparse.Namespace) -> int:
    """The designs, ours and the maker's own."""
    from optimiser.report import designs

    say(designs.designs(asked.name, start=Path.cwd(), **how(asked)))
    return FOUND


def run_measures(asked: argparse.Namespace) -> int:
    """The measures."""
    from optimiser.report import reference

    say(reference.measures(asked.name, **how(asked)))
    return FOUND


def run_trial(asked: argparse.Namespace) -> int:
    """Trials and the maker's own scales."""
    from optimiser.trial_commands import COMMANDS

    done = COMMANDS[asked.action](asked, how(asked))
    if done.warnings:
        warn(done.warnings)
    say(done.text)
    return done.code


def run_schema(asked: argparse.Namespace) -> int:
    """A JSON Schema."""
    import json

    from optimiser.schema import schema
    from optimiser.shelf import names_on

    own = () if asked.shelf is None else names_on(asked.shelf)
    say(json.dumps(schema(asked.kind, own), indent=1) + "\n")
    return FOUND


def run_new(asked: argparse.Namespace) -> int:
    """A workspace to start from."""
    from optimiser.scaffold import lay_out

    say(lay_out(asked.folder))
    return FOUND


# -- streams -------------------------------------------------------------------------------------------------------


def show(asked: argparse.Namespace, kind: str, story: Any) -> None:
    """Print a story as text or as JSON."""
    say(told(asked, kind, story))


def told(asked: argparse.Namespace, kind: str, story: Any) -> str:
    """A story as text or as JSON."""
    if asked.json:
        from optimiser.report import data

        document: str = data.to_json(getattr(data, kind)(story))
        return document
    from optimiser.report import text

    options = how(asked)
    wanted: dict[str, Any] = {}
    if getattr(asked, "steps", False) and kind in ("blend", "weighed"):
        wanted["steps"] = True
    if kind == "blend" and asked.save is not None:
        wanted["saved"] = str(asked.save)
    words: str = getattr(text, kind)(
        story, width=options["width"], colour=options["colour"], ascii=options["ascii"], **wanted
    )
    return words


def show_no_blend(none: Any, asked: argparse.Namespace) -> None:
    """Print why there is no blend."""
    show(asked, "no_blend", none)


def how(asked: argparse.Namespace) -> dict[str, Any]:
    """Width, colour and character set of stdout, and whether JSON was asked for."""
    return {
        "width": terminal_width(),
        "colour": wants_colour(sys.stdout) and not asked.no_colour,
        "ascii": not speaks_unicode(sys.stdout),
        "as_json": asked.json,
    }
