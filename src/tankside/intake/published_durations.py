"""The times that print gives for a parasite no forecast can be run for."""

from __future__ import annotations

from tankside.claims import Knowledge
from tankside.claims.claim import Claim
from tankside.claims.organism import Organism
from tankside.errors import NotPossible
from tankside.lifecycle.inputs import published_durations as printed
from tankside.lifecycle.inputs.parameters import missing_parameters
from tankside.lifecycle.inputs.published_durations import PublishedDuration

UNITS_OF_TIME = {"h": "h", "d": "d", "wk": "weeks", "months": "months"}


def with_parameters(facts: Knowledge) -> tuple[str, ...]:
    """Return the ids of the organisms that a forecast can be run for, sorted."""
    return tuple(sorted(name for name, o in facts.organisms.items() if not missing_parameters(o)))


def refuse_without_parameters(organism: Organism, facts: Knowledge) -> None:
    """Refuse a forecast for an organism without figures, and say what print does date.

    Args:
        organism: the parasite asked for.
        facts: what is known, with the printed rows of every organism.

    Raises:
        NotPossible: E-FC-02, naming each missing figure and each printed time with its source.
    """
    lacking = missing_parameters(organism)
    if not lacking:
        return
    times = published_durations(organism.id, facts)
    offer = (
        "What print dates: " + "; ".join(times)
        if times
        else "Print gives no time for any stage of it: go by counts on the fish"
    )
    raise NotPossible(
        "E-FC-02",
        f"No forecast for {organism.name}: figures of its life cycle are missing.",
        given=organism.id,
        needed="; ".join(f"{key} ({why})" for key, why in sorted(lacking.items())),
        next_step=f"{offer}. Count again at each check, and ask a specialist about the course.",
        field="organism",
    )


def published_durations(organism_id: str, facts: Knowledge) -> tuple[str, ...]:
    """Return the printed times of an organism in words, each with its source.

    Args:
        organism_id: as in its file.
        facts: what is known.

    Returns:
        For example ``egg, time to first hatch: 7 d at 20 C [bondad_reantaso_1995]``.
    """
    found = printed.published_durations(organism_id, facts, None)
    return tuple(_words(time) for time in found)


def _words(time: PublishedDuration) -> str:
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
