"""Times that print gives for an organism without a forecast, beside the temperature measured."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from tankside.claims import Claim, Knowledge, unit_factor
from tankside.quantity.per import HOURS_PER_DAY

DAYS_IN: Mapping[str, float] = {
    "h": 1 / HOURS_PER_DAY,
    "d": 1.0,
    "wk": unit_factor(7, "days in a week"),
    "months": unit_factor(30.44, "days in a mean month"),
}
NOT_RESIDENCE = ("drying", "treated")
"""Times of what was done to a parasite, not of its life."""
_TEMPERATURE_IN_KEY = re.compile(r"(_\d+(p\d+)?)+c?$")
_NUMBER = re.compile(r"(?<!\d)-?\d+(?:\.\d+)?")


class Beside(StrEnum):
    """How the temperature of a printed time stands to the one measured."""

    AT = "at this temperature"
    COLDER = "printed for colder water: here rather sooner"
    WARMER = "printed for warmer water: here rather later"
    NOT_SAID = "temperature not said"
    NOT_MEASURED = "the water was not measured"


@dataclass(frozen=True, slots=True)
class PublishedDuration:
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


def published_durations(
    organism: str, facts: Knowledge, temperature_c: float | None
) -> tuple[PublishedDuration, ...]:
    """Return the times in print for an organism, those for this temperature first.

    Args:
        organism: its id.
        facts: what is known.
        temperature_c: as measured [C]; None when it was not.
    """
    prefix = f"organism.{organism}.printed."
    durations = [
        _time(key.removeprefix(prefix), claim, temperature_c)
        for key in facts.keys()  # noqa: SIM118 (a method, in order)
        if key.startswith(prefix) and not any(word in key for word in NOT_RESIDENCE)
        for claim in facts.facts[key]
        if claim.known and claim.unit in DAYS_IN
    ]
    order = list(Beside)
    return tuple(sorted(durations, key=lambda time: order.index(time.beside)))


def _time(key: str, claim: Claim, temperature_c: float | None) -> PublishedDuration:
    part, _, quantity = key.partition(".")
    low, high = _ends(claim)
    quantity = f"{_TEMPERATURE_IN_KEY.sub('', quantity)} {claim.conditions.get('measure', '')}"
    return PublishedDuration(
        claim=claim,
        part=part.replace("_", " "),
        what=" ".join(quantity.replace("_", " ").split()),
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


def beside(printed_c: str, temperature_c: float | None) -> Beside:
    """Compare a printed temperature ("25", "26-28") with the one measured.

    A single temperature stands for the half degree about it.

    Args:
        printed_c: as printed; without a number when not said.
        temperature_c: as measured [C]; None when it was not.
    """
    if temperature_c is None:
        return Beside.NOT_MEASURED
    numbers = [float(text) for text in _NUMBER.findall(printed_c)]
    if not numbers:
        return Beside.NOT_SAID
    low, high = min(numbers) - 1 / 2, max(numbers) + 1 / 2
    if low <= temperature_c <= high:
        return Beside.AT
    return Beside.COLDER if high < temperature_c else Beside.WARMER
