"""What really happened of a chosen course, from the entries that tell of it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from tankside.case.done import ActionDone
from tankside.claims import Knowledge
from tankside.course import Course, PrintedAmount, StockGroup, System, Volume
from tankside.course.actions.happened import Happened
from tankside.course.actions.lived import Lived, StepLived, agent_of_step
from tankside.course.actions.schedule import Schedule, declare_all
from tankside.course.amounts.water_account import Edges, WaterAccount
from tankside.course.bodies.effects import (
    AGENT_PREFIX,
    SALT,
    AgentAdded,
    AgentUnknown,
    Effect,
    Exchanged,
    ReadingEntered,
)
from tankside.course.bodies.system import InWater, NewWater
from tankside.course.bodies.unnamed import is_unnamed
from tankside.intake.account import Movement
from tankside.intake.course_steps import CourseStep, FollowedSteps
from tankside.intake.substances import agent_in_water, form_factor
from tankside.quantity import Kind
from tankside.quantity.moment import Moment, hours_between
from tankside.quantity.per import MG_PER_G, SECONDS_PER_HOUR

Enter = Callable[[WaterAccount], None]
"""Enters one movement into an account."""


@dataclass(frozen=True, slots=True)
class LivedCourse:
    """One course as it was lived.

    Args:
        followed: the course with its steps.
        course: the schedule with what happened of it.
        schedule: what it declares so.
    """

    followed: FollowedSteps
    course: Course
    schedule: Schedule

    def puts_in(self, place: int) -> bool:
        """Whether a step puts something into a water."""
        return any(
            place == of_step and isinstance(effect, AgentAdded) and effect.mg > 0
            for (_, effect), of_step in zip(
                self.schedule.effects, self.schedule.of_step, strict=True
            )
        )

    def words(self, place: int) -> str:
        """Return what a step puts in, in the words of its line."""
        return next(line.text for line in self.schedule.lines if line.action == place)


def lived_course(
    facts: Knowledge,
    followed: FollowedSteps,
    waters: tuple[System, ...],
    stock: tuple[StockGroup, ...],
    logged: Iterable[tuple[float, Effect]],
) -> LivedCourse:
    """Return a course as it was lived, on its own hours.

    Args:
        facts: what is known.
        followed: the course with its steps and their entries.
        waters: the bodies of water at hour 0 of the course.
        stock: the animals then.
        logged: what went in and out beside the course, with the hour since its start.
    """
    picked = followed.picked
    beside = tuple(logged)
    planned = _planned(facts, followed, waters, stock, beside)
    steps, more = _steps(facts, followed, planned.amounts)
    lived = Lived(steps, (*beside, *more), planned.added)
    course = replace(picked.course, lived=lived)
    return LivedCourse(followed, course, declare_all(waters, stock, course, facts, picked.labels))


def _planned(
    facts: Knowledge,
    followed: FollowedSteps,
    waters: tuple[System, ...],
    stock: tuple[StockGroup, ...],
    beside: tuple[tuple[float, Effect], ...],
) -> Schedule:
    """Return what the course meant when it was chosen, on what had happened up to then."""
    picked = followed.picked
    chosen_h = 0.0 if picked.chosen_at is None else hours_between(picked.starts, picked.chosen_at)
    before = tuple((hour, effect) for hour, effect in beside if hour <= chosen_h)
    steps, more = _steps(facts, followed, ())
    taken = {place: step for place, step in steps.items() if place in followed.taken_over}
    lived = Lived(taken, (*before, *((hour, e) for hour, e in more if hour <= chosen_h)))
    course = replace(picked.course, lived=lived)
    return declare_all(waters, stock, course, facts, picked.labels)


def _steps(
    facts: Knowledge, followed: FollowedSteps, amounts: tuple[PrintedAmount, ...]
) -> tuple[dict[int, StepLived], list[tuple[float, Effect]]]:
    """Return what became of each step, and what was logged with a step that is not its own."""
    printed = {amount.action: amount for amount in amounts}
    lived: dict[int, StepLived] = {}
    beside: list[tuple[float, Effect]] = []
    for place, step in enumerate(followed.steps):
        became, more = _became(facts, step, followed.picked.starts, printed.get(place))
        if became is not None:
            lived[place] = became
            beside += more
    return lived, beside


def _became(
    facts: Knowledge, step: CourseStep, zero: Moment, printed: PrintedAmount | None
) -> tuple[StepLived | None, list[tuple[float, Effect]]]:
    planned_h = (step.at - zero.utc).total_seconds() / SECONDS_PER_HOUR
    happened = step.happened
    if happened is None:
        return (StepLived(planned_h, 0.0) if step.dropped else None), []
    if happened is Happened.MISSED:
        return StepLived(planned_h, 0.0), []
    if happened is Happened.NOT_KNOWN:
        return StepLived(planned_h, surely=False), []
    put_in = [entry for entry in step.entries if entry.state in ("done", "other_amount")]
    first = put_in[0]
    same_day = first.day_only and first.moment.day == step.at.date()
    at_h = planned_h if same_day else hours_between(zero, first.moment)
    return _as_told(facts, step, put_in, at_h, printed)


def _as_told(
    facts: Knowledge,
    step: CourseStep,
    put_in: list[ActionDone],
    at_h: float,
    printed: PrintedAmount | None,
) -> tuple[StepLived, list[tuple[float, Effect]]]:
    """Return a step as the entries tell it that something of it was done."""
    times, mg = 0.0, 0.0
    beside: list[tuple[float, Effect]] = []
    agent, body = agent_of_step(step.action), step.action.body
    for entry in put_in:
        if entry.amount is None:
            times += 1
            continue
        value = entry.amount.measured(Kind.MASS, Kind.VOLUME)
        named = agent_in_water(facts, entry.agent) if entry.agent else agent
        if value.kind is Kind.MASS and not is_unnamed(named):
            factor = form_factor(facts, entry.agent, entry.amount) if entry.agent else 1.0
            if named == agent:
                mg += value.number("mg") * factor
            else:
                grams = value.number("mg") * factor
                beside.append((at_h, AgentAdded(body, named, grams)))
        elif value.kind is Kind.VOLUME and printed is not None and printed.unit == "mL":
            times += value.number("mL") / float(printed.value)
        elif named:
            beside.append((at_h, AgentUnknown(body, named)))
    changed = [e.water_changed for e in put_in if e.water_changed is not None]
    litres = (
        sum(amount.measured(Kind.VOLUME).number("L") for amount in changed) if changed else None
    )
    if mg and times:
        mg += times * float(printed.active_mg) if printed is not None else 0.0
    counts_mg = mg if mg or (not times and (agent or beside)) else None
    return StepLived(at_h, times, mg=counts_mg, litres=litres), beside


@dataclass(slots=True)
class EffectsOf(WaterAccount):
    """Takes down what movements do to one body, as effects with their hours.

    Args:
        body: its id.
        new_water: what it is filled with.
        effects: what was taken down.
    """

    body: str = ""
    new_water: NewWater = field(default_factory=NewWater)
    effects: list[tuple[float, Effect]] = field(default_factory=list)

    def start_with(self, residue: InWater) -> None:
        """Take down what was told to be in the water."""
        if residue.high_mg_l is None:
            self.put_in_unknown(residue.agent)
        else:
            self.put_in_strength(residue.agent, *residue.edges(0))

    def put_in(self, agent: str, low_mg: float, high_mg: float) -> None:
        """Take down a mass."""
        self._note(AgentAdded(self.body, agent, high_mg, least_mg=low_mg))

    def put_in_strength(self, agent: str, low_mg_l: float, high_mg_l: float) -> None:
        """Take down a strength, as its mass in the point volume."""
        litres = self.volume.point_l
        self.put_in(agent, low_mg_l * litres, high_mg_l * litres)

    def put_in_unknown(self, agent: str) -> None:
        """Take down an amount nobody knows."""
        self._note(AgentUnknown(self.body, agent))

    def exchange(
        self, litres: float, new: Mapping[str, float] | None = None, *, surely: bool = True
    ) -> None:
        """Take down a part change."""
        self._note(Exchanged(self.body, min(litres, self.volume.point_l), self.new_water, surely))
        for agent, mg_l in (new or {}).items():
            self._note(AgentAdded(self.body, agent, mg_l * litres))

    def receive(
        self,
        litres: float,
        coming: Mapping[str, tuple[Edges, Edges, Edges]],
        unknown: Collection[str],
        *,
        room_made: bool | None,
    ) -> None:
        """Take down water that came with what is in it, as masses."""
        if room_made is not False:
            self.exchange(litres, surely=room_made is True)
        for agent, edges in coming.items():
            least, most = min(low for low, _ in edges), max(high for _, high in edges)
            if most > 0:
                self.put_in(agent, least * litres, most * litres)
        for agent in unknown:
            self.put_in_unknown(agent)

    def read(self, agent: str, low_mg_l: float, high_mg_l: float) -> None:
        """Take down a reading, at its high edge."""
        values = {AGENT_PREFIX + agent: high_mg_l}
        if agent == SALT:
            values["salinity_g_l"] = high_mg_l / MG_PER_G
        self._note(ReadingEntered(self.body, values))

    def at_most(self, agent: str, high_mg_l: float) -> None:
        """Leave out what only bounds an agent from above: the high edge stays."""

    def _note(self, effect: Effect) -> None:
        self.effects.append((self.hour, effect))


def _no_rates(agent: str) -> tuple[float, float]:
    del agent
    return 0.0, 0.0


def effects_of(
    body: str, volume: Volume, new_water: NewWater, movements: Iterable[Movement]
) -> list[tuple[float, Effect]]:
    """Return movements of one body as effects, in order of time."""
    taken = EffectsOf(volume, _no_rates, body=body, new_water=new_water)
    for movement in sorted(movements, key=lambda movement: (movement.at_h, movement.entry)):
        taken.hour = movement.at_h
        movement.enter(taken)
    return taken.effects


def movements_of(
    lived: LivedCourse,
    bodies: Collection[str],
    zero: Moment,
    but_not: frozenset[str] = frozenset(),
) -> Iterator[Movement]:
    """Yield what the steps of one course did to some bodies, counted from another hour 0.

    A step that nobody answered may have been done: it stands at the high edge alone. Steps that
    a course took over from the one it re-dates are told by that one; ``but_not`` are names of
    steps that are told elsewhere.
    """
    followed, schedule = lived.followed, lived.schedule
    shift_h = hours_between(zero, followed.picked.starts)
    for (hour, effect), place in zip(schedule.effects, schedule.of_step, strict=True):
        if place is None or place in followed.taken_over or _body_of(effect) not in bodies:
            continue
        if followed.steps[place].name in but_not:
            continue
        step, became = followed.steps[place], lived.course.lived.steps.get(place)
        at_h = shift_h + (hour if became is None else became.at_h)
        order = step.entries[-1].id if step.entries else followed.picked.entry
        movement = _movement(effect, answered=bool(step.entries))
        if movement is not None:
            yield Movement(at_h, order, _body_of(effect), movement)


def _body_of(effect: Effect) -> str:
    return str(getattr(effect, "body", ""))


def _movement(effect: Effect, *, answered: bool) -> Enter | None:
    if isinstance(effect, AgentAdded):
        low = effect.surely_mg if answered else 0.0
        return lambda account: account.put_in(effect.agent, low, effect.mg)
    if isinstance(effect, AgentUnknown):
        return lambda account: account.put_in_unknown(effect.agent)
    if isinstance(effect, Exchanged):
        surely = effect.surely and answered
        return lambda account: account.exchange(effect.litres, surely=surely)
    return None
