"""What the record of a case says that bears on why a treatment fails."""

from __future__ import annotations

from collections.abc import Sequence

from tankside.case import CaseView, SystemView
from tankside.case.typed_value import NONE
from tankside.course import System
from tankside.course.actions.happened import Happened
from tankside.follow import Clues
from tankside.intake.course_as_done import CourseAsDone
from tankside.intake.joined_waters import joined_waters
from tankside.intake.spread import tools_shared

BIG_CILIATE = "ciliate"
MICROSCOPE = "m_"
"""How the keys of findings under the microscope begin."""


def failure_clues(view: CaseView, main: System, past: CourseAsDone | None) -> Clues:
    """Return the clues to a failure.

    Args:
        view: the case.
        main: the water with the sick fish.
        past: the course as it was lived; None when none was chosen.
    """
    parts = joined_waters(view).now(main.id)
    places = [view.systems[part] for part in parts if part in view.systems]
    marks = () if past is None else tuple(past.marks.values())
    return Clues(
        stopped=None if past is None else past.stopped_h is not None or Happened.MISSED in marks,
        other_amount=None if past is None else Happened.OTHER_AMOUNT in marks,
        carbon_in=main.carbon_in if past is None or past.carbon_in is None else past.carbon_in,
        uv_on=main.uv_on,
        ozone_on=main.ozone_on,
        skimmer_on=main.skimmer_on,
        volume_weak=any(place.volume.weak for place in places) if places else None,
        new_animals=_came_in(view),
        shared_tools=_shared_tools(places),
        proven=_proven(view),
        warm=None if past is None else any(action.kind == "warm" for action in past.done),
    )


def _shared_tools(places: Sequence[SystemView]) -> bool | None:
    """Whether tools are used in other tanks too; None where nobody was asked, or knew."""
    listed = [tool for place in places for tool in place.description.shared_tools]
    named = any(tools_shared(place) for place in places)
    return named if listed and (named or NONE in listed) else None


def _came_in(view: CaseView) -> bool:
    """Whether animals came in after the case was opened."""
    arrivals = (group.description.arrived for group in view.stock.values())
    return any(day is not None and day > view.opened.moment.text for day in arrivals)


def _proven(view: CaseView) -> bool:
    """Whether the parasite was seen under the microscope."""
    return any(
        BIG_CILIATE in key or key.startswith(MICROSCOPE)
        for key, looks in view.evidence.items()
        if any(look.answers for look in looks)
    )
