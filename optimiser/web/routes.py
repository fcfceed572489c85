"""The routes of the page: each reads what was asked, hands it on, and sends the answer."""

from __future__ import annotations

import asyncio
import json
import secrets
from collections import OrderedDict
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from optimiser.files.goal_edits import edited
from optimiser.report.json.page import faults, words
from optimiser.text.diagnostics import BadInput
from optimiser.text.edits import CannotEdit
from optimiser.text.held import holding
from optimiser.web.bench import Benches, GaveWay
from optimiser.web.crew import Crew, Overtaken
from optimiser.web.desk import Clash, Desk, Refused
from optimiser.web.guard import Keys
from optimiser.web.jobs import packed

STATIC = Path(__file__).parent / "static"
FILES = {
    "/": ("page.html", "text/html; charset=utf-8"),
    "/page.css": ("page.css", "text/css; charset=utf-8"),
    "/page.js": ("page.js", "text/javascript; charset=utf-8"),
    "/scales.js": ("scales.js", "text/javascript; charset=utf-8"),
    "/blend.js": ("blend.js", "text/javascript; charset=utf-8"),
    "/whys.js": ("whys.js", "text/javascript; charset=utf-8"),
    "/orders.js": ("orders.js", "text/javascript; charset=utf-8"),
    "/parts.js": ("parts.js", "text/javascript; charset=utf-8"),
    "/mark.svg": ("mark.svg", "image/svg+xml"),
}
WINDOW = "x-barwright-window"
MOST_LEAVES = 8
WAY = 0.01  # seconds until room that gave way to a move is asked again
LEAF_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; sandbox allow-modals"

Answer = Callable[[Request], Awaitable[Response]]


class Routes:
    """What is asked for, and what answers it."""

    def __init__(self, desk: Desk, keys: Keys) -> None:
        self.desk = desk
        self.keys = keys
        self.crew = Crew()
        self.benches = Benches()
        self.leaves: OrderedDict[str, str] = OrderedDict()

    def served(self) -> Starlette:
        """All routes."""
        posts: dict[str, Answer] = {
            "begin": self.begin,
            "window": self.window,
            "edit": self.edit,
            "drag": self.drag,
            "save": self.save,
            "look": self.look,
            "text": self.text,
            "words": self.words,
            "sheet": self.sheet,
            **{kind: partial(self.work, kind) for kind in ("answer", "rooms", "compare", "swap", "recipe")},
        }
        pages = [Route(path, partial(_file, *told), methods=["GET"]) for path, told in FILES.items()]
        calls = [Route(f"/api/{name}", _told(answer), methods=["POST"]) for name, answer in posts.items()]
        pages.append(Route("/sheet/{leaf}", self.leaf, methods=["GET"]))
        return Starlette(routes=[*pages, *calls], lifespan=self._lifespan)

    @asynccontextmanager
    async def _lifespan(self, _: Starlette) -> AsyncIterator[None]:
        self.crew.begin()
        try:
            yield
        finally:
            await self.crew.end()

    async def begin(self, request: Request) -> Response:
        """The token for a one-time token, and with it the text to begin from; for a token that fits already the same.

        A file that cannot be read lets in all the same: its faults are told, and it is read again when the page is loaded again.
        """
        asked = await _body(request)
        token = self.keys.begin(str(asked.get("once", "")))
        if token is None and not self.keys.fits(str(asked.get("token", "")).encode("utf-8", "surrogatepass")):
            return Response("this address was used already: ask for another in the window that is open", 401)
        desk = self.desk
        told = {"file": desk.goal_file.name, "is_new": desk.is_new, "workspace": desk.workspace.name}
        try:
            return JSONResponse({"token": token, **told, **await asyncio.to_thread(desk.start)})
        except BadInput as bad:
            return JSONResponse({"token": token, **told, **faults(bad.diagnostics)}, 422)

    async def window(self, request: Request) -> Response:
        """A one-time token for another window."""
        await _body(request)
        return JSONResponse({"once": self.keys.once()})

    async def edit(self, request: Request) -> Response:
        """The text with some changes made."""
        asked = await _body(request)
        return JSONResponse({"text": await asyncio.to_thread(self._edited, asked)})

    def _edited(self, asked: dict[str, Any]) -> str:
        from optimiser.files.goals import read_goals

        text = _holdable(str(asked.get("text", "")))
        edits = asked.get("edits")
        if not isinstance(edits, list) or not all(isinstance(one, dict) for one in edits):
            raise Refused("no changes were told")
        for one in edits:
            with holding(self.desk.held({**asked, "text": text})):
                try:
                    sheet = read_goals(self.desk.goal_file)
                except BadInput:
                    sheet = None
            try:
                text = edited(text, sheet, one)
            except CannotEdit:
                raise
            except (ValueError, OverflowError):
                raise Refused("that is no change that can be made") from None
        return _holdable(text)

    async def drag(self, request: Request) -> Response:
        """The blend with a limit at a figure, or the room beside it."""
        asked = await _body(request)
        window, held = _window(request), self.desk.held(asked)
        number = self.benches.announce(window, is_move=not asked.get("rooms"))
        while True:
            try:
                told = await asyncio.to_thread(self.benches.moved, window, number, self.desk.goal_file, held, asked)
                return Response(told, media_type="application/json")
            except GaveWay:
                await asyncio.sleep(WAY)

    async def work(self, kind: str, request: Request) -> Response:
        """What takes longer: done by another process, and ended where a later request of the window takes its place."""
        asked = await _body(request)
        more = {name: asked[name] for name in ("out", "other") if isinstance(asked.get(name), str)}
        if kind == "swap" and "out" not in more:
            raise Refused("no fat was told")
        if kind == "compare" and "other" not in more:
            raise Refused("no other text was told")
        job = packed(kind, self.desk.goal_file, self.desk.held(asked), more)
        return Response(await self.crew.ask(_window(request), job), media_type="application/json")

    async def sheet(self, request: Request) -> Response:
        """The making sheet of the blend, laid out under an address that nobody can guess."""
        asked = await _body(request)
        job = packed("sheet", self.desk.goal_file, self.desk.held(asked), {})
        told = json.loads(await self.crew.ask(_window(request), job))
        if "html" not in told:
            return JSONResponse(told, 422)
        leaf = secrets.token_urlsafe(24)
        self.leaves[leaf] = told["html"]
        while len(self.leaves) > MOST_LEAVES:
            self.leaves.popitem(last=False)
        return JSONResponse({"address": f"/sheet/{leaf}"})

    async def leaf(self, request: Request) -> Response:
        """A making sheet that was laid out: a page of its own, without script, with its style inside."""
        html = self.leaves.get(request.path_params["leaf"])
        if html is None:
            return Response("this sheet is not kept any more: ask for it again on the page", 404)
        return Response(html, media_type="text/html", headers={"content-security-policy": LEAF_POLICY})

    async def save(self, request: Request) -> Response:
        """Write the text."""
        return JSONResponse(await asyncio.to_thread(self.desk.save, await _body(request)))

    async def look(self, request: Request) -> Response:
        """What lies on the disk."""
        asked = await _body(request)
        return JSONResponse(await asyncio.to_thread(self.desk.look, asked.get("name")))

    async def text(self, request: Request) -> Response:
        """The file as it is on the disk."""
        asked = await _body(request)
        return JSONResponse(await asyncio.to_thread(self.desk.text, asked.get("name")))

    async def words(self, request: Request) -> Response:
        """What a goal file may name."""
        from optimiser.answers.page_words import words as found

        await _body(request)
        return JSONResponse(words(await asyncio.to_thread(found, self.desk.goal_file, self.desk.workspace)))


async def _file(name: str, kind: str, _: Request) -> Response:
    return FileResponse(STATIC / name, media_type=kind)


async def _body(request: Request) -> dict[str, Any]:
    try:
        asked = json.loads(await request.body())
    except (ValueError, RecursionError):
        raise Refused("that is no JSON") from None
    if not isinstance(asked, dict):
        raise Refused("that is no JSON object")
    return asked


def _holdable(text: str) -> str:
    """A text that a file can hold.

    Raises:
        Refused: a sign in it stands for none (half of a pair).
    """
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        raise Refused("the text holds half of a sign, which no file can hold")
    return text


def _window(request: Request) -> str:
    return request.headers.get(WINDOW, "")[:40]


def _told(answer: Answer) -> Answer:
    """An answer whose refusals are told in the same form."""

    async def told(request: Request) -> Response:
        try:
            return await answer(request)
        except BadInput as bad:
            return JSONResponse(faults(bad.diagnostics), 422)
        except Clash as clash:
            return JSONResponse({"status": "changed", "stamp": clash.stamp, "text": clash.text}, 409)
        except Overtaken:
            return JSONResponse({"status": "overtaken"}, 409)
        except (CannotEdit, Refused, RuntimeError) as fault:
            return refused(fault)
        except Exception as fault:  # noqa: BLE001  the last net: whoever asked is told in words
            return refused(RuntimeError(f"{type(fault).__name__}: {fault}"))

    return told


def refused(fault: Exception) -> Response:
    """What cannot be done, in words; a fault of the solver, or work that ended, is told as ours, and the page goes on."""
    if isinstance(fault, RuntimeError):
        return JSONResponse({"status": "refused", "why": f"a fault of the program: {fault}"}, 500)
    return JSONResponse({"status": "refused", "why": str(fault)}, 422 if isinstance(fault, CannotEdit) else 400)
