"""Why no amount comes: everything that stands against it at once, the fatal first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tankside.case import CaseView
from tankside.course import Caution, Level
from tankside.errors import BadInput, Mistake, NotPossible, refused_as
from tankside.intake.dose_request import DoseRequest
from tankside.quantity.show import plain_blanks

MISSING = ("E-DOSE-20", "E-DOSE-11", "E-DOSE-24", "E-PROD-01", "E-PROD-03")
"""Codes of what another fact, a written reason, a tool or a container ends."""
FATAL = ("E-DOSE-23", "E-DOSE-27", "S-PEOPLE", "E-DOSE-26", "E-DOSE-25")
"""Codes of what no other fact, reason, strength or tool ends: it is told before what does."""
OF_THE_VOLUME = "E-DOSE-24"
"""Whether a tool measures an amount hangs on the volume."""
FIELDS = {
    "E-DOSE-10": "strength",
    "E-DOSE-11": "reason",
    "E-DOSE-12": "minutes",
    "E-DOSE-22": "in_water",
    "E-DOSE-23": "in_water",
    "E-DOSE-24": "label",
    "E-DOSE-26": "animal",
    "E-DOSE-27": "agent",
    "E-PROD-01": "label",
    "E-PROD-03": "label",
    "S-PEOPLE": "agent",
}
"""The box or option that each stop is about."""
ASKED = "asked."
"""Begins the key of a fact that is asked with the amount itself; its box follows."""
READINGS = ("temperature", "alkalinity", "ph", "oxygen", "salinity")
ANIMALS = ("no_fry", "no_gill_damage")
VOLUME = "age_limit_volume"
UNKNOWN = "keeper_does_not_know"


def refusal_of(blocked: Sequence[Caution], request: DoseRequest, *, label: bool) -> Mistake:
    """Return the refusal of an amount: its first stop in full, every fact that is missing by name.

    Args:
        blocked: what stands against it, at least one.
        request: what was asked.
        label: whether there is a container of it.
    """
    first, *others = _worst_first(blocked)
    also = [*_said_of(others, MISSING), *([] if label else ["there is no label of it"])]
    more = f" Missing as well: {'; '.join(also)}." if also else ""
    fatal = _said_of(others, FATAL) if first.code in FATAL else []
    against = f" Against it as well: {'; '.join(fatal)}." if fatal else ""
    return refused_as(first.code)(
        first.code,
        first.words,
        given=f"{request.strength} of {request.agent}",
        needed=plain_blanks(first.why).removeprefix("Needed: "),
        next_step=f"{first.what_instead}{against}{more}",
        field=field_of(first),
    )


def refusal_of_no_volume(
    no_volume: NotPossible, blocked: Sequence[Caution], request: DoseRequest, *, label: bool
) -> Mistake:
    """Return the refusal of water that nobody measured, with all else that is missing.

    What no fact would end is told first. What hangs on the volume itself is not judged.

    Args:
        no_volume: the refusal by itself.
        blocked: what stands against the amount in any volume.
        request: what was asked.
        label: whether there is a container of it.
    """
    missing = [c for c in blocked if c.code in MISSING and c.code != OF_THE_VOLUME]
    fatal = [caution for caution in blocked if caution.code in FATAL]
    said = [*_said_of(missing, MISSING), *([] if label else ["there is no label of it"])]
    if fatal:
        refusal = refusal_of(fatal, request, label=True)
        said.insert(0, no_volume.message.rstrip("."))
    else:
        refusal = no_volume
    more = f" Missing as well: {'; '.join(said)}." if said else ""
    return refused_as(refusal.code)(
        refusal.code,
        refusal.message,
        given=refusal.given,
        needed=refusal.needed,
        next_step=f"{refusal.next_step}{more}",
        field=refusal.field,
    )


def no_label(name: str) -> BadInput:
    """Return the refusal of an amount whose container nobody entered."""
    return BadInput(
        "E-PROD-01",
        f"No container of {name} was entered.",
        given="no label",
        needed="the strength with its basis as the label prints it, and the scale or syringe",
        next_step="Read the label and name the tool that measures it.",
        field="label",
    )


def asked_in_vain(caution: Caution, view: CaseView, system: str) -> bool:
    """Whether a caution asks for invertebrates that a keeper was asked about and does not know."""
    place = view.systems.get(system)
    answer = None if place is None else place.description.invertebrates
    about = caution.claim_key.endswith(".effect.invertebrates")
    return (
        caution.level is Level.CARE and caution.code == "E-DOSE-20" and about and answer == UNKNOWN
    )


def asked(box: str, words: str, needed: str, instead: str, agent: str, body: str) -> Caution:
    """Return the stop for a fact that is asked with the amount itself and was not told.

    Args:
        box: option or field it is typed into.
        words: what is not known.
        needed: what would do.
        instead: how it is told.
        agent: agent id.
        body: the water of the animals.
    """
    return Caution(
        Level.BLOCKED, "E-DOSE-20", words, f"Needed: {needed}", f"{ASKED}{box}", instead,
        body=body, agent=agent,
    )  # fmt: skip


def field_of(caution: Caution) -> str:
    """Return the box or option, as it is spelt where it is typed, that a stop is about."""
    if caution.claim_key.startswith(ASKED):
        return caution.claim_key.removeprefix(ASKED)
    if caution.code in FIELDS:
        return FIELDS[caution.code]
    short = caution.claim_key.rsplit(".", 1)[-1]
    if ".needs." in caution.claim_key:
        reading = short.removesuffix("_min").removesuffix("_max").removesuffix("_measured")
        if reading in READINGS:
            return reading
        return "water" if short == "marine" else "animal" if short in ANIMALS else "seen_to"
    if short == VOLUME:
        return "volume"
    if ".minutes_max." in caution.claim_key:
        return "minutes"
    if caution.claim_key.startswith("host."):
        return "animal"
    return ""


def _worst_first(blocked: Iterable[Caution]) -> list[Caution]:
    """Return the stops in their order; a missing fact stands behind what no fact would end."""
    first, *_ = stops = list(blocked)
    if first.code in MISSING:
        stops.sort(key=lambda caution: caution.code not in FATAL)
    return stops


def _said_of(others: Iterable[Caution], codes: Sequence[str]) -> list[str]:
    """Return what else stands against it by one of these codes, each once, in its own words."""
    words = (other.words.rstrip(".?!") for other in others if other.code in codes)
    return list(dict.fromkeys(words))
