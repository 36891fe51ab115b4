"""What was sampled for a forecast, in words: ranges, sources that contradict, every row."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tankside.claims.organism import Organism
from tankside.present.blocks import Block, Rows, Words
from tankside.present.table import Table
from tankside.report.claim_words import claim_words
from tankside.services.forecast_answer import ForecastAnswer
from tankside.services.forecast_sampled import ACTION_SHARES, IN_BRACKET, HowDrawn, SampledRow

WATER_SOURCE = "ranges of the agents and actions of the course"
WATER_NOTES = {
    IN_BRACKET: "between the low and the high edge of every residue, hour by hour",
    ACTION_SHARES: "between the low and the high end of every share taken out",
}
SPREADS: Mapping[HowDrawn, str] = {
    HowDrawn.EVEN: "even",
    HowDrawn.BY_RATIO: "by ratio",
    HowDrawn.WEIGHTED: "weighted",
    HowDrawn.IN_HALVES: "half below, half above the middle",
    HowDrawn.IN_HALVES_BY_RATIO: "half below, half above the middle, by ratio",
}
"""How values are drawn over a range."""
HEAD = ("value", "from", "to", "unit", "spread", "source")
EVERY = "Every range and source"


def source_of(row: SampledRow) -> str:
    """Return the source of a sampled value; "" for an estimate of our own."""
    return WATER_SOURCE if row.key in WATER_NOTES else row.source


def note_of(row: SampledRow) -> str:
    """Return what a claim adds to a sampled value; "" for nothing."""
    return WATER_NOTES.get(row.key, row.note)


def source_words(row: SampledRow | None) -> str:
    """Return range and source of a sampled value; without a row it is the volume of water."""
    if row is None:
        return "volumes measured at the tank"
    unit = "" if row.unit in ("1", "") else f" {row.unit}"
    source = source_of(row)
    where = f", {source}" if source else ", no source"
    return f"{row.low:.3g} to {row.high:.3g}{unit}; {_provenance(row)}{where}"


def sampled_blocks(answer: ForecastAnswer, *, everything: bool) -> Iterable[Block]:
    """Return what differs between the runs: in short, and every row where asked for.

    Args:
        answer: the forecast.
        everything: whether every row is listed.
    """
    used = [row for row in answer.sampled if row.in_use]
    water = "; ".join(f"{w.litres:.4g} L in {w.weight:.0%} of the runs" for w in answer.water)
    guesses = sum(row.provenance == "estimate" for row in used)
    lines = [
        f"{len(used)} values, by a scrambled Sobol sequence; {guesses} of them are estimates "
        "without a direct source.",
        f"water, shared by many runs: {water}",
        *(_rivals(row, answer.organism) for row in used if row.rivals),
    ]
    if not everything:
        lines.append(f"{EVERY}: --sampled.")
    yield Words("WHAT WAS SAMPLED", tuple(lines))
    if everything:
        rows = tuple(_row(row, answer.organism) for row in used)
        yield Rows(EVERY, Table("what was sampled", HEAD, rows), folded=True)


def _rivals(row: SampledRow, organism: Organism) -> str:
    values = "; ".join(
        f"{_range(rival.low, rival.high)} in {rival.weight:.0%} of the runs "
        f"({rival.source or rival.provenance})"
        for rival in row.rivals
    )
    return f"sources contradict each other on {claim_words(row.key, organism)}: {values}"


def _range(low: float, high: float) -> str:
    return f"{low:.3g}" if low == high else f"{low:.3g} to {high:.3g}"


def _row(row: SampledRow, organism: Organism) -> tuple[str, ...]:
    return (
        claim_words(row.key, organism),
        f"{row.low:.3g}",
        f"{row.high:.3g}",
        row.unit,
        SPREADS[row.spread],
        f"{_provenance(row)}, {row.confidence}: {source_of(row) or 'none'}",
    )


def _provenance(row: SampledRow) -> str:
    return row.provenance.replace("_", " ")
