"""In words: which sampled values move the outcome, where advice turns over, what was sampled."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite

from tankside.claims.organism import Organism
from tankside.lifecycle.results.of_twenty import TWENTY
from tankside.lifecycle.results.sensitivity import Sensitivity
from tankside.lifecycle.results.sweep import SURE, Flip, SweepPoint
from tankside.present.table import columns
from tankside.report.claim_words import claim_words
from tankside.services.forecast import Forecast
from tankside.services.forecast_sampled import SampledRow
from tankside.services.forecast_sweep import Swept

MOST = 3
NO_CHANGE = (
    "WHEN THE ADVICE CHANGES: every run of course 1 comes to the same end, whatever its values."
)
ASK = "WHEN THE ADVICE CHANGES: ask for it with --sweep movers, or --sweep and one sampled value."
LOSSES = ("more fish lost", "fewer fish lost")


def moves_lines(found: Forecast) -> list[str]:
    """Return the sampled values that go most with clearance and with losses."""
    followed = found.ahead[0]
    return [
        f"WHAT MATTERS MOST in course 1 (rank correlation over {found.runs} runs, -1 to 1)",
        *_movers(found, followed.moves_clearance, ("clear later or never", "clear sooner")),
        *(_movers(found, followed.moves_losses, LOSSES) if found.deaths else ()),
    ]


def _movers(
    found: Forecast, moves: tuple[Sensitivity, ...], outcome: tuple[str, str]
) -> Iterable[str]:
    strong = [move for move in moves if move.beyond_chance][:MOST]
    if not strong:
        yield f"  {outcome[0]}: no single value stands out from chance"
    rows = {row.key: row for row in found.sampled}
    for move in strong:
        words = claim_words(move.key, found.organism)
        which = outcome[0] if move.correlation > 0 else outcome[1]
        yield f"  {move.correlation:+.2f}  {which}, the higher: {words}"
        yield f"         {source_words(rows.get(move.key))}"


def source_words(row: SampledRow | None) -> str:
    """Return range and source of a sampled value."""
    if row is None:
        return "volumes measured at the tank"
    unit = "" if row.unit in ("1", "") else f" {row.unit}"
    source = row.provenance.replace("_", " ")
    source += f", {row.source}" if row.source else ", no source"
    return f"{row.low:.3g} to {row.high:.3g}{unit}; {source}"


def sweep_lines(found: Forecast) -> list[str]:
    """Return where the advice turns over; where no value was held, how to ask for it."""
    if not found.swept:
        same = not any(move.correlation for move in found.ahead[0].moves_clearance)
        return ["", NO_CHANGE if same else ASK]
    lines = [
        "",
        "WHEN THE ADVICE CHANGES (one value held, all else under the same luck; of 20 runs clear)",
    ]
    for swept in found.swept:
        lines += _one(found, swept)
    return lines


def _one(found: Forecast, swept: Swept) -> list[str]:
    words = claim_words(swept.key, found.organism)
    unit = next((row.unit for row in found.sampled if row.key == swept.key), "1")
    named = words if unit == "1" else f"{words}, {unit}"
    rows = [
        ("held at", *(f"{point.value:.3g}" for point in swept.points)),
        *(
            (f"clear, course {place + 1}", *(point.clear[place].short for point in swept.points))
            for place in range(len(set(swept.courses)))
        ),
        ("last dose not before day", *(_day(point.last_dose) for point in swept.points)),
        ("a clean look is trusted from day", *(_day(point.recheck) for point in swept.points)),
    ]  # fmt: skip
    table = [f"    {line}" for line in columns(rows)]
    said = [line for line in (choice_words(swept), length_words(swept)) if line]
    return [f"  {named}", *table, *(f"    {line}" for line in said)]


def _day(day: float) -> str:
    return f"{day:.0f}" if isfinite(day) else "none"


def choice_words(swept: Swept) -> str:
    """Say whether and where the choice between the first two courses turns over."""
    first, second = "course 1", "course 2"
    if len(set(swept.courses)) == 1:
        return "There is no other course to choose."
    if all(abs(p.difference) <= SURE * p.error for p in swept.points):
        return "The two courses do equally well at every value, as far as these runs can tell."
    if swept.choice:
        turns = [_turn(flip) for flip in swept.choice]
        return "The choice turns over " + "; ".join(turns) + "."
    point = min(swept.points, key=lambda p: abs(p.difference))
    ahead = first if swept.points[0].difference > 0 else second
    narrow = abs(point.difference) * TWENTY
    return f"The choice stays: {ahead} clears more at every value, by {narrow:.0f} of 20 or more."


def _turn(flip: Flip) -> str:
    better = "course 1" if flip.rising else "course 2"
    sure = "" if flip.sure else " (within chance)"
    return (
        f"near {flip.value:.3g} (between {flip.below:.3g} and {flip.above:.3g}): above it "
        f"{better} clears more{sure}"
    )


def length_words(swept: Swept) -> str:
    """Say whether and where the followed course becomes too short; "" when nothing is given."""
    until = f"day {swept.treated_until:.0f}"
    if not swept.treated_until > 0:
        return ""
    if not swept.length:
        return _always(swept.points, swept.treated_until, until)
    told = "; ".join(
        f"near {f.value:.3g} (between {f.below:.3g} and {f.above:.3g}) the course, at full "
        f"strength to {until}, "
        + ("is long enough from there on" if f.rising else "becomes too short")
        for f in swept.length
    )
    return f"{told[0].upper()}{told[1:]}."


def _always(points: tuple[SweepPoint, ...], treated: float, until: str) -> str:
    if all(point.last_dose < treated for point in points):
        return f"The course, at full strength to {until}, is long enough at every value."
    return f"The course, at full strength to {until}, is too short at every value."


def sampled_lines(found: Forecast, *, everything: bool) -> list[str]:
    """Return what differs between the runs: in short, or every row."""
    used = [row for row in found.sampled if row.in_use]
    water = "; ".join(f"{w.litres:.4g} L in {w.weight:.0%} of the runs" for w in found.water)
    guesses = sum(row.provenance == "estimate" for row in used)
    lines = [
        f"WHAT WAS SAMPLED: {len(used)} values, by a scrambled Sobol sequence; {guesses} of them "
        "are estimates without a direct source.",
        f"  water, shared by many runs: {water}",
    ]
    lines += [_rivals(row, found.organism) for row in used if row.rivals]
    if not everything:
        return [*lines, "  Every range and source: --sampled."]
    rows: list[tuple[str, ...]] = [("value", "from", "to", "unit", "spread", "source")]
    rows += [_row(row, found.organism) for row in used]
    return [*lines, *(f"  {line}" for line in columns(rows))]


def _rivals(row: SampledRow, organism: Organism) -> str:
    told = "; ".join(
        f"{_range(r.low, r.high)} in {r.weight:.0%} of the runs ({r.source or r.provenance})"
        for r in row.rivals
    )
    return f"  sources contradict each other on {claim_words(row.key, organism)}: {told}"


def _range(low: float, high: float) -> str:
    return f"{low:.3g}" if low == high else f"{low:.3g} to {high:.3g}"


def _row(row: SampledRow, organism: Organism) -> tuple[str, ...]:
    source = row.source or "none"
    return (
        claim_words(row.key, organism),
        f"{row.low:.3g}",
        f"{row.high:.3g}",
        row.unit,
        row.spread,
        f"{row.provenance.replace('_', ' ')}, {row.confidence}: {source}",
    )
