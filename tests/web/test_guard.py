"""Every answer carries the headers; no other name, method or site is served."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tankside.web.app import create_app
from tankside.web.guard import READING, SECURITY_HEADERS

from .conftest import FILE, PORT

CASE = f"/case/{FILE}"
PAGES = ("story", "tank", "water", "fits", "plans", "course", "forecast", "follow", "day")
ROUTES = (
    "/",
    "/emergency",
    "/emergency.pdf",
    "/static/tankside.css",
    "/static/mark.svg",
    *(f"{CASE}/{page}" for page in PAGES),
    f"{CASE}/day/2026-03-19",
    f"{CASE}/day/2026-03-19.pdf",
    f"{CASE}/course.ics",
    *(f"{CASE}/{page}.pdf" for page in PAGES if page != "day"),
)
FAULTS = (
    "/nothing",
    "/static/other.js",
    "/case/none.jsonl/story",
    f"{CASE}/other",
    f"{CASE}/other.pdf",
    f"{CASE}/day.pdf",
    f"{CASE}/day/2030-01-01",
    f"{CASE}/day/31-12-2026",
    "/case/broken.jsonl/story",
    "/case/no-course.jsonl/day",
    "/openapi.json",
    "/docs",
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


def headers_are_there(headers: Mapping[str, str]) -> None:
    for name, value in SECURITY_HEADERS.items():
        assert headers[name] == value
    assert not [name for name in headers if name.startswith("access-control")]


@pytest.mark.parametrize("route", ROUTES)
def test_every_page_is_served_with_the_headers(client: TestClient, route: str) -> None:
    answer = client.get(route)
    assert answer.status_code == 200, answer.text[:400]
    headers_are_there(answer.headers)


@pytest.mark.parametrize("route", FAULTS)
def test_every_fault_is_told_with_the_headers(client: TestClient, route: str) -> None:
    answer = client.get(route)
    assert answer.status_code in (404, 409, 422)
    headers_are_there(answer.headers)
    assert "Traceback" not in answer.text
    assert "E-" in answer.text


def test_a_fault_of_ours_is_a_500_with_the_headers_and_no_detail(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import tankside.web.pages.cases as page

    def broken(_: object) -> None:
        raise RuntimeError("secret detail")

    monkeypatch.setattr(page, "list_cases", broken)
    app = create_app(folder, PORT)
    client = TestClient(app, base_url=f"http://127.0.0.1:{PORT}", raise_server_exceptions=False)
    answer = client.get("/")
    assert answer.status_code == 500
    headers_are_there(answer.headers)
    assert "secret detail" not in answer.text
    assert "E-WEB-99" in answer.text


def test_the_route_table_is_wholly_covered(folder: Path) -> None:
    """A route added later must be added to the list above."""
    guarded: Any = create_app(folder, PORT)
    app = guarded._inner
    shapes = {
        route.path
        for included in app.routes
        for route in included.original_router.routes  # no route is added but through a router
    }
    matched = {shape for shape in shapes for route in ROUTES if fits(shape, route)}
    assert shapes
    assert shapes == matched


def fits(shape: str, route: str) -> bool:
    pattern = re.sub(r"\\{\w+\\}", "[^/]+", re.escape(shape))
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
        "headers": [(b"host", host) for host in hosts],
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", PORT),
    }


@pytest.mark.parametrize("host", HOSTILE_HOSTS)
def test_no_other_name_is_answered_on_any_route(folder: Path, host: str) -> None:
    app = create_app(folder, PORT)
    raw = host.encode("latin-1")
    assert {call(app, scope_of(route, [raw])) for route in (*ROUTES, *FAULTS)} == {421}


def test_two_hosts_no_host_and_an_absolute_address_are_refused(folder: Path) -> None:
    app = create_app(folder, PORT)
    good = f"127.0.0.1:{PORT}".encode()
    assert call(app, scope_of("/", [good, good])) == 421
    assert call(app, scope_of("/", [])) == 421
    assert call(app, scope_of("http://evil.example/", [good])) == 421
    assert call(app, scope_of("/", [good])) == 200


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "[::1]"])
def test_the_loopback_names_are_answered(folder: Path, host: str) -> None:
    app = create_app(folder, PORT)
    assert call(app, scope_of("/", [f"{host}:{PORT}".encode()])) == 200


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"])
@pytest.mark.parametrize("route", ROUTES)
def test_nothing_but_reading_is_answered(client: TestClient, method: str, route: str) -> None:
    answer = client.request(method, route)
    assert answer.status_code == 405
    assert answer.headers["allow"] == ", ".join(READING)
    headers_are_there(answer.headers)


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_another_site_cannot_draw_from_it(client: TestClient, site: str) -> None:
    drawn = {"sec-fetch-site": site, "sec-fetch-mode": "no-cors", "sec-fetch-dest": "image"}
    assert client.get("/", headers=drawn).status_code == 403
    opened = {"sec-fetch-site": site, "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert client.get("/", headers=opened).status_code == 200


def test_reading_every_page_changes_no_file(client: TestClient, folder: Path) -> None:
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    for route in (*ROUTES, *FAULTS):
        client.get(route)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
