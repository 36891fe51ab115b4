"""The generated reference pages: every claim and every source of the base."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from tankside.claims import Claim, Knowledge
from tankside.library.reference_causes import causes_page
from tankside.library.views import (
    cited_by,
    every_claim,
    origin_in_words,
    summary,
    value_in_words,
)

PAGES: Mapping[str, tuple[str, ...]] = {
    "agents": ("agent",),
    "hosts": ("host",),
    "organisms": ("organism",),
    "experiments": ("experiment",),
    "practice": ("practice", "quarantine", "water"),
}
MADE = "Made from the knowledge files by `tankside knowledge reference`; do not edit.\n"


def reference_pages(knowledge: Knowledge) -> dict[str, str]:
    """Return the pages by file name.

    Args:
        knowledge: the base.
    """
    pages = {"README.md": _front(knowledge), "sources.md": _sources(knowledge)}
    claims = every_claim(knowledge)
    for name, kinds in PAGES.items():
        chosen = [claim for claim in claims if claim.key.split(".")[0] in kinds]
        pages[f"{name}.md"] = _claims_page(name, chosen, knowledge)
    pages["differential.md"] = causes_page(knowledge.conditions, knowledge.findings, MADE)
    return pages


def write_reference(knowledge: Knowledge, folder: Path) -> tuple[str, ...]:
    """Write the pages into a folder and return their names."""
    folder.mkdir(parents=True, exist_ok=True)
    pages = reference_pages(knowledge)
    for name, text in pages.items():
        (folder / name).write_text(text, encoding="utf-8")
    return tuple(pages)


def _front(knowledge: Knowledge) -> str:
    counts = summary(knowledge)
    lines = ["# Reference: every claim and every source\n", MADE]
    lines += [f"- [{name}]({name}.md)" for name in (*PAGES, "differential", "sources")]
    lines.append(
        f"\n{counts['claims']} claims; {counts['with_source']} name a source, the others are marked"
        f" as common practice, estimate or memory. {counts['unknown']} say that nothing is known,"
        f" and why. {counts['rejected']} more are kept as rejected and never used."
        f" {counts['sources']} works, {counts['sources_read']} of them read at least in part"
        " (mostly as abstracts, labels or leaflets), the others recalled."
    )
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
    lines += [
        "\n## Claims that disagree\n",
        "| key | default | beside it | why |",
        "|---|---|---|---|",
    ]
    for key in sorted(knowledge.facts):
        rivals = knowledge.facts[key]
        if len(rivals) > 1:
            rest = " / ".join(f"{value_in_words(c)} ({origin_in_words(c)})" for c in rivals[1:])
            first = f"{value_in_words(rivals[0])} ({origin_in_words(rivals[0])})"
            lines.append(
                f"| {key} | {_cell(first)} | {_cell(rest)} | {_cell(rivals[0].why_default)} |"
            )
    lines += ["\n## Claims kept but never used\n", "| key | printed | why not |", "|---|---|---|"]
    for key, refused in sorted(knowledge.rejected.items()):
        for c in refused:
            cited = f"{value_in_words(c)} ({c.source})"
            lines.append(f"| {key} | {_cell(cited)} | {_cell(c.rejected_because)} |")
    return "\n".join(lines) + "\n"


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


def _claims_page(name: str, claims: Iterable[Claim], knowledge: Knowledge) -> str:
    lines = [f"# {name.capitalize()}\n", MADE]
    subject = ""
    for claim in claims:
        kind, this, short = claim.key.split(".", 2)
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
        return [f"{agent.name}; {agent.kind}; amounts are told {agent.basis}.\n"]
    if kind == "host" and this in knowledge.hosts:
        host = knowledge.hosts[this]
        return [f"{host.name} ({host.latin or host.group}); {host.group}; {host.water} water.\n"]
    return []


def _pairs(claim: Claim) -> Iterable[str]:
    return (f"{name}: {text}" for name, text in claim.conditions.items())


def _cell(text: str) -> str:
    return text.replace("|", "/").replace("\n", " ")
