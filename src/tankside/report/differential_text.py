"""A differential for a person: words, reasons for and against, the next look."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.diagnose import NONE, Look, Move, Speaks, first_rows
from tankside.services.differential import OUTSIDE, Differential

LOOKS = 3
AHEAD = 3


def as_text(found: Differential) -> str:
    """Return the differential as lines of text, the most urgent things first."""
    blocks = [
        _strip(found),
        _rows(found),
        _leftover(found),
        _looks(found),
        [_caution(found)],
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block)


def early_text(found: Differential) -> str:
    """Return the unordered early list as one line."""
    names = ", ".join(found.name(name) for name in found.early)
    return f"Keep in mind (in no order): {names}."


def _strip(found: Differential) -> list[str]:
    if not found.strip:
        return []
    lines = ["MUST NOT MISS (by harm, whatever its rank)"]
    for item in found.strip:
        lines.append(f"  {found.name(item.condition)} ({found.words(item.chance)})")
        if item.also:
            lines.append(f"    the same step meets: {', '.join(map(found.name, item.also))}")
        lines.append(f"    {item.step}")
    return lines


def _rows(found: Differential) -> list[str]:
    order = found.ranking.order()
    special = (NONE, OUTSIDE)
    listed = first_rows(found.ranking)
    shown = [name for name in order if name in listed or name in special]
    lines = ["WHAT FITS (likeliest first; causes can be present together)"]
    for place, name in enumerate(shown, 1):
        lines += _row(found, place, name)
    pair, chance = next(
        ((causes, c) for causes, c in found.ranking.sets(len(order) ** 2) if len(causes) > 1),
        ((), 0.0),
    )
    lines.append(f"  Two causes together: {found.words(found.two_causes)}")
    if pair:
        names = " with ".join(found.name(name) for name in pair)
        lines.append(f"    the likeliest two: {names} ({found.words(chance)})")
    return lines


def _row(found: Differential, place: int, name: str) -> list[str]:
    chance = found.ranking.of(name)
    low, high = (found.words(edge) for edge in found.bands.edges[name])
    spread = "" if low == high else f"; the tables allow {low} to {high}"
    why = found.reasons[name]
    unknown = ", ".join(_label(found, s.finding) for s in why.unknown[:AHEAD])
    condition = found.facts.conditions.get(name)
    step = [f"     do first: {condition.step}"] if condition and condition.cannot_miss else []
    return [
        f"  {place}. {found.name(name)}: {found.words(chance)}{spread}",
        *step,
        f"     for: {_list(found, why.supports)}",
        f"     against: {_list(found, why.against)}",
        f"     not known: {unknown or '-'}",
        f"     would change it: {_list(found, why.would_change[:AHEAD])}",
    ]


def _list(found: Differential, speaks: Iterable[Speaks]) -> str:
    told = [f"{_label(found, s.finding)} = {answers_in_words(found, s)}" for s in speaks]
    return "; ".join(told) or "-"


def _label(found: Differential, finding: str) -> str:
    return found.facts.findings[finding].label.lower()


def answers_in_words(found: Differential, speaks: Speaks) -> str:
    """Return the answers of one finding in plain words, joined by "or"."""
    asked = found.facts.findings[speaks.finding]
    return " or ".join(asked.word(answer) for answer in speaks.answers)


def _leftover(found: Differential) -> list[str]:
    lines = []
    if found.unexplained:
        names = ", ".join(_label(found, name) for name in found.unexplained)
        lines.append(f"NOT EXPLAINED by the likeliest: {names}")
    if found.passed_over:
        names = ", ".join(_label(found, name) for name in found.passed_over)
        lines.append(f"Not used (the question does not arise): {names}")
    return lines


def _looks(found: Differential) -> list[str]:
    if found.looks.stop:
        return ["LOOK NEXT: stop looking, act. No look left would change much."]
    lines = ["LOOK NEXT (by harm saved per minute)"]
    for look in found.looks.looks[:LOOKS]:
        lines += _look(found, look)
    return lines


def _look(found: Differential, look: Look) -> list[str]:
    asked = found.facts.findings[look.finding]
    lines = [f"  {asked.label} ({look.minutes:.0f} min, {asked.equipment}): {asked.question}"]
    if look.why:
        lines.append(f"    {look.why}")
    lines += [f"    if {asked.word(move.answer)}: {_move(found, move)}" for move in look.moves]
    return lines


def _move(found: Differential, move: Move) -> str:
    """Say what an answer would do; a cause that is first anyway is named once."""
    first = found.name(move.first)
    if not move.rises:
        return f"first is {first}"
    if move.rises == move.first:
        return f"{first} stays or comes first, and more surely"
    return f"first is {first}; {found.name(move.rises)} rises"


def _caution(found: Differential) -> str:
    told = "" if found.facts.calibrated else "Words only: not tested on cases of other authors. "
    return (
        f"{told}This lists what fits; it is not a diagnosis. "
        "Drugs and listed diseases are matters for a licensed veterinarian and your local rules."
    )
