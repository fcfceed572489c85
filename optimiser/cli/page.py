"""`page`: the local page, served until Ctrl-C."""

from __future__ import annotations

import argparse
import gc
from importlib.util import find_spec
from pathlib import Path

from optimiser.cli import streams
from optimiser.cli.exits import FOUND
from optimiser.cli.streams import say
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

NEEDED = ("starlette", "uvicorn")
MOST_PORT = 65535
TOLD = """\
The page is at {address}
That address opens one window; a button on the page opens others. Ctrl-C ends it.
"""


def add_page(parser: argparse.ArgumentParser) -> None:
    """What `page` takes."""
    parser.add_argument("goals", metavar="GOALS", nargs="?", type=Path, help="the goal file; without it, a new one")
    parser.add_argument("--port", metavar="N", type=int, default=0, help="of this machine; any that is free without it")
    parser.add_argument("--no-open", action="store_true", help="only tell the address, open no browser")


def run_page(asked: argparse.Namespace) -> int:
    """Serve the page.

    Raises:
        BadInput: what serves it is not installed, or the port cannot be had.
    """
    if missing := [name for name in NEEDED if find_spec(name) is None]:
        message = f"the page needs {' and '.join(missing)}, which {'is' if len(missing) == 1 else 'are'} not installed"
        raise BadInput([Diagnostic(Code.USAGE, message, "pip install 'barwright[page]'")])
    if not 0 <= asked.port <= MOST_PORT:
        raise BadInput([Diagnostic(Code.USAGE, f"{asked.port} is no port", f"name one from 1 to {MOST_PORT}")])
    from optimiser.cli.new import starter
    from optimiser.web.desk import desk_of
    from optimiser.web.serve import serve

    gc.freeze()  # what is loaded stays, and is not looked through again
    gc.enable()  # unlike other commands this one goes on
    invented = (starter() / "inventory" / "kittiwake.yaml").read_text(encoding="utf-8")

    def tell(address: str) -> None:
        say(TOLD, address=address)
        streams.finish()

    serve(desk_of(asked.goals, invented), asked.port, tell, opens=not asked.no_open)
    return FOUND
