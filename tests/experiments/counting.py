"""How many published experiments passed: by paper, not by outcome.

An experiment is one paper with at least one mechanistic outcome. It is passed in full when every
such outcome is; passed but for what was named in advance when the others are only expected
failures; passed in part when at least one outcome is passed and counted. A pass that another
seed takes away is on the edge and counts as missed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tests.experiments.papers_read import register
from tests.experiments.setups_read import asked, checks, reasons

IN_FULL, BUT_FOR_NAMED, IN_PART, NOT = (
    "passed in full",
    "passed but for what was named in advance",
    "passed in part",
    "not passed",
)


EDGE = "on the edge"


@dataclass(frozen=True)
class Outcomes:
    """The mechanistic outcomes of one paper, by id."""

    experiment: str
    sources: tuple[str, ...]
    passed: tuple[str, ...]
    not_counted: tuple[str, ...]
    expected: tuple[str, ...]
    missed: tuple[str, ...]
    easy: bool

    @property
    def standing(self) -> str:
        """Return whether the paper tests, calibrates, or lacks its set-up in print."""
        return next(paper["standing"] for paper in register() if paper["id"] == self.experiment)

    @property
    def word(self) -> str:
        """Return how the experiment as a whole came out."""
        if not self.passed:
            return NOT
        if self.missed or self.not_counted:
            return IN_PART
        return BUT_FOR_NAMED if self.expected else IN_FULL

    @property
    def asks(self) -> str:
        """Return what a model must predict, as the library records it."""
        return asked(self.experiment)

    @property
    def total(self) -> int:
        """Return the number of mechanistic outcomes."""
        return len(self.passed + self.not_counted + self.expected + self.missed)


def experiments(kept: Mapping[str, Mapping[str, Any]]) -> list[Outcomes]:
    """Return the outcomes of every paper with a mechanistic one, from kept verdicts."""
    notes = reasons()
    counted = []
    tests = [c for c in checks() if c["role"] == "mechanistic"]
    for name in dict.fromkeys(c["experiment"] for c in tests):
        ids: dict[str, list[str]] = {"passed": [], "not counted": [], "expected failure": []}
        mine = [c for c in tests if c["experiment"] == name]
        for check in mine:
            word = word_of(kept[check["id"]])
            if word == "passed" and not notes.get(check["id"], {}).get("counted", True):
                word = "not counted"
            ids.setdefault(word if word in ids else "missed", []).append(check["id"])
        counted.append(
            Outcomes(
                name,
                tuple(dict.fromkeys(c["source"] for c in mine)),
                tuple(ids["passed"]),
                tuple(ids["not counted"]),
                tuple(ids["expected failure"]),
                tuple(ids.get("missed", [])),
                any(notes.get(c["id"], {}).get("easy", False) for c in mine),
            )
        )
    return counted


def word_of(row: Mapping[str, Any]) -> str:
    """Return the verdict of an outcome; a pass that not every seed gives is on the edge."""
    verdict = str(row["word"])
    others = {str(word) for word in row["other_seeds"]}
    return EDGE if verdict == "passed" and others != {"passed"} else verdict


def why_not(outcomes: Outcomes, kept: Mapping[str, Mapping[str, Any]]) -> str:
    """Return each outcome that is not a counted pass, with its verdict and why."""
    notes = reasons()
    said = []
    for name in outcomes.missed + outcomes.expected + outcomes.not_counted:
        word = "not counted" if name in outcomes.not_counted else word_of(kept[name])
        said.append(f"{name}: {word}. {notes[name]['why']}")
    return " ".join(said)
