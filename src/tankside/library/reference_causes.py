"""The generated page of the differential: every cause and its own likelihoods, with sources."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tankside.claims.diagnosis import Cell, Chance, Condition, FindingFacts


def causes_page(
    conditions: Mapping[str, Condition], findings: Mapping[str, FindingFacts], made: str
) -> str:
    """Return the page of causes and likelihoods.

    Args:
        conditions: causes by id.
        findings: findings by id; their baseline is what healthy fish show.
        made: the line that says where the page comes from.
    """
    lines = ["# Differential\n", made]
    lines.append(
        "Probabilities are estimates; the source supports the direction or a fact behind them, "
        "never the exact number. A finding that is not listed under a cause is silent: it equals "
        "the baseline.\n"
    )
    lines += ["## Baseline: what healthy fish show\n", *_table()]
    lines += [_row(finding, finding.baseline) for finding in findings.values()]
    lines += [
        "\n## How findings mislead\n",
        "| finding | asked | how it misleads |",
        "|---|---|---|",
    ]
    for question in findings.values():
        lines.append(_cells(question.id, question.question, question.pitfalls))
    for cause in conditions.values():
        lines += [f"\n## {cause.id}: {cause.name}\n", _head(cause) + "\n", *_table()]
        lines += [_row(findings[name], cell) for name, cell in cause.cells.items()]
    return "\n".join(lines) + "\n"


def _head(cause: Condition) -> str:
    step = f" First step: {cause.step}" if cause.step else ""
    return (
        f"{cause.kind}; {cause.water}; prior {_chance(cause.prior)}: {cause.prior_note}. "
        f"Urgency: {cause.urgency}.{step} Risk for people: {cause.zoonotic}. "
        f"Duty to report: {cause.reportable}. Sources: {', '.join(cause.sources)}."
    )


def _table() -> Iterable[str]:
    return ("| finding | answers | origin | sources | note |", "|---|---|---|---|---|")


def _row(finding: FindingFacts, cell: Cell) -> str:
    answers = "; ".join(f"{finding.word(a)} {_chance(c)}" for a, c in cell.answers.items())
    return _cells(finding.id, answers, cell.provenance.value, ", ".join(cell.sources), cell.note)


def _cells(*cells: str) -> str:
    return "| " + " | ".join(text.replace("|", "/").replace("\n", " ") for text in cells) + " |"


def _chance(chance: Chance) -> str:
    return f"{chance.point:.3g} ({chance.low:.2g}-{chance.high:.2g})"
