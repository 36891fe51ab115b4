"""Tasks that need courses compared or counts weighed, walked on the pages of one case by number.

The case is the first scenario of the project's own testers (invented); its counts and days are
those of the scenario: last seen on day 7, not before day 15 by the slow cycle of 7.2 days at
25.5 C, and in the other branch 75 spots on day 10 after a stop on day 5.
"""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.scenarios import test_elm_road as elm
from tests.served_pages import RENEWS, served

from tankside.records.case_file import read_case
from tankside.services import cases

FILE = "elm.jsonl"
CASE = f"/case/{FILE}"
DAY_0, DAY_13 = "2026-03-02T18:30+00:00", "2026-03-15T18:30+00:00"
LONGEST_S = 600
pytestmark = [pytest.mark.slow, pytest.mark.timeout(2 * LONGEST_S)]


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    folder = tmp_path_factory.mktemp("courses")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", DAY_0)
        patch.setenv("XDG_DATA_HOME", str(folder / "data"))
        path = folder / FILE
        opening = cases.Opening("Elm Road", "Marta Vell", "fresh", "Europe/London",
                                opened="2026-03-02")  # fmt: skip
        cases.new_case(path, opening, by="test")
        rows = [*elm.TANK, elm.WATER, *elm.SEEN, ["label", "agent=salt", "strength=pure",
                "scale=1 g"]]  # fmt: skip
        for kind, *words in rows:
            cases.add_words(path, kind, words, by="test")
        yield served(folder)


def worked_out(client: TestClient, page: str) -> str:
    """Open a page until its work is done; return it."""
    began = time.monotonic()
    while RENEWS in (text := client.get(f"{CASE}/{page}").text):
        assert time.monotonic() - began < LONGEST_S, page
        time.sleep(2)
    return text


def words_of(page: str) -> str:
    plain = unescape(re.sub(r"<[^>]+>", " ", page)).replace("\N{NO-BREAK SPACE}", " ")
    return re.sub(r"\s+", " ", plain)


@pytest.fixture(scope="module")
def plans(client: TestClient) -> str:
    return worked_out(client, "plans")


@pytest.fixture(scope="module")
def followed(client: TestClient, plans: str) -> Path:
    """The case with salt chosen through its checks, one step missed and counts to day 5."""
    card = next(part for part in plans.split('class="plancard')[1:] if "salt to 2" in part)
    named = re.search(r'name="name" value="([^"]+)"', card)
    assert named
    sent = {"name": named[1], "label_read": "yes", "second": "R. Vell", "stop_signs": "gasping"}
    answer = client.post(f"{CASE}/start", data=sent)
    assert "DAY CARD" in words_of(answer.text)
    folder = client.app._inner.state.folder  # type: ignore[attr-defined]
    return Path(folder) / FILE


def test_t26_t32_t33_courses_stand_beside_doing_nothing_and_only_water(plans: str) -> None:
    """T26 what is possible, T32 compare plans, T33 nothing or only water is always among them."""
    text = words_of(plans)
    for words in ("water only", "no treatment", "salt to 2 g/L", "Not offered, with the reason",
                  "What speaks for care", "fish lost", "min a day"):  # fmt: skip
        assert words in text, words
    assert len(re.findall(r"clear in \d+ of 20, not clear in \d+ of 20", text)) > 4


def test_t32_two_are_laid_over_each_other_with_the_very_numbers_of_their_cards(
    client: TestClient, plans: str
) -> None:
    """T32 compare two: the drawing is of the histories that the cards count."""
    names = re.findall(r'name="name" value="([^"]+)"', plans)
    clear = re.findall(r"clear in ([a-z0-9 ]+ of 20), not", words_of(plans))
    page = worked_out(client, f"plans/over?first={names[0]}&second={names[2]}")
    text = words_of(page)
    assert f"A is clear in {clear[0]} runs in the end, B in {clear[2]}" in text
    assert page.count('role="img" aria-label="A, water only') == 2  # for the desk, for a phone
    assert "173 g" in text  # 1 g/L in 173 L, the first step of salt


def test_t32_a_course_put_together_by_hand_stands_beside_the_others_and_can_be_started(
    client: TestClient, plans: str
) -> None:
    """The others keep their numbers; water that the animals cannot bear is refused with why."""
    asked = "step=air&step=salt+%27to%3D1+g%2FL%27&step=siphon+%27litres%3D40+L%27+every%3D2"
    page = worked_out(client, f"plans?{asked}")
    text, before = words_of(page), words_of(plans)
    assert "yours: air stone, salt to 1 g/L in 1 step, bottom siphoned every 2 days" in text
    counted = r"clear in ([a-z0-9 ]+ of 20), not"
    left = re.findall(counted, text)
    for words in re.findall(counted, before):
        left.remove(words)  # each of the others with the number it had
    assert len(left) == 1
    (yours,) = re.findall(r'name="name" value="([^"]+\.yours[^"]*)"', page)
    check = client.get(f"{CASE}/start", params={"name": yours})
    assert check.status_code == 200
    assert "Salt" in words_of(check.text)
    hot = words_of(worked_out(client, "plans?step=warm+%27to%3D29+C%27"))
    assert "The course you put together is not offered" in hot
    assert "must not be warmed so far" in hot


def test_t36_a_missed_step_moves_the_dates_and_is_never_doubled(
    client: TestClient, followed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """T36 missed it."""
    step = re.search(r"/step/([A-Z0-9-]+)/answer", client.get(f"{CASE}/day/2026-03-03").text)
    assert step
    client.post(f"{CASE}/step/{step[1]}/answer", data={"state": "not_done", "reason": "away"})
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-04T18:30+00:00")
    for row in elm.TO_DAY_5[:2]:
        cases.add_words(followed, row[0], row[1:], by="test")
    assert "NEW DATES" in words_of(worked_out(client, "follow"))
    answer = client.post(f"{CASE}/redate", data={"form": ""})
    assert answer.status_code == 200, words_of(answer.text)[:900]
    assert len(read_case(followed).view().courses) == 2
    assert "Plan 2" in words_of(answer.text)


def test_t42_t43_zero_spots_on_day_5_is_no_reason_to_stop(
    client: TestClient, followed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """T42 is it going as it should, T43 stop, go on or change."""
    monkeypatch.setenv("TANKSIDE_NOW", DAY_13)
    for row in (*elm.TO_DAY_5[2:], *elm.BRANCH_Y[:4]):
        cases.add_words(followed, row[0], row[1:], by="test")
    text = words_of(worked_out(client, "follow"))
    assert "NOT BEFORE" in text
    assert "last seen on day 7" in text
    assert re.search(r"GO ON|EXTEND|WAIT", text)


def test_t44_it_came_back_names_what_to_examine_in_order(
    client: TestClient, followed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """T44 it came back: which of five."""
    monkeypatch.setenv("TANKSIDE_NOW", DAY_13)
    for row in (["count", "on=2026-03-15T18:00", "group=loach", "fish=worst loach", "spots=75"],
                ["count", "on=2026-03-15T18:00", "group=tetra", "spots=mean 20"],
                ["death", "3", "on=2026-03-15T18:00", "group=tetra"]):  # fmt: skip
        cases.add_words(followed, row[0], row[1:], by="test")
    assert "Examine, in this order" in words_of(worked_out(client, "follow"))
