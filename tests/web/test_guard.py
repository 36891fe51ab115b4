"""Every answer carries the headers; no other name, method or site is served."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from starlette.routing import Mount
from starlette.testclient import TestClient
from tests.served_pages import BASE, PORT, served

from tankside.services.shelf import FolderShelf
from tankside.web.api.address import API
from tankside.web.app import create_app
from tankside.web.body_limit import LARGEST_FORM, LARGEST_UPLOAD
from tankside.web.entrance import Entrance
from tankside.web.guard import ANSWERED, headers_for

from .conftest import FILE, PHOTO

ENTRANCE = Entrance(PORT, "a-word-of-these-tests-alone")

CASE = f"/case/{FILE}"
PAGES = ("story", "tank", "water", "fits", "plans", "course", "forecast", "follow", "day",
         "record", "letter/all-clear", "letter/laboratory", "letter/quarantine")  # fmt: skip
ROUTES = (
    "/",
    "/emergency",
    "/emergency.pdf",
    "/static/tankside.css",
    "/static/tankside.js",
    "/static/mark.svg",
    "/static/plates/white-spot.svg",
    *(f"{CASE}/{page}" for page in PAGES),
    f"{CASE}/day/2026-03-19",
    f"{CASE}/day/2026-03-19.pdf",
    f"{CASE}/course.ics",
    "/new",
    f"{CASE}/enter",
    f"{CASE}/enter/water",
    f"{CASE}/progress/plans",
    f"{CASE}/plans/over",
    "/case/no-course.jsonl/build",  # in the other case an amount asked for was not answered
    f"{CASE}/look",
    f"{CASE}/look/scrape",
    f"{CASE}/why",
    f"{CASE}/amount",
    f"{CASE}/correct/2",
    "/claim",
    "/claim/agent.sodium_chloride.dose.prolonged",
    "/source/mifsud_rowland_2008",
    f"{CASE}/photos",
    f"{CASE}/photos/{PHOTO}",
    "/learn",
    "/learn/life-cycle",
    "/learn/practice",
    "/learn/practice/anchor-wharf",
    "/learn/what-if",
    "/learn/what-if/tried",
    "/learn/mistakes",
    "/learn/mistakes.pdf",
    *(f"{CASE}/{page}.pdf" for page in PAGES if page != "day"),
)
WRITING = (
    f"{CASE}/enter/note",
    f"{CASE}/step/A0-1/answer",
    f"{CASE}/step/A0-1/take-back",
    f"{CASE}/start",
    f"{CASE}/redate",
    f"{CASE}/correct/2",
    f"{CASE}/look/scrape",
    f"{CASE}/look/scrape/ahead",
    "/draft",
    "/draft/drop",
    f"{CASE}/photos",
    f"{CASE}/progress/plans/cancel",
    f"{CASE}/progress/plans/again",
)
OTHER_ORIGINS = (
    "",
    "null",
    "http://evil.example",
    "http://localhost:1",
    f"https://127.0.0.1:{PORT}",
    f"{BASE}.evil.example",
)
FAULTS = (
    "/nothing",
    "/static/other.js",
    "/static/plates/none.svg",
    f"{CASE}/look/none",
    f"{CASE}/progress/none",
    "/case/none.jsonl/story",
    f"{CASE}/correct/999",
    f"{CASE}/letter/none",
    f"{CASE}/start",
    f"{CASE}/amount?agent=nothing&strength=2+g/L",
    "/claim/none",
    "/claim?q=none.of.these",
    "/source/none",
    "/learn/none",
    "/learn/none.pdf",
    "/learn/practice/none",
    f"{CASE}/other",
    f"{CASE}/other.pdf",
    f"{CASE}/day.pdf",
    f"{CASE}/day/2030-01-01",
    f"{CASE}/day/31-12-2026",
    "/case/broken.jsonl/story",
    "/case/no-course.jsonl/day/2026-13-01",
    "/openapi.json",
    "/docs",
    "/start/x",
    f"{CASE}/enter/none",
    f"{CASE}/photos/1",
    f"{CASE}/photos/99999",
    f"{CASE}/photos/x",
    f"{CASE}/photos/%D9%A3",
)
HOSTILE_HOSTS = (
    "evil.example",
    f"evil.example:{PORT}",
    "0.0.0.0",
    f"0.0.0.0:{PORT}",
    f"127.0.0.1.evil.example:{PORT}",
    f"localhost.evil:{PORT}",
    f"user@127.0.0.1:{PORT}",
    f"evil@localhost:{PORT}",
    "",
    "127.0.0.1",
    "127.0.0.1:80",
    "localhost:1",
    f"[::ffff:7f00:1]:{PORT}",
    f"[::]:{PORT}",
    f"localhost.:{PORT}",
    f"127.0.0.1.:{PORT}",
    f"LOCALHOST:{PORT}",
    f"2130706433:{PORT}",
    f"0x7f000001:{PORT}",
    f"127.1:{PORT}",
    f"localhost:{PORT}\x00",
    f"localhost:{PORT} evil.example",
)


def headers_are_there(headers: Mapping[str, str], route: str = "/") -> None:
    for name, value in headers_for(route).items():
        assert headers[name] == value
    assert headers_for(f"{CASE}/story")["cache-control"] == "no-store"
    assert not [name for name in headers if name.startswith("access-control")]


@pytest.mark.parametrize("route", ROUTES)
def test_every_page_is_served_with_the_headers(client: TestClient, route: str) -> None:
    answer = client.get(route)
    assert answer.status_code == 200, answer.text[:400]
    headers_are_there(answer.headers, route)


@pytest.mark.parametrize("route", FAULTS)
def test_every_fault_is_told_with_the_headers(client: TestClient, route: str) -> None:
    answer = client.get(route)
    assert answer.status_code in (404, 409, 422)
    headers_are_there(answer.headers, route)
    assert "Traceback" not in answer.text
    assert "E-" in answer.text


def test_a_fault_of_ours_is_a_500_with_the_headers_and_no_detail(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import tankside.web.pages.cases as page

    def broken(*_: object) -> None:
        raise RuntimeError("secret detail")

    monkeypatch.setattr(page, "board_page", broken)
    answer = served(folder, raises=False).get("/")
    assert answer.status_code == 500
    headers_are_there(answer.headers, answer.url.path)
    assert "secret detail" not in answer.text
    assert "E-WEB-99" in answer.text


def test_nothing_is_mounted_but_the_interface(folder: Path) -> None:
    """Its addresses are covered from its own document (test_interface, test_interface_made_up)."""
    guarded: Any = create_app(FolderShelf(folder), ENTRANCE, "test")
    mounted = [each for each in guarded._inner._inner.routes if isinstance(each, Mount)]
    assert [each.path for each in mounted] == [API]


def test_the_route_table_is_wholly_covered(folder: Path) -> None:
    """A route added later must be added to the list above."""
    guarded: Any = create_app(FolderShelf(folder), ENTRANCE, "test")
    app = guarded._inner._inner
    shapes = {
        route.path
        for included in app.routes
        if not isinstance(included, Mount)
        for route in included.original_router.routes  # no route is added but through a router
    }
    matched = {
        shape
        for shape in shapes
        for route in (*ROUTES, *WRITING, f"/start/{ENTRANCE.word}")
        if fits(shape, route)
    }
    assert shapes
    assert shapes == matched


def fits(shape: str, route: str) -> bool:
    pattern = re.sub(r"\\{\w+(:int|:path)?\\}", "[^/]+", re.escape(shape))
    return re.fullmatch(pattern, route) is not None


def call(app: Any, scope: dict[str, object]) -> int:
    """Send one raw request to the application and return the status."""
    seen: list[int] = []

    async def receive() -> dict[str, object]:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: dict[str, object]) -> None:
        if message["type"] == "http.response.start":
            seen.append(int(str(message["status"])))

    asyncio.run(app(scope, receive, send))
    return seen[0]


def scope_of(path: str, hosts: list[bytes], method: str = "GET") -> dict[str, object]:
    return {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": method,
        "path": path,
        "raw_path": path.encode(),
        "root_path": "",
        "scheme": "http",
        "query_string": b"",
        "headers": [
            *((b"host", host) for host in hosts),
            (b"cookie", f"{ENTRANCE.cookie}={ENTRANCE.word}".encode()),
        ],
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", PORT),
    }


@pytest.mark.parametrize("host", HOSTILE_HOSTS)
def test_no_other_name_is_answered_on_any_route(folder: Path, host: str) -> None:
    app = create_app(FolderShelf(folder), ENTRANCE, "test")
    raw = host.encode("latin-1")
    assert {call(app, scope_of(route, [raw])) for route in (*ROUTES, *FAULTS)} == {421}


def test_two_hosts_no_host_and_an_absolute_address_are_refused(folder: Path) -> None:
    app = create_app(FolderShelf(folder), ENTRANCE, "test")
    good = f"127.0.0.1:{PORT}".encode()
    assert call(app, scope_of("/", [good, good])) == 421
    assert call(app, scope_of("/", [])) == 421
    assert call(app, scope_of("http://evil.example/", [good])) == 421
    assert call(app, scope_of("/", [good])) == 200


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "[::1]"])
def test_the_loopback_names_are_answered(folder: Path, host: str) -> None:
    app = create_app(FolderShelf(folder), ENTRANCE, "test")
    assert call(app, scope_of("/", [f"{host}:{PORT}".encode()])) == 200


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"])
@pytest.mark.parametrize("route", ROUTES)
def test_nothing_but_reading_and_forms_is_answered(
    client: TestClient, method: str, route: str
) -> None:
    answer = client.request(method, route)
    assert answer.status_code == 405
    assert answer.headers["allow"] == ", ".join(ANSWERED)
    headers_are_there(answer.headers, answer.url.path)


@pytest.mark.parametrize("route", WRITING)
@pytest.mark.parametrize("origin", OTHER_ORIGINS)
def test_a_form_of_another_place_is_refused(
    client: TestClient, folder: Path, route: str, origin: str
) -> None:
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    sent = {"headers": {"origin": origin}, "data": {"w.text": "forged"}}
    answer = client.post(route, **sent)  # type: ignore[arg-type]
    assert (answer.status_code, "E-WEB-03" in answer.text) == (403, True)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("route", WRITING)
@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_form_that_another_site_sends_is_refused_even_when_opened_as_a_page(
    client: TestClient, route: str, site: str
) -> None:
    opened = {"sec-fetch-site": site, "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert client.post(route, headers=opened, data={"w.text": "forged"}).status_code == 403


@pytest.mark.parametrize("route", [*WRITING, *ROUTES])
def test_a_browser_that_did_not_come_in_sees_no_case(folder: Path, route: str) -> None:
    stranger = served(folder)
    stranger.cookies.clear()
    is_open = route.startswith(("/emergency", "/static/"))
    answer = stranger.post(route, data={}) if route in WRITING else stranger.get(route)
    assert answer.status_code == (200 if is_open else 403)
    assert is_open or "E-WEB-07" in answer.text
    headers_are_there(answer.headers, answer.url.path)


@pytest.mark.parametrize("word", ["", "x", ENTRANCE.word + "x", ENTRANCE.word[:-1]])
def test_another_word_does_not_let_in(folder: Path, word: str) -> None:
    stranger = served(folder)
    stranger.cookies.clear()
    assert stranger.get(f"/start/{word}").status_code in (403, 404)
    stranger.cookies.set(ENTRANCE.cookie, word)
    assert stranger.get("/").status_code == 403


def test_the_printed_address_lets_in_and_leads_on_within_this_server(folder: Path) -> None:
    entrance = Entrance(PORT)
    app = create_app(FolderShelf(folder), entrance, "test")
    browser = TestClient(app, base_url=BASE, follow_redirects=False)
    for onward, leads_to in (("/case/a/story", "/case/a/story"), ("//evil.example", "/"),
                             ("https://evil.example", "/"), ("/\\evil.example", "/")):  # fmt: skip
        answer = browser.get(entrance.start_address(onward))
        assert (answer.status_code, answer.headers["location"]) == (303, leads_to)
    assert "HttpOnly; SameSite=Strict" in answer.headers["set-cookie"]
    assert browser.get("/").status_code == 200


@pytest.mark.parametrize("kind", ["application/json", "text/plain", "", "image/png"])
def test_what_is_no_form_is_refused(client: TestClient, kind: str) -> None:
    sent = {"content-type": kind}
    answer = client.post(WRITING[0], headers=sent, content=b"w.text=x")
    assert (answer.status_code, "E-WEB-08" in answer.text) == (415, True)


def test_a_form_too_large_is_refused_unread(client: TestClient) -> None:
    form = {"content-type": "application/x-www-form-urlencoded",
            "content-length": str(LARGEST_FORM + 1)}  # fmt: skip
    answer = client.post(WRITING[0], headers=form, content=b"w.text=x")
    assert (answer.status_code, "E-WEB-09" in answer.text) == (413, True)
    form["content-length"] = "9" * 5000
    assert client.post(WRITING[0], headers=form, content=b"w.text=x").status_code == 413
    form["content-length"] = str(LARGEST_UPLOAD + 1)
    assert client.post(f"{CASE}/photos", headers=form, content=b"x").status_code == 413


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_another_site_cannot_draw_from_it(client: TestClient, site: str) -> None:
    drawn = {"sec-fetch-site": site, "sec-fetch-mode": "no-cors", "sec-fetch-dest": "image"}
    assert client.get("/", headers=drawn).status_code == 403
    opened = {"sec-fetch-site": site, "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert client.get("/", headers=opened).status_code == 200


@pytest.mark.parametrize("route", ["/static/tankside.css", "/static/plates/white-spot.svg"])
def test_what_a_browser_kept_of_the_program_is_not_sent_again(
    client: TestClient, route: str
) -> None:
    whole = client.get(route)
    again = client.get(route, headers={"if-none-match": whole.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    headers_are_there(again.headers, route)
    assert client.get(route, headers={"if-none-match": '"old"'}).content == whole.content
