"""The command line: arguments, streams and exit codes; no arithmetic."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from optimiser.cli import progress, streams
from optimiser.cli.commands import (
    run_additives,
    run_batch,
    run_blend,
    run_choices,
    run_compare,
    run_completion,
    run_designs,
    run_explain,
    run_fats,
    run_feasible,
    run_label,
    run_measures,
    run_new,
    run_reach,
    run_resize,
    run_schema,
    run_sweep,
    run_tradeoff,
    run_trial,
    run_weigh,
)
from optimiser.cli.exits import BAD, FOUND, INTERRUPTED
from optimiser.cli.in_hand_options import add_compare, add_day, add_label, add_resize, add_units, add_weigh
from optimiser.cli.page import add_page, run_page
from optimiser.cli.plans import run_plan
from optimiser.cli.record_options import add_actions as add_record_actions
from optimiser.cli.sheets import add_sheet, run_sheet
from optimiser.cli.showing import complain, confess
from optimiser.cli.streams import say
from optimiser.cli.swaps import run_swap
from optimiser.cli.sweep_options import add_sweep
from optimiser.cli.trial_options import add_actions
from optimiser.cli.usage import Parser
from optimiser.text.diagnostics import BadInput
from optimiser.text.opening import refused

SHELLS = ("bash", "zsh", "fish")
EXAMPLES = """examples:
  barwright new workshop                       lay out goals/ and inventory/
  barwright blend goals/everyday.yaml          the cheapest blend, or why none
  barwright choices goals/everyday.yaml        a few that cost hardly more
  barwright tradeoff GOALS --of hardness       what a point more costs
  barwright blend GOALS --near recipe.yaml     a recipe, changed a little
  barwright swap recipe.yaml --out "palm oil"  what to use instead
  barwright plan plan.yaml                     several bars over one shelf
  barwright resize recipe.yaml --to "24 bars of 110 g"
  barwright compare recipe.yaml other.yaml     bars side by side
  barwright weigh recipe.yaml                  alkali, water, measures
  barwright sheet GOALS -o sheet.html          a sheet for the bench, to print
  barwright sweep goals/*.yaml --prices FILE   what a price shock does
  barwright explain unknown-fat                what a fault's code means
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


def add_blend(blend: argparse.ArgumentParser) -> None:
    """What 'blend' alone takes."""
    blend.add_argument("--save", metavar="FILE", type=Path, help="also write the recipe, rounded for the balance")
    blend.add_argument("--watch", action="store_true", help="answer anew whenever the goals or the shelf are saved")
    blend.add_argument("--steps", action="store_true", help="tell the making steps too")
    blend.add_argument("--lp", metavar="FILE", type=Path, help="also write the programme for other solvers (LP format)")
    blend.add_argument("--force", action="store_true", help="let --save and --lp write over a file")
    blend.add_argument("--buy", choices=("none", "packs", "any"), help="what may be bought, whatever the goals say")
    add_units(blend)


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

    def command(name: str, run: Callable[[argparse.Namespace], int], help_text: str) -> Parser:
        made = commands.add_parser(name, help=help_text, description=help_text)
        made.set_defaults(run=run)
        return made

    blend = command("blend", run_blend, "the cheapest blend that meets the goals, or why there is none")
    add_goals(blend)
    add_blend(blend)
    feasible = command("feasible", run_feasible, "only whether there is a blend, and if not, which goals clash")
    add_goals(feasible)
    add_goals(command("reach", run_reach, "for each figure, the room that the other goals leave"))
    add_curve(
        command("tradeoff", run_tradeoff, "what a limit costs, over all that it could be: a curve with its breakpoints")
    )
    add_choices(
        command("choices", run_choices, "a few blends nearly as cheap as the cheapest, as different as can be"),
    )
    for name, run, words, options in (
        ("weigh", run_weigh, "a recipe in hand: alkali, water, measures, cost", add_weigh),
        ("resize", run_resize, "the same recipe for another batch, its alkali worked out again", add_resize),
        ("compare", run_compare, "two to five recipes or goal files side by side", add_compare),
        ("label", run_label, "lists of ingredients by INCI, allergens of scents, net weight", add_label),
        ("sheet", run_sheet, "a making sheet for the bench, of a goal file or a recipe: one page to print", add_sheet),
    ):
        made = command(name, run, words)
        options(made)
        if name != "compare":
            add_full(made)
        add_output(made)
    add_several(command)
    add_sweep(command("sweep", run_sweep, "bars over thousands of price scenarios"), add_full, add_output)
    fats = command("fats", run_fats, "the fats of the reference table, or one of them with its sources")
    fats.add_argument("name", metavar="NAME", nargs="?", help="a fat, by any of its names")
    add_output(fats)
    added = command(
        "additives", run_additives, "the additives and what stands for water, or one of them with its sources"
    )
    added.add_argument("name", metavar="NAME", nargs="?", help="an additive or a liquid, by any of its names")
    add_output(added)
    designed = command("designs", run_designs, "what each design asks of the batter, and whom a bar may be for")
    designed.add_argument("name", metavar="NAME", nargs="?", help="a design or a user, by any of its names")
    add_output(designed)
    measured = command("measures", run_measures, "the measures of a bar, what may be a goal, and the house practice")
    measured.add_argument("name", metavar="NAME", nargs="?", help="a measure or figure")
    add_output(measured)
    explained = command("explain", run_explain, "what the code at the end of a fault or warning means, and what to do")
    explained.add_argument(
        "code",
        metavar="CODE",
        nargs="*",
        help="as in unknown-fat; all of them without it; lye for handling alkali and first aid",
    )
    add_output(explained)
    add_actions(command("trial", run_trial, "what happened at the bench, and your own scales from it"), add_output)
    add_record_actions(command("batch", run_batch, "what was made, from which lots; which bars hold a lot"), add_output)
    add_beside(command)
    return parser


def add_beside(command: Callable[[str, Callable[[argparse.Namespace], int], str], Parser]) -> None:
    """What is no answer in the terminal: the page, and what goes with the files."""
    add_page(command("page", run_page, "a local page in the browser, where goals are dragged and the room is seen"))
    schema = command("schema", run_schema, "JSON Schema of the files, for editors")
    kinds = ("goals", "shelf", "recipe", "designs", "plan", "prices")
    schema.add_argument("kind", choices=kinds, nargs="?", default="goals")
    schema.add_argument("--shelf", metavar="PATH", type=Path, help="let the schema know this shelf's own fats too")
    add_shell(command("completion", run_completion, "what lets a shell complete commands, options and paths"))
    new = command("new", run_new, "a folder to start from: goals, a shelf, editor settings")
    new.add_argument("folder", metavar="FOLDER", type=Path)


def add_shell(parser: argparse.ArgumentParser) -> None:
    """Which shell."""
    parser.add_argument(
        "shell", metavar="SHELL", choices=SHELLS, help="bash, zsh or fish; the README says where to put it"
    )


def add_goals(parser: argparse.ArgumentParser) -> None:
    """What every command on a goal file takes."""
    add_full(parser)
    parser.add_argument("goals", metavar="GOALS", type=Path, help="the goal file (YAML)")
    parser.add_argument("--shelf", metavar="PATH", type=Path, help="use this shelf in place of the file's")
    parser.add_argument("--near", metavar="RECIPE", type=Path, help="stay as near as can be to this recipe in hand")
    add_day(parser)
    add_output(parser)


def add_choices(parser: Parser) -> None:
    """What `choices` takes."""
    parser.joined = ("--within",)
    add_goals(parser)
    parser.add_argument(
        "--within", metavar="FIGURE", default="5 %", help="how much dearer: 5%%, or 0.30 / kg (lb, bar)"
    )
    parser.add_argument("--count", metavar="N", type=int, default=4, help="how many, the cheapest among them (2 to 6)")
    parser.add_argument("--save", metavar=("N", "FILE"), nargs=2, help="also write the recipe of one of them")
    parser.add_argument("--force", action="store_true", help="let --save write over a file")
    add_units(parser)


def add_curve(parser: argparse.ArgumentParser) -> None:
    """What a curve is asked of."""
    sides = ("at_least", "at_most")
    add_goals(parser)
    parser.add_argument("--of", metavar="KEY", required=True, help="what the limit is on: hardness, superfat, palm oil")
    parser.add_argument("--side", choices=sides, help="which side, where the file has none of it or both")
    parser.add_argument("--from", dest="start", metavar="X", help="the first limit")
    parser.add_argument("--to", dest="stop", metavar="Y", help="the last limit")
    parser.add_argument("--and", dest="also", metavar="KEY", help="a second limit: the costs of both as a grid")
    parser.add_argument("--and-side", dest="also_side", choices=sides, help="which side of the second")
    parser.add_argument("--svg", metavar="FILE", type=Path, help="also write the chart (SVG)")
    parser.add_argument("--force", action="store_true", help="let --svg write over a file")


def add_several(command: Callable[[str, Callable[[argparse.Namespace], int], str], Parser]) -> None:
    """The commands that ask for several answers: a plan, and what to use in place of a fat."""
    add_plan(command("plan", run_plan, "several bars over one shelf: what to make from what, what to buy"))
    add_swap(command("swap", run_swap, "what to use in place of fats that ran out of a recipe"))


def add_plan(planning: argparse.ArgumentParser) -> None:
    """What `plan` takes."""
    planning.add_argument("plan", metavar="PLAN", type=Path, help="the plan file (YAML)")
    planning.add_argument("--shelf", metavar="PATH", type=Path, help="use this shelf in place of the plan's")
    add_day(planning)
    planning.add_argument("--steps", action="store_true", help="tell the making steps of each bar too")
    planning.add_argument(
        "--save", metavar="FOLDER", type=Path, help="also write a recipe for each bar into this folder"
    )
    planning.add_argument("--force", action="store_true", help="let --save write over files")
    add_full(planning)
    add_output(planning)
    add_units(planning)


def add_swap(swapping: argparse.ArgumentParser) -> None:
    """What `swap` takes."""
    swapping.add_argument("recipe", metavar="RECIPE", type=Path, help="the recipe file (YAML)")
    swapping.add_argument(
        "--out",
        metavar="FAT",
        nargs="+",
        action="extend",
        required=True,
        help="what ran out, a name of two words in quotes",
    )
    swapping.add_argument(
        "--keep", metavar="FAT", nargs="+", action="extend", default=[], help="what stays at its share"
    )
    swapping.add_argument(
        "--against", metavar="GOALS", type=Path, help="goals for the cheapest, not the old bar's figures"
    )
    swapping.add_argument("--save", metavar=("N", "FILE"), nargs=2, help="also write answer N as a recipe file")
    swapping.add_argument("--force", action="store_true", help="let --save write over a file")
    add_full(swapping)
    add_output(swapping)
    swapping.add_argument("--shelf", metavar="PATH", type=Path, help="what there is; else the nearest inventory")
    add_units(swapping)


def add_full(parser: argparse.ArgumentParser) -> None:
    """How much to tell."""
    parser.add_argument("--full", action="store_true", help="tell all that there is to tell")


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
