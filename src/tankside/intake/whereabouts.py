"""Where each group lives: as its description says, as the steps of a followed course moved it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tankside.case import CaseView, StockView
from tankside.claims import Knowledge
from tankside.course.actions import Transfer
from tankside.course.actions.happened import Happened
from tankside.errors import NotPossible
from tankside.intake.course_steps import followed_steps
from tankside.intake.joined_waters import JoinedWaters, joined_waters
from tankside.quantity.moment import Moment


@dataclass(frozen=True, slots=True)
class Moving:
    """A group that came to another water.

    Args:
        at: when.
        to: the body of water it came to; "" where it left the case.
        sure: whether somebody said that it was moved.
    """

    at: Moment
    to: str
    sure: bool


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """Where the groups of a case live over time.

    Args:
        view: the case.
        facts: what substances are called (steps are found by their words).
    """

    view: CaseView
    facts: Knowledge

    def home(self, group: StockView, at: Moment) -> str:
        """Return the body of water a group lives in, a step of which nobody told taken as done."""
        return self.movings(group, at)[-1].to

    def homes(self, group: StockView, at: Moment) -> tuple[str, ...]:
        """Return every body of water a group may live in: the last sure one and those after it."""
        movings = self.movings(group, at)
        last = max(number for number, moving in enumerate(movings) if moving.sure)
        return tuple(dict.fromkeys(moving.to for moving in movings[last:]))

    def logged(self, group: StockView, after: Moment, upto: Moment) -> tuple[Moving, ...]:
        """Return the moves of a group that its description tells of between two moments."""
        waters = joined_waters(self.view)
        return tuple(
            Moving(home.at, _body(waters, home.system), sure=True)
            for home in group.homes[1:]
            if after.utc < home.at.utc <= upto.utc
        )

    def movings(self, group: StockView, at: Moment) -> list[Moving]:
        """Return where a group came to up to a moment, in order; where it was first, first."""
        waters = joined_waters(self.view)
        described = [Moving(home.at, _body(waters, home.system), sure=True) for home in group.homes]
        before = [moving for moving in described[1:] if moving.at.utc <= at.utc]
        by_course = self._by_courses(group.id, at)
        return [described[0], *sorted((*before, *by_course), key=lambda moving: moving.at.utc)]

    def _by_courses(self, group: str, at: Moment) -> Iterator[Moving]:
        for course in followed_steps(self.view, self.facts):
            for place, step in enumerate(course.steps):
                action = step.action
                if not isinstance(action, Transfer) or action.group != group:
                    continue
                late = step.dropped and not step.entries
                left_out = step.happened in (Happened.MISSED, Happened.NOT_KNOWN)
                if step.at > at.utc or late or left_out or place in course.taken_over:
                    continue
                moment = Moment(step.at.isoformat(timespec="minutes"))
                yield Moving(moment, action.to_body, sure=bool(step.entries))


def refuse_homeless(view: CaseView) -> None:
    """Refuse to answer for any water while nobody said in which of several a group lives.

    Raises:
        NotPossible: E-DOSE-20, naming the group and the waters.
    """
    for group in view.stock.values():
        if group.system not in view.systems and group.alive != 0 and view.systems:
            waters = ", ".join(view.systems)
            raise NotPossible(
                "E-DOSE-20",
                f"Nobody said in which water the {group.description.name} live.",
                given=group.system or "no water",
                needed=f"one of: {waters}",
                next_step=f"Say it: tankside case add CASE stock {group.id} system=...",
                field="stock",
            )


def _body(waters: JoinedWaters, system: str) -> str:
    return waters.now(system)[0]
