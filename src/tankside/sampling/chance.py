"""Exact chances of what a sample of fish shows: drawing, and missing what is drawn."""

from __future__ import annotations

from math import comb, exp, lgamma, log

from tankside.errors import BadInput


def check_counts(positives: int, examined: int) -> None:
    """Refuse counts that cannot be.

    Raises:
        BadInput: E-COUNT-01.
    """
    if not 0 <= positives <= examined:
        raise BadInput(
            "E-COUNT-01",
            "More animals were found infected than were examined, or a count is negative.",
            given=f"{positives} of {examined}",
            needed="whole counts, infected no more than examined",
            next_step="Check both counts.",
            field="positives",
        )


def check_population(examined: int, population: int) -> None:
    """Refuse a sample larger than the stock.

    Raises:
        BadInput: E-COUNT-01.
    """
    if examined > population:
        raise BadInput(
            "E-COUNT-01",
            "More animals were examined than live there.",
            given=f"{examined} of {population}",
            needed="examined no more than the stock",
            next_step="Check the number of animals, or count each examined animal once.",
            field="examined",
        )


def check_share(value: float, name: str) -> None:
    """Refuse a sensitivity, confidence or share outside (0, 1].

    Raises:
        BadInput: E-RANGE-01.
    """
    if not 0 < value <= 1:
        raise BadInput(
            "E-RANGE-01",
            f"The {name} must be a share above 0 and up to 1.",
            given=f"{value:g}",
            needed="for example 0.8",
            next_step="Give it as a share, not in per cent.",
            field=name,
        )


def log_choose(total: int, chosen: int) -> float:
    """Return the natural logarithm of the number of ways to choose."""
    return lgamma(total + 1) - lgamma(chosen + 1) - lgamma(total - chosen + 1)


def chance_drawn(carriers: int, population: int, examined: int, drawn: int) -> float:
    """Chance that a sample without replacement holds exactly ``drawn`` carriers.

    Equation:
        C(D, k) C(N - D, n - k) / C(N, n)
    """
    clean = population - carriers
    if not max(0, examined - clean) <= drawn <= min(examined, carriers):
        return 0
    return exp(
        log_choose(carriers, drawn)
        + log_choose(clean, examined - drawn)
        - log_choose(population, examined)
    )


def chance_seen_at_most(seen: int, drawn: int, sensitivity: float) -> float:
    """Chance that at most ``seen`` of ``drawn`` carriers are recognised, each on its own."""
    if seen >= drawn:
        return 1
    missed = 1 - sensitivity
    return sum(
        comb(drawn, carriers) * sensitivity**carriers * missed ** (drawn - carriers)
        for carriers in range(seen + 1)
    )


def chance_at_most(
    positives: int, examined: int, carriers: int, population: int, sensitivity: float
) -> float:
    """Chance of at most ``positives`` findings when ``carriers`` of ``population`` carry it.

    Args:
        positives: animals found infected.
        examined: animals examined, each once.
        carriers: animals that carry it.
        population: animals in all.
        sensitivity: chance that one examination of a carrier finds it [0 to 1].
    """
    lowest = max(0, examined - (population - carriers))
    return sum(
        chance_drawn(carriers, population, examined, drawn)
        * chance_seen_at_most(positives, drawn, sensitivity)
        for drawn in range(lowest, min(examined, carriers) + 1)
    )


def needed_when_each_independent(per_animal: float, risk: float) -> float:
    """Return the (fractional) number of examinations that leaves a risk of finding none."""
    if per_animal >= 1:
        return 1
    return log(risk) / log(1 - per_animal)
