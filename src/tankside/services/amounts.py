"""One amount asked for, by whichever route: in the water, in food, or for equipment."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.intake.dose_request import EQUIPMENT, FEED, DoseRequest
from tankside.quantity.moment import Moment
from tankside.services.dose import DoseAnswer, work_out
from tankside.services.equipment import EquipmentAnswer, disinfect
from tankside.services.feed import FeedAnswer, work_out_feed

AmountAnswer = DoseAnswer | FeedAnswer | EquipmentAnswer


def amount_asked(
    request: DoseRequest, view: CaseView | None = None, at: Moment | None = None
) -> AmountAnswer:
    """Work out one amount by its route.

    Args:
        request: what is asked, as typed.
        view: the case that tells water, animals and container; None when they are typed.
        at: when it is to be weighed out; None for now.

    Raises:
        BadInput: the amount may not be shown.
        NotPossible: something must be known first, or the check failed.
    """
    if request.route == FEED:
        return work_out_feed(request, view, at)
    if request.route == EQUIPMENT:
        return disinfect(request, view, at)
    return work_out(request, view, at)
