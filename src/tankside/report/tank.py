"""The waters of a case with every way their volume was found, and what lives in them."""

from __future__ import annotations

from datetime import date

from tankside.case import CaseView, StockView, SystemView
from tankside.case.system import properties_told
from tankside.case.volume import MethodResult
from tankside.case.wording import amount_text
from tankside.intake.joined_waters import joined_waters
from tankside.intake.whereabouts import Whereabouts
from tankside.library import load
from tankside.present.blocks import Block, Document, Rows, Words
from tankside.present.table import Table
from tankside.present.words import percent_words
from tankside.quantity.dates import day_words
from tankside.quantity.show import COMPARED_DIGITS, volume_words
from tankside.report.case_words import state_words, system_volume_words
from tankside.report.page import OpenCase

NO_STOCK = "No stock entered: doses stay blocked."
NEVER_DOSED = "never used for doses"


def tank_document(case: OpenCase) -> Document:
    """Return each water of a case, how it is run, and what lives in it."""
    view = case.view
    return Document(f"Tank and stock: {view.name}", (*water_blocks(view), stock_block(case)))


def water_blocks(view: CaseView) -> tuple[Words, ...]:
    """Return of each system its volume by every method, and how it is run."""
    return tuple(
        block
        for system in view.systems.values()
        for block in (_volume_block(view, system), *_description(system))
    )


def stock_block(case: OpenCase) -> Block:
    """Return every group of animals and plants, or that none was entered."""
    view = case.view
    if not view.stock:
        return Words("Living in it", (NO_STOCK,), "GAP")
    rows = tuple(_stock_row(case, group) for group in view.stock.values())
    head = ("what", "alive", "dead", "length", "lives in", "note")
    return Rows("Living in it", Table("stock", head, rows))


def _volume_block(view: CaseView, system: SystemView) -> Words:
    methods = (_method_line(system, result) for result in system.volume.results)
    title = f"Water in {system.name} (system {system.id})"
    return Words(title, (system_volume_words(system), *methods, *joined_words(view, system)))


def joined_words(view: CaseView, system: SystemView) -> tuple[str, ...]:
    """Say with which other waters it is one, whoever named whom."""
    others = [part for part in joined_waters(view).now(system.id) if part != system.id]
    names = (view.systems[part].name if part in view.systems else part for part in others)
    return (f"one water with {', '.join(names)}: dosed together",) if others else ()


def _method_line(system: SystemView, result: MethodResult) -> str:
    litres = volume_words(result.litres, COMPARED_DIGITS)
    if result.measured:
        return f"by {result.method.replace('_', ' ')}: {litres}"
    teller = "keeper says" if result.method == "keeper_says" else f"{result.method} says"
    return f"{teller} {litres}: {NEVER_DOSED}{_off(system, result)}"


def _off(system: SystemView, result: MethodResult) -> str:
    """Say how far a volume that was only told lies from the measured one."""
    percent = system.volume.told_difference_percent
    if percent is None or result.litres != system.volume.told_l:
        return ""
    if round(percent) == 0:
        return " (as measured)"
    side = "above" if percent > 0 else "below"
    return f" ({percent_words(percent)} {side} the measured volume)"


def _description(system: SystemView) -> tuple[Words, ...]:
    lines = tuple(
        f"{label}: {value} ({remark})" if remark else f"{label}: {value}"
        for label, value, remark in properties_told(system.description)
    )
    return (Words(f"How {system.name} is run", lines),) if lines else ()


def _stock_row(case: OpenCase, group: StockView) -> tuple[str, ...]:
    description = group.description
    length = "not known" if description.length is None else amount_text(description.length)
    notes = []
    if description.arrived is not None:
        notes.append(f"arrived {day_words(date.fromisoformat(description.arrived[:10]))}")
    if description.quarantined is not None:
        notes.append(f"quarantined: {state_words(description.quarantined)}")
    if description.note is not None:
        notes.append(description.note)
    alive = "not known" if group.alive is None else str(group.alive)
    lives_in = _lives_in(case, group)
    return (description.name, alive, str(group.deaths), length, lives_in, "; ".join(notes))


def _lives_in(case: OpenCase, group: StockView) -> str:
    """Say where a group lives by its entries and the steps of courses; every water it may be in."""
    systems = case.view.systems
    homes: tuple[str, ...] = (group.system,)
    if group.system in systems:
        homes = Whereabouts(case.view, load()).homes(group, case.now)
    names = [systems[home].name if home in systems else home or "another place" for home in homes]
    return " or ".join(names) + (" (nobody said)" if len(names) > 1 else "")
