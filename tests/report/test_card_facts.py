"""Every form of a card carries the same facts: page, paper, text to paste, JSON.

The facts are taken from the run of the course, its cautions and the knowledge of its substances,
not from any writer; each is looked up in each form with white space and blanks to fill in left out,
since paper and page break lines where they like and draw a rule for a blank.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, time, timedelta
from pathlib import Path
from types import ModuleType

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient
from tests.report.drawn_cards import FIRST, MadeCard, make_card
from tests.report.test_three_forms import words_of
from tests.served_pages import served

from tankside.case.parts import Reading
from tankside.course import DayLine, Level
from tankside.course.actions import TakeReading
from tankside.present import day_card_pdf, day_card_text
from tankside.present.card_sheet import CardSheet, sheet_of
from tankside.present.day_card import CALL_IF, EMERGENCY, EVERY_DAY, DayCard
from tankside.report import day_card, page_day
from tankside.services.today import TodayAnswer, today

FEW, MANY = 20, 200
FULL = 9
"""Number of a card with an amount, its handling and a caution."""
TWO = 7
"""Number of a card with two amounts."""


def squeezed(text: str) -> str:
    """Leave out white space and the sign of a blank to fill in."""
    return "".join(text.replace("_", "").split())


def facts(answer: TodayAnswer) -> dict[str, tuple[str, ...]]:
    """Return what a reader must find, each fact as the phrases that say it."""
    run, at_tank = answer.running.run, answer.running.clock
    named: dict[str, tuple[str, ...]] = {}
    for line in run.lines:
        if at_tank.day_of(line.hour) == answer.day:
            named |= of_a_step(answer, line)
    for number, caution in enumerate((*answer.cautions, *run.blocked)):
        named[f"caution {number}"] = (caution.words, caution.what_instead)
    for number, words in enumerate(answer.remarks):
        named[f"remark {number}"] = (words,)
    for number, words in enumerate((*EVERY_DAY, *CALL_IF, EMERGENCY)):
        named[f"always {number}"] = (words,)
    return named | of_the_card(answer)


def of_a_step(answer: TodayAnswer, line: DayLine) -> dict[str, tuple[str, ...]]:
    """Return what a step asks: when, what, how much by which sum, and how to handle it."""
    run, wall = answer.running.run, answer.running.clock.local(line.hour)
    words = f"{wall:%H:%M} {answer.running.names[line.action]}: {line.text}"
    named: dict[str, tuple[str, ...]] = {f"step {line.action}": (words,)}
    action = run.course.actions[line.action]
    for name in action.names if isinstance(action, TakeReading) else ():
        named[f"blank {line.action} {name}"] = (f"{name} {typed_unit(answer, name)}",)
    for index in line.amounts:
        amount = run.amounts[index]
        named[f"amount {index}"] = (amount.text,)
        named[f"sum {index}"] = (amount.sum_text,)
        named[f"read back {index}"] = (amount.read_back,)
        for field, words in amount.handling:
            if field != "hazard" and not words.startswith("Not needed"):
                named[f"handling {amount.agent} {field}"] = (words,)
        named[f"law {amount.agent}"] = answer.law[amount.agent]
    return named


def typed_unit(answer: TodayAnswer, name: str) -> str:
    """Return the unit in which a reading of the case was typed; "" for pH, which has none."""
    main = answer.stored.view().main
    assert main is not None
    measured = main.readings[Reading(name)].measured
    assert measured is not None
    return "" if name == "ph" else measured.unit.text


def of_the_card(answer: TodayAnswer) -> dict[str, tuple[str, ...]]:
    """Return what a card says of itself: whose it is, which plan, until when, whether it holds."""
    followed, view = answer.running, answer.stored.view()
    noon = datetime.combine(answer.day + timedelta(days=1), time(12))
    version = followed.chosen.version
    named = {
        "day": (
            f"{answer.day:%a} {answer.day.day} {answer.day:%b %Y}, day {(answer.day - FIRST).days}",
        ),
        "keeper": (view.opened.keeper,),
        "plan": (f"Plan {version}", followed.chosen.name),
        "valid until": (f"Not valid after {noon:%a} {noon.day} {noon:%b %Y} 12:00",),
        "entry": (f"case entry {answer.stored.version},",),
    }
    if version > 1:
        named["tear"] = (f"Replaces plan {version - 1}: tear it up.",)
    if view.example:
        named["example"] = ("EXAMPLE",)
    if view.closed is not None:
        named["closed"] = ("CLOSED: clear",)
    if view.decisions and view.decisions[-1].what != "go_on":
        named["decided"] = (view.decisions[-1].what, "as was agreed")
    if answer.standing.course_ended is not None:
        named["ended"] = ("The course ended on Fri 13 Mar 2026.",)
    elif answer.standing.is_past:
        named["past"] = ("the card of a day that is past",)
    return named


def forms_of(made: MadeCard, answer: TodayAnswer, client: TestClient) -> dict[str, str]:
    """Return each form of a card as the text that a person (or a program) reads in it."""
    page = client.get(f"/case/{made.path.name}/day/{made.day.isoformat()}")
    assert page.status_code == 200, page.text
    shown = day_card.day_card_json(answer)
    assert json.loads(json.dumps(shown, allow_nan=False)) == shown
    messages = shown.pop("messages")
    shown.pop("text")
    assert isinstance(messages, list)
    assert all(len(message) < 1500 for message in messages)
    paper = PdfReader(io.BytesIO(day_card.paper_of_day(answer)))
    return {
        "page": words_of(page.text),
        "paper": " ".join(sheet.extract_text() for sheet in paper.pages),
        "text": "\n".join(messages),
        "json": " ".join(texts(shown)),
    }


def texts(shown: object) -> Iterator[str]:
    """Yield every text and number of a JSON answer in its order."""
    if isinstance(shown, dict):
        for value in shown.values():
            yield from texts(value)
    elif isinstance(shown, list):
        for value in shown:
            yield from texts(value)
    else:
        yield str(shown)


def missing(answer: TodayAnswer, forms: dict[str, str]) -> list[tuple[str, str, str]]:
    """List every fact that a form does not say: (form, fact, phrase)."""
    read = {form: squeezed(text) for form, text in forms.items()}
    return [
        (form, fact, phrase)
        for form, text in read.items()
        for fact, phrases in facts(answer).items()
        for phrase in phrases
        if squeezed(phrase) not in text
    ]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("cards")


@pytest.fixture(scope="module")
def client(folder: Path) -> TestClient:
    return served(folder)


def check(numbers: range, folder: Path, client: TestClient, patch: pytest.MonkeyPatch) -> None:
    """Hold cards to their facts; as a whole they must have had every kind of fact."""
    kinds: set[str] = set()
    for number in numbers:
        made = make_card(folder, number, patch)
        patch.setenv("TANKSIDE_NOW", made.asked_at)
        answer = today(made.path, made.day.isoformat())
        assert missing(answer, forms_of(made, answer, client)) == [], number
        kinds |= {fact.split(" ")[0] for fact in facts(answer)}
        kinds |= {"stop"} if answer.running.run.blocked else set()
        kinds |= {c.level.value for c in answer.cautions if c.level is not Level.BLOCKED}
    assert kinds >= {"step", "blank", "amount", "sum", "handling", "law", "caution", "tear",
                     "example", "ended", "past", "decided", "stop", "care", "remark"}  # fmt: skip


def test_20_cards_say_the_same_in_every_form(
    folder: Path, client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    check(range(FEW), folder, client, monkeypatch)


@pytest.mark.slow
def test_200_cards_say_the_same_in_every_form(
    folder: Path, client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    check(range(FEW, FEW + MANY), folder, client, monkeypatch)


Without = Callable[[CardSheet], CardSheet]


def without_the_last_line_of(title: str) -> Without:
    def shortened(sheet: CardSheet) -> CardSheet:
        sections = (
            replace(s, lines=s.lines[:-1]) if s.title.startswith(title) else s
            for s in sheet.sections
        )
        return replace(sheet, sections=tuple(sections))

    return shortened


@pytest.fixture
def full_card(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> tuple[MadeCard, TodayAnswer, TestClient]:
    """A card with an amount and a caution on it, and a client that shows it."""
    made = make_card(tmp_path, FULL, monkeypatch)
    monkeypatch.setenv("TANKSIDE_NOW", made.asked_at)
    answer = today(made.path, made.day.isoformat())
    kinds = {name.split(" ")[0] for name in facts(answer)}
    assert kinds >= {"amount", "sum", "handling", "caution"}
    return made, answer, served(tmp_path)


@pytest.mark.parametrize("writer", [day_card_text, day_card_pdf, page_day])
@pytest.mark.parametrize("title", ["TAKE CARE", "HANDLING", "DO NOT", "CALL IF", "THE SUMS"])
def test_a_line_that_a_single_writer_leaves_out_is_noticed(
    full_card: tuple[MadeCard, TodayAnswer, TestClient],
    monkeypatch: pytest.MonkeyPatch,
    writer: ModuleType,
    title: str,
) -> None:
    made, answer, client = full_card
    shortened = without_the_last_line_of(title)

    def cut(card: DayCard) -> CardSheet:
        return shortened(sheet_of(card))

    assert missing(answer, forms_of(made, answer, client)) == []
    monkeypatch.setattr(writer, "sheet_of", cut)
    lost = {form for form, _, _ in missing(answer, forms_of(made, answer, client))}
    assert lost == {{day_card_text: "text", day_card_pdf: "paper", page_day: "page"}[writer]}


@pytest.mark.parametrize("key", ["do_not", "call_if", "handling", "cautions", "lines", "foot"])
def test_what_json_leaves_out_is_noticed(
    full_card: tuple[MadeCard, TodayAnswer, TestClient],
    monkeypatch: pytest.MonkeyPatch,
    key: str,
) -> None:
    made, answer, client = full_card
    whole = day_card.day_card_json

    def cut(asked: TodayAnswer) -> dict[str, object]:
        return {name: value for name, value in whole(asked).items() if name != key}

    monkeypatch.setattr(day_card, "day_card_json", cut)
    assert {form for form, _, _ in missing(answer, forms_of(made, answer, client))} == {"json"}


def test_two_amounts_of_the_same_size_keep_their_substances(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = make_card(tmp_path, TWO, monkeypatch)
    answer = today(made.path, made.day.isoformat())
    run = answer.running.run
    same = tuple(
        replace(amount, text="5 mL", agent=f"agent {number}")
        for number, amount in enumerate(run.amounts)
    )
    alike = replace(answer, running=replace(answer.running, run=replace(run, amounts=same)))
    lines = json.loads(json.dumps(day_card.day_card_json(alike)))["lines"]
    agents = [amount["agent"] for line in lines for amount in line["amounts"]]
    assert len(agents) > 1
    assert len(set(agents)) == len(agents)
