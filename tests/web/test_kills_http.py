"""The server is killed while forms are sent to it: what was answered is there, and whole (D1).

The server runs in a fork of this process and listens on a real port; forms are fetched, filled in
and sent as a browser sends them. A form that was not answered is sent once more to the next run of
the server, as somebody would do who is not told whether it was saved: it is saved once.
"""

from __future__ import annotations

import http.client
import os
import random
import re
import signal
import socket
import threading
from pathlib import Path
from urllib.parse import urlencode

import pytest
import uvicorn
from tests.records.case_entries import opened
from tests.records.conftest import cluster, place

from tankside.records.case_store import create_case, read_case
from tankside.records.journal import opening
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.verify import verify_place
from tankside.services.cases import add_words
from tankside.services.shelf import FolderShelf, JournalShelf, Shelf
from tankside.web.app import create_app
from tankside.web.entrance import Entrance

__all__ = ["cluster", "place"]
KILLS = {"sqlite": (10, 1000), "postgresql": (5, 300)}
HIDDEN = re.compile(r'<input[^>]*type="hidden"[^>]*>')
PART = re.compile(r'(name|value)="([^"]*)"')
SHORT_RUN_S, LONGEST_RUN_S, ANSWER_S = 0.15, 0.6, 60.0
KILLS_A_CASE = 25
MOST_CYCLES = 4
"""Kills go on, at most so many times the number, until enough have met a form being sent."""
SEE_OTHER, MOVED_ON = 303, 409


class Browser:
    """Sends forms to a server as a browser of the person who started it."""

    def __init__(self, port: int, entrance: Entrance) -> None:
        self._port = port
        self._head = {
            "Cookie": f"{entrance.cookie}={entrance.word}",
            "Host": f"127.0.0.1:{port}",
            "Origin": f"http://127.0.0.1:{port}",
            "Sec-Fetch-Site": "same-origin",
        }

    def ask(self, path: str, body: str | None = None) -> tuple[int, str]:
        """Return status and text of an answer.

        Raises:
            OSError: nobody answered, or not to the end.
        """
        connection = http.client.HTTPConnection("127.0.0.1", self._port, timeout=ANSWER_S)
        kind = {} if body is None else {"Content-Type": "application/x-www-form-urlencoded"}
        try:
            connection.request("GET" if body is None else "POST", path, body, self._head | kind)
            answer = connection.getresponse()
            return answer.status, answer.read().decode("utf-8")
        except http.client.HTTPException as broken:
            raise OSError(str(broken)) from None
        finally:
            connection.close()

    def form(self, path: str, **filled: str) -> str:
        """Fetch a form and fill it in."""
        _, text = self.ask(path)
        parts = (dict(PART.findall(field)) for field in HIDDEN.findall(text))
        hidden = {part["name"]: part.get("value", "") for part in parts if "name" in part}
        assert hidden.get("form"), "the form has no number"
        return urlencode(hidden | {f"w.{name}": value for name, value in filled.items()})


def serving(shelf: Shelf, listening: socket.socket, entrance: Entrance) -> int:
    """Fork a process that serves until it is killed; return its number."""
    child = os.fork()
    if child:
        return child
    try:
        opening._OPENED.clear()
        app = create_app(shelf, entrance, "vell")
        config = uvicorn.Config(app, log_level="critical", access_log=False)
        uvicorn.Server(config).run(sockets=[listening])
    finally:
        os._exit(1)


def told(reference: str | Path) -> list[str]:
    """Return the texts of the notes of a case."""
    opening._OPENED.clear()
    return [note.text for note in read_case(reference).view().notes]


def kill_often(shelf: Shelf, reference_of: str, kills: int) -> None:
    """Kill the server again and again, and hold what it answered against what is there."""
    chance = random.Random(13)
    answered: list[str] = []
    open_form: tuple[str, str] | None = None
    inside = again = count = 0
    reference: str | Path = ""
    for cycle in range(MOST_CYCLES * kills):
        if cycle >= kills and inside > kills // 4 and again > kills // 5:
            break
        if cycle % KILLS_A_CASE == 0:
            label = f"case-{cycle}"
            made = shelf.folder / f"{label}.jsonl" if reference_of == "file" else label
            reference = create_case(made, [opened()]).reference
            add_words(str(reference), "note", ["before"], by="vell")
            answered, open_form = ["before"], None
        name = Path(str(reference)).name
        page = f"/case/{name}/enter/note"
        with socket.socket() as listening:
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            listening.bind(("127.0.0.1", 0))
            listening.listen()
            port = listening.getsockname()[1]
            entrance = Entrance(port)
            child = serving(shelf, listening, entrance)
        browser = Browser(port, entrance)
        killer = None
        try:
            if open_form is not None:
                body, text = open_form
                status, _ = browser.ask(page, body)
                again += 1
                assert status in (SEE_OTHER, MOVED_ON), status
                assert told(reference).count(text) == 1, "sent once more, it is there once"
                answered.append(text)
                open_form = None
            browser.ask(page)  # the server is up
            wait_s = chance.uniform(0, SHORT_RUN_S if cycle % 3 else LONGEST_RUN_S)
            killer = threading.Timer(wait_s, os.kill, (child, signal.SIGKILL))
            while True:
                count += 1
                text = f"note {count}"
                body = browser.form(page, text=text)
                open_form = (body, text)
                if killer.ident is None:
                    killer.start()  # with the first form that is sent
                status, _ = browser.ask(page, body)
                assert status == SEE_OTHER, status
                answered.append(text)
                open_form = None
        except OSError:
            inside += open_form is not None
        finally:
            if killer is not None and killer.ident is not None:
                killer.join()
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
        there = told(reference)
        unsure = [] if open_form is None else [open_form[1]]
        assert there in (answered, answered + unsure), "lost, doubled, or half there"
    assert inside > kills // 4, "hardly a kill fell into a form that was sent"
    assert again > kills // 5


def shelf_of(place: JournalPlace) -> Shelf:
    create_case("first", [opened()])
    return JournalShelf()


@pytest.mark.timeout(1200)
def test_kills_of_the_server_lose_and_double_nothing(place: JournalPlace) -> None:
    kill_often(shelf_of(place), "journal", KILLS["sqlite" if place.file else "postgresql"][0])
    assert verify_place(place).faults == ()


@pytest.mark.timeout(1200)
def test_kills_of_the_server_on_case_files_lose_and_double_nothing(tmp_path: Path) -> None:
    kill_often(FolderShelf(tmp_path), "file", KILLS["sqlite"][0])


@pytest.mark.slow
@pytest.mark.timeout(14400)
def test_many_kills_of_the_server_lose_and_double_nothing(place: JournalPlace) -> None:
    kill_often(shelf_of(place), "journal", KILLS["sqlite" if place.file else "postgresql"][1])
    assert verify_place(place).faults == ()
