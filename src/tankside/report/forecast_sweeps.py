"""At which value of a held claim the advice of a forecast turns over, in words."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite

from tankside.lifecycle.results.of_twenty import TWENTY
from tankside.lifecycle.results.sweep import SURE, Flip, SweepPoint
from tankside.present.blocks import Block, Rows, Words
from tankside.present.table import Table
from tankside.report.claim_words import claim_words
from tankside.services.forecast_answer import ForecastAnswer
from tankside.services.forecast_sweep import Swept

TITLE = "WHEN THE ADVICE CHANGES"
NO_CHANGE = "Every run of course 1 comes to the same end, whatever its values."
ASK = "Ask for it with --sweep movers, or --sweep and one sampled value."
HOW = "One value held, all else under the same luck; of 20 runs clear."


def sweep_blocks(answer: ForecastAnswer) -> Iterable[Block]:
    """Return where the advice turns over; where no value was held, how to ask for it."""
    if not answer.swept:
        same = not any(move.correlation for move in answer.courses[0].moves_clearance)
        return [Words(TITLE, (NO_CHANGE if same else ASK,))]
    return [Words(TITLE, (HOW,)), *(_swept_rows(answer, swept) for swept in answer.swept)]


def _swept_rows(answer: ForecastAnswer, swept: Swept) -> Rows:
    words = claim_words(swept.key, answer.organism)
    unit = next((row.unit for row in answer.sampled if row.key == swept.key), "1")
    points = swept.points
    rows = (
        *(
            (f"clear, course {place + 1}", *(point.clear[place].short for point in points))
            for place in range(len(set(swept.courses)))
        ),
        ("last dose not before day", *(_day(point.last_dose) for point in points)),
        ("a clean look is trusted from day", *(_day(point.recheck) for point in points)),
    )
    head = ("held at", *(f"{point.value:.3g}" for point in points))
    note = " ".join(line for line in (choice_words(swept), length_words(swept)) if line)
    return Rows(words if unit == "1" else f"{words}, {unit}", Table(words, head, rows), note)


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
    """Say whether and where the followed course becomes too short; "" where nothing is dosed."""
    until = f"day {swept.treated_until:.0f}"
    if not swept.treated_until > 0:
        return ""
    if not swept.length:
        return _always(swept.points, swept.treated_until, until)
    turns = "; ".join(
        f"near {f.value:.3g} (between {f.below:.3g} and {f.above:.3g}) the course, at full "
        f"strength to {until}, "
        + ("is long enough from there on" if f.rising else "becomes too short")
        for f in swept.length
    )
    return f"{turns[0].upper()}{turns[1:]}."


def _always(points: tuple[SweepPoint, ...], treated: float, until: str) -> str:
    if all(point.last_dose < treated for point in points):
        return f"The course, at full strength to {until}, is long enough at every value."
    return f"The course, at full strength to {until}, is too short at every value."
