"""Times that print gives for an organism without a forecast, beside the temperature measured."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from tankside.claims import Claim, Knowledge, unit_factor
from tankside.lifecycle.types import HOURS_PER_DAY

DAYS_IN: Mapping[str, float] = {
    "h": 1 / HOURS_PER_DAY,
    "d": 1.0,
    "wk": unit_factor(7, "days in a week"),
    "months": unit_factor(30.44, "days in a mean month"),
}
_NUMBER = re.compile(r"(?<!\d)-?\d+(?:\.\d+)?")


class Beside(StrEnum):
    """How the temperature of a printed time stands to the one measured."""

    AT = "at this temperature"
    COLDER = "printed for colder water: here rather sooner"
    WARMER = "printed for warmer water: here rather later"
    NOT_SAID = "temperature not said"


@dataclass(frozen=True, slots=True)
class PrintedTime:
    """A time in print.

    Args:
        claim: with its source and note.
        part: part of the life it belongs to ("egg", "whole cycle").
        what: what takes so long, as the claim is named.
        low_d: low end [d]; None when only an upper limit is printed.
        high_d: high end [d]; None when only a lower limit is printed.
        beside: how its temperature stands to the one measured.
    """

    claim: Claim
    part: str
    what: str
    low_d: float | None
    high_d: float | None
    beside: Beside


def printed_claims(facts: Knowledge, organism: str) -> dict[str, Claim]:
    """Return the claims of an organism that stand as they are printed, by short key."""
    prefix = f"organism.{organism}.printed."
    return {
        key.removeprefix(prefix): found[0]
        for key, found in facts.facts.items()
        if key.startswith(prefix)
    }


def printed_times(claims: Mapping[str, Claim], temperature_c: float) -> tuple[PrintedTime, ...]:
    """Return the times in print, those for this temperature first.

    Args:
        claims: printed claims by short key (``egg.time_to_hatch_25c``); those that are no times
            are passed over.
        temperature_c: as measured [C].
    """
    found = [
        _time(key, claim, temperature_c)
        for key, claim in sorted(claims.items())
        if claim.known and claim.unit in DAYS_IN
    ]
    order = list(Beside)
    return tuple(sorted(found, key=lambda time: order.index(time.beside)))


def _time(key: str, claim: Claim, temperature_c: float) -> PrintedTime:
    part, _, what = key.partition(".")
    low, high = _ends(claim)
    return PrintedTime(
        claim=claim,
        part=part.replace("_", " "),
        what=re.sub(r"(_\d+p?\d*c?)+$", "", what).replace("_", " "),
        low_d=low,
        high_d=high,
        beside=beside(str(claim.conditions.get("temperature_c", "")), temperature_c),
    )


def _ends(claim: Claim) -> tuple[float | None, float | None]:
    """Return low and high [d]; an end stays open when the claim states the other one alone."""
    days = DAYS_IN[claim.unit]
    low, high = claim.low, claim.high
    if claim.value is not None and low is None and high is None:
        low = high = claim.number()
    return (None if low is None else low * days, None if high is None else high * days)


def beside(printed_c: str, temperature_c: float) -> Beside:
    """Compare a printed temperature ("25", "26-28") with the one measured.

    A single temperature stands for the half degree about it.

    Args:
        printed_c: as printed; without a number when not said.
        temperature_c: as measured [C].
    """
    numbers = [float(text) for text in _NUMBER.findall(printed_c)]
    if not numbers:
        return Beside.NOT_SAID
    low, high = min(numbers) - 1 / 2, max(numbers) + 1 / 2
    if low <= temperature_c <= high:
        return Beside.AT
    return Beside.COLDER if high < temperature_c else Beside.WARMER
