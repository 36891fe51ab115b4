"""The vessel of a bath beside the tank: what no one empties after minutes is none."""

from __future__ import annotations

from tankside.claims import setting
from tankside.course import System
from tankside.errors import NotPossible
from tankside.quantity.show import volume_words

VESSEL_L = setting(3000, "the largest vat that fish are bathed in and that is emptied at once, L")


def refuse_no_vessel(system: System, route: str) -> None:
    """Refuse a bath whose water is that of a pond.

    Args:
        system: the water meant.
        route: bath or dip.

    Raises:
        NotPossible: E-DOSE-20 the vessel was not entered.
    """
    if system.volume.point_l <= VESSEL_L:
        return
    raise NotPossible(
        "E-DOSE-20",
        f"Which vessel is the {route} in? Nobody empties this water after minutes.",
        given=volume_words(system.volume.point_l),
        needed=f"the bowl or vat of the {route}, at most {VESSEL_L:g} L",
        next_step="Enter the vessel with its volume as a system of its own, and name it.",
        field="system",
    )
