"""Play one course: its water first, then many histories of the parasite in that water."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tankside import course as courses
from tankside import lifecycle
from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.course import Course, CourseRun, LabelEntry
from tankside.lifecycle import Draws, Histories, HostGroup, InitialState
from tankside.lifecycle.inputs.unknown_water import as_in
from tankside.plan.situation import Situation

_DrawKey = tuple[int, int]


@dataclass(slots=True)
class Trial:
    """Everything that stays the same while courses are compared.

    Courses played with the same round and number of histories meet common random numbers and the
    same claim values, so that a difference between them is the course.

    Args:
        situation: the case.
        facts: what is known.
        labels: containers by agent id.
        organism: the parasite.
        hosts: the fish as the parasite meets them.
        start: the initial state at hour 0.
        seed: names the streams of chance; printed with every result.
        threads: worker threads.
    """

    situation: Situation
    facts: Knowledge
    labels: Mapping[str, LabelEntry]
    organism: Organism
    hosts: tuple[HostGroup, ...]
    start: InitialState
    seed: int
    threads: int = 2
    _draws: dict[_DrawKey, Draws] = field(default_factory=dict)

    def water(self, course: Course) -> CourseRun:
        """Run the water of a course."""
        return courses.run(
            self.situation.systems, self.situation.stock, course, self.facts, self.labels
        )

    def compile(self, run: CourseRun) -> lifecycle.Compiled:
        """Compile the parasite under the water of a course.

        A second tank whose warmth nobody measured is reckoned as warm as the first.
        """
        hours = as_in(run.tank_hours, self.situation.main)
        return lifecycle.compile(self.organism, hours, self.hosts)

    def play(
        self,
        compiled: lifecycle.Compiled,
        number: int,
        histories: int,
        record_h: tuple[int, ...] = (),
    ) -> Histories:
        """Play one round of histories; ``number`` names the round's random stream."""
        key = (number, histories)
        if key not in self._draws:
            self._draws[key] = lifecycle.draw(self.organism, histories, self.seed + number)
        return self.play_from(compiled, self.start, self._draws[key], number, record_h)

    def play_from(
        self,
        compiled: lifecycle.Compiled,
        start: InitialState,
        claims: Draws,
        number: int,
        record_h: tuple[int, ...] = (),
    ) -> Histories:
        """Play one history for each row of claims, from another starting state."""
        return lifecycle.run(
            compiled,
            start,
            claims,
            len(claims.weights),
            self.seed + number,
            record_h=record_h,
            threads=self.threads,
        )
