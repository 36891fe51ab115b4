"""The page of what fits: keep in mind, must not miss, ordered causes with reasons, next look."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.diagnose import NONE, Speaks
from tankside.errors import Mistake
from tankside.present.blocks import Block, Page, Words
from tankside.report.case_text import looked_text
from tankside.report.differential_text import answers_in_words
from tankside.report.page import OpenCase
from tankside.services.differential import OUTSIDE, Differential
from tankside.services.differential_case import CaseDifferential, differential_of

SHOWN = 5
REASONS = 6
AHEAD = 3
CAUTION = (
    "This lists what fits; it is not a diagnosis. Drugs and listed diseases are matters for a "
    "licensed veterinarian and your local rules."
)


def fits_page(case: OpenCase) -> Page:
    """Return the differential of the case in words."""
    try:
        answered = differential_of(case.stored.path)
    except Mistake as missing:
        blocks: tuple[Block, ...] = (Words(missing.message, (missing.next_step,), missing.code),)
        return Page("fits", "What fits", "", (*blocks,))
    found = answered.found
    told = "" if found.facts.calibrated else "Words only: not tested on cases of other authors. "
    return Page("fits", "What fits", told + CAUTION, (*_blocks(answered), *_looked_at(case)))


def _blocks(answered: CaseDifferential) -> Iterable[Block]:
    found = answered.found
    if found.strip:
        lines = tuple(
            f"{found.name(item.condition)} ({found.words(item.chance)}): {item.step}"
            for item in found.strip
        )
        yield Words("Must not miss, whatever its rank", lines, "MUST NOT MISS")
    if answered.own_idea:
        yield Words("Your own first idea", (found.name(answered.own_idea),))
    else:
        names = tuple(sorted(found.name(name) for name in found.early))
        yield Words("Keep in mind, in no order", names)
    causes = [_cause(found, place, name) for place, name in enumerate(_shown(found), 1)]
    pair = _pair(found)
    if answered.own_idea or answered.outcome:
        yield from (*causes, pair)
    else:
        lines = tuple(f"{cause.title}. {' '.join(cause.lines)}" for cause in causes)
        title = "The order with reasons: write down your own first idea, then look"
        yield Words(title, (*lines, f"{pair.title}: {pair.lines[0]}"), folded=True)
    if found.unexplained:
        left = tuple(_label(found, name) for name in found.unexplained)
        yield Words("Not explained by the likeliest", left, "GAP")
    yield _looks(found)


def _shown(found: Differential) -> tuple[str, ...]:
    """Return the likeliest causes, and always nothing wrong and not on the list."""
    order = found.ranking.order()
    special = (NONE, OUTSIDE)
    listed = [name for name in order if name not in special][:SHOWN]
    return tuple(name for name in order if name in listed or name in special)


def _cause(found: Differential, place: int, name: str) -> Words:
    low, high = (found.words(edge) for edge in found.bands.edges[name])
    words = found.words(found.ranking.of(name))
    spread = () if low == high else (f"The tables allow {low} to {high}.",)
    why = found.reasons[name]
    unknown = ", ".join(_label(found, s.finding) for s in why.unknown[:AHEAD])
    lines = (
        f"For: {_list(found, why.supports)}.",
        f"Against: {_list(found, why.against)}.",
        f"Not known: {unknown or 'nothing that matters'}.",
        f"Would change it: {_list(found, why.would_change[:AHEAD])}.",
        *spread,
    )
    return Words(f"{place} {found.name(name)}: {words}", lines)


def _pair(found: Differential) -> Words:
    every = len(found.ranking.chance)
    pairs = (causes for causes, _ in found.ranking.sets(every) if len(causes) > 1)
    names = " with ".join(found.name(name) for name in next(pairs, ()))
    line = found.words(found.two_causes) + (f"; the likeliest two: {names}" if names else "")
    return Words("Two causes together", (line,))


def _looks(found: Differential) -> Words:
    if found.looks.stop:
        return Words("Look next", ("Stop looking, act. No look left would change much.",))
    lines = []
    for look in found.looks.looks[:AHEAD]:
        asked = found.facts.findings[look.finding]
        moves = "; ".join(
            f"if {asked.word(move.answer)}: first is {found.name(move.first)}"
            for move in look.moves
        )
        why = f" {look.why}." if look.why else ""
        start = f"{asked.label}, {look.minutes:.0f} min: {asked.question}"
        lines.append(f"{start}{why} {moves[:1].upper()}{moves[1:]}.")
    return Words("Look next", tuple(lines))


def _looked_at(case: OpenCase) -> tuple[Words, ...]:
    """Return the standing answers; "not looked" and "none" stay apart."""
    lines = tuple(looked_text(answer.looked) for answer in case.view.evidence.values())
    return (Words("What was looked at", lines),) if lines else ()


def _label(found: Differential, finding: str) -> str:
    return found.facts.findings[finding].label.lower()


def _list(found: Differential, speaks: Iterable[Speaks]) -> str:
    told = [f"{_label(found, s.finding)} = {answers_in_words(found, s)}" for s in speaks]
    return "; ".join(told[:REASONS] + ["..."] * (len(told) > REASONS)) or "nothing yet"
