"""The generated reference pages: every claim and every source of the base.

A further page is one more row of :data:`PAGES`: its file name and the function that writes it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import partial
from pathlib import Path

from tankside.case.entries_page import entries_page
from tankside.claims import Claim, Knowledge
from tankside.errors.page import CODES_PAGE, codes_page
from tankside.library.reference_care import care_page
from tankside.library.reference_causes import causes_page
from tankside.library.views import (
    cited_by,
    every_claim,
    origin_in_words,
    summary,
    value_in_words,
)

Page = tuple[str, Callable[[Knowledge], str]]
FRONT, SOURCES = "README.md", "sources.md"
IN_REPOSITORY = (FRONT, SOURCES)
MADE = (
    "Made by `tankside knowledge reference`; do not edit. "
    f"[Index]({FRONT}), [sources]({SOURCES}).\n"
)


def reference_pages(knowledge: Knowledge) -> dict[str, str]:
    """Return the pages by file name.

    Args:
        knowledge: the base.
    """
    return {name: write(knowledge) for name, write in PAGES}


def write_reference(knowledge: Knowledge, folder: Path) -> tuple[str, ...]:
    """Write the pages into a folder and return their names."""
    folder.mkdir(parents=True, exist_ok=True)
    pages = reference_pages(knowledge)
    for name, text in pages.items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
    return tuple(pages)


def _front(knowledge: Knowledge) -> str:
    counts = summary(knowledge)
    built = ", ".join(f"`{name}`" for name, _ in PAGES if name not in IN_REPOSITORY)
    lines = [
        "# Reference: every claim and every source\n",
        MADE,
        f"This page and [{SOURCES}]({SOURCES}) are kept with the source. The others are written, "
        f"beside new copies of these two, by `tankside knowledge reference FOLDER`: {built}.\n",
        f"{counts['claims']} claims; {counts['with_source']} name a source, the others are marked"
        f" as common practice, estimate or memory. {counts['unknown']} say that nothing is known,"
        f" and why. {counts['rejected']} more are kept as rejected and never used."
        f" {counts['sources']} works, {counts['sources_read']} of them read at least in part"
        " (mostly as abstracts, labels or leaflets), the others recalled.",
    ]
    for title, name in (
        ("By provenance", "by_provenance"),
        ("By confidence", "by_confidence"),
        ("By kind", "by_kind"),
        ("Likelihoods of the differential by provenance", "likelihoods_by_provenance"),
    ):
        table = counts[name]
        assert isinstance(table, Mapping)
        lines += [f"\n## {title}\n", "| | number |", "|---|---|"]
        lines += [f"| {word.replace('_', ' ')} | {count} |" for word, count in table.items()]
    return "\n".join([*lines, *_rivals(knowledge), *_rejected(knowledge)]) + "\n"


def _rivals(knowledge: Knowledge) -> Iterable[str]:
    yield "\n## Claims that disagree\n"
    yield from ("| key | default | beside it | why |", "|---|---|---|---|")
    for key in sorted(knowledge.facts):
        rivals = knowledge.facts[key]
        if len(rivals) > 1:
            rest = " / ".join(f"{value_in_words(c)} ({origin_in_words(c)})" for c in rivals[1:])
            first = f"{value_in_words(rivals[0])} ({origin_in_words(rivals[0])})"
            yield f"| {key} | {_cell(first)} | {_cell(rest)} | {_cell(rivals[0].why_default)} |"


def _rejected(knowledge: Knowledge) -> Iterable[str]:
    yield "\n## Claims kept but never used\n"
    yield from ("| key | printed | why not |", "|---|---|---|")
    for key, refused in sorted(knowledge.rejected.items()):
        for c in refused:
            printed = f"{value_in_words(c)} ({c.source})"
            yield f"| {key} | {_cell(printed)} | {_cell(c.rejected_because)} |"


def _sources(knowledge: Knowledge) -> str:
    citing = cited_by(knowledge)
    lines = [
        "# Sources\n",
        MADE,
        "| key | work | status | claims | note |",
        "|---|---|---|---|---|",
    ]
    for key, work in sorted(knowledge.sources.items()):
        where = f" doi:{work.doi}" if work.doi else f" {work.where}" if work.where else ""
        cells = (key, work.citation + where, work.status.value, str(citing[key]), work.note)
        lines.append("| " + " | ".join(map(_cell, cells)) + " |")
    return "\n".join(lines) + "\n"


def _claims(title: str, kinds: tuple[str, ...], knowledge: Knowledge) -> str:
    lines = [f"# {title}\n", MADE]
    subject = ""
    for claim in every_claim(knowledge):
        kind, this, short = claim.key.split(".", 2)
        if kind not in kinds:
            continue
        if f"{kind}.{this}" != subject:
            subject = f"{kind}.{this}"
            lines += [f"\n## {subject}\n", *_head(kind, this, knowledge)]
            lines += ["| key | value | basis and conditions | origin | confidence | note |"]
            lines += ["|---|---|---|---|---|---|"]
        holds = "; ".join([claim.basis] * bool(claim.basis) + list(_pairs(claim)))
        cells = (
            short,
            value_in_words(claim),
            holds,
            origin_in_words(claim),
            claim.confidence.value,
            claim.note,
        )
        lines.append("| " + " | ".join(map(_cell, cells)) + " |")
    return "\n".join(lines) + "\n"


def _head(kind: str, this: str, knowledge: Knowledge) -> list[str]:
    if kind == "agent" and this in knowledge.agents:
        agent = knowledge.agents[this]
        also = ", ".join(other.name for other in agent.also)
        lines = [f"{agent.name}; {agent.kind}; amounts are given {agent.basis}.\n"]
        return [*lines, f"Also called: {also}.\n"] if also else lines
    if kind == "host" and this in knowledge.hosts:
        host = knowledge.hosts[this]
        return [f"{host.name} ({host.latin or host.group}); {host.group}; {host.water} water.\n"]
    if kind == "organism" and this in knowledge.organisms:
        organism = knowledge.organisms[this]
        seen = f" Seen by: {organism.seen_by}." if organism.seen_by else ""
        return [f"{organism.name} ({organism.latin}); {organism.water} water.{seen}\n",
                *(f"{words}\n" for words in organism.first_words)]  # fmt: skip
    return []


def _pairs(claim: Claim) -> Iterable[str]:
    return (f"{name}: {text}" for name, text in claim.conditions.items())


def _cell(text: str) -> str:
    return text.replace("|", "/").replace("\n", " ")


def _causes(knowledge: Knowledge) -> str:
    return causes_page(knowledge.conditions, knowledge.findings, MADE)


def _care(knowledge: Knowledge) -> str:
    return care_page(knowledge.care, MADE)


PAGES: tuple[Page, ...] = (
    (FRONT, _front),
    ("agents.md", partial(_claims, "Agents", ("agent",))),
    ("hosts.md", partial(_claims, "Hosts", ("host",))),
    ("organisms.md", partial(_claims, "Organisms", ("organism",))),
    ("experiments.md", partial(_claims, "Experiments", ("experiment",))),
    ("practice.md", partial(_claims, "Practice", ("practice", "quarantine", "water"))),
    ("care.md", _care),
    ("differential.md", _causes),
    ("entries.md", lambda _: entries_page()),
    (CODES_PAGE, lambda _: codes_page()),
    (SOURCES, _sources),
)
