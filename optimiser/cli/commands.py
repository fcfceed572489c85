"""What each command does: read, answer, show."""

from __future__ import annotations

import argparse
from pathlib import Path

from optimiser.cli import streams
from optimiser.cli.exits import FOUND, NONE
from optimiser.cli.in_hand_options import day_asked, units_asked
from optimiser.cli.showing import complain, how, remark, show, show_no_blend, told, warn
from optimiser.cli.streams import say, tell
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.opening import refused
from optimiser.text.signs import for_shell

# -- commands ------------------------------------------------------------------------------------------------------


def run_blend(asked: argparse.Namespace) -> int:
    """The main job, once or at every save."""
    for option in ("save", "lp"):
        if asked.watch and getattr(asked, option) is not None:
            help_text = f"leave out --{option}, or --watch"
            raise BadInput([Diagnostic(Code.USAGE, "--watch answers on the screen only", help_text)])
    return run_watch(asked) if asked.watch else run_once(asked)


def run_watch(asked: argparse.Namespace) -> int:
    """The main job at every save; a half-written file is told and waited out."""
    from optimiser.cli.watch import place, watch

    here = place(asked.goals, asked.shelf, asked.near)

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
    from optimiser.answers.asked import read_question
    from optimiser.answers.blend import answered
    from optimiser.answers.results import NoBlend
    from optimiser.cli.kept_files import refuse, written

    refuse(asked)
    units, day = units_asked(asked.units), day_asked(asked.on)
    question = read_question(asked.goals, asked.shelf, asked.near, units=units, on=day)
    if asked.buy is not None:
        question = question.buying(asked.buy)
    found = answered(question)
    text = told(asked, "no_blend" if isinstance(found.story, NoBlend) else "blend", found.story)
    for path in written(asked, found):
        tell("Written: {path}", path=path)
    say(text)
    remark(found.story)
    return NONE if isinstance(found.story, NoBlend) else FOUND


def run_feasible(asked: argparse.Namespace) -> int:
    """Whether, and if not why not."""
    from optimiser.answers.blend import feasibility
    from optimiser.answers.results import NoBlend

    found = feasibility(asked.goals, asked.shelf, asked.near, on=day_asked(asked.on))
    if isinstance(found, NoBlend):
        show_no_blend(found, asked)
        return NONE
    if asked.json:
        say(told(asked, "feasible", found))
    else:
        if found.far_off:
            say(told(asked, "unmet", found))
        say(
            "There is a blend that meets these goals.\nNext: barwright blend {goals}\n",
            goals=for_shell(str(asked.goals)),
        )
    remark(found)
    return FOUND


def run_reach(asked: argparse.Namespace) -> int:
    """How far every figure could go."""
    from optimiser.answers.reach import reach
    from optimiser.answers.results import NoBlend

    found = reach(asked.goals, asked.shelf, asked.near, on=day_asked(asked.on))
    if isinstance(found, NoBlend):
        show_no_blend(found, asked)
        return NONE
    show(asked, "reach", found)
    return FOUND


def run_choices(asked: argparse.Namespace) -> int:
    """A few blends nearly as cheap as the cheapest, as different as can be; nothing is written before the answer stands."""
    from optimiser.answers.asked import read_question
    from optimiser.answers.choices import chosen
    from optimiser.answers.results import NoBlend
    from optimiser.cli.kept_choice import kept, wanted
    from optimiser.files.within import read_within

    within = read_within(asked.within)
    number = wanted(asked)
    found = chosen(
        read_question(asked.goals, asked.shelf, asked.near, units=units_asked(asked.units), on=day_asked(asked.on)),
        within,
        asked.count,
    )
    if isinstance(found, NoBlend):
        show_no_blend(found, asked)
        return NONE
    text = told(asked, "choices", found)
    if number is not None:
        tell("Written: {path}", path=kept(asked, found, number))
    say(text)
    remark(found)
    return FOUND


def run_tradeoff(asked: argparse.Namespace) -> int:
    """What a limit costs, or two of them."""
    from optimiser.cli.tradeoff import run

    return run(asked)


def run_sweep(asked: argparse.Namespace) -> int:
    """Bars over price scenarios."""
    from optimiser.cli.sweep import run

    return run(asked)


def run_weigh(asked: argparse.Namespace) -> int:
    """Judge a recipe in hand."""
    from optimiser.answers.weigh import weigh

    units = units_asked(asked.units)
    found = weigh(asked.recipe, shelf_file=asked.shelf, goal_file=asked.against, units=units, on=day_asked(asked.on))
    show(asked, "weighed", found)
    return NONE if found.meets_goals is False or found.is_unfit else FOUND


def run_resize(asked: argparse.Namespace) -> int:
    """The same recipe for another batch; nothing is written before the answer stands."""
    from optimiser.answers.resize import resize
    from optimiser.cli.kept_files import keep, refuse_target
    from optimiser.report.recipe_yaml import kept_resized, kept_yaml

    refuse_target(asked.save, (asked.recipe, asked.shelf), force=asked.force)
    found = resize(asked.recipe, asked.to, shelf_file=asked.shelf, units=units_asked(asked.units))
    text = told(asked, "resized", found)
    if asked.save is not None:
        keep(asked.save, kept_yaml(kept_resized(found), asked.save), (asked.recipe, asked.shelf), force=asked.force)
    say(text)
    remark(found.story)
    return NONE if found.story.is_unfit else FOUND


def run_compare(asked: argparse.Namespace) -> int:
    """Two to five bars side by side; a goal file without a blend says so in its column."""
    from optimiser.answers.compare import compare

    found = compare(asked.files, shelf_file=asked.shelf, units=units_asked(asked.units))
    show(asked, "compared", found)
    return FOUND


def run_label(asked: argparse.Namespace) -> int:
    """What could stand on a label of a recipe, or of the cheapest blend of a goal file."""
    from optimiser.answers.label import label
    from optimiser.answers.results import NoBlend

    found = label(asked.file, shelf_file=asked.shelf, units=units_asked(asked.units), on=day_asked(asked.on))
    if isinstance(found, NoBlend):
        show_no_blend(found, asked)
        return NONE
    show(asked, "labelled", found)
    return NONE if found.is_unfit else FOUND


def run_fats(asked: argparse.Namespace) -> int:
    """The reference table."""
    from optimiser.cli import reference

    say(reference.fats(asked.name, **how(asked)))
    return FOUND


def run_additives(asked: argparse.Namespace) -> int:
    """The additives, and what stands for water."""
    from optimiser.cli import reference

    say(reference.additives(asked.name, **how(asked)))
    return FOUND


def run_designs(asked: argparse.Namespace) -> int:
    """The designs, ours and the maker's own."""
    from optimiser.cli import reference

    say(reference.designs(asked.name, start=Path.cwd(), **how(asked)))
    return FOUND


def run_measures(asked: argparse.Namespace) -> int:
    """The measures."""
    from optimiser.cli import reference

    say(reference.measures(asked.name, **how(asked)))
    return FOUND


def run_explain(asked: argparse.Namespace) -> int:
    """What a code means."""
    from optimiser.cli.explain import explain

    say(explain(" ".join(asked.code), **how(asked)))
    return FOUND


def run_trial(asked: argparse.Namespace) -> int:
    """Trials and the maker's own scales."""
    from optimiser.cli.trials import COMMANDS

    done = COMMANDS[asked.action](asked, how(asked))
    if done.warnings:
        warn(done.warnings)
    say(done.text)
    return done.code


def run_batch(asked: argparse.Namespace) -> int:
    """The batch record; what was written into it is told before what looks odd of it."""
    from optimiser.cli.record_answers import COMMANDS

    run = COMMANDS.get(asked.action)
    if run is None:
        from optimiser.cli import records

        run = records.COMMANDS[asked.action]
    done = run(asked, how(asked))
    say(done.text)
    if done.warnings:
        streams.finish()
        warn(done.warnings)
    return done.code


def run_schema(asked: argparse.Namespace) -> int:
    """A JSON Schema."""
    import json

    from optimiser.files.schema import schema
    from optimiser.files.shelf.shelf import extras_on, names_on

    own = () if asked.shelf is None else names_on(asked.shelf)
    extras = () if asked.shelf is None else extras_on(asked.shelf)
    say(json.dumps(schema(asked.kind, own, extras), indent=1) + "\n")
    return FOUND


def run_completion(asked: argparse.Namespace) -> int:
    """What a shell needs to complete our commands."""
    from optimiser.cli.completion import completion

    say(completion(asked.shell))
    return FOUND


def run_new(asked: argparse.Namespace) -> int:
    """A workspace to start from."""
    from optimiser.cli.new import lay_out

    say(lay_out(asked.folder))
    return FOUND
