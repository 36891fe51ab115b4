"""A case set up for simulation: parasite, fish, what is believed to be there, whom to count.

What a count stands for, and who is watched first, is worked out by hand in each test.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.lifecycle.tanks import stating

from tankside import library
from tankside.case import CaseView
from tankside.claims import Knowledge
from tankside.errors import NotPossible
from tankside.intake.assemble import assemble, midnight
from tankside.intake.case_seed import seed_of
from tankside.intake.situation import Wishes
from tankside.intake.trial_setup import set_up
from tankside.plan import Trial
from tankside.quantity.moment import parse_date
from tankside.records.case_file import read_case
from tankside.services.cases import Opening, add_words, new_case

FACTS = library.load()
WHITE_SPOT = "ichthyophthirius_multifiliis"
TANK = ("system", ["inside-length=90 cm", "inside-width=45 cm", "water-height=40 cm"])
WARM = ("water", ["temperature=25 C"])
TETRA = ("stock", ["tetra", "name=cardinal tetra", "count=12", "length=3 cm"])
LOACH = ("stock", ["loach", "name=clown loach", "count=2", "length=9 cm"])
ICH = ("suspected", ["condition=ich", "shown-by=eye"])
BASE = (TANK, WARM, TETRA, LOACH)
Rows = tuple[tuple[str, list[str]], ...]


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[Rows], CaseView]:
    monkeypatch.setenv("TANKSIDE_NOW", "2026-03-09T18:00+00:00")

    def typed(rows: Rows) -> CaseView:
        file = tmp_path / "elm.jsonl"
        new_case(file, Opening("Elm", "a keeper", "fresh", "UTC", "2026-03-02"), by="tester")
        for kind, words in rows:
            add_words(file, kind, words, by="tester")
        return read_case(file).view()

    return typed


def trial(view: CaseView, facts: Knowledge = FACTS, **more: Any) -> Trial:
    day = parse_date("2026-03-09", field="day")
    zero, last = midnight(view, day), view.last_moment(day)
    asked = {"organism": None, "seed": None, "labels": {}, "start": last, "work": last, **more}
    return set_up(assemble(view, facts, zero, at_start=False), **asked)


def test_the_parasite_is_the_one_behind_what_is_suspected(case: Any) -> None:
    assert trial(case((*BASE, ICH))).organism.id == WHITE_SPOT


def test_a_parasite_that_is_named_goes_before_what_is_suspected(case: Any) -> None:
    made = trial(case((*BASE, ICH)), organism="dactylogyrus_vastator")
    assert made.organism.id == "dactylogyrus_vastator"


def test_without_a_suspicion_the_likeliest_cause_of_what_was_seen_is_taken(case: Any) -> None:
    seen = ("wet-mount", ["skin-scrape", "m_big_ciliate=crescent_nucleus"])
    assert trial(case((*BASE, seen))).organism.id == WHITE_SPOT


def test_with_nothing_seen_and_nothing_suspected_there_is_nothing_to_simulate(case: Any) -> None:
    with pytest.raises(NotPossible) as refused:
        trial(case(BASE))
    assert refused.value.code == "E-FC-02"


def test_the_seed_is_that_of_the_case_unless_one_is_typed(case: Any) -> None:
    view = case((*BASE, ICH))
    assert trial(view).seed == seed_of(view)
    assert trial(view, seed=7).seed == 7
    assert trial(view, seed=0).seed == 0


def test_a_count_stands_for_what_an_eye_misses_within_the_spread_of_belief(case: Any) -> None:
    """Seen in the last half of the stay, 4 of 5 on the body, half of those counted: a fifth.

    44 spots are 220 parasites, by a factor of 3 either way. Nobody counted the tetras: from 1,
    by way of 20, up to what the loaches carry.
    """
    stated = stating(
        FACTS.organisms[WHITE_SPOT],
        trophont__visible_from=0.5, seen__body_share=0.8, seen__eye_detection=0.5,
    )  # fmt: skip
    facts = replace(FACTS, organisms={WHITE_SPOT: stated})
    assert facts.number("practice.forecast.burden_spread") == 3
    unseen = facts.claim("practice.forecast.unseen_burden")
    assert (unseen.bounds()[0], unseen.number()) == (1, 20)
    count = ("count", ["group=loach", "fish=worst loach", "spots=44"])
    made = trial(case((*BASE, ICH, count)), facts=facts)
    assert made.start.per_fish["loach"] == pytest.approx((220 / 3, 220, 660))
    assert made.start.per_fish["tetra"] == pytest.approx((1, 20, 220))


def test_the_group_with_a_count_is_watched_first_then_the_one_believed_to_carry_most(
    case: Any,
) -> None:
    count = ("count", ["group=loach", "fish=worst loach", "spots=1"])
    made = trial(case((*BASE, ICH, count)))
    assert made.start.per_fish["loach"][1] < made.start.per_fish["tetra"][1]
    assert made.situation.watched == ("loach", "tetra")


def test_a_count_after_the_moment_of_starting_is_not_yet_believed(case: Any) -> None:
    rows = (
        ("count", ["group=loach", "fish=worst loach", "spots=2", "on=2026-03-03"]),
        ("count", ["group=loach", "fish=worst loach", "spots=40", "on=2026-03-08"]),
    )
    view = case((*BASE, ICH, *rows))
    early = midnight(view, parse_date("2026-03-05", field="day"))
    first, last = trial(view, start=early).start, trial(view).start
    assert last.per_fish["loach"][1] == pytest.approx(20 * first.per_fish["loach"][1])


def test_work_begins_after_the_moment_told_and_wishes_are_heard(case: Any) -> None:
    view = case((*BASE, ICH))
    wishes = Wishes(change_l=40.0, warm=False)
    morning = midnight(view, parse_date("2026-03-09", field="day"))
    made = trial(view, work=morning, wishes=wishes)
    evening = FACTS.number("practice.levers.evening_hour")
    assert made.situation.first_h == evening
    assert made.situation.change_l == 40.0
    assert made.situation.warm_to_c == ()
    assert trial(view).situation.warm_to_c != ()


def test_fish_labels_and_knowledge_are_handed_on_as_they_are(case: Any) -> None:
    labels: dict[str, Any] = {"sodium_chloride": "a container"}
    made = trial(case((*BASE, ICH)), labels=labels)
    assert made.labels == labels
    assert made.facts is FACTS
    assert [(host.id, host.count) for host in made.hosts] == [("tetra", 12), ("loach", 2)]
    assert made.situation.fish == ("tetra", "loach")
