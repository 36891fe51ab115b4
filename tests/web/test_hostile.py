"""What is sent by hostile pages and hands: refused before a page runs, or shown as plain text.

Tables of names, headers and texts after the classes of OWASP ASVS 4.0.3 (5.3, 13.2, 14.5) and the
OWASP cheat sheet on filter evasion; the payloads are written for these pages.
"""

from __future__ import annotations

import random
import re
import shutil
from collections.abc import Iterator, Mapping
from html.parser import HTMLParser
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.served_pages import BASE, PORT, served

from tankside.records.case_file import read_case
from tankside.report.entry_form import entry_form, kinds_to_enter
from tankside.services import cases
from tankside.web.guard import headers_for

from .conftest import FILE
from .test_guard import FAULTS, HOSTILE_HOSTS, ROUTES, WRITING

CASE = f"/case/{FILE}"
EVENTS = ("onerror", "onload", "onmouseover", "onfocus", "ontoggle", "onanimationstart")
PAYLOADS = (
    "<script>alert(1)</script>", "<ScRiPt>alert(1)</sCrIpT>", "<script src=//evil.example/x>",
    "</title><script>alert(1)</script>", "</textarea><script>alert(1)</script>",
    "--><script>alert(1)</script>", "]]><script>alert(1)</script>", "<<script>alert(1)//<</script>",
    "<img src=x onerror=alert(1)>", "<IMG SRC=x ONERROR=alert(1)>", "<img/src=x/onerror=alert(1)>",
    "<svg onload=alert(1)>", "<svg><script>alert(1)</script></svg>", "<svg/onload=alert(1)//",
    "<svg><a xlink:href=javascript:alert(1)><text>x</text></a></svg>",
    "<math><mi xlink:href=javascript:alert(1)>x</mi></math>", "<iframe src=javascript:alert(1)>",
    "<iframe srcdoc='<script>alert(1)</script>'>", "<object data=javascript:alert(1)>",
    "<embed src=javascript:alert(1)>", "<form action=javascript:alert(1)><button>x</button></form>",
    "<a href=javascript:alert(1)>x</a>", "<a href='java\tscript:alert(1)'>x</a>",
    "<base href=//evil.example/>", "<meta http-equiv=refresh content='0;url=//evil.example'>",
    "<link rel=stylesheet href=//evil.example/x.css>", "<style>@import '//evil.example/x';</style>",
    "<div style=background:url(//evil.example/x)>", "<input autofocus onfocus=alert(1)>",
    "<details open ontoggle=alert(1)>", "<video><source onerror=alert(1)></video>",
    "<audio src=x onerror=alert(1)>", "<body onload=alert(1)>", "<marquee onstart=alert(1)>",
    "<keygen autofocus onfocus=alert(1)>", "<template><script>alert(1)</script></template>",
    "<noscript><p title='</noscript><img src=x onerror=alert(1)>'>",
    "<table background=//evil.example>",
    "\" onmouseover=\"alert(1)", "' onmouseover='alert(1)", "\"><script>alert(1)</script>",
    "'><script>alert(1)</script>", "\" autofocus onfocus=alert(1) x=\"", "`onmouseover=alert(1)",
    "javascript:alert(1)", "data:text/html,<script>alert(1)</script>", "vbscript:msgbox(1)",
    "&lt;script&gt;alert(1)&lt;/script&gt;", "&#60;script&#62;alert(1)&#60;/script&#62;",
    "%3Cscript%3Ealert(1)%3C/script%3E", "\\u003cscript\\u003ealert(1)\\u003c/script\\u003e",
    "{{7*7}}", "{% raw %}", "${7*7}", "#{7*7}", "<%= 7*7 %>", "{{config}}",
    "{{''.__class__.mro()}}",
    "<!--#exec cmd='id'-->", "<?xml version='1.0'?><!DOCTYPE x [<!ENTITY e SYSTEM 'file:///x'>]>&e;",
    "=HYPERLINK('//evil.example')",
)  # fmt: skip
HEADERS: tuple[Mapping[str, str], ...] = (
    {"sec-fetch-site": "cross-site", "origin": "http://evil.example"},
    {"sec-fetch-site": "cross-site"},
    {"sec-fetch-site": "same-site"},
    {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"},
    {"origin": "null"},
    {"origin": ""},
    {"origin": f"http://127.0.0.1:{PORT + 1}"},
    {"origin": f"https://127.0.0.1:{PORT}"},
    {"origin": BASE, "cookie": ""},
    {"origin": BASE, "content-type": "text/plain"},
    {"origin": BASE, "content-type": "application/json"},
    {"origin": BASE, "x-http-method-override": "PUT", "content-type": "application/xml"},
)


class Elements(HTMLParser):
    """Gathers what a browser would act on, and the text it would show."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.text = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.fixture
def copied(folder: Path, tmp_path: Path) -> tuple[TestClient, Path]:
    shutil.copy(folder / FILE, tmp_path / FILE)
    return served(tmp_path, raises=False), tmp_path / FILE


def text_fields() -> Iterator[tuple[str, str]]:
    """Yield the word of each form with each of its fields that is typed freely."""
    for word, _, _ in kinds_to_enter():
        form = entry_form(word)
        for field in (*form.first, *form.more):
            if field.look in ("text", "lines"):
                yield word, field.key
        for row in form.rows[:1]:
            yield word, row.name_key
            yield word, row.value_key


def is_inert(html: str) -> list[str]:
    """Return what of a page would run or ask elsewhere."""
    seen = Elements(html)
    wrong = [tag for tag in seen.tags if tag in ("iframe", "object", "embed", "base", "style")]
    wrong += [n for n, _ in seen.attributes if n.startswith("on") or n in ("style", "srcdoc")]
    wrong += [
        value
        for name, value in seen.attributes
        if name in ("src", "href", "action", "data", "xlink:href", "background", "formaction")
        and re.match(r"\s*(javascript|data|vbscript|https?|//)", value, re.IGNORECASE)
    ]
    scripts = [v for n, v in seen.attributes if n == "src"]
    return wrong + ([] if scripts == ["/static/tankside.js"] else scripts)


def stamped(headers: Mapping[str, str], route: str) -> bool:
    """Tell whether an answer carries every header that its route asks for."""
    wanted = headers_for(route)
    return {name: headers.get(name) for name in wanted} == wanted


def test_sixty_payloads_and_more_are_held_ready() -> None:
    assert len(set(PAYLOADS)) >= 60
    assert any(event in " ".join(PAYLOADS).lower() for event in EVENTS)


@pytest.mark.parametrize(("word", "key"), list(text_fields()))
def test_a_payload_in_any_field_comes_back_as_text(client: TestClient, word: str, key: str) -> None:
    """Every field is sent wrong on purpose, so that the form comes back with all it was sent."""
    for payload in random.Random(f"{word} {key}").sample(PAYLOADS, 6):
        sent = {key: payload, "w.on": "never", "onward": payload, "version": payload}
        answer = client.post(f"{CASE}/enter/{word}", data=sent)
        assert answer.status_code == 422, (payload, answer.text[:300])
        assert is_inert(answer.text) == [], payload
        values = [value for name, value in Elements(answer.text).attributes if name == "value"]
        assert payload.strip() in [value.strip() for value in values], payload


@pytest.mark.slow
@pytest.mark.parametrize(("word", "key"), list(text_fields()))
def test_every_payload_in_every_field_comes_back_as_text(
    client: TestClient, word: str, key: str
) -> None:
    for payload in PAYLOADS:
        answer = client.post(f"{CASE}/enter/{word}", data={key: payload, "w.on": "never"})
        assert answer.status_code == 422
        assert is_inert(answer.text) == [], payload


def test_saved_payloads_are_text_on_every_page(tmp_path: Path) -> None:
    case = tmp_path / "x.jsonl"
    first = PAYLOADS[0]
    opening = cases.Opening(first, first, "fresh", "Europe/London", call=first, place=first)
    cases.new_case(case, opening, by=first)
    for payload in PAYLOADS:
        cases.add_words(case, "note", (f"text={payload}",), by="test")
    cases.add_words(case, "stock", (f"name={first}", "count=3"), by="test")
    client = served(tmp_path, raises=False)
    for page in ("story", "tank", "water", "look", "fits", "enter", "enter/water", "enter/note"):
        answer = client.get(f"/case/x.jsonl/{page}")
        assert answer.status_code == 200
        assert is_inert(answer.text) == [], page
    shown = Elements(client.get("/case/x.jsonl/story").text).text
    squeezed = "".join(shown.split())
    for payload in PAYLOADS:
        assert "".join(payload.split()) in squeezed, payload


@pytest.mark.parametrize("headers", HEADERS, ids=str)
def test_no_writing_route_is_reached_from_elsewhere(
    copied: tuple[TestClient, Path], headers: Mapping[str, str]
) -> None:
    client, path = copied
    before = path.read_bytes()
    for route in WRITING:
        answer = client.post(route, data={"w.text": "x"}, headers=dict(headers))
        assert answer.status_code in (403, 411, 415), (route, answer.status_code)
        assert stamped(answer.headers, route)
    assert path.read_bytes() == before


@pytest.mark.parametrize("host", HOSTILE_HOSTS)
def test_no_writing_route_answers_to_another_name(
    copied: tuple[TestClient, Path], host: str
) -> None:
    client, path = copied
    before = path.read_bytes()
    for route in WRITING:
        answer = client.post(route, data={"w.text": "x"}, headers={"host": host.strip("\x00")})
        assert answer.status_code in (400, 403, 421), (route, host)
    assert path.read_bytes() == before


def test_reading_changes_no_file(client: TestClient, folder: Path) -> None:
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    for route in (*ROUTES, *FAULTS, *WRITING):
        answer = client.get(route, follow_redirects=False)
        assert answer.status_code < 500, route
        assert stamped(answer.headers, route)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


WORDS = ("", "1", "-1", "1e999", "nan", "25.5", "25,5", "0", "?", "none", "yes", "skin_scrape",
         "platy", "main", "ICH", "2026-03-18", "9999-99-99", "\x00", "\u202e", "a" * 5000, "💧",
         "mg/L as N", "C", "cm", "A0-1", "done", "../x", "%00", *PAYLOADS[:8])  # fmt: skip


def request_made(chance: random.Random) -> tuple[str, str, dict[str, list[str]]]:
    """Return method, address and form of a request made up from the routes and fields there are."""
    route = chance.choice((*ROUTES, *FAULTS, *WRITING))
    parts = route.split("/")
    if chance.random() < 0.3 and len(parts) > 3:
        parts[chance.randrange(3, len(parts))] = chance.choice(WORDS).replace("/", "%2f") or "x"
    word = chance.choice([word for word, _, _ in kinds_to_enter()])
    if chance.random() < 0.4:
        parts = ["", "case", FILE, "enter", word]
    form = entry_form(word)
    keys = [field.key for field in (*form.first, *form.more)] + [row.name_key for row in form.rows]
    keys += ["u." + key[2:] for key in keys] + ["v.0", "form", "onward", "version", "state", "name",
             "amount", "unit", "reason", "sample", "fish", "f.breathing", "f.m_disc_ring",
             "draft-of", "slide_age_min"]  # fmt: skip
    sent = {chance.choice(keys): [chance.choice(WORDS)] for _ in range(chance.randrange(8))}
    address = "/".join(parts).replace("\x00", "%00").replace("\u202e", "%e2%80%ae")
    return chance.choice(("GET", "POST", "POST")), address[:2000], sent


def refused_or_answered(client: TestClient, number: int, seed: int) -> None:
    chance = random.Random(seed)
    for count in range(number):
        method, address, sent = request_made(chance)
        answer = client.request(method, address, data=sent or None, follow_redirects=False)
        assert answer.status_code < 500 or answer.status_code == 507, (count, method, address, sent)
        assert stamped(answer.headers, answer.url.path)
        assert "Traceback" not in answer.text


def test_requests_made_up_from_the_forms_meet_no_fault(copied: tuple[TestClient, Path]) -> None:
    client, path = copied
    refused_or_answered(client, 120, seed=17)
    assert read_case(path).version > 0


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_twenty_thousand_made_up_requests_meet_no_fault(folder: Path, tmp_path: Path) -> None:
    """Each hundred begin with the case as it was: what they save together cannot slow the rest."""
    for part in range(200):
        shutil.copy(folder / FILE, tmp_path / FILE)
        refused_or_answered(served(tmp_path, raises=False), 100, seed=part)
        read_case(tmp_path / FILE)
