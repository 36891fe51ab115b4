"""What the readings of the water of the sick fish warn of: age, dawn, poison, a kit not checked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tankside.case import CaseView, Reading, ReadingView, SystemView
from tankside.claims import Agent, Knowledge
from tankside.diagnose.context import DANGEROUS, RAISED
from tankside.intake.joined_waters import joined_waters
from tankside.intake.reading_widths import edges, unchecked
from tankside.intake.water_evidence import nitrogen_of
from tankside.library.diagnosis_files import load_diagnosis
from tankside.quantity import Kind
from tankside.quantity.dates import day_words, entry_moment_words
from tankside.quantity.moment import Moment
from tankside.quantity.per import HOURS_PER_DAY
from tankside.quantity.show import reading as shown

AGE_LIMIT = "practice.course.age_limit_water_test"
DIAL = "practice.course.dial_difference"
COPPER = "copper"
DISSOLVED = (Reading.SALINITY, Reading.CONDUCTIVITY, Reading.CHLORIDE, Reading.COPPER)
"""What stays behind when water dries up, and is thinned when it is put back."""


def reading_warnings(view: CaseView, facts: Knowledge, now: Moment) -> tuple[str, ...]:
    """Return what the readings warn of at a moment, the most urgent first.

    Args:
        view: the case.
        facts: limits of age, of copper, of a kit that was not checked.
        now: the moment.
    """
    places = _places(view)
    lines = [line for place in places for line in _of(view, place, facts)]
    return (*lines, *(line for place in places for line in _old(place, facts, now)))


def old_temperature(view: CaseView, facts: Knowledge, now: Moment) -> tuple[str, ...]:
    """Return the warning of a temperature too old to dose or to date by; nothing else."""
    return tuple(line for place in _places(view) for line in _old(place, facts, now))


def _places(view: CaseView) -> tuple[SystemView, ...]:
    if view.main is None:
        return ()
    parts = joined_waters(view).now(view.main.id)
    return tuple(view.systems[part] for part in parts if part in view.systems)


def _of(view: CaseView, place: SystemView, facts: Knowledge) -> Iterator[str]:
    yield from _low_oxygen(place)
    yield from _nitrogen(view, place, facts)
    yield from _copper(view, place, facts)
    yield from _unchecked(place.readings.values(), facts)
    yield from _dial(place, facts)
    yield from _topped_up(view, place)


def _low_oxygen(place: SystemView) -> Iterator[str]:
    """Say that an earlier low reading of oxygen stands against a later one by day."""
    standing, series = place.readings.get(Reading.OXYGEN), place.series.get(Reading.OXYGEN, ())
    if standing is None or standing.measured is None or not series or series[-1] == standing:
        return
    later = series[-1].measured
    high = "" if later is None else f" ({shown(later)})"
    at = " at dawn" if standing.dawn else ""
    yield (
        f"Oxygen in {place.name} was {shown(standing.measured)}{at} on "
        f"{entry_moment_words(standing.at)}; a later reading by day{high} does not take that back. "
        "Keep the air on and measure at dawn."
    )


def _nitrogen(view: CaseView, place: SystemView, facts: Knowledge) -> Iterator[str]:
    read = [
        f"{what.value} {shown(value.measured)} on {day_words(value.at.day)}"
        for what in (Reading.AMMONIA, Reading.NITRITE)
        if (value := place.readings.get(what)) is not None and value.measured is not None
    ]
    grades = nitrogen_of(place, load_diagnosis(), facts, marine=view.opened.water == "marine")
    if not read or grades is None:
        return
    if grades <= {DANGEROUS}:
        grade = "dangerous"
    elif grades <= {DANGEROUS, RAISED}:
        grade = "raised"
    else:
        return
    yield (
        f"{' and '.join(read)} in {place.name}: {grade}. Stop feeding, test pH and temperature, "
        "and change water that was matched and dechlorinated before anything else is put in."
    )


def _copper(view: CaseView, place: SystemView, facts: Knowledge) -> Iterator[str]:
    value = place.readings.get(Reading.COPPER)
    if value is None or value.measured is None:
        return
    mg_l = value.measured.number("mg/L as Cu")
    limits = [limit for agent in facts.agents.values() if (limit := _most(agent, view)) is not None]
    if limits and edges(value, facts, mg_l)[1] > min(limits):
        yield (
            f"Copper in {place.name} read {shown(value.measured)} on {day_words(value.at.day)}: "
            f"above the most that is held for a bath of days here ({min(limits):.2g} mg/L as Cu). "
            "Put in no more, watch the fish, and bring it down by a change of water."
        )


def _most(agent: Agent, view: CaseView) -> float | None:
    """Return the most copper [mg/L as Cu] that an agent may make of a water of this kind."""
    claim = agent.find("hard_max.prolonged")
    if COPPER not in agent.actives or claim is None:
        return None
    if claim.conditions.get("water", view.opened.water) != view.opened.water:
        return None
    factors = (
        claims[0].number()
        for short, claims in agent.claims.items()
        if short.startswith("form.") and claims[0].conditions.get("form") == "as Cu"
    )
    return claim.number() / next(factors, 1.0)


def _unchecked(readings: Iterable[ReadingView], facts: Knowledge) -> Iterator[str]:
    names = [r.what.value for r in readings if r.measured is not None and unchecked(r, facts)]
    if names:
        yield (
            f"Meter or kit for {', '.join(names)} was never checked, or too long ago: the reading "
            "is taken to be off on both sides, and the worse side counts."
        )


def _dial(place: SystemView, facts: Knowledge) -> Iterator[str]:
    """Say that heater and thermometer disagree; nothing goes by the dial."""
    dial, read = place.description.heater_dial, place.temperature
    if dial is None or read is None or read.measured is None:
        return
    set_c, read_c = dial.measured(Kind.TEMPERATURE).number("C"), read.measured.number("C")
    low_c, high_c = edges(read, facts, read_c)
    if max(low_c - set_c, set_c - high_c) > facts.number(DIAL):
        yield (
            f"The heater dial of {place.name} says {set_c:.3g} C, the thermometer read "
            f"{read_c:.3g} C on {day_words(read.at.day)}. Doses and dates go by the reading: "
            "check it with a second one, and the heater."
        )


def _topped_up(view: CaseView, place: SystemView) -> Iterator[str]:
    """Say that what stays in the water was read before dried-up water was put back."""
    for what in DISSOLVED:
        value = place.readings.get(what)
        if value is None or value.measured is None:
            continue
        put_back = [
            event.water_topped_up.measured(Kind.VOLUME).number("L")
            for event in view.events
            if event.water_topped_up is not None
            and event.system in (None, place.id)
            and event.moment.utc >= value.at.utc
        ]
        if put_back:
            of_l = place.volume.point_l
            whole = "" if of_l is None else f" of {of_l:.3g} L"
            yield (
                f"{what.value.capitalize()} in {place.name} read {shown(value.measured)} on "
                f"{entry_moment_words(value.at)}; {sum(put_back):.3g} L{whole} that had dried up "
                "were put back since, so it is less now. Read it again before anything is added."
            )


def is_too_old(taken: ReadingView, facts: Knowledge, now: Moment) -> bool:
    """Whether a reading is too old to dose or to date by; one of a day counts from its end.

    Args:
        taken: the reading.
        facts: the limit of age.
        now: the moment.
    """
    allowed_h = facts.number(AGE_LIMIT) + (HOURS_PER_DAY if taken.at.day_only else 0)
    return taken.age_h(now) > allowed_h


def _old(place: SystemView, facts: Knowledge, now: Moment) -> Iterator[str]:
    warmth = place.temperature
    if warmth is None or warmth.measured is None:
        return
    if is_too_old(warmth, facts, now):
        days = warmth.age_h(now) / HOURS_PER_DAY
        yield (
            f"The temperature of {place.name} ({shown(warmth.measured)}) was measured on "
            f"{day_words(warmth.at.day)}, {days:.0f} days ago: measure it now; doses, stays and "
            "dates go by it."
        )
