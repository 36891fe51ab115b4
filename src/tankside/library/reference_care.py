"""The generated page of care: every protocol, section by section, with who decides and sources."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tankside.claims.care import (
    CareDepth,
    CareProtocol,
    CareSection,
    CareStatement,
    sourced_share,
)
from tankside.library.views import origin_in_words

HEADINGS: Mapping[CareSection, str] = {
    CareSection.NOW: "now",
    CareSection.FIRST_HOUR: "first hour",
    CareSection.TODAY: "today",
    CareSection.THIS_WEEK: "this week",
    CareSection.MUST_NOT: "must not be done",
    CareSection.ASK: "to ask",
    CareSection.LABORATORY: "laboratory",
    CareSection.REPORT: "to be told",
    CareSection.STOP_RULE: "may be called over",
    CareSection.IF_IT_WORKS: "if it works",
    CareSection.IF_NOT: "if it does not",
    CareSection.SECOND_CAUSE: "a second cause",
    CareSection.SUFFERING: "to end suffering",
    CareSection.PREVENTION: "prevention",
    CareSection.MOVING: "moving and sale",
    CareSection.DISINFECTION: "disinfection",
    CareSection.PEOPLE: "people",
}
DEPTHS: Mapping[CareDepth, str] = {
    CareDepth.GENERAL: "whatever the cause",
    CareDepth.FULL: "full protocols",
    CareDepth.SHORT: "short protocols",
    CareDepth.SITUATION: "situations",
}


def care_page(protocols: Mapping[str, CareProtocol], made: str) -> str:
    """Return the page of the protocols of care.

    Args:
        protocols: protocols by id.
        made: the line that says where the page comes from.
    """
    lines = [
        "# Care\n",
        made,
        "What stands under `any_cause` holds for every cause as well; a statement of a cause "
        "replaces the general one of the same key. No amount of a drug stands here: it comes "
        "from `plan` and `dose`, within what animals and law allow. Read with care: a source "
        "that was found may have been seen in part only, and the act may be drawn from a fact.\n",
        *_shares(protocols),
    ]
    for protocol in sorted(protocols.values(), key=lambda p: (_rank(p), p.id)):
        lines += [f"\n## {protocol.id}: {protocol.name}\n"]
        if protocol.causes:
            lines += [f"For {', '.join(protocol.causes)}.\n"]
        lines += ["| key | said | decides | when and whom | origin | note |", "|" + "---|" * 6]
        for section in CareSection:
            lines += [_row(statement) for statement in protocol.said(section)]
    return "\n".join(lines) + "\n"


def _rank(protocol: CareProtocol) -> int:
    return tuple(DEPTHS).index(protocol.depth)


def _shares(protocols: Mapping[str, CareProtocol]) -> Iterable[str]:
    """Yield how much of each kind of protocol rests on a source that was opened."""
    for depth, words in DEPTHS.items():
        some = [protocol for protocol in protocols.values() if protocol.depth is depth]
        count = sum(len(protocol.statements) for protocol in some)
        yield (
            f"- {words}: {len(some)} with {count} statements, "
            f"{100 * sourced_share(some):.0f} % of them with a source that was opened"
        )


def _row(statement: CareStatement) -> str:
    when = [f"day {', '.join(f'{day:g}' for day in statement.days)}"] if statement.days else []
    when += [f"animals: {statement.animals}"] if statement.animals else []
    when += [f"{statement.country}, {statement.as_of}"] if statement.country else []
    when += [f"only {statement.only}"] if statement.only else []
    cells = (
        f"{statement.section}.{statement.name}",
        f"{HEADINGS[statement.section]}: {statement.words}",
        statement.decides.value,
        "; ".join(when),
        f"{origin_in_words(statement.claim)} ({statement.claim.confidence})",
        statement.claim.note,
    )
    return "| " + " | ".join(text.replace("|", "/") for text in cells) + " |"
