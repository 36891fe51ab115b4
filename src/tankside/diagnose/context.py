"""Plain readings and times of a case as answers and weights, so that nothing is asked twice."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.claims.diagnosis import DiagnosisFacts

COLD, MILD, WARM = "below_15", "15_to_22", "above_22"
SAFE, RAISED, DANGEROUS = "safe", "raised", "dangerous"
LOW, ADEQUATE, OVER = "low", "adequate", "supersaturated"


def temperature_answers(facts: DiagnosisFacts, low_c: float, high_c: float) -> frozenset[str]:
    """Return the temperature bands the water swings through.

    Args:
        facts: what the differential knows.
        low_c: lowest temperature of the day [deg C].
        high_c: highest temperature of the day [deg C].
    """
    cold = facts.number("temperature_band.cold_below")
    warm = facts.number("temperature_band.warm_above")
    touched = {COLD: low_c < cold, MILD: low_c <= warm and high_c >= cold, WARM: high_c > warm}
    return frozenset(band for band, holds in touched.items() if holds)


def nitrogen_answers(
    facts: DiagnosisFacts,
    *,
    toxic_ammonia_mg_l_n: float | None,
    total_ammonia_mg_l_n: float | None,
    nitrite_mg_l_n: float | None,
    sea_water: bool,
) -> frozenset[str] | None:
    """Return how the ammonia and nitrite readings count, None when nothing was measured.

    The worse of the two decides. A reading that was not taken can only make it worse, so with
    one of them missing a good reading leaves every answer from it upwards possible. Nitrite is
    not judged in sea water, where chloride protects.

    Args:
        facts: what the differential knows.
        toxic_ammonia_mg_l_n: un-ionised ammonia, computed at the tank's pH, temperature and
            salinity [mg/L N].
        total_ammonia_mg_l_n: total ammonia [mg/L N].
        nitrite_mg_l_n: nitrite [mg/L N].
        sea_water: whether the tank is marine.
    """
    grades = (SAFE, RAISED, DANGEROUS)
    ammonia = _grade(facts, "toxic_ammonia", toxic_ammonia_mg_l_n)
    total = _grade(facts, "total_ammonia", total_ammonia_mg_l_n)
    nitrite = None if sea_water else _grade(facts, "nitrite", nitrite_mg_l_n)
    measured = [grade for grade in (ammonia, total, nitrite) if grade is not None]
    if not measured:
        return None
    worst = max(measured)
    complete = ammonia is not None and (sea_water or nitrite is not None)
    return frozenset((grades[worst],) if complete else grades[worst:])


def _grade(facts: DiagnosisFacts, what: str, reading: float | None) -> int | None:
    """Return 0 safe, 1 raised, 2 dangerous; None when not measured."""
    if reading is None:
        return None
    limits = (f"{what}.raised", f"{what}.dangerous")
    return sum(key in facts.numbers and reading > facts.number(key) for key in limits)


def oxygen_answers(facts: DiagnosisFacts, share_of_saturation: float) -> frozenset[str]:
    """Return how an oxygen reading counts.

    Args:
        facts: what the differential knows.
        share_of_saturation: oxygen over its saturation at this temperature and salinity [1].
    """
    if share_of_saturation < facts.number("oxygen.low_share"):
        return frozenset((LOW,))
    if share_of_saturation > facts.number("oxygen.over_share"):
        return frozenset((OVER,))
    return frozenset((ADEQUATE,))


def sample_weight(
    facts: DiagnosisFacts,
    finding: str,
    answers: Iterable[str],
    *,
    dead_h: float | None,
    slide_min: float | None,
) -> float:
    """Return the weight of a finding from an old body or an old slide.

    Late invaders lose weight when they are present (they arrive after death); organisms that
    leave or die lose weight when they are absent.

    Args:
        facts: what the differential knows.
        finding: identifier.
        answers: what was answered.
        dead_h: hours since the fish died, None when it lived or is not known.
        slide_min: minutes since the mount was made, None when not known.
    """
    asked = facts.findings[finding]
    spoiling = asked.spoiling
    if spoiling is None:
        return 1.0
    positive = asked.baseline_answer not in set(answers)
    if positive is not spoiling.invader:
        return 1.0
    by_death = _fading(dead_h, spoiling.fresh_dead_h, spoiling.spoiled_dead_h, spoiling.least)
    by_slide = _fading(
        slide_min, spoiling.fresh_slide_min, spoiling.spoiled_slide_min, spoiling.least
    )
    return min(by_death, by_slide)


def _fading(age: float | None, fresh: float, spoiled: float, least: float) -> float:
    """Return 1 while fresh, falling in a straight line to the least weight when spoiled."""
    if age is None or age <= fresh:
        return 1.0
    return max(least, 1 - (1 - least) * (age - fresh) / (spoiled - fresh))
