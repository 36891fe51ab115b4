"""A card says the same on page, paper, in a message and in JSON; typed as a keeper's helper would.

What must stand in each form is written here from the entries and from the card's standing lines,
by hand; nothing expected is taken from a form of the program.
"""

from __future__ import annotations

import io
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
from icalendar import Calendar
from pypdf import PdfReader
from tests.report.test_card_facts import squeezed, texts
from tests.report.test_three_forms import words_of
from tests.scenarios.conftest import Ran, Typing, invoke
from tests.served_pages import served

OPENING = ["--name", "Quay Lane", "--keeper", "T. Orme", "--water", "fresh",
           "--zone", "Europe/London", "--opened", "2026-03-02"]  # fmt: skip
ROWS = [
    ["system", "inside-length=100 cm", "inside-width=50 cm", "water-height=40 cm",
     "hose=20 L/min for 10 min", "carbon=no", "uv=no", "plants=no", "invertebrates=no",
     "filter-ripe=yes", "food-fish=no", "tap=chlorine"],
    ["stock", "danio", "name=zebra danio", "host=danio_rerio", "count=10", "length=4 cm",
     "life-stage=adult", "gill-damage=no"],
    ["water", "temperature=77 F", "ph=7.4", "oxygen=7.5 mg/L", "kh=8 dH",
     "ammonia=0 mg/L as NH4", "nitrite=0 mg/L as NO2"],
    ["wet-mount", "skin-scrape", "fish=worst danio", "alive=yes", "slide-age=5 min",
     "m_big_ciliate=crescent_nucleus"],
    ["count", "group=danio", "fish=worst danio", "spots=12"],
    ["confirmed", "condition=ich", "shown-by=skin scrape"],
]  # fmt: skip
PLAN = ["--only", "sodium_chloride", "--strength", "sodium_chloride=1 g/L", "--change", "40 L",
        "--label", "sodium_chloride=pure", "--scale", "1 g"]  # fmt: skip
DO_NOT = (
    "stop because the spots are gone",
    "make up for a missed amount or give one twice",
    "add any other medicine or salt",
    "use this net, siphon or bucket at another tank",
)
FIRST_DAY = "2026-03-02"
FORMS = ("page", "paper", "text", "json")
Run = Callable[..., Ran]


@dataclass(frozen=True)
class TypedCard:
    """The card of one day in every form, white space left out."""

    forms: dict[str, str]
    messages: list[str]
    latest_page: str

    def says(self, words: str) -> dict[str, bool]:
        return {form: squeezed(words) in text for form, text in self.forms.items()}


ALL = dict.fromkeys(FORMS, True)
NONE = dict.fromkeys(FORMS, False)


def choose(path: Path) -> None:
    """Choose the salt course of the comparison."""
    compared = invoke("plan", str(path), *PLAN, "--json").answer["courses"]
    salted = next(course["id"] for course in compared if course["kind"] == "sodium_chloride")
    assert invoke("plan", str(path), "--choose", salted).code == 0


@pytest.fixture(scope="module")
def planned(typed: Typing) -> Path:
    """A case of 200 L with a salt course chosen on its first evening."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", "2026-03-02T16:00+00:00")
        path = typed("card-forms", [OPENING], ROWS)
        choose(path)
    return path


Card = Callable[..., TypedCard]


@pytest.fixture
def card(planned: Path, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Card:
    """Return a function that adds rows, then asks for the card of a day at a moment."""

    def ask(
        *rows: list[str], day: str = FIRST_DAY, now: str = "2026-03-02T19:00", again: bool = False
    ) -> TypedCard:
        monkeypatch.setenv("TANKSIDE_NOW", f"{now}+00:00")
        path = tmp_path / "quay.jsonl"
        shutil.copy(planned, path)
        for words in rows:
            assert run("case", "add", str(path), *words).code == 0, words
        if again:
            choose(path)
        asked = ("today", str(path), "--date", day)
        said = run(*asked)
        paper = tmp_path / "card.pdf"
        shown = run(*asked, "--pdf", str(paper), "--json").answer
        client = served(tmp_path)
        text = str(shown.pop("text"))
        assert said.out.strip() == text.strip()
        messages = shown.pop("messages", [text])
        forms = {
            "page": words_of(client.get(f"/case/quay.jsonl/day/{day}").text),
            "paper": " ".join(
                p.extract_text() for p in PdfReader(io.BytesIO(paper.read_bytes())).pages
            ),
            "text": text,
            "json": " ".join(texts(shown)),
        }
        latest = squeezed(words_of(client.get("/case/quay.jsonl/day").text))
        return TypedCard({form: squeezed(t) for form, t in forms.items()}, messages, latest)

    return ask


def test_no_line_of_what_not_to_do_is_cut_to_keep_a_message_short(card: Card) -> None:
    made = card()
    for words in DO_NOT:
        assert made.says(words) == ALL
    assert all(len(message) < 1500 for message in made.messages)
    assert [m.split("\n")[0].split(" ")[2] for m in made.messages] == ["1/2", "2/2"]


def test_what_to_heed_with_the_animals_stands_in_every_form(card: Card) -> None:
    """The knowledge calls salt a thing to take care with for danios."""
    assert card().says("Salt: care with zebra danio.") == ALL


def test_how_to_handle_the_substance_and_the_sum_stand_in_every_form(card: Card) -> None:
    made = card()
    assert made.says("Waste water: Salty water to the house drain") == ALL
    assert made.says("on the tool 200 g, which gives 1 g/L") == ALL


def test_whose_tank_it_is_and_what_to_do_in_danger_stand_in_every_form(card: Card) -> None:
    made = card()
    for words in ("Quay Lane, T. Orme", "In danger now? Air on, no food", "Made from case entry"):
        assert made.says(words) == ALL


@pytest.mark.parametrize("blank", ["temperature ____ F", "ammonia ____ mg/L as NH4",
                                   "nitrite ____ mg/L as NO2"])  # fmt: skip
def test_a_blank_takes_the_unit_that_the_case_is_typed_in(card: Card, blank: str) -> None:
    made = card(day="2026-03-04")
    assert made.says(blank) == ALL
    assert made.says("temperature ____ C") == NONE


def test_a_card_of_today_holds(card: Card) -> None:
    assert card().says("NOT VALID.") == NONE


def test_a_card_past_the_end_of_its_course_says_so_in_every_form(card: Card) -> None:
    made = card(now="2026-05-20T10:00")
    assert made.says("NOT VALID. The course ended on") == {**ALL, "json": False}
    assert made.says("The course ended on") == ALL
    assert "Thecourseendedon" in made.latest_page


def test_the_card_of_a_day_that_is_past_says_so_in_every_form(card: Card) -> None:
    past = "the card of a day that is past"
    assert card(now="2026-03-03T11:59").says(past) == NONE
    assert card(now="2026-03-03T12:01").says(past) == ALL


@pytest.mark.parametrize("what", ["stop", "end", "change", "wait"])
def test_a_newer_decision_makes_the_card_void_in_every_form(card: Card, what: str) -> None:
    decided = ["decision", what, "reason=spots gone"]
    made = card(decided)
    assert made.says(f"decided: {what}, because: spots gone") == ALL
    again = card(decided, ["decision", "go-on", "reason=they are back"])
    assert again.says("decided:") == NONE


def test_a_closed_case_makes_the_card_void_in_every_form(card: Card) -> None:
    assert card(["closed", "moved"]).says("CLOSED: moved") == ALL


def test_a_newer_course_tears_up_the_older_plan_in_every_form(card: Card) -> None:
    assert card().says("Replaces plan 1: tear it up.") == NONE
    day = "2026-03-03"
    again = card(day=day, now="2026-03-03T08:00", again=True)
    assert again.says("Replaces plan 1: tear it up.") == ALL


@pytest.mark.parametrize("row", [["decision", "stop", "reason=spots gone"], ["closed", "moved"]])
def test_what_ends_the_plan_cancels_its_later_steps_in_the_calendar(
    planned: Path, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, row: list[str]
) -> None:
    """RFC 5545, 3.8.1.11: an event that was sent is taken back with STATUS:CANCELLED."""
    path, calendar = tmp_path / "quay.jsonl", tmp_path / "course.ics"
    shutil.copy(planned, path)
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-03T10:00+00:00")
    assert run("case", "add", str(path), *row).code == 0
    assert run("today", str(path), "--ics", str(calendar)).code == 0
    events = Calendar.from_ical(calendar.read_bytes()).walk("VEVENT")
    status = {(event.decoded("DTSTART").date(), str(event["STATUS"])) for event in events}
    before = {state for day, state in status if day < date(2026, 3, 3)}
    after = {state for day, state in status if day > date(2026, 3, 3)}
    assert (before, after) == ({"CONFIRMED"}, {"CANCELLED"})
