"""The vessel of a bath beside the tank: what no one empties after minutes is none."""

from __future__ import annotations

from tankside.claims import Knowledge
from tankside.course import System
from tankside.errors import NotPossible
from tankside.quantity.show import volume_words

VESSEL_KEY = "practice.course.bath_vessel"


def refuse_no_vessel(facts: Knowledge, system: System, route: str) -> None:
    """Refuse a bath whose water is that of a pond.

    Args:
        facts: what is known (the largest vessel).
        system: the water meant.
        route: bath or dip.

    Raises:
        NotPossible: E-DOSE-20 the vessel was not entered.
    """
    largest_l = facts.number(VESSEL_KEY)
    if system.volume.point_l <= largest_l:
        return
    raise NotPossible(
        "E-DOSE-20",
        f"Which vessel is the {route} in? Nobody empties this water after minutes.",
        given=volume_words(system.volume.point_l),
        needed=f"the bowl or vat of the {route}, at most {largest_l:g} L",
        next_step="Enter the vessel with its volume as a system of its own, and name it.",
        field="system",
    )
