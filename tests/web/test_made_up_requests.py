"""Requests made up from the application's own routes and forms: refused or answered, no fault.

Routes and methods come from the application as it stands, fields from the declared forms; a new
route or field is asked for by itself.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from fastapi.routing import APIRoute
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient
from tests.hostile_pictures import jpeg
from tests.served_pages import served

from tankside.records.case_file import read_case
from tankside.report.entry_form import entry_form, kinds_to_enter
from tankside.web.app import PAGES
from tankside.web.guard import headers_for

from .conftest import FILE, PHOTO
from .test_hostile import PAYLOADS

FAST, SLOW = 120, 20_000
LONGEST_IN_ADDRESS = 500
PICTURE = jpeg()
ROUTES: Sequence[tuple[str, str]] = [
    (method, route.path)
    for page in PAGES
    for route in page.router.routes
    if isinstance(route, APIRoute)
    for method in sorted(route.methods or ())
]
KINDS = [word for word, _, _ in kinds_to_enter()]
KNOWN = {
    "file": [FILE, "no-course.jsonl", "broken.jsonl"],
    "key": ["story", "tank", "water", "course", "forecast", "follow", "plans", "fits", "photos"],
    "sitting": ["call", "scrape", "look", "gill"],
    "word": KINDS,
    "what": ["plans", "forecast", "follow", "over"],
    "day": ["2026-03-18", "2026-03-19", "2026-02-30", "2026-W12"],
    "name": ["A0-1", "C1-1", "white-spot", "tankside.css"],
    "number": [str(PHOTO), "1"],
}
TEXTS = st.one_of(
    st.sampled_from(PAYLOADS),
    st.sampled_from(
        ("", "1", "-1", "25.5", "25,5", "1e999", "nan", "²", "٣", "?", "none", "yes", "done",
         "not_done", "platy", "main", "ICH", "2026-03-18", "2026-03-18T25:00", "\x00", "\u202e",
         "a" * 20_001, "mg/L as N", "skin_scrape", "../x", "/case/a", "5 min")
    ),
    st.text(max_size=40),
    st.integers(-10, 10**20).map(str),
    st.floats(allow_nan=True).map(str),
)  # fmt: skip


@cache
def fields_of(kind: str) -> list[str]:
    form = entry_form(kind)
    keys = [field.key for field in (*form.first, *form.more)]
    return [*keys, *("u." + key[2:] for key in keys), *(row.name_key for row in form.rows)]


FIELDS = sorted(
    {key for kind in KINDS for key in fields_of(kind)}
    | {"form", "onward", "version", "again", "state", "amount", "unit", "reason", "name", "sample",
       "fish", "group", "alive", "slide_age_min", "f.breathing", "f.spots_visible", "draft-of",
       "f.m_big_ciliate", "v.0", "v.1", "q", "to", "of", "note", "picture",
       "kind", "step", "days", "agent", "strength", "litres", "day", "every", "times", "in",
       "first", "second"}
)  # fmt: skip


@st.composite
def requests(draw: st.DrawFn) -> tuple[str, str, dict[str, list[str]], bytes]:
    """Draw method, address, fields and file of a request."""
    method, path = draw(st.sampled_from(ROUTES))
    for part in path.split("/"):
        for name, values in KNOWN.items():
            if "{" + name + "}" in part:
                value = draw(st.one_of(st.sampled_from(values), TEXTS)) or "x"
                path = path.replace("{" + name + "}", quote(value[:300], safe=""))
    keys = fields_of(draw(st.sampled_from(KINDS))) if "/enter/" in path else FIELDS
    texts = st.lists(TEXTS, min_size=1, max_size=2)
    sent = draw(st.dictionaries(st.sampled_from(keys), texts, max_size=6))
    return method, path, sent, draw(st.sampled_from((b"", PICTURE, b"\xff\xd8\xff", b"<svg/>")))


@pytest.fixture
def asked(folder: Path, tmp_path: Path) -> Iterator[Any]:
    """Give what asks for one request, each time of the cases as they were."""
    with served(tmp_path, raises=False) as client:

        def ask(method: str, path: str, sent: dict[str, list[str]], picture: bytes) -> None:
            for name in (FILE, "no-course.jsonl", "broken.jsonl"):
                shutil.copy(folder / name, tmp_path / name)
            _check(client, method, path, sent, picture)
            with suppress(FileNotFoundError):
                shutil.rmtree(tmp_path / ".drafts")
            if (tmp_path / FILE).read_bytes() != (folder / FILE).read_bytes():
                assert read_case(tmp_path / FILE).version > PHOTO

        yield ask


def _check(
    client: TestClient, method: str, path: str, sent: dict[str, list[str]], picture: bytes
) -> None:
    short = {key: [text[:LONGEST_IN_ADDRESS] for text in texts] for key, texts in sent.items()}
    how: dict[str, Any] = {"params": short} if method == "GET" else {"data": sent}
    if picture and path.endswith("/photos") and method == "POST":
        how["files"] = {"picture": ("a.jpg", picture, "image/jpeg")}
    answer = client.request(method, path, follow_redirects=False, **how)
    assert answer.status_code < 500, (answer.status_code, answer.text[:500])
    wanted = headers_for(answer.url.path)
    assert {name: answer.headers.get(name) for name in wanted} == wanted
    assert "Traceback" not in answer.text


SETTINGS = settings(
    deadline=None, database=None, suppress_health_check=list(HealthCheck), print_blob=False
)


@settings(SETTINGS, max_examples=FAST, derandomize=True)
@given(request=requests())
def test_made_up_requests_meet_no_fault(asked: Any, request: Any) -> None:
    asked(*request)


@pytest.mark.slow
@pytest.mark.timeout(7200)
@settings(SETTINGS, max_examples=SLOW)
@given(request=requests())
def test_twenty_thousand_made_up_requests_meet_no_fault(asked: Any, request: Any) -> None:
    asked(*request)
