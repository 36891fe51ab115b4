"""Pages say what they must, hold nothing foreign, and keep hostile text as text."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pytest
from fastapi import FastAPI
from pypdf import PdfReader
from starlette.requests import Request
from starlette.testclient import TestClient
from tests.display_rules import display_faults

from tankside.errors import BadInput
from tankside.services.shelf import FolderShelf
from tankside.web.pages.find import find_case

from .conftest import FILE, HOSTILE

CASE = f"/case/{FILE}"
PAGES = (
    "story", "tank", "water", "look", "look/scrape", "fits", "plans", "course", "forecast",
    "follow", "day", "enter", "enter/water", "record", "letter/all-clear", "letter/laboratory",
    "letter/quarantine", "why", "amount", "correct/2",
)  # fmt: skip
TRAVERSALS = (
    "../outside.jsonl",
    "..%2foutside.jsonl",
    "%2e%2e%2foutside.jsonl",
    "%252e%252e%252foutside.jsonl",
    "....//outside.jsonl",
    "..\\outside.jsonl",
    "..%5coutside.jsonl",
    "/etc/passwd",
    "%2fetc%2fpasswd",
    "kiln-lane.jsonl%00.txt",
    "file:%2f%2f%2fetc%2fpasswd",
    ".",
    "..",
    "con",
    "~root",
    "a" * 5000,
)


class Parsed(HTMLParser):
    """Gathers tags with their attributes and the text of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self.text += "\n" if tag not in ("strong", "code", "a") else ""

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.fixture(params=["/", "/emergency", *(f"{CASE}/{p}" for p in PAGES)])
def page(request: pytest.FixtureRequest, client: TestClient) -> Parsed:
    return Parsed(client.get(request.param).text)


def test_a_page_asks_nobody_else_for_anything(page: Parsed) -> None:
    for tag, attrs in page.tags:
        for name in ("src", "href", "xlink:href", "action", "data"):
            value = attrs.get(name) or ""
            assert not value.startswith(("http", "//", "data:")), (tag, value)
    assert not [tag for tag, _ in page.tags if tag in ("style", "iframe", "object")]
    scripts = [attrs for tag, attrs in page.tags if tag == "script"]
    assert scripts == [{"src": "/static/tankside.js", "defer": None}]
    assert not [attrs for _, attrs in page.tags if "style" in attrs]
    assert not [name for _, attrs in page.tags for name in attrs if name.startswith("on")]


def test_a_page_can_be_walked_by_keyboard_and_by_ear(page: Parsed) -> None:
    tags = [tag for tag, _ in page.tags]
    html = dict(page.tags)["html"]
    assert html["lang"] == "en"
    assert tags.count("h1") == 1
    assert tags.count("main") == 1
    assert any(attrs.get("href") == "#main" for tag, attrs in page.tags if tag == "a")
    assert all(attrs.get("aria-label") for tag, attrs in page.tags if tag == "nav")
    levels = [int(tag[1]) for tag in tags if tag in ("h1", "h2", "h3")]
    assert all(b - a <= 1 for a, b in pairwise(levels))


def test_every_drawing_has_its_sentence_and_its_table(page: Parsed) -> None:
    tags = [tag for tag, _ in page.tags]
    assert tags.count("figure") == tags.count("figcaption")
    drawn = [attrs for tag, attrs in page.tags if tag == "svg"]
    assert all(attrs.get("aria-label") or attrs.get("aria-hidden") == "true" for attrs in drawn)
    assert sum("aria-label" in attrs for attrs in drawn) == tags.count("figure")


def test_amounts_keep_the_display_rules(page: Parsed) -> None:
    """Text as typed by people may hold anything; the hostile note holds no amount."""
    assert display_faults(page.text) == ()


@pytest.mark.parametrize("route", ["/", f"{CASE}/story", "/case/no-course.jsonl/story"])
def test_hostile_text_is_shown_as_text(client: TestClient, route: str) -> None:
    parsed = Parsed(client.get(route).text)
    assert "alert(1)" in parsed.text
    assert [a for tag, a in parsed.tags if tag == "script"] == [
        {"src": "/static/tankside.js", "defer": None}
    ]
    assert "{{7*7}}" in parsed.text


def test_the_whole_hostile_text_comes_through(client: TestClient) -> None:
    assert HOSTILE in Parsed(client.get(f"{CASE}/story").text).text


@pytest.mark.parametrize("name", TRAVERSALS)
def test_no_file_outside_the_folder_is_read(client: TestClient, name: str) -> None:
    answer = client.get(f"/case/{name}/story")
    assert answer.status_code in (404, 422, 200)
    assert "secret canary" not in answer.text
    assert "root:" not in answer.text
    if answer.status_code == 200:
        assert str(answer.url).endswith(f"{FILE}/story") or str(answer.url).endswith("/")


@pytest.mark.parametrize("name", [*TRAVERSALS, "{whole}/outside.jsonl"])
def test_a_name_finds_only_a_file_of_the_list(folder: Path, name: str) -> None:
    """A whole case lies beside the folder, so a name joined to the folder would open it."""
    asked = name.format(whole=folder.parent)
    app = FastAPI()
    app.state.shelf = FolderShelf(folder)
    request = Request({"type": "http", "app": app})
    with pytest.raises(BadInput, match="E-PATH-02"):
        find_case(request, asked)


def test_the_emergency_card_is_one_step_from_every_page(page: Parsed) -> None:
    assert any(attrs.get("href") == "/emergency" for tag, attrs in page.tags if tag == "a")


def test_the_tank_page_shows_both_volumes_and_refuses_the_label(client: TestClient) -> None:
    """98 x 38 x 42 cm = 156.4 L, less 13 L, plus 5 L; 11 L/min for 13.5 min = 148.5 L."""
    text = Parsed(client.get(f"{CASE}/tank").text).text.replace("\N{NO-BREAK SPACE}", " ")
    for needed in ("148.4 L", "148.5 L", "180 L", "never used for doses"):
        assert needed in text


def test_the_day_page_is_the_day_card(client: TestClient) -> None:
    """2 g/L in 148.408 L is 296.8 g in two steps; 30 L back at 2 g/L takes 60 g."""
    text = Parsed(client.get(f"{CASE}/day/2026-03-19").text).text.replace("\N{NO-BREAK SPACE}", " ")
    for needed in ("149 g", "60 g", "30 L", "DO NOT", "CALL IF", "Fri 20 Mar 2026 12:00"):
        assert needed in text


def test_the_card_is_printed_on_three_papers_and_no_other(client: TestClient) -> None:
    """Sides in points: A4 595 x 842, A5 420 x 595 (ISO 216); US Letter 612 x 792."""
    sides = {}
    for paper in ("a4", "a5", "us-letter"):
        answer = client.get(f"{CASE}/day/2026-03-19.pdf", params={"paper": paper})
        box = PdfReader(BytesIO(answer.content)).pages[0].mediabox
        sides[paper] = (round(float(box.width)), round(float(box.height)))
    assert sides == {"a4": (595, 842), "a5": (420, 595), "us-letter": (612, 792)}
    other = client.get(f"{CASE}/day/2026-03-19.pdf", params={"paper": "a3"})
    assert other.status_code == 422
    assert "E-WORD-02" in other.text


def test_a_case_without_a_course_leads_to_where_they_are_compared(client: TestClient) -> None:
    answer = client.get("/case/no-course.jsonl/course")
    assert answer.status_code == 200
    links = [attrs.get("href") for tag, attrs in Parsed(answer.text).tags if tag == "a"]
    assert links.count("/case/no-course.jsonl/plans") > 2


def test_no_page_names_a_command_as_the_way_on(page: Parsed) -> None:
    assert not re.search(r"tankside [a-z]|case add|\s--[a-z]", page.text)


@pytest.mark.parametrize("name", [n for n in PAGES if n != "day"])
def test_no_page_of_a_case_without_a_course_names_a_command(client: TestClient, name: str) -> None:
    text = Parsed(client.get(f"/case/no-course.jsonl/{name}").text).text
    assert not re.search(r"tankside [a-z]|case add|\s--[a-z]", text)


def test_an_invented_case_is_marked_on_every_page(client: TestClient) -> None:
    for name in PAGES:
        assert "EXAMPLE" in Parsed(client.get(f"{CASE}/{name}").text).text


def test_own_idea_comes_before_the_order(client: TestClient) -> None:
    text = Parsed(client.get(f"{CASE}/fits").text).text
    assert "Keep in mind, in no order" in text
    assert text.index("What is it, to your mind?") < text.index("The order with reasons")
