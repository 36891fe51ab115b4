"""The interface: answers of the declared shape, the rules of the pages, its document."""

from __future__ import annotations

import json
import shutil
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.served_pages import BASE, served
from tests.shaped import is_shaped

from tankside.web.api.address import API
from tankside.web.api.interface import document_text

from .conftest import FILE
from .test_guard import HOSTILE_HOSTS, OTHER_ORIGINS, headers_are_there

DOCUMENT = Path(__file__).parents[2] / "docs" / "schema" / "openapi.v1.json"
CASE = f"{API}/cases/{FILE}"
SALT = {
    "agent": "salt", "strength": "2 g/L", "volume": "173 L", "second_volume": "175 L",
    "label": "pure", "scale": "1 g", "animals": ["cardinal tetra"],
}  # fmt: skip
READ = [
    (f"{API}/cases", "case-list"),
    (CASE, "case"),
    (f"{CASE}/lines", "exported-lines"),
    (f"{CASE}/differential?system=main", "case-differential"),
    (f"{CASE}/today?date=2026-03-19", "day-card"),
    (f"{API}/cases/no-course.jsonl/today", "care"),
    (f"{CASE}/letters/quarantine", "letter"),
    (f"{CASE}/letters/all-clear", "letter"),
    (f"{CASE}/photos", "photos"),
    (f"{API}/findings?word=spot", "findings"),
    (f"{API}/kinds?word=koi", "kinds"),
    (f"{API}/claims/agent.sodium_chloride", "claims"),
    (f"{API}/claims/mifsud_rowland_2008", "source"),
    (f"{API}/claims/agent.sodium_chloride.dose.prolonged/rivals", "rivals"),
    (f"{API}/sources", "sources"),
    (f"{API}/counts", "counts"),
    (f"{API}/water/ammonia?temperature=25 C&ph=8.2&total=1.2 mg/L as N", "water"),
    (f"{API}/water/oxygen?temperature=25 C&reading=6.2 mg/L", "water"),
    (f"{API}/water/nitrite?nitrite=2.6 mg/L as NO2&chloride=25 mg/L&volume=162 L", "water"),
    (f"{API}/water/carbon-dioxide?temperature=25 C&ph=7&alkalinity=2 dH", "water"),
    (f"{API}/water/mix?temperature=25 C&tank_ph=6.4&tank_alkalinity=2 dH&new_ph=7.6"
     "&new_alkalinity=9 dH&share=0.5", "water"),
    (f"{API}/water/volume?length=90 cm&width=45 cm&depth=40 cm&takes=11 L&second=150 L", "water"),
    (f"{API}/water/weight?length=9 cm&count=6", "water"),
    (f"{API}/water/turnover?flow=400 L/h&volume=162 L&time=2 h", "water"),
    (f"{API}/water/dilution?share=0.5&changes=3", "water"),
    (f"{API}/water/food?amount=2 g&protein=45 % w/w&volume=162 L", "water"),
    (f"{API}/water/heater?volume=162 L&rise=4&time=24 h", "water"),
]  # fmt: skip


@pytest.fixture
def api(folder: Path, tmp_path: Path) -> Iterator[TestClient]:
    """Give a client of copies of the cases, so that they may be written to."""
    for name in (FILE, "no-course.jsonl", "broken.jsonl"):
        shutil.copy(folder / name, tmp_path / name)
    with served(tmp_path) as client:
        yield client


@pytest.mark.parametrize(("address", "name"), READ, ids=[address for address, _ in READ])
def test_what_is_read_has_its_declared_shape(client: TestClient, address: str, name: str) -> None:
    answer = client.get(address)
    assert answer.status_code == 200, answer.text
    is_shaped(answer.json(), name)
    headers_are_there(answer.headers, address.partition("?")[0])


def test_every_route_that_reads_at_once_is_among_them() -> None:
    paths = json.loads(document_text())["paths"]
    asked = {address.partition("?")[0].removeprefix(API) for address, _ in READ}
    for path, ways in paths.items():
        if "get" not in ways or path.endswith(("/plan", "/forecast", "/follow")):
            continue
        fits = [a for a in asked if len(a.split("/")) == len(path.split("/")) and all(
            want == part or want.startswith("{")
            for want, part in zip(path.split("/"), a.split("/"), strict=True))]  # fmt: skip
        assert fits, path


def test_the_amount_is_that_of_the_command_line(api: TestClient) -> None:
    answer = api.post(f"{API}/dose", json=SALT)
    assert answer.status_code == 200, answer.text
    is_shaped(answer.json(), "dose")
    # 173 L times 2 g/L, by hand
    assert (answer.json()["amount"]["value"], answer.json()["amount"]["unit"]) == ("346", "g")
    beside = api.post(f"{API}/dose", json={**SALT, "case": FILE})
    assert (beside.status_code, beside.json()["error"]["code"]) == (422, "E-CLI-04")
    warm = api.post(f"{API}/dose", json={**SALT, "readings": {"temperature": "25 kg"}})
    assert (warm.status_code, warm.json()["error"]["code"][:5]) == (422, "E-UNI")


def test_a_case_is_opened_added_to_and_corrected(api: TestClient) -> None:
    call = {"name": "Sedge Row", "keeper": "Ann Hill", "water": "fresh", "zone": "Etc/UTC"}
    opened = api.post(f"{API}/cases", json=call)
    assert opened.status_code == 201, opened.text
    is_shaped(opened.json(), "added")
    case = f"{API}/cases/{opened.json()['file']}"
    typed = {"kind": "finding", "words": ["spots_visible=yes", "flashing=frequent"]}
    added = api.post(f"{case}/entries", json=typed | {"role": "practitioner", "submission": "a1"})
    assert added.status_code == 201, added.text
    is_shaped(added.json(), "added")
    again = api.post(f"{case}/entries", json=typed | {"role": "practitioner", "submission": "a1"})
    assert again.json()["version"] == added.json()["version"] == 3
    note = api.post(f"{case}/entries", json={"kind": "note", "words": ["seen at dusk"]})
    number = note.json()["added"][0]["id"]
    said = {"kind": "note", "words": ["seen at dawn"], "reason": "misheard"}
    assert api.post(f"{case}/entries/{number}/correction", json=said).status_code == 201
    shown = api.get(case).json()
    assert shown["version"] == 5
    assert shown["history"][number - 1]["corrected_by"] == 5
    idea = api.post(f"{case}/own-idea", json={"condition": "ICH"})
    assert idea.status_code == 200, idea.text
    is_shaped(idea.json(), "case-differential")
    assert idea.json()["own_idea"] == "ICH"


def test_findings_without_a_case_are_ranked(api: TestClient) -> None:
    answer = api.post(f"{API}/differential", json={"findings": {"spots_visible": ["yes"]}})
    assert answer.status_code == 200, answer.text
    is_shaped(answer.json(), "differential")


def test_a_course_is_started_only_when_its_checks_are_answered(api: TestClient) -> None:
    refused = api.post(f"{CASE}/course", json={"course": "salt-to-2-g-l-in-2-steps"})
    # a step of the course before it waits for its answer
    assert (refused.status_code, refused.json()["error"]["code"]) == (409, "E-DOSE-28")
    is_shaped(refused.json(), "error")


def test_what_takes_seconds_is_asked_for_until_it_is_there(api: TestClient) -> None:
    answers = {}
    for what, name in (("follow?seed=1", "follow"), ("forecast?runs=16&seed=1", "forecast")):
        for _ in range(600):
            answer = api.get(f"{CASE}/{what}")
            if answer.status_code == 200:
                break
            assert answer.status_code == 202, answer.text
            is_shaped(answer.json(), "waiting")
            time.sleep(0.1)
        is_shaped(answer.json(), name)
        answers[name] = answer.json()
    assert answers["forecast"]["runs"] == 16
    refused = api.get(f"{CASE}/plan?strength=2 g/L")
    while refused.status_code == 202:
        time.sleep(0.05)
        refused = api.get(f"{CASE}/plan?strength=2 g/L")
    assert (refused.status_code, refused.json()["error"]["code"]) == (409, "E-DOSE-28")
    is_shaped(refused.json(), "error")


@pytest.mark.parametrize("sent", [
    {"agent": "salt"}, {**SALT, "unheard_of": 1}, {**SALT, "animals": "koi"}, [], "x",
    {**SALT, "strength": "2" * 301},
])  # fmt: skip
def test_what_does_not_fit_the_document_is_refused_by_its_place(api: TestClient, sent: Any) -> None:
    answer = api.post(f"{API}/dose", json=sent)
    assert (answer.status_code, answer.json()["error"]["code"]) == (422, "E-WEB-10"), answer.text
    is_shaped(answer.json(), "error")


def test_a_case_outside_the_folder_is_not_there(client: TestClient) -> None:
    for name in ("outside.jsonl", "..%2Foutside.jsonl", "%2e%2e"):
        answer = client.get(f"{API}/cases/{name}")
        assert answer.status_code == 404, answer.text
        is_shaped(answer.json(), "error")
    for address in (f"{API}/nothing", f"{API}/cases/%0A0", API):
        assert client.get(address).json()["error"]["code"] == "E-WEB-05"
    assert client.post(f"{API}/sources", json={}).status_code == 405


def test_the_rules_of_the_pages_hold_for_the_interface(api: TestClient) -> None:
    entries, note = f"{CASE}/entries", {"kind": "note", "words": ["x"]}
    for origin in OTHER_ORIGINS:
        assert api.post(entries, json=note, headers={"origin": origin}).status_code == 403
    for host in HOSTILE_HOSTS:
        answer = api.get(CASE, headers={"host": host})
        assert answer.status_code == 421
        is_shaped(answer.json(), "error")
    for site in ("cross-site", "same-site"):
        assert api.get(CASE, headers={"sec-fetch-site": site}).status_code == 403
        assert api.post(entries, json=note, headers={"sec-fetch-site": site}).status_code == 403
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
        text = json.dumps(note)
        assert api.post(entries, content=text, headers={"content-type": kind}).status_code == 415
    assert api.options(CASE).status_code == 405
    api.cookies.clear()
    for address in (CASE, f"{API}/openapi.json", f"{API}/sources"):
        answer = api.get(address)
        assert (answer.status_code, answer.json()["error"]["code"]) == (403, "E-WEB-07")
        headers_are_there(answer.headers, address)


def test_json_is_for_the_interface_alone(client: TestClient) -> None:
    sent = client.post(f"/case/{FILE}/enter/note", json={}, headers={"origin": BASE})
    assert sent.status_code == 415


def test_the_kept_document_is_the_one_that_is_served(client: TestClient) -> None:
    assert DOCUMENT.read_text(encoding="utf-8") == document_text()
    assert client.get(f"{API}/openapi.json").json() == json.loads(document_text())


def test_every_reference_of_the_document_leads_somewhere() -> None:
    text = document_text()
    parts = json.loads(text)["components"]["schemas"]
    named = {piece.split('"')[0] for piece in text.split("#/components/schemas/")[1:]}
    assert named <= set(parts)


@pytest.mark.parametrize("sent", [
    '{"kind": "note", "words": [Infinity]}', '{"kind": NaN}', '{"kind": "note"', "", "\x00",
    '{"kind": "note", "words": ["\\ud800"]}', "[" * 5000, '{"kind": 1' + "0" * 5000 + "}",
])  # fmt: skip
def test_what_is_no_sound_json_is_refused(api: TestClient, sent: str) -> None:
    version = api.get(CASE).json()["version"]
    answer = api.post(f"{CASE}/entries", content=sent, headers={"content-type": "application/json"})
    assert answer.status_code in (413, 422), answer.text
    is_shaped(answer.json(), "error")
    assert api.get(CASE).json()["version"] == version
