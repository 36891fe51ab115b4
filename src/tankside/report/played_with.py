"""What a tank is played with, where that is not plain: brackish water, several kinds of fish."""

from __future__ import annotations

from tankside.claims.organism import Organism
from tankside.intake.assemble import Assembled
from tankside.intake.host_factor import meeting
from tankside.present.blocks import Words

TITLE = "What this tank is played with"
FRESH = ("", "fresh")
UNSAID_SALT = "no salinity was measured: the water is played without salt"


def played_with(case: Assembled, organism: Organism) -> tuple[Words, ...]:
    """Return the water and the fish as they are played; nothing for one kind in plain water.

    Args:
        case: the assembled case.
        organism: the parasite.
    """
    lines = (*_water(case, organism), *_fish(case, organism))
    return (Words(TITLE, lines),) if lines else ()


def _water(case: Assembled, organism: Organism) -> tuple[str, ...]:
    main = case.main
    salt = main.salinity_g_l
    if (main.water or "") in FRESH and not salt:
        return ()
    if (main.water or "") == organism.water and salt:
        return ()
    measured = UNSAID_SALT if salt is None else f"salinity {salt:g} g/L, as measured"
    return (
        f"{measured}; the figures of {organism.name} are those of {organism.water} water, and salt "
        "acts only where a figure of the parasite says so",
    )


def _fish(case: Assembled, organism: Organism) -> tuple[str, ...]:
    groups = meeting(case.hosts, organism, case.facts)
    if len({group.host_id for group in groups}) < 2:
        return ()
    return tuple(
        f"{group.id}: {low:g} to {high:g} times as many settle as on the fish of the figures; "
        + ("print says what load kills" if group.dose_known else "what load kills is unknown")
        for group in groups
        for low, _, high in (group.susceptibility,)
    )
