"""How long a tank must stand without fish, and the tanks of a case that stand so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from math import ceil, inf, isfinite

from tankside.case import CaseView, StockView
from tankside.claims import Claim, Knowledge, unit_factor
from tankside.claims.organism import Organism, StageKind
from tankside.course.bodies.stock import Living, living_of
from tankside.errors import NotPossible
from tankside.intake.stock import stock
from tankside.intake.trial_setup import parasite_meant
from tankside.intake.water_temperature import temperature_in_c
from tankside.intake.whereabouts import Whereabouts
from tankside.lifecycle import stage_durations
from tankside.quantity.dates import day_words
from tankside.quantity.moment import Moment
from tankside.quantity.per import HOURS_PER_DAY

KEY = "quarantine.times.fishless."
_DAYS = {"d": 1, "wk": unit_factor(7, "days of a week")}


@dataclass(frozen=True, slots=True)
class FishlessTime:
    """How long a tank stands without fish until the parasite has starved.

    Args:
        least_d: days at the least; None where nothing in print says.
        most_d: days that are safer; None where only the least is known.
        why: what the days are made of.
    """

    least_d: int | None
    most_d: int | None
    why: str

    @property
    def words(self) -> str:
        """The days in words."""
        if self.least_d is None:
            return f"No time without fish can be told. {self.why}"
        better = "" if self.most_d in (None, self.least_d) else f", better {self.most_d}"
        return f"At least {self.least_d} days without any fish{better}. {self.why}"


@dataclass(frozen=True, slots=True)
class FishlessTank:
    """A tank that all fish have left.

    Args:
        body: its id.
        name: what it is called.
        since: the day on which the last fish left.
        time: how long it must stand so.
    """

    body: str
    name: str
    since: date
    time: FishlessTime

    @property
    def words(self) -> str:
        """Since when, until when and why."""
        begun = f"{self.name} stands without fish from {day_words(self.since)} on."
        begun = begun[0].upper() + begun[1:]
        if self.time.least_d is None:
            return f"{begun} {self.time.words}"
        until = day_words(self.since + timedelta(days=self.time.least_d))
        better = (
            ""
            if self.time.most_d in (None, self.time.least_d)
            else f", better not before {day_words(self.since + timedelta(days=self.time.most_d))}"
        )
        return (
            f"{begun} No fish goes back before {until}{better}, nor before the fish themselves may "
            f"be called clear. {self.time.why}"
        )


def fishless_time(
    facts: Knowledge, organism: Organism, temperature_c: float | None
) -> FishlessTime:
    """Return how long a tank stands without fish for one parasite.

    The longer of what is advised (``quarantine.times.fishless.*``) and of the slow end of the
    stay on the bottom with the longest life of a swimmer at the temperature measured.
    """
    advised = facts.find(KEY + organism.id)
    stages_d = _days_of_stages(organism, temperature_c)
    by_stages = "" if stages_d is None else _words_of_stages(stages_d, temperature_c)
    if advised is None:
        least = ceil(stages_d) if stages_d is not None and isfinite(stages_d) else None
        gap = "No advised time is on file, and no margin is in this one."
        return FishlessTime(least, None, f"{by_stages} {gap}".strip())
    low, high = (edge * _DAYS[advised.unit] for edge in advised.bounds())
    floor_d = stages_d if stages_d is not None and isfinite(stages_d) else 0.0
    frozen = stages_d == inf
    least, most = (ceil(max(edge, floor_d)) for edge in (low, high))
    why = " ".join(part for part in (by_stages, _advice(advised)) if part)
    return FishlessTime(None if frozen else least, None if frozen else most, why)


def _days_of_stages(organism: Organism, temperature_c: float | None) -> float | None:
    """Return the slow stay on the bottom and the longest life of a swimmer [d]; None: not known."""
    if temperature_c is None:
        return None
    try:
        bottom_d = stage_durations(organism, temperature_c).bottom[2]
    except NotPossible:
        return None
    lives = [
        organism.claims[f"{stage.key}.life"].bounds()[1] / HOURS_PER_DAY
        for stage in organism.stages
        if stage.kind is StageKind.SEEKING and organism.known(f"{stage.key}.life")
    ]
    return bottom_d + max(lives) if lives else None


def _words_of_stages(stages_d: float, temperature_c: float | None) -> str:
    if not isfinite(stages_d):
        return f"At {temperature_c:g} C what lies on the bottom does not develop and may wait."
    return (
        f"What lies on the bottom and swims can last {stages_d:.1f} days at {temperature_c:g} C by "
        "the slow ends in print."
    )


def _advice(advised: Claim) -> str:
    low, high = advised.bounds()
    said = {"d": "days", "wk": "weeks"}[advised.unit]
    by = advised.source or advised.evidence or advised.provenance.value.replace("_", " ")
    note = f" {advised.note}." if advised.note else ""
    return f"Advised: {low:g} to {high:g} {said} ({by}).{note}"


def fishless_tanks(
    view: CaseView, facts: Knowledge, at: Moment, organism: str | None = None
) -> tuple[FishlessTank, ...]:
    """Return the tanks of a case that all fish have left, at one moment.

    Nothing where no life cycle stands behind the case: then nothing says what starves there.

    Args:
        view: the case.
        facts: what is known.
        at: moves up to this moment count.
        organism: the parasite that starves there; None to take it from the case.
    """
    left = _left_by_all(view, facts, at)
    if not left:
        return ()
    try:
        parasite = parasite_meant(view, facts, organism)
    except NotPossible:
        return ()
    return tuple(
        FishlessTank(
            body,
            view.systems[body].name,
            moment.day,
            fishless_time(facts, parasite, temperature_in_c(view, body)),
        )
        for body, moment in left.items()
    )


def _left_by_all(view: CaseView, facts: Knowledge, at: Moment) -> dict[str, Moment]:
    """Return the waters that fish lived in and none may live in now, and when the last left."""
    where = Whereabouts(view, facts)
    kinds = {group.id: living_of(facts, group) for group in stock(view, facts, lambda _: ("",))}
    fish = [group for group in view.stock.values() if kinds[group.id] is Living.FISH]
    lived_in = {home for group in fish if group.alive != 0 for home in _may_live(where, group, at)}
    left: dict[str, Moment] = {}
    for group in fish:
        for body, moment in _left(where, group, at):
            if body in view.systems and body not in lived_in:
                left[body] = max(moment, left.get(body, moment), key=lambda m: m.utc)
    return left


def _may_live(where: Whereabouts, group: StockView, at: Moment) -> tuple[str, ...]:
    """Return where a group lives; every body it lived in, while some of it may be anywhere."""
    if group.left_behind is not None:
        return tuple(moving.to for moving in where.movings(group, at))
    return (where.home(group, at),)


def _left(where: Whereabouts, group: StockView, at: Moment) -> Iterator[tuple[str, Moment]]:
    """Yield each body that a group came from, and when it left it."""
    for before, after in pairwise(where.movings(group, at)):
        if before.to != after.to:
            yield before.to, after.at
