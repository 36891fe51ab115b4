"""What is said of a look across cases, for a terminal and as the documented JSON objects."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from statistics import median

from tankside.case.due import COURSE_OVER
from tankside.claims import whole_setting
from tankside.records.journal.case_due import DueCase
from tankside.records.journal.case_outcomes import EVERY, OutcomeCount
from tankside.services.records_lookup import DueList

FEWEST_FOR_RATES = whole_setting(5, "below it a rate says more of chance than of a treatment")
NOTHING_DUE = "Nothing is due."
NO_RATES = f"fewer than {FEWEST_FOR_RATES} closed cases: no rates"


def due_text(listed: DueList) -> str:
    """Return the cases that wait, those overdue first."""
    lines = []
    for title, cases in (("OVERDUE", listed.overdue), ("DUE", listed.due)):
        if cases:
            lines += [f"{title}: {len(cases)}", *(f"  {_due_line(case)}" for case in cases)]
    return "\n".join(lines) or NOTHING_DUE


def due_json(listed: DueList) -> dict[str, object]:
    """Return the documented answer of ``records due --json``."""
    return {
        "today": listed.today.isoformat(),
        "until": listed.until.isoformat(),
        "overdue": [_due_json(case) for case in listed.overdue],
        "due": [_due_json(case) for case in listed.due],
    }


def _due_json(case: DueCase) -> dict[str, object]:
    return asdict(case) | {"due_on": case.due_on.isoformat()}


def _due_line(case: DueCase) -> str:
    if case.what == COURSE_OVER:
        what = "the course is over: nothing was decided or told since"
    else:
        more = "" if case.days == 1 else f", and {case.days - 1} days more"
        what = f"{case.steps} steps of the course without an answer{more}"
    return f"{case.due_on.isoformat()}  {case.number}  {case.label}  {case.name}: {what}"


def outcomes_text(counts: Sequence[OutcomeCount]) -> str:
    """Return one line for every case together, each condition and each agent, each with its n."""
    return "\n".join(_outcome_line(count) for count in counts)


def outcomes_json(counts: Sequence[OutcomeCount]) -> dict[str, object]:
    """Return the documented answer of ``records statistics --json``."""
    return {"outcomes": [_outcome_json(count) for count in counts]}


def _outcome_json(count: OutcomeCount) -> dict[str, object]:
    enough = count.closed >= FEWEST_FOR_RATES
    return {
        "place": count.place,
        "name": count.name,
        "cases": count.cases,
        "closed": count.closed,
        "ended": dict(sorted(count.outcomes.items())),
        "rates": enough,
        "median_days": median(count.days) if enough else None,
        "fish": count.fish,
        "deaths": count.deaths,
    }


def _outcome_line(count: OutcomeCount) -> str:
    title = "every case" if count.place == EVERY else f"{count.place} {count.name}"
    said = [f"{count.cases} cases", f"{count.closed} closed"]
    if count.closed < FEWEST_FOR_RATES:
        return f"{title}: {', '.join(said)}; {NO_RATES}"
    return f"{title}: {', '.join(said)}; {'; '.join(_rates(count))}"


def _rates(count: OutcomeCount) -> Iterator[str]:
    for outcome, number in sorted(count.outcomes.items(), key=lambda pair: -pair[1]):
        share = 100 * number / count.closed
        yield f"{outcome.replace('_', ' ')} {number} of {count.closed} ({share:.0f} %)"
    yield f"median {median(count.days):g} days"
    if count.fish:
        yield f"{count.deaths} of {count.fish} fish died where they were counted"
