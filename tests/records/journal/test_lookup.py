"""Across the cases of a journal: search, what is due, how cases ended; on both databases."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import select
from tests.records.case_entries import entry, opened

from tankside.case import Entry
from tankside.errors import BadInput
from tankside.records.case_store import append_entries, create_case, read_case
from tankside.records.journal.case_words import near_words, slips
from tankside.records.journal.opening import open_journal
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.rebuild import rebuild
from tankside.records.journal.schema import CASE_WORD
from tankside.records.journal.verify import verify_place
from tankside.report.records_lookup_text import NO_RATES, due_text, outcomes_json, outcomes_text
from tankside.services.records_lookup import due_list, outcomes, search_cases

DAY = "2026-03-05T12:00+00:00"


def stock(number: int, name: str, **more: object) -> Entry:
    group = name.lower().replace(" ", "_")
    return entry(number, "stock", group=group, name=name, count=12, **more)


def diagnosed(number: int, condition: str, state: str = "suspected") -> Entry:
    return entry(number, "diagnosis_confirmed", condition=condition, state=state, shown_by="eye")


def salted(number: int, days: int = 3) -> Entry:
    """A course from 2 March, with two steps on its first day and one on each other."""
    hours = [18, 20, *(18 + 24 * day for day in range(1, days))]
    steps = [{"kind": "salt", "at_h": hour, "body": "main"} for hour in hours]
    course = {"version": 1, "name": "salt", "days": days, "actions": steps, "labels": []}
    return entry(
        number, "course_chosen", name="salt", starts_at="2026-03-02T00:00+00:00", course=course
    )


@pytest.fixture
def cases(place: JournalPlace) -> JournalPlace:
    create_case("elm", [
        opened(), entry(2, "system", system="main", name="Reading room"),
        stock(3, "cardinal tetra"), diagnosed(4, "ICH"), salted(5),
    ])  # fmt: skip
    create_case("oak", [
        opened("Łódź Lane", "Ann Reed"), stock(2, "clown loach", host="chromobotia_macracanthus"),
        entry(3, "agent_in_water", agent="copper_sulphate",
              amount_state="keeper_does_not_know"),
    ])  # fmt: skip
    return place


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("elm", ["elm"]), ("ELM road", ["elm"]), ("lodz", ["oak"]), ("lane", ["oak"]), ("ód", []),
        ("reading", ["elm"]), ("readng roam", ["elm"]), ("reed", ["oak"]), ("ann", ["oak"]),
        ("marta", ["elm"]), ("martha", ["elm"]), ("vel", ["elm"]), ("ich", ["elm"]),
        ("white spot", ["elm"]), ("Ichthyophthirius multifiliis", ["elm"]),
        ("ichtyophtirius", ["elm"]), ("paracheirodon", ["elm"]), ("axelrodi", ["elm"]),
        ("botia macracanthus", ["oak"]), ("loach", ["oak"]), ("salt", ["elm"]),
        ("copper", ["oak"]), ("elm copper", []), ("road lane", []), ("zzz", []),
    ],
)  # fmt: skip
def test_a_search_finds_the_cases_that_fit_every_word(
    cases: JournalPlace, text: str, labels: list[str]
) -> None:
    assert [case.label for case in search_cases(text)] == labels


@pytest.mark.parametrize("text", ["", "  ", "%", "_", "x" * 201, "\u202e"])
def test_a_search_for_nothing_is_refused(cases: JournalPlace, text: str) -> None:
    with pytest.raises(BadInput, match="E-WORD-02"):
        search_cases(text)


def test_a_corrected_name_is_found_and_the_old_one_is_not(cases: JournalPlace) -> None:
    stored = read_case("oak")
    said = {"id": 2, "kind": "stock", "group": "clown_loach", "name": "weather loach", "count": 3,
            "occurred_at": DAY, "recorded_at": "2026-03-30T10:00:00Z", "by": "me"}  # fmt: skip
    append_entries(stored, [entry(4, "correction", of=2, reason="it is another", replacement=said)])
    assert [case.label for case in search_cases("weather")] == ["oak"]


LETTERS = st.text("abcdeth", min_size=4, max_size=9)


@given(LETTERS, LETTERS)
@settings(max_examples=300, deadline=None)
def test_slips_are_counted_as_by_the_published_recurrence(first: str, second: str) -> None:
    """Optimal string alignment (Damerau 1964; Wagner & Fischer 1974), written out whole."""
    table = [[max(i, j) if min(i, j) == 0 else 0 for j in range(len(second) + 1)]
             for i in range(len(first) + 1)]  # fmt: skip
    for i in range(1, len(first) + 1):
        for j in range(1, len(second) + 1):
            cost = first[i - 1] != second[j - 1]
            table[i][j] = min(table[i - 1][j] + 1, table[i][j - 1] + 1, table[i - 1][j - 1] + cost)
            if i > 1 and j > 1 and first[i - 1] == second[j - 2] and first[i - 2] == second[j - 1]:
                table[i][j] = min(table[i][j], table[i - 2][j - 2] + 1)
    expected = table[-1][-1]
    assert min(slips(first, second, 2), 3) == min(expected, 3)
    allowed = 1 if len(first) < 8 else 2
    assert bool(near_words(first, [second])) == (expected <= allowed)


def test_days_without_an_answer_are_overdue_then_due(cases: JournalPlace) -> None:
    """Steps on 2, 3 and 4 March; the day after, the course is over."""
    asked = due_list(on="2026-03-03")
    assert [(c.label, c.due_on.isoformat(), c.steps, c.days) for c in asked.overdue] == [
        ("elm", "2026-03-02", 2, 2)
    ]
    assert asked.due == ()
    assert due_list(on="2026-03-01").overdue == ()
    assert due_text(due_list(on="2026-03-01")) == "Nothing is due."
    ahead = due_list(on="2026-03-01", days=1)
    assert [c.due_on for c in ahead.due] == [date(2026, 3, 2)]
    assert due_text(asked).startswith("OVERDUE: 1\n")


def test_an_answered_day_a_decision_and_the_end_take_a_case_off_the_list(
    cases: JournalPlace,
) -> None:
    stored = append_entries(read_case("elm"), [
        entry(6, "action_done", action="salt", state="done", step="A0-1"),
        entry(7, "action_done", action="salt", state="not_done",
              occurred_at="2026-03-03T18:30+00:00"),
    ])  # fmt: skip
    (waiting,) = due_list(on="2026-03-10").overdue
    assert (waiting.due_on, waiting.days) == (date(2026, 3, 4), 2)
    late = entry(8, "note", occurred_at="2026-03-06T10:00+00:00")
    stored = append_entries(stored, [late])
    (waiting,) = due_list(on="2026-03-10").overdue
    assert (waiting.what, waiting.days) == ("course_day", 1)
    stopped = entry(9, "decision", what="stop", reason="clear", occurred_at=late.occurred_at)
    append_entries(stored, [stopped])
    assert due_list(on="2026-03-10").overdue == ()


def close(label: str, outcome: str, deaths: int) -> None:
    create_case(label, [
        opened(label), stock(2, "cardinal tetra"), diagnosed(3, "ICH"),
        entry(4, "death", number=deaths, group="cardinal_tetra", occurred_at=DAY),
        entry(5, "closed", outcome=outcome, occurred_at="2026-03-12T12:00+00:00"),
    ])  # fmt: skip


def test_no_rate_is_told_of_fewer_than_five_closed_cases(cases: JournalPlace) -> None:
    for number, outcome in enumerate(("clear", "clear", "died", "clear")):
        close(f"case {number}a", outcome, number)
    every = outcomes_json(outcomes())["outcomes"]
    assert isinstance(every, list)
    (ich,) = [row for row in every if row["name"] == "ich"]
    assert (ich["cases"], ich["closed"], ich["rates"], ich["median_days"]) == (5, 4, False, None)
    assert all(NO_RATES in line for line in outcomes_text(outcomes()).splitlines())
    close("case 9a", "clear", 2)
    line = next(x for x in outcomes_text(outcomes()).splitlines() if x.startswith("condition ich"))
    assert line == (
        "condition ich: 6 cases, 5 closed; clear 4 of 5 (80 %); died 1 of 5 (20 %); "
        "median 10 days; 8 of 60 fish died where they were counted"
    )


def test_what_is_looked_up_is_made_anew_from_the_entries(cases: JournalPlace) -> None:
    before = [search_cases("elm"), due_list(on="2026-03-10"), outcomes()]
    assert verify_place(cases).faults == ()
    rebuild(open_journal(cases))
    assert [search_cases("elm"), due_list(on="2026-03-10"), outcomes()] == before
    assert verify_place(cases).faults == ()


def test_no_name_of_a_person_stands_among_the_words(cases: JournalPlace) -> None:
    with open_journal(cases).reading() as connection:
        words = set(connection.execute(select(CASE_WORD.c.word)).scalars())
    assert "cardinal" in words
    assert not {"vell", "marta", "reed", "ann"} & words
