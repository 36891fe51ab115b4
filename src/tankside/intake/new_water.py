"""The water a case fills its tanks with: what was read of it, what it was treated with.

Chloramine does not go by standing and kills at the first change, so that a change waits until
somebody says what the tap water is treated with.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tankside.case import CaseView, Reading, SystemView
from tankside.course import Course, NewWater, System
from tankside.course.actions import Siphon, Titrate, WaterChange
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.system import Treated, strictest
from tankside.errors import NotPossible
from tankside.quantity import Kind

CODE = "E-WATER-04"
ASK = "It is not known what the new water was treated with."
WHY = (
    "Chlorine and chloramine kill at the first change, and chloramine does not go by standing or "
    "air."
)
NEEDED = "tap=none (well, rain, reverse osmosis), tap=chlorine or tap=chloramine"
NEXT = "Ask the water supplier, then: tankside case add CASE system {system} tap=..."
FILLING = (WaterChange, Siphon, Titrate)
"""Steps that put new water in, or may have to: what was given by test may read too strong."""
_READ = {
    "ph": ("pH", Reading.PH, Kind.PH),
    "alkalinity_mg_l_caco3": ("mg/L as CaCO3", Reading.ALKALINITY, Kind.ALKALINITY),
    "total_ammonia_mg_l_n": ("mg/L as N", Reading.AMMONIA, Kind.AMMONIA),
    "nitrite_mg_l_n": ("mg/L as N", Reading.NITRITE, Kind.NITRITE),
    "chloride_mg_l": ("mg/L", Reading.CHLORIDE, Kind.CHLORIDE),
    "chlorine_mg_l": ("mg/L", Reading.CHLORINE, Kind.CHLORINE),
}
"""Field of ``NewWater``, the unit it is in, the reading it comes from."""


def new_water(view: CaseView, place: SystemView) -> NewWater:
    """Return the water that goes into one water, as far as it was told and tested."""
    readings: dict[str, float] = {}
    for test in view.water_tests:
        for line in test.readings if test.sample == "tap" else ():
            for field, (unit, what, kind) in _READ.items():
                if line.what is what and line.amount is not None:
                    readings[field] = line.amount.measured(kind).number(unit)
    return NewWater(**readings, treated=_treated(view, place))


def _treated(view: CaseView, place: SystemView) -> Treated | None:
    """Return what was told of this tank's new water, else the strictest told of any tank."""
    answer = _answered(place)
    if answer is not None:
        return answer
    return strictest(_answered(other) for other in view.systems.values())


def _answered(place: SystemView) -> Treated | None:
    tap = place.description.tap
    return None if tap is None or tap == "keeper_does_not_know" else Treated(tap)


def unknown_new_water(systems: Iterable[System], course: Course) -> tuple[System, ...]:
    """Return the waters a course puts new water into while nobody knows what that holds."""
    filled = {step.body for step in course.actions if isinstance(step, FILLING)}
    return tuple(
        system for system in systems if system.id in filled and system.new_water.treated is None
    )


def refuse_unknown_new_water(systems: Sequence[System], course: Course) -> None:
    """Refuse to hand out a course that puts in water of which nobody knows what it holds.

    Raises:
        NotPossible: E-WATER-04, with the question.
    """
    for system in unknown_new_water(systems, course)[:1]:
        raise NotPossible(
            CODE,
            ASK,
            given=f"no answer for {system.name}",
            needed=NEEDED,
            next_step=NEXT.format(system=system.id),
            field="tap",
        )


def stops_of_new_water(systems: Sequence[System], course: Course) -> tuple[Caution, ...]:
    """Return a stop for each water that a course fills with what nobody knows."""
    return tuple(
        Caution(
            Level.BLOCKED,
            CODE,
            f"{ASK} ({system.name})",
            f"{WHY} Needed: {NEEDED}.",
            "",
            NEXT.format(system=system.id),
            body=system.id,
        )
        for system in unknown_new_water(systems, course)
    )
