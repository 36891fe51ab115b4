"""A course that a practitioner puts together step by step, made of the parts every course has.

A step is one typed line, as an entry is: its kind, then ``name=value``, for example
``siphon "litres=40 L" every=2 times=6``. Words, limits, safety checks and amounts are those of the
courses that the program proposes itself: nothing here knows another dose, volume or temperature.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from tankside.claims import Knowledge
from tankside.course import LabelEntry, System
from tankside.course.actions import Air, Transfer
from tankside.course.amounts.titration import titration
from tankside.errors import BadInput
from tankside.intake.situation import SALT, carbon_removes
from tankside.intake.strength import read_strength
from tankside.intake.substances import named_agent
from tankside.plan import Candidate, CandidatePart, Lever, Levers, Situation, Staying, Substance
from tankside.plan import parts as part
from tankside.plan.timing import course_days
from tankside.plan.titration import strength_tests, titrated
from tankside.quantity import Kind, parse_quantity
from tankside.quantity.per import HOURS_PER_DAY, MG_PER_G
from tankside.quantity.typed_line import parted

BUILT = "yours"
"""What such a course is called, and its kind: the race leaves the best of every kind."""
MOST_STEPS, MOST_DAYS = 24, 180
NO_LABELS: Mapping[str, LabelEntry] = {}
WHEN = ("day", "every", "times", "in")


@dataclass(frozen=True, slots=True)
class StepKind:
    """A kind of step.

    Args:
        fields: what must be typed of it.
        repeats: whether it can be done again at an interval.
        make: makes its part of the course.
    """

    fields: tuple[str, ...]
    repeats: bool
    make: Callable[[_Making], CandidatePart]


@dataclass(frozen=True, slots=True)
class TypedStep:
    """A step as typed: its kind and what stands behind each name."""

    word: str
    values: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class _Making:
    """A step with everything that its part is made from."""

    facts: Knowledge
    situation: Situation
    levers: Levers
    step: TypedStep
    days: int
    reason: str
    labels: Mapping[str, LabelEntry]

    @property
    def body(self) -> System:
        """Return the water it is done in; that of the sick fish where none is named."""
        named = self.step.values.get("in", "") or self.situation.main
        bodies = {body.id: body for body in self.situation.systems}
        if named not in bodies:
            raise _unread("There is no such water in this case.", named, " or ".join(bodies), "in")
        return bodies[named]

    @property
    def hours(self) -> tuple[int, ...]:
        """Return the hours it is done at."""
        every, first = self.whole("every", 0), self.first_h
        times = self.whole("times", 0) or (MOST_DAYS if every else 1)
        step_h = (every or 1) * HOURS_PER_DAY
        return tuple(range(first, min(self.days * HOURS_PER_DAY, first + times * step_h), step_h))

    @property
    def first_h(self) -> int:
        """Return the first hour it is done at; day 1 is the day the course begins."""
        day = self.whole("day", 1)
        start = self.situation.first_h // HOURS_PER_DAY
        if not 1 <= day <= self.days - start:
            needed = f"a day from 1 to {self.days - start}, the last of the course"
            raise _unread("This step lies outside the course.", str(day), needed, "day")
        return self.situation.first_h + (day - 1) * HOURS_PER_DAY

    @property
    def rhythm(self) -> str:
        """Say how often it is done."""
        every, times = self.whole("every", 0), self.whole("times", 0)
        if not every:
            return f"once{self.later}"
        often = "every day" if every == 1 else f"every {every} days"
        return f"{often}{f', {times} times' if times else ''}{self.later}"

    @property
    def later(self) -> str:
        """Say from which day on, where it is not the first."""
        day = self.whole("day", 1)
        return f" from day {day}" if day > 1 else ""

    def whole(self, name: str, otherwise: int) -> int:
        """Return a whole number of days or times."""
        typed = self.step.values.get(name, "").strip()
        if not typed:
            return otherwise
        return _whole(typed, name, 1)

    def number(self, name: str, kind: Kind, unit: str) -> float:
        """Return a quantity in a unit."""
        return parse_quantity(self.step.values[name], kind, field=name).number(unit)


def typed_steps(lines: Sequence[str]) -> tuple[TypedStep, ...]:
    """Return the steps of a course as typed.

    Raises:
        BadInput: E-PLAN-11 no step is called so, or something of one is missing; E-CSV-02.
    """
    if len(lines) > MOST_STEPS:
        raise _unread(
            "This course has too many steps.", str(len(lines)), f"at most {MOST_STEPS}", "step"
        )
    return tuple(_typed_step(line) for line in lines)


def built_course(
    facts: Knowledge,
    situation: Situation,
    levers: Levers,
    lines: Sequence[str],
    days: str = "",
    reason: str = "",
    labels: Mapping[str, LabelEntry] = NO_LABELS,
) -> Candidate:
    """Return the course that typed steps make.

    Args:
        facts: agents and their names.
        situation: the case as the plan sees it.
        levers: values of the levers: speed of warming, steps of salt, hours of work.
        lines: its steps, one line each.
        days: how long it is [d]; "" for the shortest length that every course is tried with.
        reason: why a soft limit may be passed.
        labels: containers by agent id, for a strength told as a product.

    Raises:
        BadInput: E-PLAN-11 a step cannot be read; a quantity or substance cannot.
        NotPossible: E-PLAN-01 no length was typed, and no course has an end.
    """
    start = situation.first_h // HOURS_PER_DAY
    length = start + (
        _whole(days, "days", 1)
        if days.strip()
        else course_days(situation.stage_durations, levers.lengths[0], situation.tail_d)
    )
    makings = [
        _Making(facts, situation, levers, step, length, reason, labels)
        for step in typed_steps(lines)
    ]
    pulled = [KINDS[making.step.word].make(making) for making in makings]
    tests = [test for making in makings for test in _tests(making)]
    steps = (step for piece in pulled for step in piece.actions)
    moved_to = next((step.to_body for step in steps if isinstance(step, Transfer)), "")
    checks = part.checks(situation, length, levers, moved_to or situation.main)
    ends = any(piece.lever is Lever.REMOVAL for piece in pulled)
    words = [piece.words for piece in pulled]
    name = f"{BUILT}: {', '.join((*words, f'{length} days'))}"
    end = length + (levers.removal_changes if ends else 0)
    return Candidate(name, BUILT, end, (*pulled, *tests, checks))


def _typed_step(line: str) -> TypedStep:
    word, *rest = parted(line) or [""]
    kind = KINDS.get(word)
    if kind is None:
        raise _unread("There is no step of that kind.", word, " or ".join(KINDS), "step")
    pairs = [text.partition("=") for text in rest]
    allowed = (*kind.fields, *(WHEN if kind.repeats else ("day", "in")))
    for name, equals, _ in pairs:
        if not equals or name not in allowed:
            raise _unread(f"A step {word} has no such part.", name, " or ".join(allowed), "step")
    values = {name: value.strip() for name, _, value in pairs}
    for name in kind.fields:
        if not values.get(name):
            raise _unread(f"A step {word} lacks a part.", "", f"{name}=...", name)
    return TypedStep(word, values)


def _salt(m: _Making) -> CandidatePart:
    to_mg_l = m.number("to", Kind.MASS_CONCENTRATION, "g/L") * MG_PER_G
    substance = _substance(m, SALT, to_mg_l)
    return _from(m, part.salt(m.body, substance, to_mg_l, m.first_h, m.levers))


def _dose(m: _Making) -> CandidatePart:
    substance = _substance(m, *_asked(m))
    (strength,) = substance.strengths_mg_l
    if substance.in_steps:
        return _from(m, part.salt(m.body, substance, strength, m.first_h, m.levers))
    if substance.titration is not None:
        how = substance.titration
        return _from(m, titrated(m.body, substance, how, strength, m.first_h, m.days))
    return part.doses_at(m.body, substance, strength, m.hours, m.rhythm)


def _tests(m: _Making) -> tuple[CandidatePart, ...]:
    """Return the tests that go with an agent brought to strength by them."""
    if m.step.word != "dose":
        return ()
    substance = _substance(m, *_asked(m))
    how = substance.titration
    if how is None:
        return ()
    return (strength_tests(m.body, substance.agent, how, m.first_h, m.days, m.levers),)


def _asked(m: _Making) -> tuple[str, float]:
    """Return the agent that is meant, and its strength on its own basis [mg/L]."""
    named = named_agent(m.facts, m.step.values["agent"], "agent")
    agent, typed = named.agents[0], m.step.values["strength"]
    return agent.id, read_strength(agent, typed, named.form, m.labels.get(agent.id))


def _substance(m: _Making, agent: str, mg_l: float) -> Substance:
    on_file, is_salt = m.facts.agents[agent], agent == SALT
    return Substance(
        agent=agent,
        name=on_file.name,
        strengths_mg_l=(mg_l,),
        staying=Staying.HELD if is_salt else Staying.FADES,
        in_steps=is_salt,
        carbon_removes=carbon_removes(on_file),
        reason=m.reason,
        titration=titration(m.facts, agent, m.body.water),
    )


def _water(m: _Making) -> CandidatePart:
    litres = m.number("litres", Kind.VOLUME, "L")
    return part.changes_at(m.body, litres, m.hours, m.rhythm, m.step.word == "siphon")


def _warm(m: _Making) -> CandidatePart:
    to_c = m.number("to", Kind.TEMPERATURE, "C")
    made = part.warm(m.body, to_c, m.first_h, m.levers)
    there = m.body.temperature_c
    cooler = there is not None and to_c < there
    words = made.words.replace("warmed", "cooled") if cooler else made.words
    return _from(m, replace(made, words=words))


def _move(m: _Making) -> CandidatePart:
    to, spare = m.step.values["to"], m.situation.spare
    if to not in spare:
        needed = " or ".join(spare) or "another water of the case that could take them"
        raise _unread("The fish cannot be moved there.", to, needed, "to")
    return _from(m, part.move(m.situation, to, m.first_h))


def _take_out(m: _Making) -> CandidatePart:
    named = named_agent(m.facts, m.step.values["agent"], "agent").agents[0].id
    litres = m.number("litres", Kind.VOLUME, "L")
    return part.take_out(m.body, litres, m.days, m.levers, _substance(m, named, 0.0))


def _air(m: _Making) -> CandidatePart:
    made = CandidatePart(Lever.AIR, "air stone", (Air(m.first_h, m.body.id, True),))
    return _from(m, made)


def _media(lever: Lever) -> Callable[[_Making], CandidatePart]:
    def make(m: _Making) -> CandidatePart:
        made = {p.lever: p for p in part.media_out(m.body, m.first_h)}
        if lever not in made:
            raise _unread(f"Nothing to do: {lever}.", m.body.name, "what is still there", "step")
        return _from(m, made[lever])

    return make


def _from(m: _Making, made: CandidatePart) -> CandidatePart:
    return replace(made, words=f"{made.words}{m.later}")


KINDS: Mapping[str, StepKind] = {
    "air": StepKind((), False, _air),
    "carbon_out": StepKind((), False, _media(Lever.CARBON_OUT)),
    "uv_off": StepKind((), False, _media(Lever.UV_OFF)),
    "warm": StepKind(("to",), False, _warm),
    "salt": StepKind(("to",), False, _salt),
    "dose": StepKind(("agent", "strength"), True, _dose),
    "change": StepKind(("litres",), True, _water),
    "siphon": StepKind(("litres",), True, _water),
    "move": StepKind(("to",), False, _move),
    "take_out": StepKind(("agent", "litres"), False, _take_out),
}
"""Every kind of step by its word, in the order they are offered."""


def _whole(typed: str, field: str, least: int) -> int:
    bare = typed.strip().partition(" ")[0]
    if bare.isascii() and bare.isdigit() and least <= int(bare[:4]) <= MOST_DAYS:
        return int(bare[:4])
    raise _unread("This is no whole number.", typed, f"a number from {least} to {MOST_DAYS}", field)


def _unread(message: str, typed: str, needed: str, field: str) -> BadInput:
    return BadInput(
        "E-PLAN-11",
        message,
        given=typed or "nothing",
        needed=needed,
        next_step="Put it right and add the step again; the others stand.",
        field=field,
    )
