"""The day card: what one day asks of the keeper, taken from the run of a course.

Every amount on it is one of ``CourseRun.amounts``; nothing is worked out here. Lines that are
there every day (dead fish, net, what not to do, when to call) are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from types import MappingProxyType

from tankside.course import CourseRun, DayLine
from tankside.course.actions import WRITTEN, Carbon, Count, StrengthTest, TakeReading, UltraViolet
from tankside.present.clock import CaseClock
from tankside.present.handling import NO_LAW, Handling, handling_of
from tankside.present.words import EXAMPLE_MARK
from tankside.quantity.dates import clock_words, day_words, moment_words

BLANK = "____"
AFTERNOON_BEGINS = 13
"""Wall-clock hour from which a line stands under EVENING."""
GOOD_UNTIL = time(12, 0)
"""Wall clock of the following day after which a card is void."""
UNITS: Mapping[str, str] = {
    "temperature": "C",
    "ph": "",
    "ammonia": "mg/L as N",
    "nitrite": "mg/L as N",
    "oxygen": "mg/L",
    "salinity": "g/L",
    "alkalinity": "mg/L as CaCO3",
    "copper": "mg/L as Cu",
}
SPOTS_GONE = "stop because the spots are gone: the stop day comes from the counts"
EVERY_DAY = (
    SPOTS_GONE,
    "make up for a missed amount or give one twice: leave it out and call",
    "add any other medicine or salt",
    "use this net, siphon or bucket at another tank",
)
CALL_IF = (
    "a fish gasps, lies over or cannot swim",
    "2 fish or more are dead",
    "an amount was wrong, missed or given twice",
    "the heater, filter or air has failed",
)
NO_NAMES: Mapping[int, str] = MappingProxyType({})
DONE_ALREADY = "Done already, not to be done again:"
HEADING = "DAY CARD"
STOP = "STOP"
FIRST_CALL = "Do nothing of this before you have called."
EXAMPLE_LINE = "EXAMPLE: an invented tank. Not for use on real fish."
EMERGENCY = (
    "In danger now? Air on, no food, nothing more into the water. Then see the emergency card."
)


@dataclass(frozen=True, slots=True)
class CardLine:
    """One thing to do or to write down.

    Args:
        at: wall clock at the tank, for example "18:00" ("" for "any time").
        text: the sentence, the short name of the step first.
        amounts: printed amounts in it, from the course.
        blanks: what to write down, each with its unit.
        sums: the sum behind each amount.
        reasons: why an amount may pass the usual limit, as it was typed.
        step: short name of the step of the course; "" for a line of every day.
        amount_indices: of the amounts, into ``CourseRun.amounts``.
    """

    at: str
    text: str
    amounts: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()
    sums: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    step: str = ""
    amount_indices: tuple[int, ...] = ()

    @property
    def above_usual(self) -> tuple[str, ...]:
        """Why amounts pass the usual limit, each as a sentence in brackets."""
        return tuple(
            f"(Above the usual limit, because: {reason.rstrip('.')}.)" for reason in self.reasons
        )

    @property
    def words(self) -> str:
        """The sentence, why it may be more than usual, and what to write down."""
        return " ".join((self.text, *self.above_usual, *self.blanks))


@dataclass(frozen=True, slots=True)
class CardPart:
    """MORNING or EVENING with its lines."""

    title: str
    lines: tuple[CardLine, ...]


@dataclass(frozen=True, slots=True)
class CardHead:
    """What a card says about itself.

    Args:
        place: tank and keeper, for example "Elm Road, Marta Vell".
        water: volume with how known, for example "173 L".
        plan: name of the course.
        version: number of the plan in this case, from 1.
        made: from which entries, program and knowledge it was made.
        phone: whom to call ("" leaves a line to write on).
        example: whether this is an invented case.
    """

    place: str
    water: str
    plan: str
    version: int
    made: str
    phone: str = ""
    example: bool = False


@dataclass(frozen=True, slots=True)
class DayCard:
    """All that one day's card says; ``stops`` forbid the course as the case now stands.

    ``changed`` says what the plan rests on and is known otherwise now; ``cautions`` what to heed
    on this day; ``not_valid`` why nothing on the card may be done any more; ``first`` what matters
    most within the hour and today, and what is treated.
    """

    head: CardHead
    day: date
    number: int
    parts: tuple[CardPart, ...]
    do_not: tuple[str, ...]
    call_if: tuple[str, ...]
    valid_until: str
    replaces: str
    next_on: str
    stops: tuple[str, ...] = ()
    handling: tuple[Handling, ...] = ()
    changed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    not_valid: tuple[str, ...] = ()
    first: tuple[str, ...] = ()

    @property
    def warning(self) -> str:
        """What to do where the plan rests on what is known otherwise now; "" when nothing is."""
        if not self.changed:
            return ""
        changed = "; ".join(self.changed)
        asks = "What this plan rests on has changed since, so make a new plan before going on"
        return f"{asks}: {changed}."

    @property
    def mark(self) -> str:
        """What goes behind a heading where the tank is invented; "" where it is not."""
        return f" ({EXAMPLE_MARK})" if self.head.example else ""

    @property
    def title(self) -> str:
        """Day and day number."""
        return f"{day_words(self.day)}, day {self.number}"

    @property
    def plan(self) -> str:
        """Which plan of the case the card belongs to, and its name."""
        return f"Plan {self.head.version}: {self.head.plan}"

    @property
    def foot(self) -> str:
        """Until when the card holds and what it was made from."""
        return f"Not valid after {self.valid_until}. {self.head.made}"


def day_card(
    run: CourseRun,
    clock: CaseClock,
    day: date,
    head: CardHead,
    law: Mapping[str, tuple[str, ...]] = NO_LAW,
    names: Mapping[int, str] = NO_NAMES,
    units: Mapping[str, str] = UNITS,
    done: Collection[int] = (),
) -> DayCard:
    """Make the card of one day.

    Args:
        run: the course with its lines and amounts.
        clock: when hour 0 was, and the zone of the tank.
        day: calendar day at the tank.
        head: what the card says about itself.
        law: what the law says of each agent where the tank stands, by agent id.
        names: short name of each step, by its place in the course.
        units: the unit in which each reading is written down, by its name.
        done: places of the steps that were done as planned.
    """
    units = {**UNITS, **units}
    today = [_answered(line, done) for line in run.lines if clock.day_of(line.hour) == day]
    early = [line for line in today if clock.local(line.hour).hour < AFTERNOON_BEGINS]
    late = [line for line in today if line not in early]
    reads = any(_reads_temperature(run, line) for line in today)
    warmth = (_blank(units["temperature"]),)
    thermometer = CardLine("", "Read the thermometer, not the heater.", blanks=warmth)
    morning = (() if reads else (thermometer,)) + _lines(run, clock, early, units, names)
    last = CardLine("", "Dead fish today, and which:", blanks=(BLANK,))
    net = CardLine("", "This net used at another tank?", blanks=("no / yes",))
    evening = (*_lines(run, clock, late, units, names), last, net)
    end = clock.local(clock.hour_at(day + timedelta(days=1), GOOD_UNTIL))
    tear = f"Replaces plan {head.version - 1}: tear it up." if head.version > 1 else ""
    return DayCard(
        head,
        day,
        clock.number(day),
        (CardPart("MORNING", morning), CardPart("EVENING", evening)),
        (*_standing(run, clock, day), *EVERY_DAY),
        CALL_IF,
        moment_words(end),
        tear,
        _next_on(run, clock, day) if not today else "",
        tuple(dict.fromkeys(f"{stop.words} {stop.what_instead}" for stop in run.blocked)),
        handling_of(
            [run.amounts[index] for line in today for index in line.amounts],
            law,
            " ".join(line.text for line in today),
        ),
    )


def _lines(
    run: CourseRun,
    clock: CaseClock,
    lines: list[DayLine],
    units: Mapping[str, str],
    names: Mapping[int, str],
) -> tuple[CardLine, ...]:
    return tuple(
        CardLine(
            clock_words(clock.local(line.hour)),
            named_text(names.get(line.action, ""), line.text),
            tuple(run.amounts[index].text for index in line.amounts),
            _blanks(run, line, units),
            tuple(run.amounts[index].sum_text for index in line.amounts),
            tuple(why for index in line.amounts if (why := run.amounts[index].reason)),
            names.get(line.action, ""),
            line.amounts,
        )
        for line in lines
    )


def _answered(line: DayLine, done: Collection[int]) -> DayLine:
    """Return a line that says so where its step was done: nothing of it is to be done again."""
    if line.action not in done:
        return line
    return replace(line, text=f"{DONE_ALREADY} {line.text}")


def named_text(name: str, text: str) -> str:
    """Return the words of a step behind its short name."""
    return f"{name}: {text}" if name else text


def _blanks(run: CourseRun, line: DayLine, units: Mapping[str, str]) -> tuple[str, ...]:
    action = run.course.actions[line.action]
    if isinstance(action, StrengthTest):
        return (f"{action.reads} {BLANK} {action.unit}",)
    if isinstance(action, TakeReading):
        return tuple(f"{name} {_blank(units.get(name, ''))}" for name in action.names)
    if isinstance(action, Count):
        lines = WRITTEN.get(action.what, ())
        return tuple(line.replace("{}", BLANK) for line in lines) or (BLANK,) * 3
    return ()


def _blank(unit: str) -> str:
    return f"{BLANK} {unit}".rstrip()


def _reads_temperature(run: CourseRun, line: DayLine) -> bool:
    action = run.course.actions[line.action]
    return isinstance(action, TakeReading) and "temperature" in action.names


def _standing(run: CourseRun, clock: CaseClock, day: date) -> tuple[str, ...]:
    """Say what must stay out or off on this day because of an earlier (or today's) step."""
    out: dict[str, bool] = {}
    for line in run.lines:
        action = run.course.actions[line.action]
        if clock.day_of(line.hour) > day:
            break
        if isinstance(action, Carbon):
            out["carbon"] = not action.in_water
        if isinstance(action, UltraViolet):
            out["UV"] = not action.on
    words = {"carbon": "put carbon back into the filter", "UV": "turn UV on"}
    return tuple(words[name] for name, is_out in out.items() if is_out)


def _next_on(run: CourseRun, clock: CaseClock, day: date) -> str:
    after = [d for line in run.lines if (d := clock.day_of(line.hour)) > day]
    return f"Nothing else today. Next: {day_words(min(after))}." if after else "Nothing else today."
