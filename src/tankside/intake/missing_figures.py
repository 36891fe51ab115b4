"""For which parasites a forecast can be run, and the refusal where figures are missing."""

from __future__ import annotations

from tankside.claims import Knowledge
from tankside.claims.organism import Organism
from tankside.errors import NotPossible
from tankside.lifecycle.inputs.parameters import missing_parameters
from tankside.lifecycle.inputs.published_durations import published_durations
from tankside.present.published_duration import duration_words


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
    times = published_durations(organism.id, facts, None)
    offer = (
        "What print dates: " + "; ".join(map(duration_words, times))
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
