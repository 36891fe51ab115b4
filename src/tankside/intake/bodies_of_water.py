"""From the case's waters to the course's bodies of water; what is not known stays unknown."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from functools import lru_cache, partial

from tankside.case import Amount, CaseView, Reading, SystemView
from tankside.case.volume import Geometry
from tankside.claims import Knowledge
from tankside.course import (
    Aeration,
    BodyKind,
    FilterState,
    System,
    Volume,
)
from tankside.course.bodies.unnamed import is_unnamed
from tankside.errors import NotPossible
from tankside.intake.account import Movement, answering
from tankside.intake.chosen_course import places_of
from tankside.intake.clock import this_minute
from tankside.intake.course_steps import followed_steps
from tankside.intake.evidence import looks_standing
from tankside.intake.inflow import inflow
from tankside.intake.joined_account import NOMINAL
from tankside.intake.joined_waters import joined_waters
from tankside.intake.lived_course import LivedCourse
from tankside.intake.lived_courses import lived_courses
from tankside.intake.new_water import new_water
from tankside.intake.one_water import in_one_water
from tankside.intake.pooled_water import pooled
from tankside.intake.volumes import volume
from tankside.intake.water_balance import CoursesOf, Shown, beside, reader_of, residues_of
from tankside.library.diagnosis_files import load_diagnosis
from tankside.quantity import Kind
from tankside.quantity.moment import Moment, hours_between

MAIN = "main"
KINDS = {
    "main": BodyKind.MAIN,
    "hospital": BodyKind.HOSPITAL,
    "quarantine": BodyKind.HOSPITAL,
    "fishless": BodyKind.FISHLESS,
    "bath": BodyKind.BATH,
}
READINGS: Mapping[str, tuple[Reading, str]] = {
    "temperature_c": (Reading.TEMPERATURE, "C"),
    "ph": (Reading.PH, "pH"),
    "alkalinity_mg_l_caco3": (Reading.ALKALINITY, "mg/L as CaCO3"),
    "total_ammonia_mg_l_n": (Reading.AMMONIA, "mg/L as N"),
    "nitrite_mg_l_n": (Reading.NITRITE, "mg/L as N"),
    "chloride_mg_l": (Reading.CHLORIDE, "mg/L"),
    "oxygen_mg_l": (Reading.OXYGEN, "mg/L"),
    "salinity_g_l": (Reading.SALINITY, "g/L"),
}
"""Field of ``System``, the reading it comes from, the unit it is in."""


def unmeasured(view: CaseView, parts: Iterable[str]) -> tuple[str, ...]:
    """Return the parts of a body of water whose volume nobody measured, by name."""
    return tuple(
        part if part not in view.systems else view.systems[part].name
        for part in parts
        if part not in view.systems or view.systems[part].volume.point_l is None
    )


def body_of_water(
    view: CaseView,
    facts: Knowledge,
    zero: Moment,
    parts: tuple[str, ...],
    before: tuple[LivedCourse, ...] | None = None,
    shown: Shown | None = None,
    *,
    counted_to: Moment | None = None,
) -> System:
    """Return one body of water, of one system or of several that are joined.

    Joined, it has the id of the first part, the water of all parts, and what is known of any.

    Args:
        view: the case.
        facts: what is known (the rules for comparing two volumes).
        zero: the moment of elapsed hour 0.
        parts: its systems, as ``JoinedWaters`` gives them.
        before: the courses whose steps are counted; None for all that were followed.
        shown: amounts shown so far.
        counted_to: up to when what went in and out counts, where that is later than hour 0.

    Raises:
        NotPossible: E-DOSE-20 the volume of a part was not measured.
        BadInput: E-DOSE-21 two ways of measuring one part differ too much.
    """
    missing = unmeasured(view, parts)
    if missing:
        raise no_volume(missing, parts)
    whole = pooled([_system(view, view.systems[part], facts, zero) for part in parts])
    counted = _courses_in(facts)
    at_h = 0.0 if counted_to is None else max(0.0, hours_between(zero, counted_to))
    residues = residues_of(view, facts, zero, parts[0], counted, before, shown, at_h=at_h)
    return replace(whole, residues=residues, residues_at_h=at_h)


def courses_of(
    view: CaseView, facts: Knowledge, shown: Shown | None = None
) -> tuple[LivedCourse, ...]:
    """Return every course that a case has followed as it was lived, the first one first.

    Args:
        view: the case.
        facts: what is known.
        shown: amounts shown so far; each is worked out once, however often it is asked about.
    """
    if shown is None:
        return _courses_lived(view, facts, this_minute())
    courses = followed_steps(view, facts, answering(view, reader_of(view, facts).name_of))
    if not courses:
        return ()
    used = {place for course in courses for place in places_of(course.picked.course)}

    def waters_at(zero: Moment, before: tuple[LivedCourse, ...]) -> tuple[System, ...]:
        return tuple(
            body_of_water(view, facts, zero, parts, before, shown)
            for parts in joined_waters(view).bodies()
            if parts[0] in used or not unmeasured(view, parts)
        )

    return lived_courses(view, facts, courses, waters_at, partial(logged_in, view, facts))


@lru_cache(maxsize=8)
def _courses_lived(view: CaseView, facts: Knowledge, minute: datetime) -> tuple[LivedCourse, ...]:
    """Return the courses as lived; asked for another water within a minute they stand."""
    del minute
    return courses_of(view, facts, {})


def logged_in(view: CaseView, facts: Knowledge, zero: Moment, body: System) -> Iterator[Movement]:
    """Yield what the entries of a case put into one body of water and took out, courses apart."""
    yield from beside(view, facts, zero, body, _courses_in(facts))


def _courses_in(facts: Knowledge) -> CoursesOf:
    return lambda view, shown: courses_of(view, facts, shown)


def water_of_no_volume(
    view: CaseView, facts: Knowledge, zero: Moment, parts: tuple[str, ...]
) -> System:
    """Return a body of water that nobody measured, to see what else is not known of it.

    No amount may rest on it: its volume is a stand-in. What nobody can name is in it all the same.
    """
    places = [view.systems[part] for part in parts if part in view.systems]
    if not places:
        water = view.opened.water
        kind = None if water == "keeper_does_not_know" else water
        return System(id=MAIN, name="the tank", kind=BodyKind.MAIN, volume=NOMINAL, water=kind)
    whole = pooled([_system(view, place, facts, zero, NOMINAL) for place in places])
    lots = residues_of(view, facts, zero, parts[0], _courses_in(facts))
    return replace(whole, residues=tuple(lot for lot in lots if is_unnamed(lot.agent)))


def no_volume(names: Sequence[str] = ("the tank",), parts: Sequence[str] = ()) -> NotPossible:
    """Return the refusal of water whose volume nobody has measured.

    Args:
        names: what was not measured, as people call it.
        parts: every part of the body of water it belongs to.
    """
    joined = f" It is one water with {', '.join(parts)}." if len(parts) > 1 else ""
    return NotPossible(
        "E-DOSE-20",
        f"The water volume of {' and '.join(names)} has not been measured.{joined}",
        given="no measured volume",
        needed="inside length, width and water height, or a timed hose, in litres",
        next_step="Enter the volume; the label on the tank is never used for doses.",
        field="volume",
    )


def _system(
    view: CaseView,
    place: SystemView,
    facts: Knowledge,
    zero: Moment,
    stands_in: Volume | None = None,
) -> System:
    description = place.description
    water_volume = stands_in or volume(place, facts)
    readings = {field: _reading(place, *where) for field, where in READINGS.items()}
    water = description.water or view.opened.water
    system = System(
        id=place.id,
        name=place.name,
        kind=KINDS.get(place.use, BodyKind.MAIN),
        volume=water_volume,
        water=None if water == "keeper_does_not_know" else water,
        temperature_c=readings["temperature_c"],
        ph=readings["ph"],
        alkalinity_mg_l_caco3=readings["alkalinity_mg_l_caco3"],
        total_ammonia_mg_l_n=readings["total_ammonia_mg_l_n"],
        nitrite_mg_l_n=readings["nitrite_mg_l_n"],
        chloride_mg_l=readings["chloride_mg_l"],
        oxygen_mg_l=readings["oxygen_mg_l"],
        salinity_g_l=readings["salinity_g_l"],
        oxygen_dawn_mg_l=_dawn_oxygen(view, place.id),
        new_water=new_water(view, place),
        inflow=inflow(view, place.id),
        read_at_h=_read_at_h(place, readings, zero),
    )
    return _described(view, facts, place, system)


def _read_at_h(
    place: SystemView, readings: Mapping[str, float | None], zero: Moment
) -> dict[str, float]:
    """Return the elapsed hour of each reading, and of the latest measurement of the volume."""
    hours = {
        field: hours_between(zero, place.readings[what].at)
        for field, (what, _) in READINGS.items()
        if readings[field] is not None
    }
    if place.volume_at is not None:
        hours["volume"] = hours_between(zero, place.volume_at)
    return hours


def _described(view: CaseView, facts: Knowledge, place: SystemView, system: System) -> System:
    """Add what was told of the tank itself: equipment, life in it, light, room."""
    description = place.description
    return replace(
        system,
        temperature_low_c=_celsius(description.temperature_low),
        temperature_high_c=_celsius(description.temperature_high),
        room_c=_celsius(description.room),
        surface_area_m2=_surface_m2(place),
        turnover_per_h=_turnover(place, system.volume),
        uv_on=_yes(description.uv),
        ozone_on=_yes(description.ozone),
        skimmer_on=_yes(description.skimmer),
        carbon_in=_yes(description.carbon),
        substrate=_yes(description.substrate),
        filter_state=_filter(description.filter_ripe),
        aeration=_air(description.air_stone),
        plants=_any(_yes(description.plants), _living(view, place.id, "plant")),
        invertebrates=_any(
            _yes(description.invertebrates), _living(view, place.id, "invertebrate")
        ),
        lights_on_hour=_hour(description.lights_on),
        lights_off_hour=_hour(description.lights_off),
        food_fish=_yes(description.food_fish),
        gasping=_gasping(view, facts, place.id),
        co2_added=_yes(description.carbon_dioxide_added),
        ammonia_bound=_conditioned(view, place),
    )


def _conditioned(view: CaseView, place: SystemView) -> bool | None:
    """Whether a conditioner that can bind ammonia is in use; None when nobody said."""
    tested = (test.conditioner for test in view.water_tests if test.system == place.id)
    answers = [_yes(answer) for answer in (place.description.conditioner, *tested)]
    return True if True in answers else False if False in answers else None


def _reading(place: SystemView, what: Reading, unit: str) -> float | None:
    latest = place.readings.get(what)
    if latest is None or latest.measured is None:
        return None
    if latest.measured.kind is Kind.PRACTICAL_SALINITY:
        return latest.number("psu")
    if latest.measured.kind is Kind.OXYGEN_SATURATION:
        return None
    return latest.number(unit)


def _celsius(amount: Amount | None) -> float | None:
    return None if amount is None else amount.measured(Kind.TEMPERATURE).number("C")


def _yes(answer: str | None) -> bool | None:
    return {"yes": True, "no": False}.get(answer or "")


def _gasping(view: CaseView, facts: Knowledge, system: str) -> bool | None:
    """Whether fish of a water gasp, on the last day on which somebody looked; None: nobody did."""
    looks = looks_standing(in_one_water(view, system).view, load_diagnosis(), facts)
    breathing = looks.get("breathing", ())
    last = max((look.at.day for look in breathing), default=None)
    now = ("gasping_surface" in look.answers for look in breathing if look.at.day == last)
    return any(now) if breathing else None


def _any(answer: bool | None, living: bool) -> bool | None:
    return True if living else answer


def _living(view: CaseView, system: str, kind: str) -> bool:
    return any(
        group.living == kind and group.system == system and group.alive != 0
        for group in view.stock.values()
    )


def _filter(ripe: str | None) -> FilterState | None:
    is_ripe = _yes(ripe)
    return None if is_ripe is None else FilterState.RIPE if is_ripe else FilterState.UNRIPE


def _air(stone: str | None) -> Aeration | None:
    has_stone = _yes(stone)
    return None if has_stone is None else Aeration.AIR_STONE if has_stone else Aeration.SURFACE_ONLY


def _hour(clock: str | None) -> int | None:
    return None if clock is None else int(clock[:2])


def _surface_m2(place: SystemView) -> float | None:
    """Return the water surface [m2] from its own sides or from the inside of the box."""
    description = place.description
    sides = (description.surface_length, description.surface_width)
    if None in sides:
        box = next((m for m in description.volume if isinstance(m, Geometry)), None)
        if box is None:
            return None
        sides = (box.inside_length, box.inside_width)
    length, width = (side.measured(Kind.LENGTH).number("m") for side in sides if side is not None)
    return length * width


def _turnover(place: SystemView, water: Volume) -> float | None:
    flow = place.description.turnover
    return None if flow is None else flow.measured(Kind.FLOW).number("L/h") / water.point_l


def _dawn_oxygen(view: CaseView, system: str) -> float | None:
    for test in reversed(view.water_tests):
        if test.system == system and test.sample == "tank" and test.dawn == "yes":
            for line in test.readings:
                if line.what is Reading.OXYGEN and line.amount is not None:
                    value = line.amount.measured(Kind.OXYGEN, Kind.OXYGEN_SATURATION)
                    if value.kind is Kind.OXYGEN:
                        return value.number("mg/L")
    return None
