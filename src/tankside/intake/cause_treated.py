"""Which causes a case is cared for, in order: a measured fault of the water before any other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from tankside.case import CaseView, Reading, SystemView
from tankside.claims import Knowledge
from tankside.claims.care import GENERAL, care_of
from tankside.course.safety.oxygen import OXYGEN_CARE_KEY
from tankside.diagnose.context import DANGEROUS, LOW, OVER, RAISED
from tankside.intake.water_evidence import water_answers
from tankside.library.diagnosis_files import load_case_words, load_diagnosis

NO_CAUSE = GENERAL
"""The protocol of a case of which nobody has an idea yet."""
NOT_LISTED = "NOT_IN_LIST_REST"
NOTHING_WRONG = "nothing_wrong"
WELL = frozenset({"HEALTHY", "NOTHING_WRONG", "NONE"})
"""How a case says that nothing is wrong."""
RANKED = frozenset({"NOT_IN_LIST", "OUTSIDE"})


class Certainty(StrEnum):
    """How sure it is that this is the cause, as it is said."""

    MEASURED = "measured in the water"
    CONFIRMED = "confirmed"
    SUSPECTED = "suspected, not shown"
    RANKED = "ranks first by what was seen, nobody has confirmed it"
    NOT_KNOWN = "not known yet"


@dataclass(frozen=True, slots=True)
class CauseTreated:
    """A cause that is cared for.

    Args:
        cause: id of the condition or situation, as protocols name it.
        name: its name to show.
        certainty: how sure it is.
        why: what says so, in words.
    """

    cause: str
    name: str
    certainty: Certainty
    why: str


def causes_treated(view: CaseView, facts: Knowledge) -> tuple[CauseTreated, ...]:
    """Return the causes a case is cared for, the first to be met first; at least one.

    A fault of the water that was measured stands first. Then what was confirmed, the latest first,
    then what is suspected, then, where nobody said anything, what ranks first.

    Args:
        view: the case.
        facts: what is known, with the protocols.
    """
    causes: dict[str, CauseTreated] = {}
    faults = tuple(_water_faults(view, facts))
    for cause in (*faults, *_told(view, facts)):
        if faults and cause.cause == NO_CAUSE:
            continue
        causes.setdefault(care_of(facts.care, cause.cause).id, cause)
    return tuple(causes.values())


def causes_named(view: CaseView, facts: Knowledge) -> tuple[CauseTreated, ...]:
    """Return the faults that were measured and the causes that somebody named; nothing is ranked.

    Args:
        view: the case.
        facts: what is known.
    """
    if view.conditions_standing():
        return causes_treated(view, facts)
    return tuple(_water_faults(view, facts))


def water_fault(causes: tuple[CauseTreated, ...]) -> CauseTreated | None:
    """Return the measured fault of the water that stands before another cause, if any."""
    first = causes[0]
    return first if first.certainty is Certainty.MEASURED and len(causes) > 1 else None


def _told(view: CaseView, facts: Knowledge) -> Iterator[CauseTreated]:
    """Yield what the practitioner said, the surest and latest first, else what ranks first."""
    latest = view.diagnoses_standing()
    for said in latest:
        certainty = Certainty.CONFIRMED if said.state == "confirmed" else Certainty.SUSPECTED
        yield _named(facts, said.condition, certainty, f"by {said.shown_by}")
    if not latest:
        yield _likeliest(view, facts)


def _likeliest(view: CaseView, facts: Knowledge) -> CauseTreated:
    if not (view.evidence or view.counts):
        return CauseTreated(
            NO_CAUSE, "No cause stands yet", Certainty.NOT_KNOWN, "nothing was looked at yet"
        )
    from tankside.diagnose import compile_tables, rank
    from tankside.intake.evidence import evidence

    diagnosis = load_diagnosis()
    seen = evidence(view, diagnosis, load_case_words(), facts)
    first = rank(compile_tables(diagnosis), seen).order()[0]
    return _named(facts, first or NOTHING_WRONG, Certainty.RANKED, "by the ranking")


def _named(facts: Knowledge, typed: str, certainty: Certainty, why: str) -> CauseTreated:
    """Return a cause by the name a case has for it; one without a protocol is not on the list."""
    short = typed.split(" ")[0].upper()
    if short in WELL:
        return CauseTreated(NOTHING_WRONG, "Nothing wrong", certainty, why)
    try:
        protocol = care_of(facts.care, short)
    except KeyError:
        also = why if short in RANKED else f"{typed} is no condition on file; {why}"
        return CauseTreated(NOT_LISTED, "Not on the list", certainty, also)
    listed = load_diagnosis().conditions.get(short)
    return CauseTreated(
        short if listed is not None else protocol.id,
        protocol.name if listed is None else listed.name,
        certainty,
        why,
    )


def _water_faults(view: CaseView, facts: Knowledge) -> Iterator[CauseTreated]:
    """Yield the faults of the water that its last readings prove, the quickest killer first."""
    if view.main is None:
        return
    marine = view.opened.water == "marine"
    answers = water_answers(view.main, load_diagnosis(), marine=marine)
    oxygen = answers.get("oxygen_gas", frozenset())
    if oxygen and oxygen <= {LOW} and _short_of_oxygen(view.main, facts):
        yield _fault(facts, "HYPOXIA", "the oxygen that was read")
    chlorine = view.main.readings.get(Reading.CHLORINE)
    if chlorine is not None and (chlorine.number("mg/L") or 0.0) > 0:
        yield _fault(facts, "CHLORINE", "the chlorine that was read")
    nitrogen = answers.get("nitrogen", frozenset())
    if nitrogen and nitrogen <= {DANGEROUS, RAISED}:
        yield _fault(facts, "NITROGEN", "the ammonia or nitrite that was read")
    if oxygen and oxygen <= {OVER}:
        yield _fault(facts, "GASBUB", "the oxygen that was read, above saturation")


def _short_of_oxygen(water: SystemView, facts: Knowledge) -> bool:
    """Whether the oxygen read lies below what asks for care; a share of saturation says less."""
    reading = water.readings.get(Reading.OXYGEN)
    mg_l = None if reading is None else reading.number("mg/L")
    return mg_l is not None and mg_l < facts.number(OXYGEN_CARE_KEY)


def _fault(facts: Knowledge, cause: str, why: str) -> CauseTreated:
    return _named(facts, cause, Certainty.MEASURED, why)
