"""Whatever nobody knows of one agent in one tank, said in one caution instead of several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from tankside.course.amounts.tolerance import class_effect
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.system import BodyKind, FilterState
from tankside.course.safety.scene import CourseScene

FILTER = "the filter"
TEST_DAILY = "Test ammonia and nitrite every day, and again two weeks after; have new water ready."
NO_FIGURE = "No figure was found; not known does not mean safe."


@dataclass(slots=True)
class Unknowns:
    """What is not known of an agent at one body: of which animals, plants, of the filter.

    Args:
        scene: the course as run.
        body: the body of water.
        agent: the agent.
    """

    scene: CourseScene
    body: str
    agent: str
    of: list[str] = field(default_factory=list)
    groups: list[StockGroup] = field(default_factory=list)
    claim_key: str = ""

    def note(self, what: str) -> None:
        """Enter something of which nothing is known."""
        self.of.append(what)

    def note_groups(self, groups: Sequence[StockGroup], classes: tuple[str, ...]) -> None:
        """Enter groups of which nothing is known in the classes the agent is judged by."""
        self.groups += groups
        self.of += [group.name for group in groups]
        if classes and groups[0].host_id is not None:
            self.claim_key = f"host.{groups[0].host_id}.tolerance.{classes[0]}"

    def note_filter(self) -> None:
        """Enter the filter where one is at work and nothing is known of the agent and filters."""
        system = self.scene.bodies[self.body].system
        at_work = system.kind is not BodyKind.BATH and system.filter_state is not FilterState.UNRIPE
        dosed = bool(self.scene.doses(self.body, self.agent))
        if dosed and at_work and class_effect(self.scene.facts, self.agent, "filter") is None:
            self.of.append(FILTER)

    def told(self) -> Iterator[Caution]:
        """Yield the one caution, or nothing where everything is known.

        It is E-DOSE-26, or S-FILTER where the filter is all that is not known.
        """
        if self.of == [FILTER]:
            yield self._filter()
        elif self.of:
            yield self._lives()

    def _filter(self) -> Caution:
        (first, _), *_ = self.scene.doses(self.body, self.agent)
        return Caution(
            Level.CARE,
            "S-FILTER",
            f"Filter at risk with {self.scene.agent_name(self.agent)}.",
            NO_FIGURE,
            f"agent.{self.agent}.effect.filter",
            TEST_DAILY,
            hour=first,
            body=self.body,
            agent=self.agent,
        )

    def _lives(self) -> Caution:
        animals = "Try two animals first, start low, watch"
        tests = "test ammonia and nitrite every day"
        what = [*([animals] if self.groups else []), *([tests] if FILTER in self.of else [])]
        instead = "; ".join(what) or "Take them out first"
        names = ", ".join(dict.fromkeys(self.of))
        return Caution(
            Level.CARE,
            "E-DOSE-26",
            f"{self.scene.agent_name(self.agent)}: not known for {names}.",
            NO_FIGURE,
            self.claim_key,
            f"{instead[:1].upper()}{instead[1:]}, or choose another way.",
            body=self.body,
            group=self.groups[0].id if len(self.groups) == 1 else "",
            agent=self.agent,
        )
