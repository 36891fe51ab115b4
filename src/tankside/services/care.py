"""Look up what is done for a cause: its protocol of care, with what holds whatever the cause."""

from __future__ import annotations

import difflib

from tankside.claims.care import CareProtocol, care_of
from tankside.errors import BadInput
from tankside.library import load


def care_for(cause: str) -> CareProtocol:
    """Return the care of a cause or situation, in the order in which it is said.

    Args:
        cause: id of a condition (``KHV``), or of a situation (``two_causes``, ``nothing_wrong``);
            ``any_cause`` for what always holds.

    Raises:
        BadInput: E-KNOW-02 when there is no protocol for it.
    """
    protocols = load().care
    try:
        return care_of(protocols, cause)
    except KeyError:
        on_file = sorted({*protocols, *(c for p in protocols.values() for c in p.causes)})
        near = difflib.get_close_matches(cause, on_file, n=3, cutoff=0.5)
        raise BadInput(
            "E-KNOW-02",
            "No protocol of care is recorded for this cause.",
            given=cause,
            needed="the id of a condition, two_causes, nothing_wrong or any_cause",
            next_step=f"Did you mean {', '.join(near)}?"
            if near
            else "`tankside knowledge show care` lists what is said for every cause.",
            field="cause",
        ) from None
