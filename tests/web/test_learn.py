"""The teaching pages as they are served: whole, without anything foreign, and never a case."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.web.test_pages import Parsed

from tankside.report.teaching.shelf import contents

SHEETS = [f"/learn/{address}" for pages in contents().values() for address, _ in pages]
PAGES = [
    "/learn", *SHEETS, "/learn/practice", "/learn/practice/brick-yard",
    "/learn/practice/brick-yard?a=0", "/learn/what-if?salt_g_l=1",
]  # fmt: skip


@pytest.mark.parametrize("address", PAGES)
def test_a_page_is_whole_and_asks_nobody_else_for_anything(
    client: TestClient, address: str
) -> None:
    answer = client.get(address)
    assert answer.status_code == 200
    page = Parsed(answer.text)
    assert [tag for tag, _ in page.tags].count("h1") == 1
    for tag, attrs in page.tags:
        assert "style" not in attrs, tag
        assert not [name for name in attrs if name.startswith("on")], tag
        for name in ("src", "href", "action"):
            assert not (attrs.get(name) or "").startswith(("http", "//", "data:")), (tag, attrs)
    assert not [tag for tag, _ in page.tags if tag in ("style", "iframe", "object")]
    identifiers = [attrs["id"] for _, attrs in page.tags if "id" in attrs]
    assert len(identifiers) == len(set(identifiers))


def test_the_list_of_cases_leads_to_the_teaching_pages_and_they_to_each_other(
    client: TestClient,
) -> None:
    assert 'href="/learn"' in client.get("/").text
    linked = set(re.findall(r'href="(/learn/[^"]*)"', client.get("/learn").text))
    assert {*SHEETS, *(f"{sheet}.pdf" for sheet in SHEETS)} <= linked
    assert {"/learn/practice", "/learn/what-if"} <= linked


def test_a_sheet_is_had_on_paper_at_the_temperature_that_is_shown(client: TestClient) -> None:
    page = client.get("/learn/life-cycle/trichodina_nobilis?temperature=18.5").text
    link = next(iter(re.findall(r'href="([^"]+\.pdf[^"]*)"', page)))
    assert "temperature=18.5" in link
    paper = client.get(link)
    assert paper.headers["content-type"] == "application/pdf"
    assert paper.content.startswith(b"%PDF")


def test_the_choice_of_a_parasite_leads_to_its_page(client: TestClient) -> None:
    asked = {"organism": "trichodina_nobilis", "temperature": "18"}
    answer = client.get("/learn/life-cycle", params=asked, follow_redirects=False)
    assert answer.headers["location"] == "/learn/life-cycle/trichodina_nobilis?temperature=18"
    evil = {"organism": "//evil/<script>", "temperature": "1&x=2"}
    answer = client.get("/learn/life-cycle", params=evil, follow_redirects=False)
    assert answer.headers["location"].startswith("/learn/life-cycle/%2F%2Fevil")
    assert "&" not in answer.headers["location"]


@pytest.mark.parametrize(
    ("address", "code"),
    [
        ("/learn/nothing", "E-LEARN-01"),
        ("/learn/nothing.pdf", "E-LEARN-01"),
        ("/learn/life-cycle/lernaea_cyprinacea", "E-LEARN-01"),
        ("/learn/life-cycle/trichodina_nobilis?temperature=99", "E-LEARN-02"),
        ("/learn/life-cycle/trichodina_nobilis?temperature=warm", "E-NUM-04"),
        ("/learn/keepers/khv", "E-LEARN-01"),
        ("/learn/practice/nowhere", "E-LEARN-01"),
        ("/learn/practice/brick-yard?a=9", "E-LEARN-02"),
        ("/learn/practice/brick-yard?a=x", "E-LEARN-02"),
        ("/learn/practice/brick-yard?a=²", "E-LEARN-02"),
        ("/learn/what-if?salt_g_l=50", "E-LEARN-02"),
        ("/learn/what-if/tried?every_d=0", "E-LEARN-02"),
    ],
)
def test_what_is_not_there_is_refused_in_words(client: TestClient, address: str, code: str) -> None:
    answer = client.get(address)
    assert 400 <= answer.status_code < 500
    assert code in answer.text


def test_what_comes_of_the_tank_is_a_fragment_rough_or_fine(client: TestClient) -> None:
    rough = client.get("/learn/what-if/tried?temperature_c=24").text
    assert "<html" not in rough
    assert "rough, from 64 runs" in rough
    assert rough.count('class="twenty"') == 3
    assert "fine, from 512 runs" in client.get("/learn/what-if/tried?fineness=fine").text


def test_nothing_taught_becomes_a_case(client: TestClient, folder: Path) -> None:
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    for address in PAGES[-4:]:
        client.get(address)
    after = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert after == before
