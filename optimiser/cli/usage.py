"""What was typed that no command understands, in words that keep to the width."""

from __future__ import annotations

import argparse
import re
import shutil
import sys
from typing import Any, NoReturn

from optimiser.cli.streams import say

_CHOICE = re.compile(r"argument ([^:]+): invalid choice: (['\"])(.*)\2 \(choose from (.*)\)", re.DOTALL)
LEAST_WIDTH = 40  # narrower, and figures would part from their units
_MOST_WIDTH = 120


class Parser(argparse.ArgumentParser):
    """A parser that offers the nearest word for one it does not know; its sub-parsers do so too.

    `joined` are the options whose figure may be typed with blanks: --within 5 %, --within 0.30 / kg.
    """

    joined: tuple[str, ...] = ()

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """The same with such figures put together."""
        return super().parse_known_args(args if args is None else together(list(args), self.joined), namespace)

    def _print_message(self, message: str, file: Any = None) -> None:
        """Write help as every answer is written; argparse would pass over a full disk."""
        if file is sys.stdout:
            say(message)
        else:
            super()._print_message(message, file)

    def error(self, message: str) -> NoReturn:
        """Say on stderr what is wrong, and stop with exit code 2."""
        self.print_usage(sys.stderr)
        self.exit(2, in_words(self.prog, message, width()))


def together(arguments: list[str], options: tuple[str, ...]) -> list[str]:
    """What was typed, with the parts of a figure after one of the options as one argument.

    >>> together(["--within", "0.30", "/", "kg", "a.yaml"], ("--within",))
    ['--within', '0.30 / kg', 'a.yaml']
    """
    out: list[str] = []
    place = 0
    while place < len(arguments):
        out.append(arguments[place])
        place += 1
        if out[-1] not in options or place == len(arguments):
            continue
        figure = [arguments[place]]
        place += 1
        while place < len(arguments) and goes_on(figure, arguments[place]):
            figure.append(arguments[place])
            place += 1
        out.append(" ".join(figure))
    return out


def goes_on(figure: list[str], word: str) -> bool:
    """Whether a word belongs to the figure before it: its sign, or what it is by; a path does not."""
    is_told = "%" in figure[-1] or "/" in "".join(figure)
    return figure[-1] == "/" or (not is_told and (word in ("%", "/") or (word[:1] == "/" and word[1:].isalpha())))


def in_words(program: str, message: str, columns: int) -> str:
    """What argparse says of a word that it does not know, shorter and with the nearest known one.

    Args:
        program: what was run, for the head of the message.
        message: argparse's own words.
        columns: how wide the lines may be.
    """
    from optimiser.text.names import listed, nearest, shown
    from optimiser.text.signs import visible

    message = visible(message)  # it holds what was typed
    found = _CHOICE.fullmatch(message)
    if found is None:
        return _wrapped(f"{program}: {message}", columns)
    argument, _, word, rest = found.groups()
    choices = re.findall(r"[\w-]+", rest)
    near = nearest(word, choices)
    offered = f"; did you mean {listed(near)}?" if near else ""
    said = f"there is no {argument.lower()} {shown(word)}" if argument.isupper() else f"{argument}: {shown(word)}"
    lines = _wrapped(f"{program}: {said}{offered}", columns)
    return lines if near else lines + _wrapped(f"known: {', '.join(choices)}", columns)


def width() -> int:
    """Columns to write for: the terminal's, within what reads well."""
    return max(LEAST_WIDTH, min(_MOST_WIDTH, shutil.get_terminal_size((80, 24)).columns))


def _wrapped(text: str, columns: int) -> str:
    from optimiser.text.signs import wrapped

    return "\n".join(wrapped(text, columns, "  ")) + "\n"
