"""A life cycle as a sheet: a moving drawing with its times, and what reaches each stage."""

from __future__ import annotations

from math import isfinite

from tankside.claims import Claim, Provenance
from tankside.claims.organism import Place, StageKind
from tankside.lifecycle import Range
from tankside.present.cycle_plates import CyclePlate, Leg, cycle_plates, is_there, timed_svg
from tankside.present.sheet import Picture, Sheet, SheetPart
from tankside.present.table import Table
from tankside.quantity.per import HOURS_PER_DAY
from tankside.services.life_cycle import AgentOnStage, LifeCycleAnswer, StagePassage
from tankside.services.teaching import works as works_of

HOURS_UNTIL_D = 2
"""Up to so many days a time is told in hours."""
ONE_DECIMAL_UNTIL_D = 10
LEAST_LEG_D = 0.15
"""A leg takes at least so long to be seen; the times that are written are not touched."""
WHERE = {Place.HOST: "on the fish", Place.BOTTOM: "on the bottom", Place.WATER: "in the water"}
NEVER = "does not develop at this temperature"


def span(time_d: Range | None) -> str:
    """Return the low and high end of a time: ``13 to 24 h``, ``4.6 to 6.4 days``.

    Args:
        time_d: low, middle and high [d].
    """
    if time_d is None:
        return "no figure"
    low, _, high = time_d
    if not isfinite(low):
        return NEVER
    if not isfinite(high):
        return f"{_days(low)} days or longer"
    if high < HOURS_UNTIL_D:
        return f"{_hours(low)} to {_hours(high)} h"
    return f"{_days(low)} to {_days(high)} days"


def _hours(days: float) -> str:
    hours = days * HOURS_PER_DAY
    return f"{hours:.0f}" if hours >= 1 else f"{hours:.2g}"


def _days(days: float) -> str:
    if days < ONE_DECIMAL_UNTIL_D:
        return f"{days:.1f}"
    return f"{days:.0f}"


def life_cycle_sheet(answer: LifeCycleAnswer) -> Sheet:
    """Return the sheet of one life cycle at one temperature."""
    plate = cycle_plates()[answer.organism.id]
    return Sheet(
        key=f"life-cycle/{answer.organism.id}",
        question=f"{capital(answer.organism.name)} at {answer.temperature_c:g} C: how it lives",
        title=_title(answer),
        lead=_lead(answer),
        parts=(
            SheetPart("The way round", pictures=(_picture(answer, plate),)),
            SheetPart("Hours and days at this temperature", table=_times(answer, plate),
                      note=_which_ends(answer)),
            SheetPart("What a dose meets", _met(answer)),
            SheetPart("Why clean fish are not cured", _why_not_cured(answer)),
            SheetPart("What a siphon takes", _siphoned(answer)),
            SheetPart("What this rests on", _basis(answer)),
        ),
    )  # fmt: skip


def capital(words: str) -> str:
    """Return words that begin a sentence."""
    return words[:1].upper() + words[1:]


def _title(answer: LifeCycleAnswer) -> str:
    cycle = answer.durations.cycle
    what = "One life on the fish" if answer.durations.breeds_on_fish else "Once round"
    if not isfinite(cycle[0]):
        return "At this temperature it stands still; it is not gone."
    return f"{what} takes {span(cycle)}."


def _lead(answer: LifeCycleAnswer) -> str:
    first = " ".join((*answer.organism.first_words, ""))
    if answer.durations.breeds_on_fish:
        return f"{first}It breeds on the fish and leaves it only by chance."
    places = [place for place in Place if answer.organism.at(place)]
    where = ", ".join(WHERE[place] for place in places)
    return f"{first}Part of its life is spent {where}: each part meets other means."


def _picture(answer: LifeCycleAnswer, plate: CyclePlate) -> Picture:
    times = {p.stage.key: span(p.time_d) for p in answer.passages}
    legs = way_round(answer, plate)
    parts = [f"{letter}: {words}" for letter, words in plate.parts.items()]
    return Picture(
        title=plate.title,
        alternative=f"{plate.title}. " + "; ".join(parts) + ".",
        lines=(*parts, f"Bars: {'; '.join(plate.bars)}.", f"Drawing: {drawn_from(plate.basis)}."),
        svg=timed_svg(plate, times),
        moving=timed_svg(plate, times, legs),
        sign=plate.separates,
    )


def drawn_from(basis: tuple[str, ...]) -> str:
    """Return what a drawing rests on; general knowledge is marked as such."""
    return "; ".join(
        "general knowledge, not held to a source" if entry == "general" else entry
        for entry in basis
    )


def way_round(answer: LifeCycleAnswer, plate: CyclePlate) -> tuple[Leg, ...]:
    """Return the legs of the marker: each stage as long as its middle time, once round.

    Nothing moves where a stage does not develop at this temperature.
    """
    middle = {p.stage.key: p.time_d[1] for p in answer.passages if p.time_d is not None}
    if not all(isfinite(days) for days in middle.values()) or not middle:
        return ()
    legs = []
    for passage in answer.passages:
        key, days = passage.stage.key, middle.get(passage.stage.key, LEAST_LEG_D)
        onward = passage.stage.becomes or passage.stage.lays
        arc, dwell = f"arc-{key}-{onward}", f"dwell-{key}"
        if passage.stage.kind is StageKind.RATED and onward:
            days = LEAST_LEG_D  # it goes on laying; the egg is what goes round
        legs += [Leg(path, days) for path in (dwell,) if is_there(plate, path)]
        if is_there(plate, arc):
            settles = not is_there(plate, dwell)
            legs.append(Leg(arc, max(days if settles else 0.0, LEAST_LEG_D)))
    return tuple(legs)


def _times(answer: LifeCycleAnswer, plate: CyclePlate) -> Table:
    rows = [
        (
            ", ".join(plate.letters.get(p.stage.key, "")) or "-",
            capital(p.stage.words),
            WHERE[p.stage.place],
            span(p.time_d),
        )
        for p in answer.passages
    ]
    rows += [("all", capital(name), "", span(time_d)) for name, time_d in answer.durations.rows()]
    return Table(
        f"Times at {answer.temperature_c:g} C, fast end to slow end",
        ("letter", "stage", "where", "time"),
        tuple(rows),
    )


def _which_ends(answer: LifeCycleAnswer) -> str:
    return (
        "Fast end to slow end of what is on file; the marker goes round by the middle, one second "
        f"a day. {answer.durations.left_out}"
    )


def _met(answer: LifeCycleAnswer) -> tuple[str, ...]:
    lines = [line for passage in answer.passages for line in _met_in(passage)]
    if answer.release_salt is not None:
        salt = answer.release_salt.number()
        lines.append(
            f"Salt acts otherwise: at {salt:g} g/L half of the cysts no longer release young "
            f"({_mark(answer.release_salt)})."
        )
    if answer.egg_window_d is not None:
        first, last = answer.egg_window_d
        lines.append(
            f"Where eggs survive the first dose, the next belongs {_days(first)} to {_days(last)} "
            "days after it: most eggs have hatched, and the young do not lay yet."
        )
        lines.append(_two_or_three(answer.last_hatch_d or first, last))
    return tuple(lines)


def _two_or_three(all_hatched_d: float, laying_d: float) -> str:
    if all_hatched_d > laying_d:
        return (
            f"No window, three doses: the last hatch about {_days(all_hatched_d)} days after the "
            f"first dose, and the first lay again after {_days(laying_d)}. No day of a second "
            "dose meets them all."
        )
    return (
        f"From {_days(all_hatched_d)} to {_days(laying_d)} days after the first dose all have "
        "hatched and none lays yet: two doses can meet them all."
    )


def _met_in(passage: StagePassage) -> tuple[str, ...]:
    alike = [met.name for met in passage.met_by if met.ratio is None or max(met.ratio) <= 1]
    harder = [met for met in passage.met_by if met.ratio is not None and max(met.ratio) > 1]
    said = [f"reached by {', '.join(alike)}"] if alike else []
    for beside in dict.fromkeys(met.beside for met in harder):
        names = ", ".join(_times_as_much(met) for met in harder if met.beside == beside)
        said.append(f'takes more than the stage "{beside}": {names}')
    if not said:
        said.append("no agent on file has a figure against it")
    if passage.no_figure:
        said.append(f"not known for {', '.join(passage.no_figure)}")
    return (f"{capital(passage.stage.words)}: {'; '.join(said)}.",)


def _times_as_much(met: AgentOnStage) -> str:
    assert met.ratio is not None
    low, _, high = met.ratio
    return f"{met.name} ({low:g} to {high:g} times)"


def _why_not_cured(answer: LifeCycleAnswer) -> tuple[str, ...]:
    durations = answer.durations
    if durations.breeds_on_fish:
        return (
            "A few that no eye and no slide met are enough: each one breeds where it sits.",
            "A clean look is the first of several, one life apart: "
            f"{span(durations.cycle)} at {answer.temperature_c:g} C.",
        )
    lines = []
    if isfinite(durations.bottom[2]):
        lines.append(
            "On the day the fish look clean, others may lie on the bottom for "
            f"{span(durations.bottom)} and then swim; nobody sees them."
        )
    if answer.visible_from is not None and answer.visible_from.known:
        share = answer.visible_from.number()
        lines.append(
            f"On the fish it can be seen only in the last {1 - share:.0%} of its stay "
            f"({_mark(answer.visible_from)}): before that the fish is infected and looks clean."
        )
    if isfinite(durations.cycle[2]):
        lines.append(
            f"So nobody stops before {_days(durations.cycle[2])} days after the last one was seen, "
            f"at {answer.temperature_c:g} C; in colder water later. A follow-up holds that to the "
            "longest life in print, and takes the later day."
        )
    else:
        lines.append(
            "At this temperature no day can be named: it stands still and starts again when warmed."
        )
    return tuple(lines)


def _siphoned(answer: LifeCycleAnswer) -> tuple[str, ...]:
    bottom = [p for p in answer.passages if p.stage.place is Place.BOTTOM]
    if not bottom:
        return (
            "Nothing of it lies on the bottom as a stage of its life: a siphon takes dirt, not it.",
        )
    glued = [p.stage.words for p in bottom if p.loose <= 0]
    bottom = [p for p in bottom if p.loose > 0]
    lines = [
        f"{capital(words)}: glued fast. A siphon does not lift it; scrape it off, dry it, or take "
        "out what it sits on."
        for words in glued
    ]
    if not bottom:
        return tuple(lines)
    low, high = answer.siphon.bounds()
    what = "; ".join(p.stage.words for p in bottom)
    lines += [
        f"What lies on the bottom: {what}. One slow siphoning of the whole bottom takes "
        f"{low:.0%} to {high:.0%} of it ({_mark(answer.siphon)}). {answer.siphon.note}",
    ]
    cyst = max(bottom, key=lambda p: p.time_d[1] if p.time_d else 0)
    if cyst.time_d is not None and isfinite(cyst.time_d[0]):
        lines.append(
            f"A stage there lasts {span(cyst.time_d)}: siphoning less often lets whole broods "
            "hatch between two times. Nothing on the fish and little of what swims is taken."
        )
    return tuple(lines)


def _mark(claim: Claim) -> str:
    """Return how far a figure is to be trusted: ``printed``, ``recalled``, ``an estimate``."""
    return {
        Provenance.FOUND: "printed",
        Provenance.MEMORY: "recalled",
        Provenance.COMMON_PRACTICE: "custom, no source",
        Provenance.ESTIMATE: "an estimate",
    }[claim.provenance]


def _behind(answer: LifeCycleAnswer) -> tuple[tuple[str, Claim], ...]:
    """Return the claims behind the times and shares of the page, each with what it says."""
    organism = answer.organism
    keys = {StageKind.TIMED: "residence", StageKind.RATED: "loss_per_d", StageKind.SEEKING: "life"}
    behind = [
        (stage.words, organism.claims[key])
        for stage in organism.stages
        if (key := f"{stage.key}.{keys[stage.kind]}") in organism.claims
    ]
    if answer.release_salt is not None:
        behind.append(("salt that stops the release", answer.release_salt))
    return (*behind, ("share taken by a siphon", answer.siphon))


def _basis(answer: LifeCycleAnswer) -> tuple[str, ...]:
    lines = []
    for words, claim in _behind(answer):
        works = "; ".join(work.citation for work in works_of((claim.source,)))
        said = [_mark(claim), *([works] if works else []), *([claim.note] if claim.note else [])]
        lines.append(f"{capital(words)}: {'. '.join(part.rstrip('.') for part in said)}.")
    return (*lines, *([answer.organism.note] if answer.organism.note else []))
