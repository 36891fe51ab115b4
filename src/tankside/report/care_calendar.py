"""The days of a plan of care as a calendar file: what to do today, and every day to look."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time
from pathlib import Path

from tankside.intake import clock
from tankside.present.calendar import SHOWN_MINUTES, CalendarStep, as_ics
from tankside.quantity.moment import find_zone
from tankside.records.whole_file import write_whole
from tankside.report.care_words import lead_words
from tankside.services.care_case import CareAnswer

MORNING = time(9, 0)
"""Wall clock at which a look is put into a calendar; any hour of that day serves."""
FIRST_VERSION = 1


def care_ics(answer: CareAnswer) -> bytes:
    """Return the plan of care of a case as an iCalendar file.

    Args:
        answer: what is done for the causes of the case.
    """
    opened = answer.view.opened
    return as_ics(
        tuple(_steps(answer)),
        (),
        case=f"{opened.name}|{opened.keeper}|{opened.recorded_at}",
        title=f"{opened.name}: care",
        version=FIRST_VERSION,
        made_at=clock.now(),
    )


def write_care_ics(answer: CareAnswer, target: str | Path) -> None:
    """Write the plan of care as a calendar file.

    Raises:
        CouldNotSave: the disk refused.
    """
    write_whole(Path(target), care_ics(answer))


def _steps(answer: CareAnswer) -> Iterator[CalendarStep]:
    zone = find_zone(answer.view.opened.zone)

    def at(day: date) -> datetime:
        return datetime.combine(day, MORNING, zone)

    yield CalendarStep(
        "care-today", at(answer.day), SHOWN_MINUTES, answer.today.words,
        "\n".join(lead_words(answer)),
    )  # fmt: skip
    looks = [(day, care) for care in answer.cares for day in care.look_on if day > answer.day]
    days = {day for day, _ in looks} | {answer.look_again}
    for number, day in enumerate(sorted(days), 1):
        causes = [care for on, care in looks if on == day] or [answer.first]
        rules = (rule.spoken for care in causes for rule in care.stop_rules)
        names = " and ".join(dict.fromkeys(care.cause.name for care in causes))
        yield CalendarStep(
            f"care-look-{number}", at(day), SHOWN_MINUTES, f"Look again: {names}", "\n".join(rules)
        )
