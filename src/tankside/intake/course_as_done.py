"""What was really done of a chosen course: steps missed, done twice, done otherwise, stopped."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from tankside.case import CaseView
from tankside.case.done import ActionDone
from tankside.claims import Knowledge
from tankside.claims.substance_names import named_in, resolve
from tankside.course import Course, PrintedAmount
from tankside.course.actions import Carbon, Dose, SaltTo, Siphon, Titrate, WaterChange
from tankside.course.actions.action import Action, at_hour
from tankside.follow import DosingStep, Happened, Rescheduled
from tankside.intake.chosen_course import Chosen, every_course
from tankside.quantity import Kind
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import HOURS_PER_DAY

NAMES: dict[str, tuple[str, ...]] = {
    "carbon": ("carbon",),
    "uv": ("uv",),
    "air": ("air",),
    "siphon": ("siphon", "change", "take out"),
    "water_change": ("change", "take out", "water"),
    "salt": ("salt",),
    "dose": ("dose", "medicine"),
    "titrate": ("dose", "medicine"),
    "warm": ("warm", "heat", "cool"),
    "transfer": ("move", "transfer"),
    "fine_filter": ("fine filter",),
}
"""Words by which a keeper names a step of each kind."""
PUT_IN = ("salt", "dose", "titrate")


@dataclass(frozen=True, slots=True)
class CourseAsDone:
    """A course as it was lived up to one hour.

    Args:
        done: steps up to that hour that took place, as they took place.
        ahead: steps after that hour, as planned.
        marks: what became of the steps of the past, by their place in the course.
        stopped_h: hour at which the course was stopped; None while it goes on.
    """

    done: tuple[Action, ...]
    ahead: tuple[Action, ...]
    marks: dict[int, Happened]
    stopped_h: int | None

    @property
    def carbon_in(self) -> bool | None:
        """Whether carbon is in the water after the last step that touched it."""
        last = [action for action in self.done if isinstance(action, Carbon)]
        return last[-1].in_water if last else None


def course_as_done(
    view: CaseView,
    facts: Knowledge,
    picked: Chosen,
    amounts: Mapping[int, PrintedAmount],
    shift_h: int,
    now_h: int,
    zero: Moment,
) -> CourseAsDone:
    """Return the course as it was lived, in hours since ``zero``.

    A step of the past of which nobody told is taken as done as planned. One not done, or not
    known, did not take place; one done twice took place twice; another amount replaces the
    planned one. After a decision to stop nothing of the course takes place.

    Args:
        view: the case.
        facts: what substances are called.
        picked: the chosen course.
        amounts: the amount printed for each step that has one, by its place in the course.
        shift_h: hours from ``zero`` to hour 0 of the course.
        now_h: hour at which it is asked.
        zero: the moment of hour 0.
    """
    actions = moved(picked.course.actions, shift_h)
    stopped = _stopped(view, zero, shift_h, now_h)
    end = now_h if stopped is None else min(stopped, now_h)
    marks: dict[int, Happened] = {}
    entries_of: dict[int, list[ActionDone]] = {}
    for entry in view.actions_done:
        place = _place(facts, actions, entry, hours_between(zero, entry.moment))
        if place is not None and hours_between(zero, entry.moment) <= now_h + HOURS_PER_DAY:
            entries_of.setdefault(place, []).append(entry)
    done: list[Action] = []
    for place, action in enumerate(actions):
        if action.at_h > end:
            continue
        entries = entries_of.get(place, [])
        happened = _happened(entries)
        if happened is not None:
            marks[place] = happened
        done += _as_happened(action, happened, entries, amounts.get(place))
    ahead = () if stopped is not None else tuple(a for a in actions if a.at_h > now_h)
    order = tuple(sorted(done, key=lambda action: action.at_h))
    return CourseAsDone(order, ahead, marks, stopped)


def is_step(view: CaseView, facts: Knowledge, entry: ActionDone) -> bool:
    """Whether an entry tells of a step of a course that the case has followed."""
    return any(
        _place(facts, picked.course.actions, entry, hours_between(picked.starts, entry.moment))
        is not None
        for picked in every_course(view)
        if picked.entry < entry.id
    )


def steps(
    picked: Chosen, marks: dict[int, Happened], shift_h: int, now_h: int
) -> tuple[DosingStep, ...]:
    """Return the steps that put an agent in, with what became of them, for re-dating."""
    put_in = []
    for place, action in enumerate(moved(picked.course.actions, shift_h)):
        if action.kind in PUT_IN:
            past = action.at_h <= now_h
            happened = marks.get(place, Happened.DONE) if past else marks.get(place)
            put_in.append(DosingStep(place, action.at_h, happened))
    return tuple(put_in)


def moved(actions: Iterable[Action], by_h: int) -> tuple[Action, ...]:
    """Return the actions with their hours counted from another hour 0."""
    return tuple(at_hour(action, action.at_h + by_h) for action in actions)


def _stopped(view: CaseView, zero: Moment, shift_h: int, now_h: int) -> int | None:
    """Return the hour of the last decision, when it was to stop; None while the course goes on."""
    stopped: int | None = None
    for decision in view.decisions:
        hour = round(hours_between(zero, decision.moment))
        if shift_h <= hour <= now_h:
            if decision.what in ("stop", "end"):
                stopped = hour
            elif decision.what in ("go_on", "start", "extend", "change"):
                stopped = None
    return stopped


def _place(
    facts: Knowledge, actions: tuple[Action, ...], entry: ActionDone, hour: float
) -> int | None:
    """Return which step an entry tells of: by its number, else by its words and nearest in time.

    A substance that the entry names, by whatever name, is that of the step; where it names none
    that is on file, the words alone decide.
    """
    if entry.index is not None and entry.index < len(actions):
        return entry.index
    words = f"{entry.action} {entry.agent or ''}".lower()
    agents = _agents_named(facts, entry)
    fitting = [place for place, action in enumerate(actions) if _fits(action, agents, words)]
    near = [place for place in fitting if abs(actions[place].at_h - hour) <= HOURS_PER_DAY]
    return min(near, key=lambda place: abs(actions[place].at_h - hour), default=None)


def _agents_named(facts: Knowledge, entry: ActionDone) -> frozenset[str]:
    agent = None if entry.agent is None else resolve(facts, entry.agent).agent
    return named_in(facts, entry.action) if agent is None else frozenset((agent.id,))


def _fits(action: Action, agents: frozenset[str], words: str) -> bool:
    if agents and action_agent(action):
        return action_agent(action) in agents
    return any(word in words for word in NAMES.get(action.kind, ()))


def action_agent(action: Action) -> str:
    """Return the agent id of a step ("" when it has none)."""
    return str(getattr(action, "agent", ""))


def _happened(entries: list[ActionDone]) -> Happened | None:
    if not entries:
        return None
    last = entries[-1]
    if last.state == "not_done":
        return Happened.MISSED
    if last.state == "keeper_does_not_know":
        return Happened.NOT_KNOWN
    if last.state == "other_amount":
        return Happened.OTHER_AMOUNT
    return Happened.TWICE if sum(e.state == "done" for e in entries) > 1 else Happened.DONE


def _as_happened(
    action: Action,
    happened: Happened | None,
    entries: list[ActionDone],
    planned: PrintedAmount | None,
) -> list[Action]:
    """Return the step as it took place: none, one, or two of it."""
    if happened in (Happened.MISSED, Happened.NOT_KNOWN):
        return []
    if happened is Happened.TWICE:
        return [action, _again(action, planned)]
    if happened is Happened.OTHER_AMOUNT:
        return [_other(action, entries[-1], planned)]
    return [action]


def _other(action: Action, entry: ActionDone, planned: PrintedAmount | None) -> Action:
    """Return a step with the litres told, or with the strength scaled to the amount told."""
    if entry.water_changed is not None and isinstance(action, Siphon | WaterChange):
        return replace(action, litres=entry.water_changed.measured(Kind.VOLUME).number("L"))
    if entry.amount is None or planned is None:
        return action
    amount = entry.amount.measured(Kind.MASS, Kind.VOLUME)
    if (amount.kind is Kind.VOLUME) != (planned.unit == "mL"):
        return action
    factor = amount.number(planned.unit) / float(planned.value)
    if isinstance(action, Titrate):
        return _as_dose(action, planned, factor)
    if isinstance(action, Dose):
        return replace(action, strength_mg_l=action.strength_mg_l * factor)
    if isinstance(action, SaltTo):
        return replace(action, to_g_l=action.to_g_l * factor)
    return action


def _again(action: Action, planned: PrintedAmount | None) -> Action:
    """Return the second time of a step: one that goes to a strength puts in its amount again."""
    if isinstance(action, Titrate) and planned is not None:
        return _as_dose(action, planned, 1.0)
    return action


def _as_dose(action: Titrate, planned: PrintedAmount, factor: float) -> Dose:
    """Return what a step by test put in, whatever it was to reach."""
    strength_mg_l = factor * float(planned.strength_mg_l)
    return Dose(action.at_h, action.body, action.agent, strength_mg_l, reason=action.reason)


def rescheduled_course(course: Course, new: Rescheduled, shift_h: int, now_h: int) -> Course:
    """Return the course with its steps at their new hours.

    Args:
        course: as it was chosen.
        new: new hours and dropped steps, in hours since the follow-up's hour 0.
        shift_h: hours from that hour 0 to hour 0 of the course.
        now_h: hour at which it was asked.
    """
    actions = []
    for place, action in enumerate(course.actions):
        if place in new.dropped:
            continue
        if place in new.hours:
            actions.append(at_hour(action, new.hours[place] - shift_h))
        elif action.at_h + shift_h > now_h:
            actions.append(at_hour(action, action.at_h + new.later_h))
        else:
            actions.append(action)
    ordered = tuple(sorted(actions, key=lambda action: action.at_h))
    return Course(course.name, course.days + -(-new.later_h // HOURS_PER_DAY), ordered)
