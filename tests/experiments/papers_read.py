"""Read the frozen register of papers: which test, which calibrate, which are unusable.

The register and the coded papers were written from print alone, before any run;
``papers/README.md`` says by which rule a paper is usable.
"""

from __future__ import annotations

import csv
import hashlib
import json
import tomllib
from collections import Counter
from typing import Any

from tests.experiments.setups_read import EXPERIMENTS, HERE

PAPERS = HERE / "papers"
REGISTER = PAPERS / "register.csv"
FROZEN_PAPERS = PAPERS / "frozen.json"
FROZEN_ON = "2026-11-30"

TEST, UNUSABLE, CALIBRATION = "test", "unusable", "calibration"
NOTHING_ASKED = "none"

# What a set-up must print for each kind of question.
NEEDED_FOR: dict[str, tuple[str, ...]] = {
    "stage_time": ("temperature", "times", "outcome"),
    "stage_share": ("temperature", "outcome"),
    "stage_kill": ("agent", "strength", "exposure", "outcome", "second_source"),
    "bath_on_fish": ("host", "agent", "strength", "exposure", "outcome", "second_source"),
    "feed_on_fish": ("host", "agent", "strength", "exposure", "outcome", "second_source"),
    "held_singly": ("host", "start", "temperature", "times", "outcome"),
    "settlement": ("host", "start", "volume", "exposure", "outcome"),
    "tank": ("host", "fish", "start", "volume", "temperature", "times", "outcome"),
    "treated_tank": (
        "host", "fish", "start", "volume", "temperature", "agent", "strength", "times",
        "outcome", "second_source",
    ),
    NOTHING_ASKED: (),
}  # fmt: skip
PRINTABLE = frozenset(item for needed in NEEDED_FOR.values() for item in needed) | {
    "host_size", "salinity", "n", "spread",
}  # fmt: skip
CALIBRATES = frozenset({"death", "spread", "organism_file", "burden_series", "reserved"})
LISTED_IN = ("experiments", "experiments2", "library", "other tables", "new")
OTHER_TABLES = frozenset(
    {
        "spread", "rivals", "kill2", "parasites", "parasites2", "host_factors", "treatments",
        "organism_claims", "organism_file", "agents",
    }
)  # fmt: skip
COLUMNS = (
    "id", "standing", "ask", "printed", "missing", "second_source", "calibrates", "also_in", "kin",
    "listed_in", "seen", "source", "organism", "citation", "place", "why",
)  # fmt: skip

TIME_UNITS = frozenset({"d", "h", "min", "wk", "months"})
NOT_ASKED = "Not asked of the program"

Paper = dict[str, str]
Claim = dict[str, Any]


def register() -> list[Paper]:
    """Return every paper of the register, in its order."""
    with REGISTER.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def papers(standing: str) -> list[Paper]:
    """Return the papers of one standing."""
    return [paper for paper in register() if paper["standing"] == standing]


def lacks(paper: Paper) -> tuple[str, ...]:
    """Return what the question needs and the paper does not print."""
    printed = set(paper["printed"].split())
    return tuple(item for item in NEEDED_FOR[paper["ask"]] if item not in printed)


def standing_of(paper: Paper) -> str:
    """Return the standing that follows from what is printed and what the figures are used for."""
    if paper["calibrates"]:
        return CALIBRATION
    return UNUSABLE if lacks(paper) or paper["ask"] == NOTHING_ASKED else TEST


def coded(paper: Paper) -> dict[str, Any]:
    """Return the coded record of a test paper, from here or from the library."""
    here = PAPERS / f"{paper['id']}.toml"
    path = here if here.exists() else EXPERIMENTS / f"{paper['id']}.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


def asked_claims(paper: Paper) -> list[Claim]:
    """Return the outcomes of a test paper that are asked of the program."""
    return [c for c in coded(paper)["claim"] if not c.get("note", "").startswith(NOT_ASKED)]


def rule_of(claim: Claim) -> str:
    """Return the pass rule that follows from how the outcome is printed."""
    if isinstance(claim.get("value"), str):
        return "event"
    if claim["unit"] == "%":
        return "points"
    return "time" if claim["unit"] in TIME_UNITS else "factor"


def paper_hashes() -> dict[str, str]:
    """Return the hash of the register and of each coded paper."""
    files = [REGISTER, *sorted(PAPERS.glob("*.toml"))]
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def frozen_papers() -> dict[str, str]:
    """Return the hashes written down before the first run."""
    digests: dict[str, str] = json.loads(FROZEN_PAPERS.read_text(encoding="utf-8"))
    return digests


def counts() -> Counter[tuple[str, str]]:
    """Return how many papers there are by standing and by table."""
    return Counter((paper["standing"], paper["listed_in"]) for paper in register())
