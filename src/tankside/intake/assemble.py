"""From a case and the knowledge to the types each science room owns, all at one hour 0."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from tankside.case import CaseView
from tankside.case.system import QUESTIONS
from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.course import BodyKind, Course, StockGroup, System
from tankside.course.actions import Transfer
from tankside.course.bodies.stock import Living
from tankside.errors import NotPossible
from tankside.intake import stock as assemble_stock
from tankside.intake.bodies_of_water import body_of_water, no_volume, unmeasured
from tankside.intake.chosen_course import PLACES
from tankside.intake.joined_waters import joined_waters
from tankside.intake.likely_cause import parasite_behind, parasites_standing
from tankside.intake.missing_figures import refuse_without_parameters, with_parameters
from tankside.intake.to_be_asked import to_be_asked
from tankside.intake.unplaced import refuse_unplaced
from tankside.intake.whereabouts import Whereabouts
from tankside.lifecycle import HostGroup
from tankside.lifecycle.inputs.mortality_factors import anything_acts
from tankside.lifecycle.inputs.parameters import missing_parameters
from tankside.quantity.moment import Moment, find_zone, hours_between, parse_date, parse_moment
from tankside.quantity.per import HOURS_PER_DAY


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
        subject: id of the body of water with the sick fish.
        moves: animals moved after the hour at which ``stock`` tells where they live.
        questions: what is not known and would narrow the answer, by open key.
    """

    view: CaseView
    facts: Knowledge
    zero: Moment
    systems: tuple[System, ...]
    stock: tuple[StockGroup, ...]
    hosts: tuple[HostGroup, ...]
    subject: str
    moves: tuple[Transfer, ...] = ()
    questions: Mapping[str, str] = field(default_factory=dict)

    @property
    def main(self) -> System:
        """The body of water with the sick fish."""
        return next(system for system in self.systems if system.id == self.subject)

    @property
    def spare(self) -> tuple[str, ...]:
        """The hospital tanks the fish could be moved to: other water, with no animals in it."""
        lived_in = {group.body for group in self.stock if group.living is not Living.PLANT}
        return tuple(
            system.id
            for system in self.systems
            if system.kind is BodyKind.HOSPITAL and system.id not in {self.subject, *lived_in}
        )

    def lived(self, course: Course) -> Course:
        """Return a course with the moves of animals that were logged beside it."""
        steps = [
            move
            for move in self.moves
            if move.at_h < course.days * HOURS_PER_DAY and not _moved_by(course, move)
        ]
        return replace(course, actions=(*course.actions, *steps))

    def day_at(self, hour: float) -> date:
        """Return the calendar day at the tank on which an elapsed hour falls."""
        zone = find_zone(self.view.opened.zone)
        return (self.zero.utc + timedelta(hours=hour)).astimezone(zone).date()


def assemble(
    view: CaseView,
    facts: Knowledge,
    zero: Moment,
    *,
    at_start: bool,
    placed: Moment | None = None,
    followed: Course | None = None,
    counted_to: Moment | None = None,
) -> Assembled:
    """Return the case as the science rooms take it: the water of the sick fish and what it needs.

    Other waters are left out, but for empty hospital tanks and those that a followed course uses:
    what lives in another water neither helps nor hinders here.

    Args:
        view: the case.
        facts: what is known.
        zero: the moment of hour 0.
        at_start: the stock before any recorded death, instead of what is alive now.
        placed: the moment at which it is told where the animals live; None for hour 0.
        followed: the course that is followed; the water of its first step is the one meant.
        counted_to: up to when what went into the waters and out of them counts; None for hour 0.

    Raises:
        NotPossible: E-DOSE-20 no measured volume; E-PLAN-02 no animals entered.
    """
    refuse_unplaced(view)
    placed = placed or zero
    where = Whereabouts(view, facts)
    subject = _subject(view, followed)
    moves = tuple(_moves(view, where, placed, zero))
    used = _used(followed, moves)
    living = assemble_stock.stock(
        view, facts, lambda group: (where.home(group, placed),), at_start=at_start
    )
    waters = _waters(view, facts, zero, subject, used, counted_to)
    lived_in = {group.body for group in living}
    bodies = tuple(
        water
        for water in waters
        if water.id in {subject, *used} or not (water.id in lived_in or water.invertebrates)
    )
    groups = tuple(group for group in living if any(group.body == w.id for w in bodies))
    main = _meant(bodies, subject)
    fish = assemble_stock.fish(groups, facts, main.water)
    if not fish:
        raise _no_fish(main.name)
    asked = {
        **assemble_stock.questions(groups),
        **_open_questions(view, bodies),
        **_warmth(bodies),
        **_tap(main),
        **_in_no_run(view, facts),
        **to_be_asked(view, facts),
    }
    return Assembled(view, facts, zero, bodies, groups, fish, subject, moves, asked)


def _subject(view: CaseView, followed: Course | None) -> str:
    """Return the body of water that is meant: that of the first step, else of the sick fish."""
    if followed is not None and followed.actions:
        return followed.actions[0].body
    if view.main is None:
        raise no_volume()
    return joined_waters(view).now(view.main.id)[0]


def _waters(
    view: CaseView,
    facts: Knowledge,
    zero: Moment,
    subject: str,
    used: frozenset[str],
    counted_to: Moment | None,
) -> tuple[System, ...]:
    """Return the water meant, the hospital tanks of known volume, and every water that is used."""
    waters = []
    for parts in joined_waters(view).bodies():
        needed = parts[0] in {subject, *used}
        if needed or not unmeasured(view, parts):
            water = body_of_water(view, facts, zero, parts, counted_to=counted_to)
            if needed or water.kind is BodyKind.HOSPITAL:
                waters.append(water)
    return tuple(sorted(waters, key=lambda water: water.id != subject))


def _used(followed: Course | None, moves: Iterable[Transfer]) -> frozenset[str]:
    steps = (*(() if followed is None else followed.actions), *moves)
    places = (getattr(step, name, "") for step in steps for name in PLACES)
    return frozenset(place for place in places if place)


def _moves(view: CaseView, where: Whereabouts, placed: Moment, zero: Moment) -> Iterator[Transfer]:
    """Yield the moves that were logged after the moment at which the homes are told."""
    for group in view.stock.values():
        home = where.home(group, placed)
        for moving in where.logged(group, placed, view.last_moment()):
            hour = max(0, round(hours_between(zero, moving.at)))
            if moving.to != home:
                yield Transfer(hour, home, group.id, moving.to, logged=True)
            home = moving.to


def _moved_by(course: Course, move: Transfer) -> bool:
    """Whether a step of the course moves the same group to the same water."""
    return any(
        isinstance(step, Transfer) and (step.group, step.to_body) == (move.group, move.to_body)
        for step in course.actions
    )


def _meant(bodies: tuple[System, ...], subject: str) -> System:
    """Return the body of water that is meant; refused where nobody described it."""
    main = next((system for system in bodies if system.id == subject), None)
    if main is None:
        raise no_volume()
    return main


def _no_fish(name: str) -> NotPossible:
    return NotPossible(
        "E-PLAN-02",
        f"No fish are entered for {name}, so no course can be judged.",
        given="no group of fish with a number",
        needed="number, species and length of each kind",
        next_step="Add the stock to the case.",
        field="stock",
    )


def midnight(view: CaseView, day: date) -> Moment:
    """Return the first moment of a calendar day at the tank."""
    return parse_moment(day.isoformat(), field="day", zone=view.opened.zone, day_starts=True)


def day_asked(view: CaseView, typed: str | None) -> date:
    """Return the day a question is asked on: as typed, else the latest day of the case."""
    return view.last_moment().day if typed is None else parse_date(typed, field="on")


def organism_of(
    view: CaseView, facts: Knowledge, wanted: str | None, ranked_first: str | None
) -> Organism:
    """Return the parasite a question is about, where a forecast can be run for it.

    Of several that stand in a case, one that something acts against goes first.

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
    if wanted is None:
        standing = (organism, *parasites_standing(view, facts))
        runs = [o for o in standing if not missing_parameters(o)]
        organism = next((o for o in runs if anything_acts(o)), runs[0] if runs else organism)
    refuse_without_parameters(organism, facts)
    return organism


def _in_no_run(view: CaseView, facts: Knowledge) -> dict[str, str]:
    """Ask for counts of what stands in the case and is in no run: only counts can follow it."""
    standing = parasites_standing(view, facts)
    if all(missing_parameters(organism) for organism in standing):
        return {}
    return {
        f"count.{organism.id}": f"How many {organism.name} are there at each check? It stands in "
        "the case too and is in no run, since figures of its life cycle are missing."
        for organism in standing
        if missing_parameters(organism)
    }


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
    standing = view.conditions_standing()
    for condition in (*standing, *([ranked_first] if ranked_first else [])):
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


def _tap(main: System) -> dict[str, str]:
    """Return the question that must be answered before new water goes into the tank."""
    if main.new_water.treated is not None:
        return {}
    asked = f"{QUESTIONS['tap']} Until then no change of water is handed out."
    return {f"system.{main.id}.tap": asked}


def _open_questions(view: CaseView, waters: tuple[System, ...]) -> dict[str, str]:
    """Return what was not asked of the waters that bear on the answer, naming which is meant.

    A question is asked once of a body of water, under the first of its tanks without an answer.
    """
    bodies, several = {water.id for water in waters}, len(view.systems) > 1
    joined = joined_waters(view)
    words = {
        **{name: QUESTIONS[name] for name in ("carbon", "uv", "filter_ripe", "air_stone")},
        "second_volume": "Measure the volume by a second method.",
    }
    untold: dict[tuple[str, str], list[str]] = {}
    for key in view.not_asked:
        kind, _, rest = key.partition(".")
        system, _, what = rest.partition(".")
        if kind == "system" and what in words and (body := joined.now(system)[0]) in bodies:
            untold.setdefault((body, what), []).append(system)
    return {
        f"system.{systems[0]}.{what}": f"{_tanks(view, systems)}: {words[what]}"
        if several
        else words[what]
        for (_, what), systems in untold.items()
    }


def _tanks(view: CaseView, systems: list[str]) -> str:
    """Return the tanks of one water that are asked about: one or two by name, or how many."""
    first, *others = (view.systems[system].name for system in systems)
    if not others:
        return first
    more = others[0] if len(others) == 1 else f"{len(others)} more tanks of the same water"
    return f"{first} and {more}"
