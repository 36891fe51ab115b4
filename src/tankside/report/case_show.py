"""What a case says now, as one document and as one JSON object."""

from __future__ import annotations

from decimal import Decimal

from tankside.case import AnswerView, CaseView, ReadingView, SystemView, to_object
from tankside.present.blocks import Document
from tankside.quantity import CANONICAL
from tankside.quantity.dates import entry_moment_words
from tankside.quantity.moment import Moment
from tankside.report.case_words import closed_words, water_type_words
from tankside.report.course import chosen_block
from tankside.report.page import OpenCase
from tankside.report.seen import count_and_death_blocks, done_block, finding_block
from tankside.report.story import day_blocks, kept_block, kept_in_view, not_asked_block
from tankside.report.tank import stock_block, water_blocks
from tankside.report.tank_water import agents_in_water, reading_blocks


def case_document(case: OpenCase, *, history: bool = False) -> Document:
    """Return the present state of a case: most needed first, gaps last.

    Args:
        case: the case.
        history: whether every entry follows, day by day.
    """
    view = case.view
    blocks = (
        *water_blocks(view),
        *reading_blocks(view, case.now),
        stock_block(case),
        *finding_block(view),
        *count_and_death_blocks(view),
        *agents_in_water(view),
        *done_block(view),
        *chosen_block(view),
        *not_asked_block(view),
        *kept_block(view),
        *(day_blocks(view) if history else ()),
    )
    return Document(view.name, blocks, _lead(view))


def _lead(view: CaseView) -> str:
    parts = (
        f"keeper {view.opened.keeper}",
        water_type_words(view),
        f"opened {entry_moment_words(view.opened.moment)}",
        f"{view.version} entries",
        closed_words(view),
    )
    return ", ".join(part for part in parts if part)


def case_json(case: OpenCase) -> dict[str, object]:
    """Return the present state as plain JSON data; the history is the entries themselves."""
    view = case.view
    return {
        "case": to_object(view.opened),
        "version": view.version,
        "closed": None if view.closed is None else to_object(view.closed),
        "systems": [_system_json(system, case.now) for system in view.systems.values()],
        "stock": [
            to_object(group.description) | {"alive": group.alive, "deaths": group.deaths}
            for group in view.stock.values()
        ],
        "findings": {
            name: [_look_json(look) for look in looks] for name, looks in view.evidence.items()
        },
        "counts": [to_object(entry) for entry in view.counts],
        "wet_mounts": [to_object(entry) for entry in view.wet_mounts],
        "agents_in_water": [to_object(entry) for entry in view.agents_in_water],
        "events": [to_object(entry) for entry in view.events],
        "course": None if view.course is None else to_object(view.course),
        "actions_done": [to_object(entry) for entry in view.actions_done],
        "deaths": [to_object(entry) for entry in view.deaths],
        "diagnoses": [to_object(entry) for entry in view.diagnoses],
        "decisions": [to_object(entry) for entry in view.decisions],
        "not_asked": list(view.not_asked),
        "kept": [
            {"entry": kept.entry, "kind": kept.kind, "fields": list(kept.fields)}
            for kept in kept_in_view(view)
        ],
        "history": [
            to_object(line.entry) | {"void": line.void, "corrected_by": line.corrected_by}
            for line in view.history
        ],
    }


def _look_json(look: AnswerView) -> dict[str, object]:
    return {
        "state": look.state,
        "answers": sorted(look.answers),
        "examined": look.looked.examined,
        "infected": look.looked.infected,
        "number": look.looked.number,
        "at": look.at.text,
        "site": look.site,
        "fish": look.fish,
        "group": look.group,
        "system": look.system,
    }


def _figure(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _system_json(system: SystemView, now: Moment) -> dict[str, object]:
    volume = system.volume
    return to_object(system.description) | {
        "volume_l": _figure(volume.point_l),
        "second_volume_l": _figure(volume.second_l),
        "difference_percent": _figure(volume.difference_percent),
        "told_volume_l": _figure(volume.told_l),
        "told_difference_percent": _figure(volume.told_difference_percent),
        "readings": {what.value: _reading_json(r, now) for what, r in system.readings.items()},
    }


def _reading_json(latest: ReadingView, now: Moment) -> dict[str, object]:
    shared = {"at": latest.at.text, "age_h": latest.age_h(now), "entry": latest.entry_id}
    if latest.measured is None:
        return {"state": latest.state} | shared
    unit = CANONICAL[latest.measured.kind]
    value = float(latest.measured.canonical())
    return {"typed": latest.measured.text, "value": value, "unit": unit} | shared
