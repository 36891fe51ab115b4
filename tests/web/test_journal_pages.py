"""The same pages over the journal: open a case, enter, look, list; only numbers lead to a case."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.served_pages import BASE, PORT

from tankside.records.case_store import read_case
from tankside.records.journal.place import VARIABLE
from tankside.services.shelf import JournalShelf, begin_journal
from tankside.web.app import create_app
from tankside.web.entrance import Entrance

OPENED = {"w.name": "Elm Road", "w.keeper": "M. Vell", "w.water": "fresh", "w.zone": "UTC"}


@pytest.fixture
def client(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> TestClient:
    monkeypatch.setenv(VARIABLE, str(tmp_path / "journal.db"))
    begin_journal()
    entrance = Entrance(PORT)
    client = TestClient(create_app(JournalShelf(), entrance, "test"), base_url=BASE)
    client.headers["origin"] = BASE
    client.cookies.set(entrance.cookie, entrance.word)
    return client


def test_a_case_is_opened_and_told_in_the_journal(client: TestClient) -> None:
    answer = client.post("/new", data=OPENED)
    assert answer.url.path == "/case/1/look/call"
    twin = client.post("/new", data=OPENED)
    assert twin.url.path == "/case/2/look/call"
    saved = client.post("/case/1/enter/note", data={"w.text": "seen at the window"})
    assert saved.status_code == 200
    assert [entry.kind for entry in read_case("elm-road").entries] == ["opened", "note"]
    for page in ("story", "tank", "water", "look", "fits", "enter", "enter/water", "day"):
        assert client.get(f"/case/1/{page}").status_code in (200, 409), page
    assert client.get("/").text.count("Elm Road") >= 2
    assert client.post("/draft", data={"draft-of": "/case/1/enter/note", "w.text": "half"}).json()[
        "kept"
    ]
    assert "half" in client.get("/case/1/enter/note").text


@pytest.mark.parametrize("name", ["3", "0", "01", "elm-road", "-1", "1e3", "٣", "9" * 16])
def test_no_other_name_leads_to_a_case(client: TestClient, name: str) -> None:
    client.post("/new", data=OPENED)
    answer = client.get(f"/case/{name}/story")
    assert (answer.status_code, "E-PATH-02" in answer.text or "E-CASE-06" in answer.text) == (
        404,
        True,
    )
