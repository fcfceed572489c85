"""The page's server asked without a network: one request handed to the app as a server would hand it, and what it answers."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Coroutine, MutableMapping
from pathlib import Path
from typing import Any, NamedTuple

from optimiser.web.desk import Desk, desk_of
from optimiser.web.guard import Guard, Keys
from optimiser.web.routes import Routes

PORT = 4444
HOST = f"127.0.0.1:{PORT}"
OWN = "http:" + "//" + HOST


class Told(NamedTuple):
    """An answer: its status, its headers and its body."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def json(self) -> Any:
        """The body as JSON."""
        return json.loads(self.body)


class Server:
    """An app on a desk, with its keys and routes in the hand."""

    def __init__(self, desk: Desk) -> None:
        self.keys = Keys()
        self.routes = Routes(desk, self.keys)
        self.guard = Guard(self.routes.served(), PORT, self.keys)
        token = self.keys.begin(self.keys.once())
        assert token is not None
        self.token = token

    def heads(self, **more: str | None) -> dict[str, str]:
        """Headers as our page sends them; those that are None are left out."""
        usual: dict[str, str | None] = {
            "host": HOST,
            "origin": OWN,
            "sec-fetch-site": "same-origin",
            "content-type": "application/json",
            "x-barwright-token": self.token,
            "x-barwright-window": "one",
        }
        given = {**usual, **{name.replace("_", "-"): value for name, value in more.items()}}
        return {name: value for name, value in given.items() if value is not None}

    async def ask(self, method: str, path: str, heads: dict[str, str], body: bytes = b"") -> Told:
        """One request."""
        sent: list[MutableMapping[str, Any]] = []
        waiting = [{"type": "http.request", "body": body, "more_body": False}]

        async def receive() -> MutableMapping[str, Any]:
            if waiting:
                return waiting.pop()
            await asyncio.sleep(3600)
            return {"type": "http.disconnect"}

        async def send(message: MutableMapping[str, Any]) -> None:
            sent.append(message)

        scope = {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": method,
            "path": path,
            "raw_path": path.encode(),
            "query_string": b"",
            "root_path": "",
            "scheme": "http",
            "headers": [(name.encode(), value.encode()) for name, value in heads.items()],
            "server": ("127.0.0.1", PORT),
            "client": ("127.0.0.1", 1),
        }
        await self.guard(scope, receive, send)
        headers = {name.decode(): value.decode() for name, value in sent[0]["headers"]}
        return Told(sent[0]["status"], headers, b"".join(one.get("body", b"") for one in sent[1:]))

    async def post(self, name: str, body: Any, **heads: str | None) -> Told:
        """A call of our page's."""
        return await self.ask("POST", f"/api/{name}", self.heads(**heads), json.dumps(body).encode())

    def run(self, asking: Coroutine[Any, Any, Any]) -> Any:
        """Ask, and end what was begun for it."""

        async def all_of_it() -> Any:
            try:
                return await asking
            finally:
                await self.routes.crew.end()

        return asyncio.run(all_of_it())


def server_on(goal_file: Path | None) -> Server:
    """A server on a goal file."""
    return Server(desk_of(goal_file, ""))
