"""Which sampled values go most with clearance and with losses, with range and source."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.lifecycle.results.sensitivity import Sensitivity
from tankside.present.blocks import Words
from tankside.report.claim_words import claim_words
from tankside.report.forecast_sources import source_words
from tankside.services.forecast_answer import ForecastAnswer

MOST = 3
CLEARANCE = ("clear later or never", "clear sooner")
LOSSES = ("more fish lost", "fewer fish lost")


def moves_block(answer: ForecastAnswer) -> Words:
    """Return the sampled values that go most with clearance and with losses."""
    followed = answer.courses[0]
    lines = list(_movers(answer, followed.moves_clearance, CLEARANCE))
    if answer.deaths:
        lines += _movers(answer, followed.moves_losses, LOSSES)
    title = f"WHAT MATTERS MOST in course 1 (rank correlation over {answer.runs} runs, -1 to 1)"
    return Words(title, tuple(lines))


def _movers(
    answer: ForecastAnswer, moves: tuple[Sensitivity, ...], outcome: tuple[str, str]
) -> Iterable[str]:
    strong = [move for move in moves if move.beyond_chance][:MOST]
    if not strong:
        yield f"{outcome[0]}: no single value stands out from chance"
    rows = {row.key: row for row in answer.sampled}
    for move in strong:
        words = claim_words(move.key, answer.organism)
        which = outcome[0] if move.correlation > 0 else outcome[1]
        source = source_words(rows.get(move.key))
        yield f"{move.correlation:+.2f}  {which}, the higher: {words} ({source})"
