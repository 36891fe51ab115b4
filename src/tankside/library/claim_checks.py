"""Named house checks of single claims and of claims that share a key."""

from __future__ import annotations

from collections.abc import Iterator

from tankside.claims import Claim, Confidence, Provenance
from tankside.library.house import House
from tankside.library.problem import Problem
from tankside.library.subject_files import SubjectFile
from tankside.library.units import POSSIBLE, belongs, is_known

_AMOUNTS = ("dose.", "hard_max", "soft_max", "figure.")
_MASSES = ("mg/L", "ug/L", "mg/kg/d", "mL/L", "uL/L")


def _problem(check: str, subject: SubjectFile, key: str, message: str, repair: str) -> Problem:
    return Problem(check, subject.file, key, message, repair)


def range_order(house: House) -> Iterator[Problem]:
    """Low is not above high."""
    for subject, claim in house.claims():
        if claim.low is not None and claim.high is not None and claim.low > claim.high:
            yield _problem(
                "range_order",
                subject,
                house.short(subject, claim),
                f"low {claim.low} is above high {claim.high}.",
                "exchange them or correct the one that is wrong.",
            )


def value_in_range(house: House) -> Iterator[Problem]:
    """The value lies between low and high."""
    for subject, claim in house.claims():
        if not isinstance(claim.value, int | float):
            continue
        below = claim.low is not None and claim.value < claim.low
        above = claim.high is not None and claim.value > claim.high
        if below or above:
            yield _problem(
                "value_in_range",
                subject,
                house.short(subject, claim),
                f"value {claim.value} lies outside {claim.low} to {claim.high}.",
                "widen the range or correct the value.",
            )


def unit_known(house: House) -> Iterator[Problem]:
    """The unit is one the base uses."""
    for subject, claim in house.claims():
        if not is_known(claim.unit):
            yield _problem(
                "unit_known",
                subject,
                house.short(subject, claim),
                f"the unit {claim.unit!r} is not known.",
                "use a unit of library/units.py; say the basis in `basis`.",
            )


def unit_of_quantity(house: House) -> Iterator[Problem]:
    """The unit fits the quantity that the key names."""
    for subject, claim in house.claims():
        units = belongs(claim.key)
        if units is not None and claim.known and claim.unit not in units:
            yield _problem(
                "unit_of_quantity",
                subject,
                house.short(subject, claim),
                f"{claim.unit!r} is not a unit of this quantity.",
                f"convert it to {' or '.join(sorted(units))}.",
            )


def possible(house: House) -> Iterator[Problem]:
    """Numbers lie in the physically possible range of their unit."""
    for subject, claim in house.claims():
        low, high = POSSIBLE.get(claim.unit, (float("-inf"), float("inf")))
        stated = (v for v in (claim.value, claim.low, claim.high) if isinstance(v, int | float))
        for value in stated:
            if not low <= value <= high:
                yield _problem(
                    "possible",
                    subject,
                    house.short(subject, claim),
                    f"{value} {claim.unit} is impossible.",
                    f"give a number from {low:g} to {high:g} or the right unit.",
                )


def found_has_source(house: House) -> Iterator[Problem]:
    """What is marked as found names its source."""
    for subject, claim in house.claims():
        if claim.provenance is Provenance.FOUND and not claim.source:
            yield _problem(
                "found_has_source",
                subject,
                house.short(subject, claim),
                "it is marked found and names no source.",
                "name the source, or mark it memory, common_practice or estimate.",
            )


def memory_not_found(house: House) -> Iterator[Problem]:
    """What rests on a work that was only recalled is not marked as found."""
    for subject, claim in house.claims():
        works = [house.sources.get(key) for key in (claim.source, *claim.further)]
        recalled = any(work and work.status is Provenance.MEMORY for work in works)
        if recalled and claim.provenance is Provenance.FOUND:
            yield _problem(
                "memory_not_found",
                subject,
                house.short(subject, claim),
                f"{claim.source} was recalled, not opened, yet the claim says found.",
                'write provenance = "memory", or open the work and mark it found.',
            )


def estimate_not_sure(house: House) -> Iterator[Problem]:
    """An estimate is never of high confidence."""
    for subject, claim in house.claims():
        if claim.provenance is Provenance.ESTIMATE and claim.confidence is Confidence.HIGH:
            yield _problem(
                "estimate_not_sure",
                subject,
                house.short(subject, claim),
                "an estimate cannot be of high confidence.",
                'write confidence = "medium" or "low".',
            )


def basis_stated(house: House) -> Iterator[Problem]:
    """Amounts that could be meant in two ways say their basis."""
    for subject, claim in house.claims():
        short = house.short(subject, claim)
        if (
            subject.kind in ("agents", "hosts")
            and short.startswith(_AMOUNTS)
            and claim.unit.startswith(_MASSES)
            and claim.known
            and not claim.basis
        ):
            yield _problem(
                "basis_stated",
                subject,
                short,
                "the basis is missing.",
                'write basis = "as ..." (element, salt, hydrate or product).',
            )


def one_default(house: House) -> Iterator[Problem]:
    """Of rivals under one key exactly one is the default, and says why."""
    groups: dict[str, list[tuple[SubjectFile, Claim]]] = {}
    for subject, claim in house.claims():
        groups.setdefault(claim.key, []).append((subject, claim))
    for group in groups.values():
        defaults = [claim for _, claim in group if claim.default]
        subject, claim = group[0]
        short = house.short(subject, claim)
        if len(group) > 1 and len(defaults) != 1:
            yield _problem(
                "one_default",
                subject,
                short,
                f"the key stands {len(group)} times with {len(defaults)} defaults.",
                "give the claims different keys, or mark one default = true and say why_default.",
            )
        for default in defaults:
            if not default.why_default:
                yield _problem(
                    "why_default",
                    subject,
                    short,
                    "the default does not say why it is the default.",
                    'write why_default = "...".',
                )


def no_duplicate(house: House) -> Iterator[Problem]:
    """No claim is entered twice."""
    seen: set[tuple[object, ...]] = set()
    for subject, claim in house.claims():
        same = (claim.key, claim.value, claim.low, claim.high, claim.unit, claim.source)
        if same in seen:
            yield _problem(
                "no_duplicate",
                subject,
                house.short(subject, claim),
                "the same claim is entered twice.",
                "keep one of them.",
            )
        seen.add(same)


CHECKS = (
    range_order,
    value_in_range,
    unit_known,
    unit_of_quantity,
    possible,
    found_has_source,
    memory_not_found,
    estimate_not_sure,
    basis_stated,
    one_default,
    no_duplicate,
)
