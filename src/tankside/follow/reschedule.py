"""A step missed, done twice or done otherwise: new dates, never a double dose."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.claims import whole_setting
from tankside.course.actions.happened import Happened
from tankside.quantity.per import HOURS_PER_DAY

_SAME_DAY = whole_setting(12, "a step done up to half a day late is still that day's step")


@dataclass(frozen=True, slots=True)
class DosingStep:
    """A planned step that puts something into the water.

    Args:
        index: its place in the course.
        hour: planned elapsed hour.
        happened: what became of it; None while it lies ahead.
        name: its short name; "" when it has none.
    """

    index: int
    hour: int
    happened: Happened | None = None
    name: str = ""

    @property
    def called(self) -> str:
        """How it is spoken of."""
        return f"Step {self.name}" if self.name else "A step"


@dataclass(frozen=True, slots=True)
class Rescheduled:
    """New hours for the steps ahead, and what to say.

    Args:
        hours: new hour of each step ahead, by index.
        dropped: steps ahead that are left out (another dose of the same is already there).
        later_h: hours by which the end of the course moves.
        words: one line per change, in order.
    """

    hours: dict[int, int]
    dropped: tuple[int, ...]
    later_h: int
    words: tuple[str, ...]


def reschedule(steps: Sequence[DosingStep], now_h: int) -> Rescheduled:
    """Re-date the steps that lie ahead after what happened to the earlier ones.

    A missed step is done now, once, and everything after it moves by the delay in whole days, so
    that no gap is closed by a second dose. One missed by no more than half a day is due now and
    moves nothing; one after which the course went on is not caught up. A step done
    twice makes the next one drop out. Another amount, or not knowing, changes no date: the water
    is measured first.

    Args:
        steps: planned steps of one agent in one body, in order of time.
        now_h: elapsed hour at which it is asked.
    """
    hours = {step.index: step.hour for step in steps if step.happened is None}
    dropped: list[int] = []
    later = _delay(steps, now_h)
    words = _of_missed(steps, hours, later, now_h)
    for step in steps:
        if step.happened is Happened.TWICE:
            ahead = [index for index, _ in sorted(hours.items(), key=lambda item: item[1])]
            drop = next((index for index in ahead if index not in dropped), None)
            if drop is not None:
                dropped.append(drop)
            words.append(
                f"{step.called} was done twice: leave out the next one, measure the strength, "
                "watch the fish; change water if they gasp or roll over."
            )
        elif step.happened in (Happened.OTHER_AMOUNT, Happened.NOT_KNOWN):
            words.append(
                f"{step.called}: another or unknown amount went in: measure the strength before "
                "the next step; days without a known strength do not count."
            )
    for index in dropped:
        hours.pop(index)
    return Rescheduled(hours, tuple(dropped), later, tuple(dict.fromkeys(words)))


def _of_missed(
    steps: Sequence[DosingStep], hours: dict[int, int], later: int, now_h: int
) -> list[str]:
    """Enter the new hours of the steps ahead after a missed one; return what to say."""
    missed = [step for step in steps if step.happened is Happened.MISSED]
    words: list[str] = []
    if later:
        hours.update({index: hour + later for index, hour in hours.items()})
        hours[missed[-1].index] = now_h
        words.append(
            f"{missed[-1].called} was missed: do it now, once, in the usual amount. Every later "
            f"step moves {later // HOURS_PER_DAY} day(s). Nothing is doubled to catch up."
        )
    for step in missed:
        if _went_on(steps, step):
            words.append(
                f"{step.called} was missed and the course went on after it: it is not caught up. "
                "What later steps weigh out is counted on what really went in; measure the "
                "strength before the next step."
            )
        elif step is missed[-1] and not later:
            hours[step.index] = max(now_h, step.hour)
            words.append(
                f"{step.called} is due and was not done: do it now, once, in the usual amount. "
                "No later step moves. Nothing is doubled to catch up."
            )
    return words


def _delay(steps: Sequence[DosingStep], now_h: int) -> int:
    """Return by how many hours, in whole days, the steps ahead move because of missed ones."""
    missed = [step for step in steps if step.happened is Happened.MISSED]
    if not missed or _went_on(steps, missed[-1]):
        return 0
    waited = now_h - missed[-1].hour - _SAME_DAY
    return -(-waited // HOURS_PER_DAY) * HOURS_PER_DAY if waited > 0 else 0


def _went_on(steps: Sequence[DosingStep], missed: DosingStep) -> bool:
    """Whether a later step was done after one that was missed."""
    done = (Happened.DONE, Happened.TWICE, Happened.OTHER_AMOUNT)
    return any(step.happened in done and step.hour > missed.hour for step in steps)
