"""The routes: text in, answer out; edits keep the text; moves are answered as `blend` answers; work that is overtaken ends."""

from __future__ import annotations

import asyncio
import json
import os
import signal
from asyncio.subprocess import Process
from pathlib import Path
from typing import Any

import pages
import pytest
from asked_web import HOST, Server, Told, server_on

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.cli.starter_texts import RECIPE
from optimiser.web import jobs
from optimiser.web.routes import FILES, STATIC

MOST_PAGE = 100_000
HANDLE = {"section": "goals", "key": "hardness", "side": "at_least"}


@pytest.fixture
def server(tmp_path: Path) -> Server:
    """A server on a workspace of its own."""
    return server_on(pages.workshop(tmp_path))


def text_of(server: Server) -> str:
    """The text of its goal file."""
    return server.routes.desk.goal_file.read_text(encoding="utf-8")


async def several(server: Server, *calls: tuple[str, Any]) -> list[Told]:
    """Calls one after another."""
    return [await server.post(name, body) for name, body in calls]


async def at_work(server: Server) -> Process:
    """The process that is at work, once there is one."""
    while True:
        for lane in server.routes.crew._lanes.values():
            if lane.at_work is not None:
                return lane.at_work[1]
        await asyncio.sleep(0)  # the crew tells nobody, and its next turn is all it takes


def test_a_page_is_light() -> None:
    """The page with its style and script is under 100 kB, and asks for nothing that is not served."""
    assert sum((STATIC / name).stat().st_size for name, _ in FILES.values()) < MOST_PAGE
    assert {path.name for path in STATIC.iterdir()} == {name for name, _ in FILES.values()}


def test_the_page_is_served_whole(server: Server) -> None:
    """Each of its files comes with its kind."""
    for path, (name, kind) in FILES.items():
        told = server.run(server.ask("GET", path, {"host": HOST}))
        assert told.status == 200
        assert told.body == (STATIC / name).read_bytes()
        assert told.headers["content-type"] == kind


def test_an_answer_is_the_one_of_the_terminal(server: Server) -> None:
    """The blend of the page is that of `blend`, and every measure, superfat, lye, cost and named fat is a scale with room."""
    text = text_of(server)
    page, rooms = (
        told.json for told in server.run(several(server, ("answer", {"text": text}), ("rooms", {"text": text})))
    )
    story = answer(server.routes.desk.goal_file)
    assert isinstance(story, Blend)
    assert page["status"] == "optimal"
    assert [line["fat"] for line in page["blend"]["fats"]] == [line.fat for line in story.fats]
    assert page["blend"]["cost"]["per_kg"] == pytest.approx(story.cost.per_kg, abs=1e-6)
    ids = [scale["id"] for scale in page["scales"]]
    assert {"hardness", "superfat", "lye_concentration", "cost", "coconut oil", "castor oil"} <= set(ids)
    for scale in page["scales"]:
        low, high = rooms["rooms"][scale["id"]]
        assert low - 1e-5 <= scale["now"] <= high + 1e-5, scale["id"]
    assert page["blend"]["cautions"]


def test_a_move_is_answered_as_the_file_would_be(server: Server) -> None:
    """A limit at another figure gives the blend that the file with that figure gives, to the gram."""
    text = text_of(server)
    moved, room = (
        told.json
        for told in server.run(
            several(server, ("drag", {"text": text, **HANDLE, "value": 63}), ("drag", {"text": text, "rooms": True}))
        )
    )
    written = text.replace("hardness: {at_least: 60}", "hardness: {at_least: 63}")
    assert written != text
    server.routes.desk.goal_file.write_text(written, encoding="utf-8")
    story = answer(server.routes.desk.goal_file)
    assert isinstance(story, Blend)
    assert {line["fat"]: line["to_weigh_g"] for line in moved["blend"]["fats"]} == {
        line.fat: line.to_weigh for line in story.fats
    }
    assert moved["blend"]["alkali"]["sodium_hydroxide_to_weigh_g"] == story.alkali.sodium_to_weigh
    assert moved["blend"]["cautions"]
    assert "goals.hardness.at_least" in moved["tight"]
    assert moved["now"]["hardness"] == pytest.approx(63, abs=1e-6)
    assert room["rooms"]["hardness"][0] <= 63 <= room["rooms"]["hardness"][1]


def test_a_move_too_far_has_no_blend(server: Server) -> None:
    """Beyond the room there is none, and the page is told so and nothing else."""
    told = server.run(server.post("drag", {"text": text_of(server), **HANDLE, "value": 90})).json
    assert told["status"] == "infeasible"
    assert "blend" not in told


@pytest.mark.parametrize(
    "asked",
    [
        {},
        {**HANDLE},
        {**HANDLE, "value": "much"},
        {**HANDLE, "value": 1e300},
        {**HANDLE, "section": "secrets", "value": 1},
        {**HANDLE, "key": "softness", "value": 1},
        {**HANDLE, "side": "at_most", "value": 1},
    ],
)
def test_what_is_no_limit_is_refused(server: Server, asked: dict[str, Any]) -> None:
    """A move of what the text has no limit on is refused, and is no fault of the program."""
    assert server.run(server.post("drag", {"text": text_of(server), **asked})).status == 400


def test_edits_keep_the_text(server: Server) -> None:
    """Several edits are made one after another; every other line stays to the letter."""
    text = text_of(server)
    edits = [
        {"do": "limit", **HANDLE, "value": 58.5, "unit": "index"},
        {"do": "item", "path": ["free_from"], "value": "nut"},
        {"do": "limit", "section": "shares", "key": "castor oil", "side": "at_most", "value": None},
    ]
    told = server.run(server.post("edit", {"text": text, "edits": edits})).json["text"]
    was, now = text.splitlines(), told.splitlines()
    assert len(was) == len(now)
    changed = {new.strip() for old, new in zip(was, now, strict=True) if old != new}
    assert changed == {
        "hardness: {at_least: 58.5}",
        "free_from: [palm, animal, nut]",
        "castor oil: {at_least: 3 %}",
    }


@pytest.mark.parametrize("edits", [None, "x", [3], [{"do": "magic"}], [{"do": "put"}], [{"do": "limit"}]])
def test_what_is_no_edit_is_refused(server: Server, edits: object) -> None:
    """An edit that is none is refused in words."""
    told = server.run(server.post("edit", {"text": text_of(server), "edits": edits}))
    assert told.status in (400, 422)
    assert told.json["why"]


@pytest.mark.parametrize(
    "body", [b"", b"[]", b"{", b"\xff", b'{"text": 3}', b'{"text": "x", "beside": {"../x.csv": "a"}}']
)
def test_what_is_no_request_is_refused(server: Server, body: bytes) -> None:
    """No JSON, no text, or a file under a path: refused, never a fault of the program."""
    assert server.run(server.ask("POST", "/api/answer", server.heads(), body)).status == 400


@pytest.mark.parametrize("body", [b'{"once": "\\ud800"}', b'{"token": "\\udfff"}', b'{"once": 1}'])
def test_half_a_sign_lets_nobody_in(server: Server, body: bytes) -> None:
    """A token that is no text is one that does not fit."""
    assert server.run(server.ask("POST", "/api/begin", server.heads(), body)).status == 401


@pytest.mark.parametrize(
    ("end", "edit"),
    [
        ("# \\ud800", {"do": "text", "path": ["title"], "value": "x"}),
        ("", {"do": "put", "path": ["title"], "value": "\ud800"}),
        ("", {"do": "limit", **HANDLE, "value": float("inf")}),
        ("", {"do": "limit", **HANDLE, "value": float("nan")}),
        ("", {"do": "limit", **HANDLE, "section": "zap", "value": 1}),
        ("", {"do": "limit", **HANDLE, "side": "zap", "value": 1}),
    ],
)
def test_what_no_file_can_hold_is_no_edit(server: Server, end: str, edit: dict[str, Any]) -> None:
    """Half a sign, a limit without end, a section that there is not: refused in words, no fault of the program."""
    body = json.dumps({"text": text_of(server), "edits": [edit]}).replace('", "edits"', f'{end}", "edits"').encode()
    told = server.run(server.ask("POST", "/api/edit", server.heads(), body))
    assert told.status == 400
    assert told.json["why"]


def test_what_nobody_foresaw_is_told_in_words(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault of the program in a route is an answer in words, not a traceback."""

    def broken(*_: object) -> dict[str, object]:
        raise ZeroDivisionError("of all things")

    monkeypatch.setattr("optimiser.web.desk.Desk.look", broken)
    told = server.run(server.post("look", {}))
    assert told.status == 500
    assert told.json == {"status": "refused", "why": "a fault of the program: ZeroDivisionError: of all things"}


def test_a_file_that_cannot_be_read_lets_in(server: Server) -> None:
    """A window that was opened on a file that is no text is told its fault, and its token is good once the file is mended."""
    path = server.routes.desk.goal_file
    whole = path.read_bytes()
    path.write_bytes(b"title: caf\xe9\n")
    told = server.run(server.post("begin", {"once": server.keys.once()}, x_barwright_token=None))
    assert told.status == 422
    assert told.json["faults"][0]["line"] == 1
    path.write_bytes(whole)
    again = server.run(server.post("begin", {"token": told.json["token"]}, x_barwright_token=None))
    assert again.status == 200
    assert again.json["text"].encode() == whole


def test_faults_are_told_with_their_lines(server: Server) -> None:
    """A slip is told with line, column, the line as written and what to write instead."""
    text = text_of(server).replace("at_least: 60}", "at_lest: 60}")
    told = server.run(server.post("answer", {"text": text})).json
    assert told["status"] == "bad-input"
    (fault,) = told["faults"]
    assert fault["line"] == 7
    assert fault["shown"] == "  hardness: {at_lest: 60}"
    assert fault["shown"][fault["column"] - 1 : fault["end_column"] - 1] == "at_lest"
    assert "at_least" in fault["help"]


def test_each_way_out_makes_peace(server: Server) -> None:
    """Every way out that is offered as a button gives a text that has a blend, at the cost that was told."""
    text = text_of(server).replace("hardness: {at_least: 60}", "hardness: {at_least: 80}")

    async def all_ways() -> list[tuple[float, Any]]:
        none = (await server.post("answer", {"text": text})).json
        assert none["status"] == "infeasible"
        assert none["none"]["clashes"]
        out = []
        for way in none["none"]["ways"]:
            made = (await server.post("edit", {"text": text, "edits": way["edits"]})).json["text"]
            out.append((way["cost_per_kg"], (await server.post("answer", {"text": made})).json))
        return out

    found = server.run(all_ways())
    assert found
    for cost, told in found:
        assert told["status"] == "optimal"
        assert told["blend"]["cost"]["per_kg"] <= cost * 1.02


def test_what_is_overtaken_is_ended(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    """The latest of a window wins: the one before it is told to be overtaken, its process is ended, and the next is answered."""
    monkeypatch.setattr("optimiser.web.crew.PATIENCE", 0.0)
    text = text_of(server)

    async def two() -> tuple[Told, Told, Told]:
        await server.post("answer", {"text": text})  # the process is ready
        first = asyncio.create_task(server.post("rooms", {"text": text}))
        await at_work(server)
        second = await server.post("rooms", {"text": text})
        third = await server.post("answer", {"text": text})
        return await first, second, third

    first, second, third = server.run(two())
    assert (first.status, first.json) == (409, {"status": "overtaken"})
    assert second.json["rooms"]
    assert third.json["status"] == "optimal"


def test_what_waits_and_is_overtaken_is_never_begun(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of three requests of a window the first may end, the second is told that it was overtaken, the third is answered."""
    monkeypatch.setattr("optimiser.web.crew.PATIENCE", 60.0)
    text = text_of(server)

    async def three() -> list[Told]:
        await server.post("rooms", {"text": text})
        first = asyncio.create_task(server.post("rooms", {"text": text}))
        await at_work(server)
        second = asyncio.create_task(server.post("rooms", {"text": text}))
        await asyncio.sleep(0)
        await asyncio.sleep(0)
        third = await server.post("rooms", {"text": text})
        return [await first, await second, third]

    assert [told.status for told in server.run(three())] == [200, 409, 200]


def test_two_windows_do_not_overtake_each_other(server: Server) -> None:
    """Work of two windows is done one after the other, and both are answered."""
    text = text_of(server)

    async def both() -> list[Told]:
        return await asyncio.gather(
            *(server.post("answer", {"text": text}, x_barwright_window=name) for name in ("one", "two"))
        )

    assert [told.status for told in server.run(both())] == [200, 200]


def test_a_sheet_is_a_page_of_its_own(server: Server) -> None:
    """The making sheet is laid out under an address that nobody can guess, may run no script, and asks for nothing."""

    async def laid_out() -> tuple[Told, Told]:
        where = (await server.post("sheet", {"text": text_of(server)})).json["address"]
        return await server.ask("GET", where, {"host": HOST}), await server.ask("GET", where + "x", {"host": HOST})

    sheet, other = server.run(laid_out())
    assert sheet.status == 200
    assert b"sodium hydroxide" in sheet.body.lower()
    assert "script-src" not in sheet.headers["content-security-policy"]
    assert "default-src 'none'" in sheet.headers["content-security-policy"]
    assert "sandbox" in sheet.headers["content-security-policy"]
    assert other.status == 404


def test_a_blend_is_told_as_a_recipe_and_swapped(server: Server) -> None:
    """The recipe of the blend is text that `weigh` reads; a fat of it has stand-ins; two texts stand side by side."""
    text = text_of(server)
    other = text.replace("hardness: {at_least: 60}", "hardness: {at_least: 66}")
    recipe, swapped, beside = (
        told.json
        for told in server.run(
            several(
                server,
                ("recipe", {"text": text}),
                ("swap", {"text": text, "out": "castor oil"}),
                ("compare", {"text": text, "other": other}),
            )
        )
    )
    assert "sodium hydroxide:" in recipe["text"]
    assert swapped["out"] == ["castor oil"]
    assert swapped["answers"]
    assert [bar["letter"] for bar in beside["recipes"]] == ["A", "B"]
    assert sorted(path.name for path in server.routes.desk.goal_file.parent.iterdir()) == ["palm-free-vegetable.yaml"]


def test_what_may_be_named_is_told(server: Server) -> None:
    """Designs, people, tags and figures are listed, each with what it is."""
    told = server.run(server.post("words", {})).json
    assert {"fine swirl", "salt bar"} <= {one["name"] for one in told["designs"]}
    assert all(one["about"] for one in (*told["designs"], *told["people"], *told["figures"]))
    assert {"palm", "animal", "nut"} <= set(told["tags"])


def test_work_that_ends_by_itself_is_told(server: Server) -> None:
    """Where the process that works is gone, whoever asked is told so, and the next one is answered by another."""
    text = text_of(server)

    async def two() -> tuple[Told, Told]:
        await server.post("answer", {"text": text})
        asked = asyncio.create_task(server.post("rooms", {"text": text}))
        (await at_work(server)).kill()
        return await asked, await server.post("answer", {"text": text})

    first, second = server.run(two())
    assert first.status == 500
    assert "ended by itself" in first.json["why"]
    assert second.json["status"] == "optimal"


def test_a_fault_of_the_program_is_an_answer(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    """What nobody foresaw is told in words, not as a process that dies."""
    desk = server.routes.desk
    text = text_of(server)

    def broken(*_: object) -> dict[str, object]:
        raise ZeroDivisionError("of all things")

    monkeypatch.setattr(jobs, "KINDS", {"answer": broken})
    told = json.loads(jobs.done(jobs.packed("answer", desk.goal_file, desk.held({"text": text}), {})))
    assert told["status"] == "bad-input"
    assert "a fault of the program" in told["faults"][0]["message"]


def test_a_recipe_of_the_workspace_can_be_kept_near_to(server: Server) -> None:
    """Recipes of the workspace are listed by the path that the goal file names them by; near to one, what is changed is told."""
    folder = server.routes.desk.workspace / "recipes"
    folder.mkdir()
    (folder / "house.yaml").write_text(RECIPE, encoding="utf-8")
    (folder / "notes.yaml").write_text("what: no recipe\n", encoding="utf-8")

    async def near() -> tuple[Any, Any]:
        told = (await server.post("words", {})).json["recipes"]
        edits = [{"do": "text", "path": ["near"], "value": told[0]["about"]}]
        edits += [{"do": "item out", "path": ["free_from"], "value": "palm"}]
        text = (await server.post("edit", {"text": text_of(server), "edits": edits})).json["text"]
        return told, (await server.post("answer", {"text": text})).json

    recipes, told = server.run(near())
    assert [(one["name"], one["about"]) for one in recipes] == [("house", "../recipes/house.yaml")]
    assert told["status"] == "optimal"
    assert told["written"]["near"] == "../recipes/house.yaml"
    assert told["blend"]["near"]["title"] == "Thirds"
    assert 0 < told["blend"]["near"]["moved"] < 100


def test_a_newer_text_ends_what_is_done_for_an_older(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    """Room of an older text is ended when the window asks for the answer to a newer one, although it is other work."""
    monkeypatch.setattr("optimiser.web.crew.PATIENCE", 0.0)
    text = text_of(server)

    async def two() -> tuple[Told, Told]:
        await server.post("answer", {"text": text})
        first = asyncio.create_task(server.post("rooms", {"text": text}))
        await at_work(server)
        second = await server.post("answer", {"text": f"{text}# newer\n"})
        return await first, second

    first, second = server.run(two())
    assert (first.status, first.json) == (409, {"status": "overtaken"})
    assert second.json["status"] == "optimal"


def test_no_answer_waits_behind_room(server: Server) -> None:
    """While room is worked out for one window, another window is answered, and the room is told all the same."""
    text = text_of(server)

    async def two() -> tuple[bool, Told, Told]:
        await server.post("answer", {"text": text})
        first = asyncio.create_task(server.post("rooms", {"text": text}))
        os.kill((await at_work(server)).pid, signal.SIGSTOP)  # as long as it takes
        second = await asyncio.wait_for(server.post("answer", {"text": text}, x_barwright_window="two"), 60)
        was_waiting = not first.done()
        os.kill((await at_work(server)).pid, signal.SIGCONT)
        return was_waiting, await first, second

    was_waiting, first, second = server.run(two())
    assert was_waiting
    assert second.json["status"] == "optimal"
    assert first.json["rooms"]


def test_fats_of_the_shelf_tell_where_their_figures_come_from(server: Server) -> None:
    """Each fat comes with the figures that it is reckoned with and the source of each; additives and liquids with what they do."""
    shelf = server.run(server.post("answer", {"text": text_of(server)})).json["shelf"]
    fats = {one["fat"]: one for one in shelf["fats"]}
    coconut = fats["coconut oil"]
    assert coconut["lot"] == "KW-CO-117"
    assert coconut["saponification_value"] == {
        "value": 256.4,
        "low": 254.9,
        "high": 257.9,
    }  # the certificate's, on the invented shelf
    assert {one["of"] for one in coconut["sources"]} == {"saponification value", "iodine value"}
    assert all(
        one["source"] and one["how"] in ("read", "memory", "computed")
        for fat in fats.values()
        for one in fat["sources"]
    )
    assert fats["babassu oil"]["lot"] is None
    assert [one["name"] for one in shelf["liquids"]] == ["goat milk"]
    lactate = next(one for one in shelf["additives"] if one["name"] == "sodium lactate")
    assert lactate["does"].startswith("hardener")
    assert lactate["usual_most"] == 3
