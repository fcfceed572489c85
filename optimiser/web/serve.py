"""The server: this machine alone, one port, ended by Ctrl-C at once."""

from __future__ import annotations

import os
import signal
import socket
import tempfile
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from html import escape
from pathlib import Path

import uvicorn

from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.opening import reason
from optimiser.web.desk import Desk
from optimiser.web.guard import Guard, Keys, origin_of
from optimiser.web.routes import Routes

HOST = "127.0.0.1"
BACKLOG = 64
GRACE = 1  # seconds that answers under way have when the program is ended


def bound(port: int) -> socket.socket:
    """A socket on this machine alone; port 0 takes any that is free.

    Raises:
        BadInput: the port is taken, or may not be had.
    """
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)  # told so, asyncio sends at once
    if os.name == "posix":  # elsewhere it would share a port in use
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((HOST, port))
    except OSError as error:
        made.close()
        message = f"port {port} of this machine cannot be had: {reason(error)}"
        raise BadInput([Diagnostic(Code.USAGE, message, "name another one, or leave --port out")]) from None
    made.listen(BACKLOG)  # whoever comes before the program is ready waits
    return made


class Server(uvicorn.Server):
    """A server that lets go of the work in hand when it is ended, so that no answer is waited for."""

    def __init__(self, config: uvicorn.Config, let_go: Callable[[], None]) -> None:
        super().__init__(config)
        self._let_go = let_go

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End it."""
        self._let_go()
        await super().shutdown(sockets)


def serve(desk: Desk, port: int, tell: Callable[[str], None], *, opens: bool) -> None:
    """Serve the page until it is interrupted.

    Args:
        desk: what lies on it.
        port: where; 0 for any.
        tell: told the address, with a token that serves once.
        opens: whether to open it in a browser. The token goes there by a file that nobody else can read, since what a
            program is started with can be read by all.

    Raises:
        BadInput: the port cannot be had.
    """
    with bound(port) as listening:
        number = listening.getsockname()[1]
        keys = Keys()
        address = f"{origin_of(f'{HOST}:{number}'.encode()).decode()}/#"
        tell(f"{address}{keys.once()}")
        before = signal.signal(signal.SIGINT, signal.default_int_handler)  # so that what was begun is ended, too
        leaf = _opened(f"{address}{keys.once()}") if opens else None
        routes = Routes(desk, keys)
        config = uvicorn.Config(
            Guard(routes.served(), number, keys),
            log_level="error",
            access_log=False,
            server_header=False,
            date_header=False,
            timeout_graceful_shutdown=GRACE,
            limit_concurrency=64,
            ws="none",
        )
        try:
            Server(config, routes.crew.stop).run(sockets=[listening])
        except KeyboardInterrupt:
            pass
        finally:
            signal.signal(signal.SIGINT, before)
            if leaf is not None:
                leaf.unlink(missing_ok=True)


def _opened(address: str) -> Path | None:
    """Open an address by a file that leads there."""
    number, name = tempfile.mkstemp(prefix="barwright-", suffix=".html")  # readable by its owner alone
    page = f'<!doctype html><meta http-equiv="refresh" content="0;url={escape(address)}"><title>barwright</title>'
    try:
        os.write(number, page.encode())
    finally:
        os.close(number)
    path = Path(name)
    with suppress(webbrowser.Error):
        webbrowser.open_new(path.as_uri())
    return path
