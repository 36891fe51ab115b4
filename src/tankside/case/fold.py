"""The fold: entries in, present state out; pure, by sequence, corrections beside the old."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from tankside.case.by_kind import EntriesByKind, by_kind
from tankside.case.catalogue import CATALOGUE, Catalogue
from tankside.case.deaths_by_group import deaths_by_group
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
from tankside.case.entry import Correction, Entry, Fact
from tankside.case.looks import in_order, looks_by_finding
from tankside.case.medicine import AgentInWater, DoseAsked, LabelRead
from tankside.case.open_questions import not_asked
from tankside.case.partial_move import left_behind
from tankside.case.readings import series_of, standing_readings
from tankside.case.seen import CountMade, Finding, Photo, WetMount
from tankside.case.system import SystemDescribed
from tankside.case.view import (
    MAIN,
    CaseView,
    HistoryLine,
    Home,
    StockView,
    SystemView,
    default_system,
)
from tankside.case.volume import Method, volume_view
from tankside.case.water_moved import WaterMoved
from tankside.case.water_test import WaterTest
from tankside.errors import BadInput
from tankside.quantity import check_share
from tankside.quantity.moment import Moment


def fold(entries: Iterable[Entry], catalogue: Catalogue = CATALOGUE) -> CaseView:
    """Fold entries into the present state of the case.

    Pure: the same entries give an equal view, and the entries are not changed. The order of
    the entries is their sequence; "latest" means latest to have happened, then as written.

    Args:
        entries: the entries, the opening first.
        catalogue: the kinds of entry that there are.

    Raises:
        BadInput: E-CASE-02 not opened first, numbered with gaps, or a correction that cannot
            stand; E-CASE-03 an entry after the case was closed; E-COUNT-01 more deaths than
            stock; E-DUP-01 the same count twice with another number; E-DATE-03 an observation
            before the case began.
    """
    written = tuple(entries)
    history = _history(written)
    standing = _placed([line.current for line in history if line.current is not None])
    opened = _opening(written, standing)
    _check_closing(history, catalogue)
    _check_times(opened, standing, catalogue)
    happened = in_order(standing)
    stated, seen = by_kind(standing), by_kind(happened)
    counts = seen.of(CountMade)
    _check_double_counts(counts)
    systems = _systems(stated, seen)
    stock, deaths = _stock(stated, seen, default_system(tuple(systems)))
    evidence = looks_by_finding(happened, catalogue)
    return CaseView(
        opened=opened,
        systems=systems,
        stock=stock,
        evidence=evidence,
        findings=seen.of(Finding),
        water_tests=seen.of(WaterTest),
        wet_mounts=seen.of(WetMount),
        counts=counts,
        events=seen.of(Event),
        agents_in_water=seen.of(AgentInWater),
        waters_moved=seen.of(WaterMoved),
        labels=seen.of(LabelRead),
        doses=seen.of(DoseAsked),
        courses=stated.of(CourseChosen),
        actions_done=seen.of(ActionDone),
        deaths=seen.of(Death),
        deaths_by_group=deaths,
        diagnoses=seen.of(DiagnosisConfirmed),
        decisions=seen.of(Decision),
        notes=seen.of(Note),
        photos=seen.of(Photo),
        closed=next(reversed(stated.of(Closed)), None),
        not_asked=not_asked(systems, stock, evidence, standing, seen.of(Death)),
        history=history,
    )


def _cannot(code: str, message: str, typed: object, needed: str, step: str = "") -> BadInput:
    return BadInput(
        code,
        message,
        given=typed,
        needed=needed,
        next_step=step or "Correct the entry; nothing was saved.",
    )


def _history(written: Sequence[Entry]) -> tuple[HistoryLine, ...]:
    """Set each entry beside the last correction that points at it."""
    corrections: dict[int, Correction] = {}
    for number, entry in enumerate(written, 1):
        if entry.id != number:
            needed = f"entry {number}"
            raise _cannot(
                "E-CASE-02", "The entries must be numbered without gaps.", entry.id, needed
            )
        if isinstance(entry, Correction):
            _check_correction(entry, written[entry.of - 1])
            corrections[entry.of] = entry
    lines = []
    for entry in written:
        if isinstance(entry, Correction):
            lines.append(HistoryLine(entry, None, None))
            continue
        gathered = corrections.get(entry.id)
        current = entry if gathered is None else gathered.replacement
        lines.append(HistoryLine(entry, current, None if gathered is None else gathered.id))
    return tuple(lines)


def _check_correction(correction: Correction, old: Entry) -> None:
    if isinstance(old, Correction):
        message = "A correction cannot itself be corrected."
        raise _cannot("E-CASE-02", message, correction.of, f"a correction of entry {old.of}")
    if correction.replacement is None:
        if isinstance(old, Opened):
            message = "The opening of a case cannot be taken back."
            raise _cannot("E-CASE-02", message, correction.of, "a replacement")
    elif correction.replacement.kind != old.kind:
        message = "The replacement must be of the same kind as the old entry."
        raise _cannot("E-CASE-02", message, correction.replacement.kind, old.kind)


def _placed(standing: Sequence[Fact]) -> list[Fact]:
    """Return the entries, those that name no water at the first one where none is called main.

    What was entered before any water was described has ``main`` as its water. A change of water
    that names none was in the only one described when it was entered.
    """
    standing = _changes_placed(standing)
    described = dict.fromkeys(e.system for e in standing if isinstance(e, SystemDescribed))
    if not described or MAIN in described:
        return list(standing)
    first = next(iter(described))
    return [
        entry.model_copy(update={"system": first})
        if getattr(entry, "system", None) == MAIN
        else entry
        for entry in standing
    ]


def _changes_placed(standing: Sequence[Fact]) -> list[Fact]:
    described: dict[str, None] = {}
    placed: list[Fact] = []
    for entry in standing:
        if isinstance(entry, SystemDescribed):
            described[entry.system] = None
        elif isinstance(entry, Event) and entry.water_changed and entry.system is None:
            meant = default_system(tuple(described))
            placed.append(entry.model_copy(update={"system": meant}) if meant else entry)
            continue
        placed.append(entry)
    return placed


def _opening(written: Sequence[Entry], standing: Sequence[Fact]) -> Opened:
    openings = [entry.id for entry in written if isinstance(entry, Opened)]
    if openings != [1] or not isinstance(standing[0], Opened):
        message = "A case must begin with one opening."
        raise _cannot("E-CASE-02", message, openings, "an opening as entry 1 and nowhere else")
    return standing[0]


def _check_closing(history: Sequence[HistoryLine], catalogue: Catalogue) -> None:
    closed = next((x.entry.id for x in history if isinstance(x.current, Closed)), None)
    if closed is None:
        return
    for line in history[closed:]:
        if not catalogue.of(line.entry).after_closing:
            raise _cannot(
                "E-CASE-03",
                f"The case was closed by entry {closed}.",
                line.entry.kind,
                "a note, a photo or a correction",
                f"Correct entry {closed} (take it back) to open the case again.",
            )


def _check_times(opened: Opened, standing: Iterable[Fact], catalogue: Catalogue) -> None:
    began = opened.moment
    for entry in standing:
        if not catalogue.of(entry).observed:
            continue
        at = entry.moment
        if at.day < began.day if at.day_only or began.day_only else at.utc < began.utc:
            raise _cannot(
                "E-DATE-03",
                "This lies before the case began.",
                entry.occurred_at,
                f"at or after {began.text}",
                "Type the date again; nothing was saved.",
            )


def _check_double_counts(counts: Iterable[CountMade]) -> None:
    """Refuse two standing counts of one thing, on one fish, at one time, that differ."""
    seen: dict[tuple[object, ...], CountMade] = {}
    for count in sorted(counts, key=lambda count: count.id):
        who = (count.fish, count.group, count.system)
        key = (count.moment.utc, count.what, count.method, count.fields, *who)
        stated = (count.number, count.mean, count.examined, count.infected, count.state)
        form = (count.number is None, count.mean is None, count.infected is None)
        old = seen.setdefault((*key, *form), count)
        if stated != (old.number, old.mean, old.examined, old.infected, old.state):
            raise _cannot(
                "E-DUP-01",
                f"The same count is already entered as entry {old.id}, with another number.",
                f"{count.what} on {count.occurred_at}",
                "one count of one fish at one time",
                f"Correct entry {old.id}, or give the fish its own name; nothing was saved.",
            )


def _systems(stated: EntriesByKind, seen: EntriesByKind) -> dict[str, SystemView]:
    tests = seen.of(WaterTest)
    gathered: dict[str, SystemDescribed] = {}
    ids: dict[str, list[int]] = {}
    for entry in stated.of(SystemDescribed):
        old = gathered.get(entry.system)
        gathered[entry.system] = entry if old is None else _renewed(old, entry)
        ids.setdefault(entry.system, []).append(entry.id)
    return {
        name: SystemView(
            id=name,
            description=now,
            volume=volume_view(now.volume, now.volume_by),
            readings=standing_readings(name, tests, series_of(name, tests)),
            volume_at=_measured_at(name, seen),
            entry_ids=tuple(ids[name]),
            series=series_of(name, tests),
        )
        for name, now in gathered.items()
    }


def _measured_at(system: str, seen: EntriesByKind) -> Moment | None:
    """Return when the volume was last measured by any method; None when it was only told."""
    stated = [e for e in seen.of(SystemDescribed) if e.system == system]
    measured = [e for e in stated if any(r.measured for r in volume_view(e.volume, None).results)]
    return measured[-1].moment if measured else None


def _renewed(old: SystemDescribed, new: SystemDescribed) -> SystemDescribed:
    """Fields of the new entry win; what it does not mention stays; volumes merge by method."""
    methods: dict[str, Method] = {m.method: m for m in (*old.volume, *new.volume)}
    fields = _told(new) | {"not_known": _still_not_known(old, new)}
    return old.model_copy(update=fields | {"volume": tuple(methods.values())})


def _renewed_group(old: StockDescribed, new: StockDescribed) -> StockDescribed:
    """Fields of the new entry win; a name made from the short one hides no name that was told."""
    fields = _told(new)
    if new.name == new.group.replace("_", " "):
        fields.pop("name")
    return old.model_copy(update=fields | {"not_known": _still_not_known(old, new)})


def _still_not_known(
    old: SystemDescribed | StockDescribed, new: SystemDescribed | StockDescribed
) -> tuple[str, ...]:
    """Return what was asked for and not known, without what is told now."""
    earlier = [word for word in old.not_known if word not in _told(new)]
    return tuple(dict.fromkeys((*earlier, *new.not_known)))


def _told(entry: SystemDescribed | StockDescribed) -> dict[str, object]:
    return {name: value for name, value in entry if value is not None and value != ()}


def _stock(
    stated: EntriesByKind, seen: EntriesByKind, default: str
) -> tuple[dict[str, StockView], tuple[Death, ...]]:
    """Return every group as it is now, and every death with the group it belongs to."""
    gathered: dict[str, StockDescribed] = {}
    ids: dict[str, list[int]] = {}
    counted: dict[str, StockDescribed] = {}
    for entry in stated.of(StockDescribed):
        old = gathered.get(entry.group)
        gathered[entry.group] = entry if old is None else _renewed_group(old, entry)
        ids.setdefault(entry.group, []).append(entry.id)
        if entry.count is not None:
            counted[entry.group] = entry
    described = stated.of(StockDescribed)
    homes = {name: _homes(name, seen, default) for name in gathered}
    deaths = deaths_by_group(seen.of(Death), gathered, counted, homes)
    stock = {}
    for name, now in gathered.items():
        of_group = [entry for entry in described if entry.group == name]
        dead = [d for d in deaths if d.group == name]
        lost = left_behind(of_group, dead, homes[name][0].system)
        alive = _alive(now, counted.get(name), dead, tuple(ids[name]), homes[name])
        stock[name] = replace(alive, left_behind=lost)
    return stock, deaths


def _homes(group: str, seen: EntriesByKind, default: str) -> tuple[Home, ...]:
    """Return where a group lived; an entry that does not say so leaves it where it was."""
    stated = [entry for entry in seen.of(StockDescribed) if entry.group == group]
    homes = tuple(
        Home(entry.moment, entry.id, entry.system) for entry in stated if entry.system is not None
    )
    if homes and stated[0].system is not None:
        return homes
    return (Home(stated[0].moment, stated[0].id, default), *homes)


def _alive(
    now: StockDescribed,
    counted: StockDescribed | None,
    deaths: Iterable[Death],
    ids: tuple[int, ...],
    homes: tuple[Home, ...],
) -> StockView:
    dead = tuple(deaths)
    total = sum(entry.number for entry in dead)
    if counted is None or counted.count is None:
        return StockView(now.group, now, None, total, ids, homes)
    since = sum(entry.number for entry in dead if entry.id > counted.id)
    names = {"part_name": "dead", "whole_name": f"{now.name} in stock"}
    check_share(since, counted.count, **names, field="number")
    return StockView(now.group, now, counted.count - since, total, ids, homes)
