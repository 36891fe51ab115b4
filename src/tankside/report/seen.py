"""What was seen in a case: findings, counts and deaths; "not looked" stays apart from "none"."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tankside.case import CaseView, Entry
from tankside.case.view import BY_EYE, AnswerView
from tankside.case.wording import joined, plain
from tankside.intake.standing_answers import standing
from tankside.library.diagnosis_files import load_diagnosis
from tankside.present.blocks import Block, Rows, Words
from tankside.present.table import Table
from tankside.quantity.dates import entry_moment_words
from tankside.report.case_text import entry_text, looked_text

BY_NUMBER = "by how many of each were left; correct the entry when the keeper knows which"
NO_GROUP = "counted for no group, since nobody knows how many there were; ask which"


def finding_block(view: CaseView) -> tuple[Words, ...]:
    """Return every answer that stands, of each fish and site."""
    lines = standing_lines(view.evidence)
    return (Words("Findings", lines),) if lines else ()


def standing_lines(looked: Mapping[str, Sequence[AnswerView]]) -> tuple[str, ...]:
    """Write the looks that stand of each finding, each with its fish and site.

    Args:
        looked: looks by finding, in the order they happened.
    """
    findings = load_diagnosis().findings
    lines = []
    for name, looks in looked.items():
        asked = findings.get(name)
        kept = () if asked is None else standing(looks, asked)
        lines += [_look_text(look) for look in kept or looks]
    return tuple(dict.fromkeys(lines))


def _look_text(look: AnswerView) -> str:
    site = "" if look.site == BY_EYE else plain(look.site)
    return joined(looked_text(look.looked), site, look.fish, look.group, look.system)


def count_and_death_blocks(view: CaseView) -> tuple[Block, ...]:
    """Return every count and every death that stands, with the number of its entry."""
    return (
        *_rows(view, "Counts", "count", view.counts),
        *_rows(view, "Deaths", "dead", view.deaths),
        *_spread(view),
    )


def _spread(view: CaseView) -> tuple[Words, ...]:
    """Say to which groups a death that named none was counted, and how it was decided."""
    lines = []
    for death in view.deaths:
        if death.group is not None or not death.number or len(view.stock) < 2:
            continue
        parts = [d for d in view.deaths_by_group if d.id == death.id and d.group is not None]
        counted = ", ".join(
            f"{part.number} {view.stock[part.group].description.name}"
            for part in parts
            if part.group is not None and part.group in view.stock
        )
        kept = f"counted as {counted}, {BY_NUMBER}" if counted else NO_GROUP
        lines.append(f"no. {death.id}: {kept}")
    return (Words("Deaths of no named group", tuple(lines), "ASK"),) if lines else ()


def done_block(view: CaseView) -> tuple[Block, ...]:
    """Return what was done, left out or done otherwise."""
    return _rows(view, "Done", "action", view.actions_done)


def _rows(view: CaseView, title: str, what: str, entries: Iterable[Entry]) -> tuple[Block, ...]:
    rows = tuple(
        (
            str(entry.id),
            str(view.day(entry.moment)),
            entry_moment_words(entry.moment),
            entry_text(entry),
        )
        for entry in entries
    )
    table = Table(title.lower(), ("no.", "day", "when", what), rows)
    return (Rows(title, table),) if rows else ()
