"""From a case and the knowledge to the types each science room owns, all at one hour 0."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from tankside.case import CaseView, to_object
from tankside.case.system import QUESTIONS
from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.course import StockGroup, System
from tankside.errors import NotPossible
from tankside.intake import stock as assemble_stock
from tankside.intake.bodies_of_water import systems
from tankside.intake.likely_cause import parasite_behind
from tankside.intake.missing_figures import refuse_without_parameters, with_parameters
from tankside.lifecycle import HostGroup
from tankside.quantity.moment import Moment, find_zone, parse_date, parse_moment

_SEED_BYTES = 6


@dataclass(frozen=True, slots=True)
class Assembled:
    """A case in the types of the science rooms.

    Args:
        view: the case.
        facts: what is known.
        zero: the moment of hour 0, the midnight a day begins with at the tank.
        systems: bodies of water.
        stock: animals alive at hour 0.
        hosts: the fish a parasite meets.
        questions: what is not known and would narrow the answer, by open key.
    """

    view: CaseView
    facts: Knowledge
    zero: Moment
    systems: tuple[System, ...]
    stock: tuple[StockGroup, ...]
    hosts: tuple[HostGroup, ...]
    questions: Mapping[str, str] = field(default_factory=dict)

    @property
    def main(self) -> System:
        """The body of water with the sick fish."""
        return next(system for system in self.systems if system.kind == "main")

    def day_at(self, hour: float) -> date:
        """Return the calendar day at the tank on which an elapsed hour falls."""
        zone = find_zone(self.view.opened.zone)
        return (self.zero.utc + timedelta(hours=hour)).astimezone(zone).date()


def assemble(view: CaseView, facts: Knowledge, zero: Moment, *, at_start: bool) -> Assembled:
    """Return the case as the science rooms take it.

    Args:
        view: the case.
        facts: what is known.
        zero: the moment of hour 0.
        at_start: the stock before any recorded death, instead of what is alive now.

    Raises:
        NotPossible: E-DOSE-20 no measured volume; E-PLAN-02 no animals entered.
    """
    waters = systems(view, facts, zero)
    groups = tuple(
        group
        for group in assemble_stock.stock(view, facts, at_start=at_start)
        if any(group.body == system.id for system in waters)
    )
    water = next(system for system in waters if system.kind == "main").water
    fish = assemble_stock.fish(groups, facts, water)
    if not fish:
        raise NotPossible(
            "E-PLAN-02",
            "No fish are entered, so no course can be judged.",
            given="no group of fish with a number",
            needed="number, species and length of each kind",
            next_step="Add the stock to the case.",
            field="stock",
        )
    asked = {**assemble_stock.questions(groups), **_open_questions(view), **_warmth(waters),
             **_tap(waters)}  # fmt: skip
    return Assembled(view, facts, zero, waters, groups, fish, asked)


def midnight(view: CaseView, day: date) -> Moment:
    """Return the first moment of a calendar day at the tank."""
    return parse_moment(day.isoformat(), field="day", zone=view.opened.zone, day_starts=True)


def day_asked(view: CaseView, typed: str | None) -> date:
    """Return the day a question is asked on: as typed, else the latest day of the case."""
    return view.last_moment().day if typed is None else parse_date(typed, field="on")


def seed_of(view: CaseView) -> int:
    """Return the seed of a case: the same for every question asked of it, other for another."""
    opening = repr(sorted(to_object(view.opened).items())).encode("utf-8")
    return int.from_bytes(hashlib.sha256(opening).digest()[:_SEED_BYTES], "big")


def organism_of(
    view: CaseView, facts: Knowledge, wanted: str | None, ranked_first: str | None
) -> Organism:
    """Return the parasite a question is about, where a forecast can be run for it.

    Args:
        view: the case.
        facts: what is known.
        wanted: organism id as typed; None to take it from the case.
        ranked_first: condition that ranks first, used when nothing was confirmed or suspected.

    Raises:
        NotPossible: E-FC-02 no organism, or none that runs, stands behind the condition; names
            the missing figures and the times that print does give.
    """
    organism = organism_named(view, facts, wanted, ranked_first)
    refuse_without_parameters(organism, facts)
    return organism


def organism_named(
    view: CaseView, facts: Knowledge, wanted: str | None, ranked_first: str | None
) -> Organism:
    """Return the parasite a question is about, whether or not a forecast can be run for it.

    Args:
        view: the case.
        facts: what is known.
        wanted: organism id as typed; None to take it from the case.
        ranked_first: condition that ranks first, used when nothing was confirmed or suspected.

    Raises:
        NotPossible: E-FC-02 no organism stands behind the condition.
    """
    organisms: Mapping[str, Organism] = facts.organisms
    if wanted is not None:
        name = wanted.strip().lower().replace(" ", "_")
        if name in organisms:
            return organisms[name]
        raise _no_organism(facts, wanted)
    standing = [d.condition for d in view.diagnoses if d.state in ("confirmed", "suspected")]
    for condition in (*reversed(standing), *([ranked_first] if ranked_first else [])):
        behind = parasite_behind(condition, facts, view.opened.water)
        if behind is not None:
            return behind
    raise _no_organism(facts, ", ".join(standing) or ranked_first or "nothing confirmed")


def _no_organism(facts: Knowledge, condition: str) -> NotPossible:
    return NotPossible(
        "E-FC-02",
        "There is no life cycle for what is suspected here, so no course can be simulated.",
        given=condition,
        needed="a parasite with figures: " + ", ".join(with_parameters(facts)),
        next_step="Confirm or suspect a condition in the case, or name one with --organism.",
        field="organism",
    )


def _warmth(waters: tuple[System, ...]) -> dict[str, str]:
    """Return a question for every second tank whose warmth was not measured."""
    return {
        f"{water.id}.temperature": f"How warm is {water.name}? Until it is measured, the forecast "
        "takes it to be as warm and as salty as the tank."
        for water in waters
        if water.kind == "hospital" and water.temperature_c is None
    }


def _tap(waters: tuple[System, ...]) -> dict[str, str]:
    """Return the question that must be answered before new water goes into the tank."""
    return {
        f"system.{water.id}.tap": f"{QUESTIONS['tap']} Until then no change of water is handed out."
        for water in waters
        if water.kind == "main" and water.new_water.treated is None
    }


def _open_questions(view: CaseView) -> dict[str, str]:
    words = {
        **{name: QUESTIONS[name] for name in ("carbon", "uv", "filter_ripe", "air_stone")},
        "second_volume": "Measure the volume by a second method.",
    }
    return {
        key: words[key.rpartition(".")[2]]
        for key in view.not_asked
        if key.rpartition(".")[2] in words
    }
