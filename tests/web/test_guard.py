"""Only our own page is let in: by Host with its port, by origin, by token; and every answer bars what a page might be made to do.

The attacks are those that are known of servers on the own machine: a foreign page that sends requests (CSRF), a name that leads
here (DNS rebinding), and what RFC 6454 (Origin), RFC 9110 (Host) and the Fetch Metadata headers of the W3C are for.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pages
import pytest
from asked_web import HOST, OWN, Server, Told, server_on

from optimiser.web.guard import MOST_BYTES, Keys


@pytest.fixture
def server(tmp_path: Path) -> Server:
    """A server on a workspace of its own."""
    return server_on(pages.workshop(tmp_path))


def post(server: Server, name: str, body: Any, **heads: str | None) -> Told:
    """One call."""
    found: Told = server.run(server.post(name, body, **heads))
    return found


def test_our_own_page_is_answered(server: Server) -> None:
    """With the Host, the origin and the token of the page a call is answered."""
    assert post(server, "look", {}).status == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:4444",
        "127.0.0.1",
        "127.0.0.1:4445",
        "localhost",
        "127.0.0.1:4444.evil.example",
        "",
    ],
)
def test_a_foreign_host_is_refused(server: Server, host: str) -> None:
    """A Host that is not ours with its port is refused, for the page as for its data."""
    assert post(server, "look", {}, host=host).status == 421
    got = server.run(server.ask("GET", "/", {"host": host}))
    assert got.status == 421


def test_both_names_of_this_machine_will_do(server: Server) -> None:
    """Localhost is taken as well as the number, each with its own origin and not with the other's."""
    local = HOST.replace("127.0.0.1", "localhost")
    origin = OWN.replace("127.0.0.1", "localhost")
    assert post(server, "look", {}, host=local, origin=origin).status == 200
    assert post(server, "look", {}, host=local).status == 403


@pytest.mark.parametrize("origin", ["null", "https:" + "//" + HOST, "http:" + "//evil.example", OWN + ".evil.example"])
def test_a_foreign_origin_is_refused(server: Server, origin: str) -> None:
    """A write from any other origin is refused, even with the token."""
    assert post(server, "look", {}, origin=origin).status == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site", "none"])
def test_a_request_from_another_site_is_refused(server: Server, site: str) -> None:
    """What the browser says comes from another site, or from none, is refused."""
    assert post(server, "look", {}, sec_fetch_site=site).status == 403


def test_a_write_says_where_it_comes_from(server: Server) -> None:
    """Without Origin and Sec-Fetch-Site nothing is written; one of the two will do."""
    assert post(server, "look", {}, sec_fetch_site=None, origin=None).status == 403
    assert post(server, "look", {}, sec_fetch_site=None).status == 200
    assert post(server, "look", {}, origin=None).status == 200


@pytest.mark.parametrize("token", [None, "", "x", "A" * 43])
def test_without_the_token_nothing_is_told(server: Server, token: str | None) -> None:
    """Every call but the first asks for the token."""
    for name in (
        "look",
        "text",
        "save",
        "answer",
        "rooms",
        "drag",
        "edit",
        "words",
        "window",
        "swap",
        "sheet",
        "recipe",
        "compare",
    ):
        assert post(server, name, {}, x_barwright_token=token).status == 401, name


def test_a_one_time_token_serves_once() -> None:
    """It is burnt by its use, and what was never given out is none."""
    keys = Keys()
    once = keys.once()
    token = keys.begin(once)
    assert token is not None
    assert keys.fits(token.encode())
    assert keys.begin(once) is None
    assert keys.begin("") is None
    assert not keys.fits(once.encode())
    assert keys.begin(keys.once()) == token


def test_beginning_asks_for_a_token_too(server: Server) -> None:
    """The first call is answered to a one-time token, or to the token itself after a reload, and to nothing else."""
    once = server.keys.once()
    first = post(server, "begin", {"once": once}, x_barwright_token=None)
    assert first.json["token"] == server.token
    assert "hardness" in first.json["text"]
    assert post(server, "begin", {"once": once}, x_barwright_token=None).status == 401
    assert post(server, "begin", {"token": server.token}, x_barwright_token=None).status == 200
    assert post(server, "begin", {}, x_barwright_token=None).status == 401


@pytest.mark.parametrize("name", ["origin", "sec-fetch-site", "content-type", "x-barwright-token"])
def test_what_counts_is_told_once(server: Server, name: str) -> None:
    """A header that decides stands there once: a second one, before or behind the right one, is refused."""
    heads = [(key.encode(), value.encode()) for key, value in server.heads().items()]
    scope = {"type": "http", "method": "POST", "path": "/api/look", "headers": heads}
    assert server.guard.refusal(scope) is None
    for both in ([(name.encode(), b"other"), *heads], [*heads, (name.encode(), b"other")]):
        assert server.guard.refusal({**scope, "headers": both}) is not None


def test_only_json_is_taken(server: Server) -> None:
    """What a form of another page could send without asking (text/plain, form data) is refused."""
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data", None):
        assert post(server, "look", {}, content_type=kind).status == 415


def test_too_much_is_refused(server: Server) -> None:
    """A body beyond a mebibyte is not read, whether it says so or not."""
    told = server.run(server.ask("POST", "/api/look", server.heads(content_length=str(MOST_BYTES + 1))))
    assert told.status == 413
    sent = server.run(server.ask("POST", "/api/look", server.heads(), b"x" * (MOST_BYTES + 1)))
    assert sent.status == 413


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(server: Server, method: str) -> None:
    """Nothing but reading the page and calling it; no preflight is ever granted."""
    told = server.run(server.ask(method, "/api/look", server.heads()))
    assert told.status == 405
    assert not [name for name in told.headers if name.startswith("access-control")]


def test_every_answer_carries_the_policy(server: Server) -> None:
    """The page, its script, an answer and a refusal: no inline script, nothing from elsewhere, no frame, no other referrer."""
    answers = [
        server.run(server.ask("GET", path, {"host": HOST}))
        for path in ("/", "/page.js", "/page.css", "/nothing", "/../x")
    ]
    answers += [post(server, "look", {}), post(server, "look", {}, host="evil.example")]
    for told in answers:
        policy = told.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "script-src 'self';" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert told.headers["referrer-policy"] == "same-origin"
        assert told.headers["x-content-type-options"] == "nosniff"
        assert told.headers["cache-control"] == "no-store"


def test_only_the_pages_own_files_are_served(server: Server) -> None:
    """No path leads out of what is served, however it is spelt."""
    for path in (
        "/../app.py",
        "/static/page.html",
        "/%2e%2e/app.py",
        "//etc/passwd",
        "/page.html",
        "/sheet/../page.js",
        "/sheet/x",
    ):
        assert server.run(server.ask("GET", path, {"host": HOST})).status == 404, path
