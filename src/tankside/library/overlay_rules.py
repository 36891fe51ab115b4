"""Which of two statements is the stricter, key by key: what a practice adds can only tighten.

Only a key of these tables bears on an answer. Everything else that a practice adds about a
released subject stands beside it and is shown, no more.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tankside.claims import Claim
from tankside.claims.host import NOT_KNOWN

LOWER = (
    "hard_max.", "soft_max.", "hard_max_warm.", "hard_max_young.", "soft_max_small.",
    "minutes_max.", "needs.temperature_max", "needs.ph_max", "most.", "most_bath.", "dose_share.",
    "salt_tolerance", "temperature_high", "ph_high",
)  # fmt: skip
"""Keys of which the lower number is the stricter."""
HIGHER = (
    "interval.", "withdrawal", "needs.alkalinity_min", "needs.oxygen_min", "needs.ph_min",
    "temperature_low", "ph_low",
)  # fmt: skip
"""Keys of which the higher number is the stricter."""
NEW_TIGHTENS = (
    "hard_max_warm.", "hard_max_young.", "needs.", "incompatible.", "not_offered", "law.",
    "dose_share.",
)  # fmt: skip
"""Keys that only add a stop, a need or a rule where nothing was released under them."""
UNDER_THE_USUAL = ("hard_max.", "soft_max.")
"""Keys in whose absence the upper end of the usual dose is the limit."""
WORST_FIRST = ("avoid", NOT_KNOWN, "care", "tolerant")
SOFT = "soft"
CIRCUMSTANCES = ("water", SOFT, "scales_with")
"""Conditions under which a limit holds, or can be passed: both must hold under the same."""


def tightens(
    short: str, added: Claim, released: Mapping[str, tuple[Claim, ...]], relatives: Iterable[Claim]
) -> bool:
    """Whether a claim that a practice added makes an answer stricter, and nothing looser.

    Args:
        short: its key, without the subject.
        added: the claim.
        released: the released claims of the same subject, by short key.
        relatives: what is released under this key of animals of the same kind.
    """
    if not added.known:
        return False
    standing = _default(released, short)
    if short.startswith("tolerance."):
        return _worse(added, standing)
    if standing is None:
        standing = _in_its_place(short, released, relatives)
        if standing is None:
            # A stop that a reason passes would stand in place of the usual strength.
            return short.startswith(NEW_TIGHTENS) and SOFT not in added.conditions
    return _stricter(short, added, standing)


def _stricter(short: str, added: Claim, standing: Claim) -> bool:
    if added.unit != standing.unit or not _same_circumstances(added, standing):
        return False
    numbers = (_edges(added), _edges(standing))
    if None in numbers:
        return False
    (low, high), (old_low, old_high) = (edges for edges in numbers if edges is not None)
    if short.startswith(LOWER):
        return high < old_high
    return short.startswith(HIGHER) and low > old_low


def _in_its_place(
    short: str, released: Mapping[str, tuple[Claim, ...]], relatives: Iterable[Claim]
) -> Claim | None:
    """Return the released claim that is the limit where none stands under the key itself."""
    kind, _, name = short.partition(".")
    if short.startswith(UNDER_THE_USUAL):
        return _default(released, f"dose.{name}")
    if kind == "most_bath":
        return _default(released, f"most.{name}")
    return min(relatives, key=lambda claim: claim.bounds()[1], default=None)


def _worse(added: Claim, standing: Claim | None) -> bool:
    held = NOT_KNOWN if standing is None else str(standing.value)
    said = str(added.value)
    if said not in WORST_FIRST or held not in WORST_FIRST:
        return False
    return WORST_FIRST.index(said) < WORST_FIRST.index(held)


def _same_circumstances(added: Claim, standing: Claim) -> bool:
    return all(added.conditions.get(c) == standing.conditions.get(c) for c in CIRCUMSTANCES)


def _default(released: Mapping[str, tuple[Claim, ...]], short: str) -> Claim | None:
    claims = released.get(short, ())
    return claims[0] if claims and claims[0].known else None


def _edges(claim: Claim) -> tuple[float, float] | None:
    try:
        return claim.bounds()
    except TypeError:
        return None
