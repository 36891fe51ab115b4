"""The present state of a case as plain, unchangeable records; the fold fills them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from tankside.case.described import Event, Opened, StockDescribed
from tankside.case.done import (
    ActionDone,
    Closed,
    CourseChosen,
    Death,
    Decision,
    DiagnosisConfirmed,
    Note,
)
from tankside.case.entry import Entry, Fact
from tankside.case.medicine import AgentInWater, DoseAsked, LabelRead
from tankside.case.parts import Looked, Reading, State
from tankside.case.seen import CountMade, Finding, Photo, WetMount
from tankside.case.system import SystemDescribed
from tankside.case.volume import VolumeView
from tankside.case.water_moved import WaterMoved
from tankside.case.water_test import WaterTest
from tankside.quantity import Measured
from tankside.quantity.moment import Moment, hours_between

MAIN = "main"
NOTHING_SEEN = frozenset(
    {"no", "none", "normal", "clear", "clean", "intact", "nothing", "negative"}
)
"""Answers to a finding that say that nothing is there."""
USES = (MAIN, "hospital", "quarantine", "fishless", "bath")
BY_EYE = "by_eye"
"""The site of what was seen without a slide."""
UNTOLD = ""
"""The use of a system of which nobody said what it serves for."""
EXAMPLE = "EXAMPLE"
"""A case whose name begins so is an invented one, marked wherever it is shown."""


@dataclass(frozen=True, slots=True)
class ReadingView:
    """One reading of one water, with when it was taken.

    ``dawn`` says that it was taken before the light went on; ``checked`` is the day on which meter
    or kit was last checked, "never", or None where nobody said.
    """

    what: Reading
    state: State
    measured: Measured | None
    at: Moment
    entry_id: int
    dawn: bool = False
    checked: str | None = None

    def age_h(self, now: Moment) -> float:
        """Elapsed hours from the reading to ``now``."""
        return hours_between(self.at, now)

    def number(self, unit_text: str) -> float | None:
        """Return the value in a unit, or None when it was not measured.

        Raises:
            BadInput: E-UNIT-02 when the unit does not belong to the reading.
        """
        return None if self.measured is None else self.measured.number(unit_text)


@dataclass(frozen=True, slots=True)
class SystemView:
    """One system as it is now: merged description, volume, readings.

    ``readings`` are the values that stand, ``series`` every value, the oldest first.
    """

    id: str
    description: SystemDescribed
    volume: VolumeView
    readings: Mapping[Reading, ReadingView]
    volume_at: Moment | None
    entry_ids: tuple[int, ...]
    series: Mapping[Reading, tuple[ReadingView, ...]] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """The name it was given, else ``the tank``, else its id in words."""
        unnamed = "the tank" if self.id == MAIN else self.id.replace("_", " ")
        return self.description.name or unnamed

    @property
    def use(self) -> str:
        """What it is used for, as told; untold, what its short name says, else nothing."""
        return self.description.use or (self.id if self.id in USES else UNTOLD)

    @property
    def temperature(self) -> ReadingView | None:
        """The last temperature measured in it; None when nobody measured it."""
        reading = self.readings.get(Reading.TEMPERATURE)
        return None if reading is None or reading.measured is None else reading


@dataclass(frozen=True, slots=True)
class Home:
    """Where a group lives from a moment on: the system, "" where nobody said which of several."""

    at: Moment
    entry_id: int
    system: str


def home_at(homes: Sequence[Home], moment: Moment) -> str:
    """Return the system a group lived in at a moment; before the first telling, the first.

    Args:
        homes: where it lived, in the order told.
        moment: when.
    """
    before = [home for home in homes if home.at.utc <= moment.utc]
    return (before[-1] if before else homes[0]).system


@dataclass(frozen=True, slots=True)
class StockView:
    """One group as it is now; ``alive`` is its last count less the deaths recorded since.

    ``homes`` are the systems it lived in, in the order they were told; there is at least one.
    ``left_behind`` is the entry after which nobody knows where some of it are, else None.
    """

    id: str
    description: StockDescribed
    alive: int | None
    deaths: int
    entry_ids: tuple[int, ...]
    homes: tuple[Home, ...]
    left_behind: int | None = None

    @property
    def system(self) -> str:
        """The system it lives in now."""
        return self.homes[-1].system

    def system_at(self, moment: Moment) -> str:
        """Return the system it lived in at a moment; before the first telling, the first."""
        return home_at(self.homes, moment)

    @property
    def living(self) -> str:
        """``fish`` unless told to be ``invertebrate`` or ``plant``."""
        return self.description.living or "fish"


@dataclass(frozen=True, slots=True)
class AnswerView:
    """One look at a finding: what was answered, when, and of which fish at which site.

    ``site`` is what was taken for a slide, or ``by_eye`` and the like; ``fish``, ``group`` and
    ``system`` are None where nobody said.
    """

    looked: Looked
    at: Moment
    entry_id: int
    site: str = BY_EYE
    fish: str | None = None
    group: str | None = None
    system: str | None = None

    @property
    def place(self) -> tuple[object, ...]:
        """The fish and the site; a later look at the same place tells how it is there now.

        A slide of a fish without a name is a place of its own: nobody knows which fish it was.
        """
        slide = self.fish is None and self.site != BY_EYE
        return (self.system, self.group, self.entry_id if slide else self.fish, self.site)

    @property
    def state(self) -> State:
        """How far it was answered."""
        return State(self.looked.state)

    @property
    def answers(self) -> frozenset[str]:
        """The answers that fit; empty unless the state is ``answered``."""
        return frozenset(self.looked.answers)


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One entry as written, with the correction that stands beside it, if any.

    ``current`` is what counts now: the entry itself, its replacement, or None when void.
    """

    entry: Entry
    current: Fact | None
    corrected_by: int | None

    @property
    def void(self) -> bool:
        """Whether the entry was taken back."""
        return self.corrected_by is not None and self.current is None


@dataclass(frozen=True, slots=True)
class CaseView:
    """All that a case says now, and its whole history.

    Tuples of entries are in the order they happened; what was seen at one moment stands in an order
    of its own, whoever typed it first. ``evidence`` holds every look at each finding, looks that
    were not made only where no other was. ``not_asked`` lists the open questions. ``version`` is
    the number of entries.
    """

    opened: Opened
    systems: Mapping[str, SystemView]
    stock: Mapping[str, StockView]
    evidence: Mapping[str, tuple[AnswerView, ...]]
    findings: tuple[Finding, ...]
    water_tests: tuple[WaterTest, ...]
    wet_mounts: tuple[WetMount, ...]
    counts: tuple[CountMade, ...]
    events: tuple[Event, ...]
    agents_in_water: tuple[AgentInWater, ...]
    waters_moved: tuple[WaterMoved, ...]
    labels: tuple[LabelRead, ...]
    doses: tuple[DoseAsked, ...]
    courses: tuple[CourseChosen, ...]
    actions_done: tuple[ActionDone, ...]
    deaths: tuple[Death, ...]
    deaths_by_group: tuple[Death, ...]
    diagnoses: tuple[DiagnosisConfirmed, ...]
    decisions: tuple[Decision, ...]
    notes: tuple[Note, ...]
    photos: tuple[Photo, ...]
    closed: Closed | None
    not_asked: tuple[str, ...]
    history: tuple[HistoryLine, ...]

    def __hash__(self) -> int:
        """Return the same number for equal views, so that answers can be kept by the view."""
        return hash((self.opened.name, self.version, self.not_asked))

    @property
    def name(self) -> str:
        """The name of the case."""
        return self.opened.name

    @property
    def example(self) -> bool:
        """Whether it is an invented case."""
        return self.opened.name.startswith(EXAMPLE)

    @property
    def bare_name(self) -> str:
        """The name without the mark of an invented case, for where the mark stands apart."""
        return self.opened.name.removeprefix(EXAMPLE).lstrip(" :") or self.opened.name

    @property
    def main(self) -> SystemView | None:
        """The system with the sick fish; None while none is described.

        The one where the groups live that were seen to be ill; where none was, the one in which
        something was seen; else one with fish; of several the one told to be the main one, else
        the one called main, else the first.
        """
        living = [group for group in self.stock.values() if group.living == "fish"]
        alive = [group for group in living if group.alive != 0]
        ill, waters = self._seen_ill()
        named = [group for group in alive if group.id in ill]
        beside = [group for group in alive if group.system in waters]
        for groups in (named, beside, alive):
            homes = {group.system for group in groups} & self.systems.keys()
            if homes:
                return self._first_main([s for s in self.systems.values() if s.id in homes])
        return self._first_main(list(self.systems.values()))

    def _first_main(self, systems: list[SystemView]) -> SystemView | None:
        """Return the system told to be the main one, else the one called so, else the first."""
        order = sorted(systems, key=lambda s: (s.description.use != MAIN, s.use != MAIN))
        return order[0] if order else None

    def _seen_ill(self) -> tuple[set[str], set[str]]:
        """Return the groups on which something was found or counted, and the waters, without one.

        That somebody looked and nothing was there is no sign of illness.
        """
        looked = [
            *((finding.group, finding.system, (finding.looked,)) for finding in self.findings),
            *((slide.group, slide.system, slide.looks) for slide in self.wet_mounts),
        ]
        seen = [(group, system) for group, system, looks in looked if any(map(_sign, looks))]
        seen += [(c.group, c.system) for c in self.counts if c.positive]
        waters = {system for group, system in seen if system and not group}
        return {group for group, _ in seen if group}, waters

    def diagnoses_standing(self) -> tuple[DiagnosisConfirmed, ...]:
        """Return the last word on each condition not ruled out since, the surest and latest first.

        What is latest goes by when it was seen to be so, at one moment by what was written last.
        """
        last = {said.condition.upper(): number for number, said in enumerate(self.diagnoses)}
        latest = [self.diagnoses[number] for number in sorted(last.values(), reverse=True)]
        standing = [said for said in latest if said.state != "ruled_out"]
        return tuple(sorted(standing, key=lambda said: said.state != "confirmed"))

    def conditions_standing(self) -> tuple[str, ...]:
        """Return what was confirmed or suspected and not ruled out since, the surest first."""
        return tuple(said.condition for said in self.diagnoses_standing())

    def system_meant(self, named: str | None) -> str:
        """Return the system an entry means: as named, else the one called main, else the only one.

        "" where there are several and none is called main.
        """
        return named or default_system(tuple(self.systems))

    @property
    def version(self) -> int:
        """The number of the last entry; a writer must know it to add another."""
        return len(self.history)

    @property
    def course(self) -> CourseChosen | None:
        """The course followed now: the one written last."""
        return max(self.courses, key=lambda course: course.id, default=None)

    def last_moment(self, upto: date | None = None) -> Moment:
        """Return the last moment that the case tells of; every answer dates itself by it.

        Only what stands counts: an entry that was taken back tells nothing, and one that was
        corrected tells what its correction says. Writing a correction is no event of the case.

        Args:
            upto: the last day that counts; None for all of them.
        """
        moments = [line.current.moment for line in self.history if line.current is not None]
        counted = [moment for moment in moments if upto is None or moment.day <= upto]
        return max(counted, key=lambda moment: moment.utc, default=self.opened.moment)

    def hours(self, moment: Moment) -> float:
        """Elapsed hours from the opening of the case to a moment."""
        return hours_between(self.opened.moment, moment)

    def day(self, moment: Moment) -> int:
        """Calendar days from the day of opening to the day of a moment (d0, d1, ...)."""
        return (moment.day - self.opened.moment.day).days

    def counts_by_fish(self) -> Mapping[tuple[str, str, str], tuple[CountMade, ...]]:
        """Counts keyed by (what, method, fish or group), each in the order they happened."""
        by_key: dict[tuple[str, str, str], list[CountMade]] = {}
        for count in self.counts:
            key = (count.what, count.method, count.fish or count.group or "")
            by_key.setdefault(key, []).append(count)
        return {key: tuple(counts) for key, counts in by_key.items()}


def _sign(looked: Looked) -> bool:
    """Whether the answer to a finding says that something is there."""
    return looked.state == "answered" and not set(looked.answers) <= NOTHING_SEEN


def default_system(described: Sequence[str]) -> str:
    """Return the system meant where none is named: the one called main, else the only one."""
    if len(described) == 1:
        return described[0]
    return MAIN if MAIN in described or not described else ""
