"""The actions of a command that has several, `trial add` or `batch list`; light, since every command builds them."""

from __future__ import annotations

import argparse
from collections.abc import Callable

Adds = Callable[[argparse.ArgumentParser], object]


def actions_of(
    parser: argparse.ArgumentParser, where: Adds, add_output: Adds
) -> Callable[[str, str], argparse.ArgumentParser]:
    """What adds one action after another, by its name and what it does.

    Args:
        parser: of the command.
        where: adds the option that every action has: where what it works on lies.
        add_output: adds the options that say how an answer is to look.
    """
    actions = parser.add_subparsers(dest="action", metavar="ACTION", title="actions", required=True)

    def action(name: str, text: str) -> argparse.ArgumentParser:
        made = actions.add_parser(name, help=text, description=text)
        where(made)
        add_output(made)
        return made

    return action
