"""One entry in one line of plain words, for history and for the answer to an entry."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from tankside.case import Amount, Correction, Entry
from tankside.case.described import Event, Opened, StockDescribed, SystemDescribed
from tankside.case.done import (
    ActionDone,
    AgentInWater,
    CourseChosen,
    Death,
    DiagnosisConfirmed,
)
from tankside.case.medicine import DoseAsked, LabelRead
from tankside.case.parts import Looked, WaterReading
from tankside.case.seen import CountMade, Finding, WaterTest, WetMount
from tankside.intake.finding_words import in_words
from tankside.quantity.dates import entry_moment_words
from tankside.quantity.show import NO_BREAK

STATES = {
    "not_looked": "not looked",
    "keeper_does_not_know": "keeper does not know",
    "none": "none",
}


def amount_text(amount: Amount) -> str:
    """Write an amount as it was typed, number and unit kept together."""
    unit = f"{amount.unit} {amount.basis}" if amount.basis else amount.unit
    text = amount.value if amount.unit == "pH" else f"{amount.value} {unit}"
    return text.replace(" ", NO_BREAK)


def looked_text(looked: Looked) -> str:
    """Write what was seen of one finding."""
    label, answers = in_words(looked)
    seen = STATES.get(looked.state) or " or ".join(answers)
    number = "" if looked.number is None else f"{looked.number} "
    return f"{label}: {number}{seen}"


def entry_text(entry: Entry) -> str:
    """Write what one entry says, without its number and date."""
    return _WRITERS[entry.kind](entry)


def line_text(entry: Entry) -> str:
    """Write one entry with its number and date: ``5  Wed 4 Mar 2026  count: ...``."""
    kind = entry.kind.replace("_", " ")
    return f"{entry.id:>3}  {entry_moment_words(entry.moment)}  {kind}: {entry_text(entry)}"


def _joined(parts: Iterable[object]) -> str:
    return ", ".join(str(part) for part in parts if part not in (None, "", ()))


def _with(label: str, value: object) -> str:
    return "" if value in (None, "") else f"{label} {value}"


def _opened(entry: Opened) -> str:
    water = STATES.get(entry.water, entry.water)
    return _joined(
        (entry.name, f"keeper {entry.keeper}", f"water {water}", entry.place, entry.call)
    )


def _system(entry: SystemDescribed) -> str:
    parts = [entry.system, entry.name, entry.use]
    for method in entry.volume:
        litres = f"{method.litres():.1f}".removesuffix(".0")
        parts.append(f"{method.method.replace('_', ' ')} {litres}{NO_BREAK}L")
    skipped = {"id", "kind", "by", "recorded_at", "occurred_at", "day_only", "volume"}
    for name, value in entry:
        if name in skipped | {"system", "name", "use"} or value in (None, ()):
            continue
        label = name.replace("_", " ")
        if isinstance(value, Amount):
            parts.append(f"{label} {amount_text(value)}")
        elif isinstance(value, tuple):
            parts.append(f"{label} {' and '.join(map(str, value))}")
        else:
            parts.append(f"{label} {STATES.get(str(value), value)}")
    return _joined(parts)


def _stock(entry: StockDescribed) -> str:
    count = "" if entry.count is None else f"{entry.count} "
    length = None if entry.length is None else amount_text(entry.length)
    longer = None if entry.length_to is None else f"to {amount_text(entry.length_to)}"
    arrived = None if entry.arrived is None else f"arrived {entry.arrived[:10]}"
    quarantined = _with("quarantined", STATES.get(str(entry.quarantined), entry.quarantined))
    parts = (f"{count}{entry.name}", length, longer, arrived, quarantined, entry.note)
    return _joined(parts)


def _event(entry: Event) -> str:
    changed = None if entry.water_changed is None else f"{amount_text(entry.water_changed)} changed"
    return _joined((entry.what, STATES.get(entry.state), changed))


def _finding(entry: Finding) -> str:
    return _joined((looked_text(entry.looked), entry.fish, entry.group, entry.note))


def reading_text(reading: WaterReading) -> str:
    """Write one line of a water test."""
    told = STATES.get(reading.state) if reading.amount is None else amount_text(reading.amount)
    return f"{reading.what.value} {told}"


def _water_test(entry: WaterTest) -> str:
    sample = "" if entry.sample == "tank" else f"{entry.sample} water"
    return _joined((sample, *map(reading_text, entry.readings), _with("kit", entry.kit)))


def _wet_mount(entry: WetMount) -> str:
    sample = entry.sample.replace("_", " ")
    return _joined((sample, entry.fish, entry.group, *map(looked_text, entry.looks), entry.note))


def _count(entry: CountMade) -> str:
    what = entry.what.replace("_", " ")
    method = "" if entry.method == "by_eye" else entry.method.replace("_", " ")
    if entry.number is not None:
        told = f"{entry.number} {what}"
    elif entry.mean is not None:
        told = f"mean {entry.mean} {what}"
    elif entry.infected is not None:
        told = f"{what} on {entry.infected} of {entry.examined}"
    else:
        told = f"{what} {STATES[entry.state]}"
    return _joined((told, entry.fish, entry.group, method, entry.note))


def _agent(entry: AgentInWater) -> str:
    if entry.agent is None:
        return STATES[entry.state]
    amount = None if entry.amount is None else amount_text(entry.amount)
    unknown = "amount not known" if entry.amount_state == "keeper_does_not_know" else ""
    return _joined((entry.agent, amount, unknown, entry.note))


def _label(entry: LabelRead) -> str:
    tools = (entry.scale, entry.syringe)
    steps = [f"step {amount_text(step)}" for step in tools if step is not None]
    asked = [
        f"{one.need.replace('_', ' ')} {STATES.get(one.answer, one.answer)}"
        for one in entry.seen_to
    ]
    what = f"{entry.agent} {entry.strength}"
    return _joined((what, *steps, _with("expires", entry.expires), *asked, entry.note))


def _dose(entry: DoseAsked) -> str:
    route = None if entry.route == "prolonged" else entry.route
    minutes = None if entry.minutes is None else amount_text(entry.minutes)
    put_back = entry.water_changed
    changed = None if put_back is None else f"for {amount_text(put_back)} changed"
    return _joined((f"{entry.agent} {entry.strength}", route, minutes, changed, entry.reason))


def _course(entry: CourseChosen) -> str:
    return _joined((entry.name, f"from {entry.starts_at[:10]}", entry.reason))


def _action(entry: ActionDone) -> str:
    changed = None if entry.water_changed is None else f"{amount_text(entry.water_changed)} changed"
    amount = None if entry.amount is None else amount_text(entry.amount)
    state = STATES.get(entry.state, entry.state.replace("_", " "))
    return _joined((f"{entry.action} ({state})", changed, amount, entry.reason))


def _death(entry: Death) -> str:
    return _joined((f"{entry.number} dead", entry.group, entry.fish, entry.note))


def _diagnosis(entry: DiagnosisConfirmed) -> str:
    state = entry.state.replace("_", " ")
    return _joined((f"{entry.condition} {state}", f"by {entry.shown_by}", entry.note))


def _correction(entry: Correction) -> str:
    told = "taken back" if entry.replacement is None else entry_text(entry.replacement)
    return f"entry {entry.of}: {told} ({entry.reason})"


_WRITERS: Mapping[str, Callable[..., str]] = {
    "opened": _opened,
    "system": _system,
    "stock": _stock,
    "event": _event,
    "finding": _finding,
    "water_test": _water_test,
    "wet_mount": _wet_mount,
    "count": _count,
    "photo": lambda entry: _joined((entry.file, entry.of, entry.note)),
    "agent_in_water": _agent,
    "label_read": _label,
    "dose_asked": _dose,
    "course_chosen": _course,
    "action_done": _action,
    "death": _death,
    "diagnosis_confirmed": _diagnosis,
    "decision": lambda entry: f"{entry.what.replace('_', ' ')}: {entry.reason}",
    "note": lambda entry: entry.text,
    "closed": lambda entry: _joined((entry.outcome.replace("_", " "), entry.reason)),
    "correction": _correction,
}
