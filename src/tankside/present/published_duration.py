"""How a time in print is said: what takes so long, as printed, at which warmth, by whom."""

from __future__ import annotations

from tankside.claims.claim import Claim
from tankside.lifecycle.inputs.published_durations import PublishedDuration

UNITS_OF_TIME = {"h": "h", "d": "d", "wk": "weeks", "months": "months"}


def duration_words(time: PublishedDuration) -> str:
    """Return ``egg, time to first hatch: 7 d at 20 C [bondad_reantaso_1995]``.

    Args:
        time: as printed, in the unit of the work.
    """
    claim = time.claim
    warm = claim.conditions.get("temperature_c")
    at = f" at {warm} C" if warm else ""
    source = f" [{claim.source}]" if claim.source else ", without a source"
    amount = f"{_number(claim)} {UNITS_OF_TIME[claim.unit]}"
    return f"{time.part}, {time.what}: {amount}{at}{source}"


def _number(claim: Claim) -> str:
    if claim.value is not None:
        return f"{claim.value:g}" if isinstance(claim.value, int | float) else claim.value
    if claim.low is None or claim.high is None:
        return f"at most {claim.high:g}" if claim.low is None else f"at least {claim.low:g}"
    return f"{claim.low:g}-{claim.high:g}"
