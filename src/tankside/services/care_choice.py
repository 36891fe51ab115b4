"""Choose a course of care: its steps go into the case, as those of a simulated course do."""

from __future__ import annotations

from tankside import library
from tankside.course import Caution, CourseRun
from tankside.course import run as run_course
from tankside.errors import BadInput, NotPossible
from tankside.intake.care_course import OfferedCare, care_setting
from tankside.intake.claim_snapshot import KEY, claim_snapshot
from tankside.intake.course_codec import encode_course
from tankside.intake.new_water import refuse_unknown_new_water
from tankside.intake.plan_setup import last_told
from tankside.services.care_case import CareAnswer
from tankside.services.comparison import ChosenEntry, short_names
from tankside.services.plan import program_words


def run_offered(answer: CareAnswer, offer: OfferedCare) -> CourseRun | None:
    """Return the water, amounts and cautions of a course of care; None without water or fish.

    Args:
        answer: the care of the case.
        offer: the course.
    """
    facts = library.load()
    setting = care_setting(answer.view, facts, answer.day, answer.labels)
    if setting.case is None:
        return None
    systems, stock = setting.case.systems, setting.case.stock
    return run_course(systems, stock, offer.course, facts, answer.labels)


def stops_of_care(made: CourseRun) -> tuple[Caution, ...]:
    """Return what forbids a course of care: what it puts in, not the water it is to put right.

    Args:
        made: the course, run over its water.
    """
    return tuple(stop for stop in made.blocked if stop.agent)


def care_names(answer: CareAnswer) -> tuple[str, ...]:
    """Return the short name of each course of care, by which it is chosen."""
    return short_names([offer.course.name for offer in answer.offers])


def care_entry(answer: CareAnswer, name: str, reason: str) -> ChosenEntry:
    """Return the entry that writes a course of care into its case, with its whole schedule.

    Args:
        answer: the care of the case.
        name: short name of the course.
        reason: why; "" for none.

    Raises:
        BadInput: E-PLAN-04 there is no such course.
        NotPossible: E-PLAN-07 the animals or the water forbid it; E-WATER-04 nobody knows what the
            water it puts in was treated with.
    """
    offer, facts = _offered(answer, name), library.load()
    setting = care_setting(answer.view, facts, answer.day, answer.labels)
    if setting.case is not None:
        refuse_unknown_new_water(setting.case.systems, offer.course)
    made = run_offered(answer, offer)
    stop = None if made is None else next(iter(stops_of_care(made)), None)
    if stop is not None:
        raise NotPossible(
            "E-PLAN-07",
            f"This course of care is not offered here: {stop.words}",
            given=offer.course.name,
            needed=stop.why or "a course that animals and water bear",
            next_step=stop.what_instead or "Choose another course of care.",
            field="choose",
        )
    fields: dict[str, object] = {
        "kind": "course_chosen",
        "occurred_at": last_told(answer.view, answer.day).text,
        "name": offer.course.name,
        "starts_at": offer.starts.text,
        "course": encode_course(offer.course, answer.labels)
        | {KEY: claim_snapshot(facts, offer.course)},
        "program": program_words(),
        "reason": reason or "chosen from the care",
    }
    return ChosenEntry(fields, answer.stored.version)


def _offered(answer: CareAnswer, name: str) -> OfferedCare:
    names = care_names(answer)
    if name.strip() not in names:
        raise BadInput(
            "E-PLAN-04",
            "There is no course of care of this name.",
            given=name,
            needed=f"one of: {', '.join(names)}" if names else "a case with a course of care",
            next_step="Run plan without --choose and take a name that it prints.",
            field="choose",
        )
    return answer.offers[names.index(name.strip())]
