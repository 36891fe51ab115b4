"""Named house checks of whole subject files: agents, hosts, and the shape they share."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from tankside.claims import Claim
from tankside.library.claim_records import key_is_sound
from tankside.library.house import House
from tankside.library.problem import Problem
from tankside.library.subject_files import SubjectFile

SORTED = ("agents", "hosts", "organism_claims", "experiments", "quarantine")
HOST_CLASSES = (
    "copper", "formalin", "malachite", "methylene_blue", "permanganate", "peroxide",
    "praziquantel", "levamisole", "organophosphate", "heat",
)  # fmt: skip
WATERS = ("fresh", "brackish", "marine")
MOST = ("most", "most_bath", "dose_share")
TOLERANCES = ("tolerant", "care", "avoid")
KINDS = ("substance", "physical", "equipment", "evidence_only")
EFFECTS = ("spared", "at_risk", "harmed", "lost")
REMOVALS = ("removes", "partly", "does_not")
LEVELS = ("blocked", "care")
SAID = {
    "people.hazard": ("low", "moderate", "high"),
    "effect.filter": EFFECTS,
    "effect.plants": EFFECTS,
    "effect.invertebrates": EFFECTS,
    "removal.carbon": REMOVALS,
    "removal.uv": REMOVALS,
    "removal.light": REMOVALS,
    "removal.ozone": REMOVALS,
    "removal.skimmer": REMOVALS,
}
SUBSTANCE = (
    "people.hazard", "people.ppe", "people.splash", "people.do_not_mix", "people.storage",
    "people.disposal", *SAID, "half_life", "oxygen_demand", "needs.alkalinity_min",
    "needs.temperature_max", "neutralise", "withdrawal", "reaches",
)  # fmt: skip


def claims_by_short_key(subject: SubjectFile) -> dict[str, Claim]:
    """Return the first claim under each key as written in the file."""
    return {claim.key.split(".", 2)[2]: claim for claim in reversed(subject.claims)}


def id_is_file(house: House) -> Iterator[Problem]:
    """The id in the head is the name of the file, and well formed."""
    for subject in house.subjects:
        stated = subject.head.get("id", subject.id)
        if stated != subject.id or not key_is_sound(subject.id):
            yield Problem(
                "id_is_file",
                subject.file,
                str(stated),
                f"the id {stated!r} is not the name of the file.",
                "give the file and the id the same lower-case name.",
            )


def not_empty(house: House) -> Iterator[Problem]:
    """A subject file says something."""
    for subject in house.subjects:
        if not subject.claims:
            yield Problem(
                "not_empty", subject.file, "", "the file holds no claim.", "add one, or remove it."
            )


def file_sorted(house: House) -> Iterator[Problem]:
    """Claims stand in order of their keys, so that a change is one line."""
    for subject in house.subjects:
        keys = [claim.key for claim in subject.claims]
        if subject.kind not in SORTED or keys == sorted(keys):
            continue
        late = next(b for a, b in pairwise(keys) if b < a)
        yield Problem(
            "file_sorted",
            subject.file,
            late.split(".", 2)[2],
            "the claims are not sorted by key.",
            "move the claim to its place in the alphabet.",
        )


def host_complete(house: House) -> Iterator[Problem]:
    """A host says for every agent class what it bears, if only that nothing is known."""
    for subject in house.of_kind("hosts"):
        claims = claims_by_short_key(subject)
        salt = "low_salinity" if subject.head.get("water") == "marine" else "salt"
        for name in (salt, *HOST_CLASSES):
            if f"tolerance.{name}" not in claims:
                yield Problem(
                    "host_complete",
                    subject.file,
                    f"tolerance.{name}",
                    "the tolerance is missing.",
                    'add the claim, with unknown = "no figure found" when nothing is known.',
                )


def host_words(house: House) -> Iterator[Problem]:
    """Waters and tolerances are told in the agreed words."""
    for subject in house.of_kind("hosts"):
        if subject.head.get("water") not in WATERS:
            yield Problem(
                "host_words",
                subject.file,
                "water",
                f"water is {subject.head.get('water')!r}.",
                f"write one of {', '.join(WATERS)}.",
            )
        for key, claim in claims_by_short_key(subject).items():
            is_tolerance = key.startswith("tolerance.") and claim.value is not None
            if is_tolerance and claim.value not in TOLERANCES:
                yield Problem(
                    "host_words",
                    subject.file,
                    key,
                    f"a tolerance cannot be {claim.value!r}.",
                    f'write one of {", ".join(TOLERANCES)}, or unknown = "why".',
                )


def host_ranges(house: House) -> Iterator[Problem]:
    """The low edge of temperature and pH lies below the high edge."""
    for subject in house.of_kind("hosts"):
        claims = claims_by_short_key(subject)
        for name in ("temperature", "ph"):
            low, high = claims.get(f"{name}_low"), claims.get(f"{name}_high")
            if low is None or high is None or not (low.known and high.known):
                continue
            if low.number() >= high.number():
                yield Problem(
                    "host_ranges",
                    subject.file,
                    f"{name}_low",
                    f"{name}_low is not below {name}_high.",
                    "correct the edge that is wrong.",
                )


def tolerant_is_measured(house: House) -> Iterator[Problem]:
    """Nobody is called tolerant by reading across from a relative."""
    for subject in house.of_kind("hosts"):
        for key, claim in claims_by_short_key(subject).items():
            if claim.value == "tolerant" and claim.provenance == "estimate":
                yield Problem(
                    "tolerant_is_measured",
                    subject.file,
                    key,
                    "it is called tolerant by estimate.",
                    "read across only toward caution: write care, or unknown.",
                )


def most_is_printed(house: House) -> Iterator[Problem]:
    """What is held to be the most for a host carries the words that a refusal shows."""
    for subject in house.of_kind("hosts"):
        for key, claim in claims_by_short_key(subject).items():
            kind, _, name = key.partition(".")
            if kind not in MOST:
                continue
            if name not in (*HOST_CLASSES, "salt") or not claim.conditions.get("as_printed"):
                yield Problem(
                    "most_is_printed",
                    subject.file,
                    key,
                    "a most without words of its source, or of no class of agents.",
                    "write conditions = { as_printed = ... } and the class of a tolerance.",
                )


CHECKS = (
    id_is_file,
    not_empty,
    file_sorted,
    host_complete,
    host_words,
    host_ranges,
    tolerant_is_measured,
    most_is_printed,
)
