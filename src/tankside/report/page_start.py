"""The page before a course starts: each thing it rests on, what forbids it, the sums."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tankside.case import StockView, SystemView
from tankside.course import Caution, Level, PrintedAmount, System
from tankside.course.actions import Siphon, Titrate, WaterChange
from tankside.intake.followed_course import Running
from tankside.intake.labels import label_of
from tankside.intake.readings_watch import is_too_old
from tankside.library import load
from tankside.present.day_card import CALL_IF
from tankside.present.words import age_words
from tankside.quantity.dates import entry_moment_words, moment_words
from tankside.quantity.moment import Moment
from tankside.quantity.show import reading
from tankside.report.case_text import entry_text
from tankside.report.case_words import system_volume_words
from tankside.services.start_check import StartCheck

FINE, LOOK, STOP = "in order", "LOOK", "STOP"
NOT_SAID = "not said"
FILLING = (WaterChange, Siphon, Titrate)
MEDIA: Mapping[str, tuple[str, str]] = {
    "carbon": ("Carbon", "carbon_in"),
    "uv": ("UV", "uv_on"),
    "ozone": ("Ozone", "ozone_on"),
    "skimmer": ("Skimmer", "skimmer_on"),
}
"""What may take a substance out of the water: its step, its name, whether it is at work."""


@dataclass(frozen=True, slots=True)
class CheckedLine:
    """One thing that a course rests on.

    Args:
        title: what it is.
        says: what the case holds of it.
        mark: in order, to be looked at, or what forbids the course.
        change: page of the case where it is changed, "" where nothing can be.
    """

    title: str
    says: tuple[str, ...]
    mark: str
    change: str


@dataclass(frozen=True, slots=True)
class WrittenSum:
    """One amount with its sum: when, how much, of what, the whole sum."""

    when: str
    amount: str
    agent: str
    sum_text: str


@dataclass(frozen=True, slots=True)
class StartPage:
    """What the page before a course starts shows.

    Args:
        name: by which the course is chosen.
        course: what it is called.
        lead: whether it can start, and what it weighs.
        stops: what bears danger, each with what to do instead.
        lines: what it rests on, in the order of checking.
        sums: every amount; none where nothing is weighed.
        recipe: what the new water must be; "" where none goes in.
        cares: what to mind.
        stop_signs: at which signs the keeper stops and calls.
        asks_second: whether containers are read again and the sums done by a second person.
    """

    name: str
    course: str
    lead: str
    stops: tuple[tuple[str, str], ...]
    lines: tuple[CheckedLine, ...]
    sums: tuple[WrittenSum, ...]
    recipe: str
    cares: tuple[str, ...]
    stop_signs: str
    asks_second: bool


def start_page(check: StartCheck, now: Moment) -> StartPage:
    """Return the page before a course starts.

    Args:
        check: the course as it would run.
        now: the present, for the age of readings.
    """
    followed = check.followed
    course = str(check.entry.fields["name"])
    said = ((f"{stop.words} {stop.why}".strip(), stop.what_instead) for stop in check.stops)
    stops = tuple(dict.fromkeys(said))
    amounts = () if followed is None else followed.run.amounts
    safety = () if followed is None else followed.run.safety
    cares = (f"{c.words} {c.what_instead}" for c in safety if c.level is Level.CARE)
    return StartPage(
        name=check.name,
        course=course,
        lead=_lead(course, stops, amounts),
        stops=stops,
        lines=tuple(_lines(check, now)),
        sums=() if followed is None else tuple(_sums(followed)),
        recipe="" if followed is None else _recipe(followed),
        cares=tuple(dict.fromkeys(cares)),
        stop_signs="; ".join(CALL_IF[:2]),
        asks_second=check.weighs,
    )


def reason_words(reason: str, second: str) -> str:
    """Return why a course was started and who worked its sums out again, as it is kept."""
    checked = f"sums worked out again: {second}" if second else ""
    return "; ".join(text for text in (reason, checked) if text)


def _lead(course: str, stops: tuple[object, ...], amounts: tuple[PrintedAmount, ...]) -> str:
    if stops:
        number = "one check bears" if len(stops) == 1 else f"{len(stops)} checks bear"
        return f"Do not start: {number} danger."
    if not amounts:
        return f"Nothing is weighed: {course} can start."
    first = amounts[0]
    return f"Ready once checked: first {first.text} of {_plain(first.agent)}."


def _lines(check: StartCheck, now: Moment) -> Iterator[CheckedLine]:
    followed = check.followed
    cautions = () if followed is None else followed.run.safety
    for system in _touched(check):
        yield _volume(system, cautions)
        yield _warmth(system, now)
    alive = [group for group in check.view.stock.values() if group.alive != 0]
    said = tuple(_number_words(group) for group in alive)
    animals = [c for c in cautions if c.group and c.level is not Level.NOTE]
    minded = dict.fromkeys(c.words for c in animals)
    listed = (", ".join(said),) if said else (NOT_SAID,)
    yield CheckedLine("Animals", (*listed, *minded), _worst(animals, said), "enter/stock")
    if followed is None:
        return
    yield from _containers(check, followed)
    for water in followed.case.systems:
        if any(action.body == water.id for action in followed.run.course.actions):
            yield from _media(followed, water)
            yield from _filled(followed, water)


def _touched(check: StartCheck) -> list[SystemView]:
    """Return the waters in which the course does something; the main one where none is known."""
    view = check.view
    if check.followed is None:
        return [] if view.main is None else [view.main]
    bodies = dict.fromkeys(action.body for action in check.followed.run.course.actions)
    return [view.systems[body] for body in bodies if body in view.systems]


def _volume(system: SystemView, cautions: tuple[Caution, ...]) -> CheckedLine:
    weak = [c for c in cautions if c.code in ("E-DOSE-21", "E-DOSE-20") and c.body == system.id]
    is_measured = system.volume.point_l is not None
    mark = STOP if not is_measured else _worst(weak, (1,))
    return CheckedLine(
        f"Water in {system.name}", (system_volume_words(system),), mark, "enter/system"
    )


def _warmth(system: SystemView, now: Moment) -> CheckedLine:
    warmth = system.temperature
    title = f"Thermometer in {system.name}"
    if warmth is None or warmth.measured is None:
        return CheckedLine(title, ("not measured",), LOOK, "enter/water")
    taken = f"{reading(warmth.measured)}, {age_words(warmth.age_h(now))} ago"
    mark = LOOK if is_too_old(warmth, load(), now) else FINE
    return CheckedLine(title, (taken,), mark, "enter/water")


def _containers(check: StartCheck, followed: Running) -> Iterator[CheckedLine]:
    """Yield label and tool of each substance that is measured out."""
    amounts: dict[str, PrintedAmount] = {}
    for amount in followed.run.amounts:
        amounts.setdefault(amount.agent, amount)
    for agent, amount in amounts.items():
        facts = followed.case.facts
        read = [e for e in check.view.labels if label_of(facts, e, e.moment).agent == agent]
        said = tuple(
            f"{entry_text(entry)}; read {entry_moment_words(entry.moment)}" for entry in read[-1:]
        )
        concerned = [c for c in followed.run.safety if c.agent == agent and "-PROD-" in c.code]
        title = f"Label of {_plain(agent)}"
        more = (amount.read_back,) if amount.read_back else ()
        yield CheckedLine(
            title, (*said, *more) or (NOT_SAID,), _worst(concerned, said), "enter/label"
        )
        tool = amount.label.tool
        steps = f"steps of {tool.step} {tool.unit.value}; the first amount is {amount.text}"
        note = (amount.finer,) if amount.finer else ()
        yield CheckedLine(
            f"Scale or syringe for {_plain(agent)}", (steps, *note), LOOK if note else FINE,
            "enter/label",
        )  # fmt: skip


def _media(followed: Running, system: System) -> Iterator[CheckedLine]:
    """Yield what may take a substance out: whether it is at work, and the step that stops it."""
    steps = followed.run.course.actions
    for kind, (title, at_work) in MEDIA.items():
        state = getattr(system, at_work)
        switched = [
            line.text
            for line in followed.run.lines
            if steps[line.action].kind == kind and line.body == system.id
        ]
        is_asked = kind in ("carbon", "uv") and bool(followed.run.amounts)
        if state is None and not is_asked and not switched:
            continue
        says = {True: "it is at work", False: "none at work", None: "nobody said"}[state]
        mark = FINE if state is False or switched else LOOK
        yield CheckedLine(f"{title} in {system.name}", (says, *switched[:1]), mark, "enter/system")


def _filled(followed: Running, system: System) -> Iterator[CheckedLine]:
    """Yield what the new water was treated with, where any goes in."""
    fills = any(isinstance(a, FILLING) and a.body == system.id for a in followed.run.course.actions)
    if fills:
        treated = system.new_water.treated
        says = "nobody said" if treated is None else f"treated with {treated.value}"
        says = "not treated with chlorine" if says == "treated with none" else says
        mark = STOP if treated is None else FINE
        yield CheckedLine(f"New water for {system.name}", (says,), mark, "enter/system")


def _recipe(followed: Running) -> str:
    """Return what the new water of the first change must be, as its step says it."""
    for line in followed.run.lines:
        _, begins, rest = line.text.partition("New water: ")
        if begins:
            return f"{begins}{rest}"
    return ""


def _sums(followed: Running) -> Iterator[WrittenSum]:
    for amount in followed.run.amounts:
        when = moment_words(followed.clock.local(amount.hour))
        yield WrittenSum(when, amount.text, _plain(amount.agent), amount.sum_text)


def _number_words(group: StockView) -> str:
    name = group.description.name
    return f"{name}, number not said" if group.alive is None else f"{group.alive} {name}"


def _worst(cautions: list[Caution], said: tuple[object, ...]) -> str:
    levels = {caution.level for caution in cautions}
    if Level.BLOCKED in levels:
        return STOP
    return LOOK if Level.CARE in levels or not said else FINE


def _plain(agent: str) -> str:
    return agent.replace("_", " ")
