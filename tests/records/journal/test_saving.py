"""What somebody saw travels with what they do, and the same told twice is told once (D5)."""

from __future__ import annotations

import random
from itertools import count
from multiprocessing import get_context
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule, run_state_machine_as_test
from tests.records.case_entries import entry, opened

from tankside.case import to_object
from tankside.errors import BadInput, CouldNotSave
from tankside.records.case_store import create_case, read_case
from tankside.records.journal.place import JournalPlace
from tankside.records.journal.verify import verify_place
from tankside.services.cases import add_words, correct
from tankside.services.saving import Sent

BY = "Ruth Hale"
COPPER = ("agent=copper_sulphate", "amount=0.2 mg/L")
DAY = "on=2026-03-05T12:00"


@pytest.fixture(params=["file", "journal"])
def case(request: pytest.FixtureRequest, tmp_path: Path, place: JournalPlace) -> str | Path:
    """Give the reference of a case with an opening and five notes, in each store."""
    reference = tmp_path / "elm.jsonl" if request.param == "file" else "elm"
    create_case(reference, [opened(), *map(entry, range(2, 7))])
    return reference


def decide(case: str | Path, seen: int | None, *more: str) -> None:
    words = ("go_on", "reason=fewer spots", DAY, *more)
    add_words(case, "decision", words, by=BY, sent=Sent(seen))


def test_a_decision_on_what_was_seen_is_refused_when_the_case_holds_more(case: str | Path) -> None:
    add_words(case, "event", ("what=copper pipe put in", DAY), by=BY)
    add_words(case, "note", ("what it was",), by=BY)
    with pytest.raises(CouldNotSave, match="E-WEB-04") as refused:
        decide(case, 6)
    assert "7 event, 8 note" in str(refused.value)
    assert refused.value.given.endswith("seen at entry 6, now at 8")
    assert read_case(case).version == 8
    decide(case, 8)
    assert read_case(case).version == 9


def test_a_version_that_was_never_there_is_refused(case: str | Path) -> None:
    with pytest.raises(CouldNotSave, match="E-WEB-04"):
        decide(case, 7)


def test_a_correction_rests_on_what_was_seen(case: str | Path) -> None:
    add_words(case, "note", ("newer",), by=BY)
    with pytest.raises(CouldNotSave, match="E-WEB-04"):
        correct(case, 2, None, (), reason="wrong", by=BY, sent=Sent(6))
    assert correct(case, 2, None, (), reason="wrong", by=BY, sent=Sent(7)).stored.version == 8


def test_a_plain_addition_goes_behind_what_others_wrote(case: str | Path) -> None:
    add_words(case, "note", ("theirs",), by=BY, sent=Sent(6))
    added = add_words(case, "note", ("mine",), by=BY, sent=Sent(6))
    assert (added.new[0].id, added.stored.version) == (8, 8)


def test_the_same_deaths_told_twice_are_refused_and_said_once_more_are_taken(
    case: str | Path,
) -> None:
    add_words(case, "death", ("2", DAY), by=BY)
    for by in (BY, "somebody else"):
        with pytest.raises(BadInput, match="E-DUP-03") as refused:
            add_words(case, "death", ("2", DAY), by=by)
        assert "entry 7" in str(refused.value)
    add_words(case, "death", ("2", "on=2026-03-05T12:10"), by=BY)
    add_words(case, "death", ("2", DAY), by=BY, sent=Sent(again=True))
    add_words(case, "death", ("1", DAY), by=BY)
    assert [e.kind for e in read_case(case).entries[6:]] == ["death"] * 4


def test_what_does_not_add_up_may_be_told_twice(case: str | Path) -> None:
    for _ in range(2):
        add_words(case, "death", ("0", DAY), by=BY)
        add_words(case, "event", ("none", DAY), by=BY)
        add_words(case, "finding", ("flashing=none", DAY), by=BY)
    assert read_case(case).version == 12


def test_a_key_sent_again_is_one_save_though_the_case_went_on(place: JournalPlace) -> None:
    create_case("elm", [opened()])
    sent = Sent(submission="k1")
    first = add_words("elm", "death", ("2", DAY), by=BY, sent=sent)
    add_words("elm", "note", ("between",), by=BY)
    again = add_words("elm", "death", ("2", DAY), by=BY, sent=sent)
    assert (again.stored.version, again.stored.entries) == (2, first.stored.entries)
    assert read_case("elm").version == 3
    with pytest.raises(BadInput, match="E-DUP-02"):
        add_words("elm", "death", ("3", DAY), by=BY, sent=sent)


def _add_plainly(case: str, writer: int, times: int) -> None:
    random.seed(writer)
    for number in range(times):
        add_words(case, "note", (f"{writer}:{number}",), by=BY)


@pytest.mark.parametrize("writers", [3, pytest.param(20, marks=pytest.mark.slow)])
def test_no_plain_addition_is_refused_however_many_write(case: str | Path, writers: int) -> None:
    times = 8
    context = get_context("fork")
    started = [context.Process(target=_add_plainly, args=(case, n, times)) for n in range(writers)]
    for process in started:
        process.start()
    for process in started:
        process.join()
    assert [process.exitcode for process in started] == [0] * writers
    said = [str(to_object(e)["text"]) for e in read_case(case).entries[6:]]
    assert sorted(said) == sorted(f"{n}:{i}" for n in range(writers) for i in range(times))


KEYS = count()


class PeopleWhoSeeAndDecide(RuleBasedStateMachine):
    """People look, tell, decide and send again in any order."""

    @initialize(many=st.integers(2, 3))
    def begin(self, many: int) -> None:
        self.label = f"case-{next(KEYS)}"
        create_case(self.label, [opened()])
        self.seen = [1] * many
        self.version = 1
        self.keys: list[tuple[str, str]] = []

    @rule(who=st.integers(0, 1))
    def look(self, who: int) -> None:
        self.seen[who] = read_case(self.label).version

    @rule(who=st.integers(0, 1), keyed=st.booleans())
    def tell(self, who: int, keyed: bool) -> None:
        key = f"{self.label}-{next(KEYS)}"
        sent = Sent(self.seen[who], submission=key if keyed else None)
        add_words(self.label, "note", (key,), by=BY, sent=sent)
        self.version += 1
        if keyed:
            self.keys.append((key, key))

    @rule(who=st.integers(0, 1))
    def decide(self, who: int) -> None:
        fresh = self.seen[who] == self.version
        try:
            decide(self.label, self.seen[who])
        except CouldNotSave as refused:
            if fresh or refused.code != "E-WEB-04":
                raise  # a decision on the present version was refused
            return
        assert fresh, "a decision on an older version was taken"
        self.version += 1

    @rule(which=st.integers(0, 5))
    def send_again(self, which: int) -> None:
        if self.keys:
            key, text = self.keys[which % len(self.keys)]
            add_words(self.label, "note", (text,), by=BY, sent=Sent(submission=key))

    def teardown(self) -> None:
        if hasattr(self, "label"):
            assert read_case(self.label).version == self.version


@pytest.mark.parametrize("examples", [15, pytest.param(2000, marks=pytest.mark.slow)])
@pytest.mark.timeout(7200)
def test_in_any_order_no_decision_rests_on_an_older_version(
    place: JournalPlace, examples: int
) -> None:
    run_state_machine_as_test(
        PeopleWhoSeeAndDecide,
        settings=settings(
            max_examples=examples, stateful_step_count=10, deadline=None,
            suppress_health_check=list(HealthCheck), database=None,
        ),
    )  # fmt: skip
    assert verify_place(place).faults == ()
