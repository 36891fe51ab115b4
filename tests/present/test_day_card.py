"""The day card: complete, short enough to paste, one page with large amounts."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date

import pytest
from pypdf import PdfReader
from tests.display_rules import display_faults

from tankside.course import Caution, CourseRun, Level
from tankside.present import day_card_pdf, day_card_text
from tankside.present.amounts import pieces
from tankside.present.clock import CaseClock
from tankside.present.day_card import CardHead, DayCard, day_card

HOSTILE = ('#read("/etc/passwd")', "*b* $x$ <script>alert(1)</script>", "O'Brien & Łódź", "{{7*7}}")


@pytest.fixture
def card(run: CourseRun, clock: CaseClock, day_one: date, head: CardHead) -> DayCard:
    return day_card(run, clock, day_one, head)


def sized_text(pdf: bytes) -> list[tuple[float, str]]:
    """Return (size in pt, text) of every stretch of text in a PDF."""
    stretches: list[tuple[float, str]] = []

    def visit(text: str, cm: list[float], tm: list[float], font: object, size: float) -> None:
        if text.strip():
            stretches.append((abs(size * tm[3] * cm[3]), text))

    for page in PdfReader(io.BytesIO(pdf)).pages:
        page.extract_text(visitor_text=visit)
    return stretches


def all_text(pdf: bytes) -> str:
    pages = PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_lines_of_the_day_stand_under_morning_and_evening(card: DayCard) -> None:
    morning, evening = card.parts
    assert [line.at for line in morning.lines] == ["08:00", "08:00"]
    assert [line.at for line in evening.lines] == ["18:00", "18:00", "", ""]
    assert card.number == 1


def test_every_amount_on_the_card_is_one_of_the_course(run: CourseRun, card: DayCard) -> None:
    """173 L x 2 g/L is 346 g in two steps; 40 L back at 2 g/L takes 80 g (arithmetic)."""
    shown = [amount for part in card.parts for line in part.lines for amount in line.amounts]
    assert [text.replace("\N{NO-BREAK SPACE}", " ") for text in shown] == ["173 g", "80 g"]
    assert set(shown) <= {amount.text for amount in run.amounts}


def test_a_day_without_a_step_names_the_next(
    run: CourseRun, clock: CaseClock, head: CardHead
) -> None:
    card = day_card(run, clock, date(2026, 3, 20), head)
    assert card.next_on == "Nothing else today. Next: Fri 27 Mar 2026."
    assert "put carbon back into the filter" in card.do_not


def test_the_temperature_is_asked_for_when_no_step_does(
    run: CourseRun, clock: CaseClock, head: CardHead
) -> None:
    card = day_card(run, clock, date(2026, 3, 20), head)
    assert any("thermometer" in line.text for line in card.parts[0].lines)


def test_each_message_is_short_enough_to_paste_and_says_which_it_is(card: DayCard) -> None:
    messages = day_card_text.as_messages(card)
    assert len(messages) == 2
    for number, message in enumerate(messages, 1):
        assert len(message) < 1500
        assert message.startswith(f"DAY CARD {number}/2 Tue 17 Mar 2026, day 1\n")
        assert "Plan 2: Salt at 2" in message
        assert "Not valid after Wed 18 Mar 2026 12:00" in message
    text = day_card_text.as_text(card)
    for needed in ("DO NOT", "CALL IF", "tear it up"):
        assert text.count(needed) == 1


def test_a_card_that_fits_is_a_single_message_without_a_number(
    run: CourseRun, clock: CaseClock, head: CardHead
) -> None:
    card = day_card(run, clock, date(2026, 3, 20), head)
    (message,) = day_card_text.as_messages(card)
    assert message.startswith("DAY CARD Fri 20 Mar 2026, day 4\n")


@pytest.mark.parametrize("length", [200, 1400, 4000])
def test_no_line_gives_way_however_long_the_card_is(card: DayCard, length: int) -> None:
    """A line longer than a message is parted between words; no other line ever is."""
    long_line = " ".join(f"w{number}" for number in range(length // 5))
    do_not = (*card.do_not, long_line, "the last thing")
    long_head = replace(card.head, plan="p" * 200, made="m" * 150)
    messages = day_card_text.as_messages(replace(card, head=long_head, do_not=do_not))
    assert all(len(message) < 1500 for message in messages)
    rows = "\n".join(messages).replace("\N{NO-BREAK SPACE}", " ")
    lines = [line.text for part in card.parts for line in part.lines]
    for words in (*lines, *card.do_not, "the last thing", *card.call_if, *card.handling[0].lines):
        assert words.replace("\N{NO-BREAK SPACE}", " ") in rows
    assert all(word in rows.split() for word in long_line.split())


def test_each_message_says_whose_it_is_and_that_its_steps_are_forbidden(card: DayCard) -> None:
    messages = day_card_text.as_messages(replace(card, stops=("Shrimps came in.",)))
    assert len(messages) == 2
    for message in messages:
        assert "Mill Race, B. Tierney" in message
        assert "STOP. Do nothing of this before you have called." in message


def test_each_sheet_of_paper_says_whose_it_is_and_that_its_steps_are_forbidden(
    card: DayCard,
) -> None:
    """A second sheet may come to lie alone."""
    cautions = tuple(f"CARE: watch fish number {number}." for number in range(30))
    long = replace(card, stops=("Shrimps came in.",), cautions=cautions)
    pages = PdfReader(io.BytesIO(day_card_pdf.as_pdf(long))).pages
    assert len(pages) == 2
    for page in pages:
        text = " ".join(page.extract_text().split())
        for needed in (
            "Tue 17 Mar 2026, day 1", "Mill Race, B. Tierney", "Plan 2", "Not valid after",
            "STOP. Do nothing of this before you have called.",
        ):  # fmt: skip
            assert needed in text


def test_text_and_pdf_keep_the_display_rules(card: DayCard) -> None:
    assert display_faults(day_card_text.as_text(card)) == ()


def test_the_pdf_is_one_page_with_body_12_pt_and_amounts_18_pt(card: DayCard) -> None:
    pdf = day_card_pdf.as_pdf(card)
    assert len(PdfReader(io.BytesIO(pdf)).pages) == 1
    sizes = sized_text(pdf)
    assert min(size for size, _ in sizes) >= 11.99
    wanted = [p.text for part in card.parts for ln in part.lines for p in pieces(ln.text)
              if p.is_amount]  # fmt: skip
    large = "".join(text for size, text in sizes if size >= 17.99)
    assert wanted
    for amount in wanted:
        assert amount.replace("\N{NO-BREAK SPACE}", " ") in large.replace("\N{NO-BREAK SPACE}", " ")


def test_the_pdf_carries_all_that_a_card_must(card: DayCard) -> None:
    text = all_text(day_card_pdf.as_pdf(card))
    for needed in (
        "Tue 17 Mar 2026, day 1",
        "MORNING",
        "EVENING",
        "DO NOT",
        "CALL IF",
        "Plan 2",
        "Replaces plan 1: tear it up.",
        "Not valid after Wed 18 Mar 2026 12:00",
        "In danger now?",
        "Page 1 of 1",
        "Case entry 41.",
    ):
        assert needed in text


def test_the_pdf_is_black_on_white(card: DayCard) -> None:
    page = PdfReader(io.BytesIO(day_card_pdf.as_pdf(card))).pages[0]
    contents = page.get_contents()
    assert contents is not None
    words = contents.get_data().decode("latin-1").split()
    colours = {word for word in words if word in ("rg", "RG", "k", "K")}
    greys = {words[at - 1] for at, word in enumerate(words) if word in ("g", "G", "scn", "SCN")}
    assert colours == set()
    assert greys <= {"0", "1"}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_is_printed_as_it_stands(card: DayCard, name: str) -> None:
    text = all_text(day_card_pdf.as_pdf(replace(card, head=replace(card.head, place=name))))
    assert " ".join(name.split()) in text
    assert "root:" not in text


def test_what_forbids_the_course_stands_first_on_paper_and_in_text(
    run: CourseRun, clock: CaseClock, head: CardHead, day_one: date
) -> None:
    blocked = Caution(
        Level.BLOCKED, "E-DOSE-26", "Shrimps came in.", "It kills them.", "", "Move them out.",
        body="main", agent="formalin",
    )  # fmt: skip
    made = day_card(replace(run, safety=(blocked,)), clock, day_one, head)
    assert made.stops == ("Shrimps came in. Move them out.",)
    text = day_card_text.as_text(made)
    assert text.index("STOP") < text.index("MORNING")
    printed = all_text(day_card_pdf.as_pdf(made))
    assert printed.index("STOP.") < printed.index("MORNING")
    assert "Shrimps came in. Move them out." in printed


def test_the_same_card_gives_the_same_bytes(card: DayCard) -> None:
    assert day_card_pdf.as_pdf(card) == day_card_pdf.as_pdf(card)


def test_an_invented_case_says_so_on_paper_and_in_text(card: DayCard) -> None:
    example = replace(card, head=replace(card.head, example=True))
    assert "EXAMPLE" in day_card_text.as_text(example)
    assert "EXAMPLE: an invented tank" in all_text(day_card_pdf.as_pdf(example))


def test_what_goes_with_an_amount_stands_on_the_card_in_text_and_on_paper(card: DayCard) -> None:
    """Salt is of low hazard: what its file calls not needed is left out, the rest stands."""
    (salt,) = card.handling
    assert salt.title == "HANDLING sodium chloride: hazard low"
    assert [line.partition(":")[0] for line in salt.lines] == ["Splashed", "Store"]
    printed = all_text(day_card_pdf.as_pdf(card))
    text = day_card_text.as_text(card).replace("\N{NO-BREAK SPACE}", " ")
    for line in (salt.title, *salt.lines):
        assert line in text or line.startswith("Store:")
        assert line in printed


def test_a_plan_whose_ground_has_changed_says_so_on_paper_and_in_text(card: DayCard) -> None:
    moved = replace(card, changed=("a limit: was 5 g/L, is 4 g/L",))
    printed = all_text(day_card_pdf.as_pdf(moved))
    for text in (day_card_text.as_text(moved).replace("\N{NO-BREAK SPACE}", " "), printed):
        assert "has changed since, so make a new plan before going on: a limit: was 5 g/L" in text
        assert text.index("has changed since") < text.index("MORNING")
    assert "has changed since" not in all_text(day_card_pdf.as_pdf(card))


def test_a_day_without_an_amount_has_nothing_to_handle(
    run: CourseRun, clock: CaseClock, head: CardHead
) -> None:
    assert day_card(run, clock, date(2026, 3, 20), head).handling == ()


def test_why_an_amount_passes_the_usual_limit_stands_beside_it(
    run: CourseRun, clock: CaseClock, day_one: date, head: CardHead
) -> None:
    amounts = tuple(replace(amount, reason="asked for by the vet") for amount in run.amounts)
    made = day_card(replace(run, amounts=amounts), clock, day_one, head)
    reason = "(Above the usual limit, because: asked for by the vet.)"
    assert day_card_text.as_text(made).count(reason) == 2
    assert all_text(day_card_pdf.as_pdf(made)).count(reason) == 2
    assert reason not in day_card_text.as_text(day_card(run, clock, day_one, head))
