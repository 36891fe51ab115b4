"""What to do next in a case, and the page on which it is done."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.present.blocks import NextStep

CLOSED = NextStep("Read the record", "The case is closed.", "record")
MEASURE = NextStep(
    "Measure the water", "No amount can be worked out for a volume that nobody measured.",
    "enter/system",
)  # fmt: skip
STOCK = NextStep(
    "Say who lives in it", "What an animal cannot stand is never given.", "enter/stock"
)
WATER = NextStep("Test the water", "Bad water comes before any parasite.", "enter/water")
LOOK = NextStep("Look at the fish", "Nothing has been looked at yet.", "look")
FITS = NextStep(
    "Write down your own idea", "Before the list is read: what is it, and what else?",
    "enter/suspected",
)  # fmt: skip
PLANS = NextStep("Compare courses", "No course has been chosen.", "plans")
CARD = NextStep("Open the day card", "A course is running.", "day")


def next_step(view: CaseView) -> NextStep:
    """Return the first thing that is missing in the order of a visit.

    Args:
        view: the case as it stands.
    """
    main = view.main
    if view.closed is not None:
        return CLOSED
    if view.course is not None:
        return CARD
    missing = (
        (main is None or main.volume.point_l is None, MEASURE),
        (not view.stock, STOCK),
        (main is None or main.temperature is None, WATER),
        (not view.findings, LOOK),
        (not view.diagnoses, FITS),
    )
    return next((step for lacks, step in missing if lacks), PLANS)
