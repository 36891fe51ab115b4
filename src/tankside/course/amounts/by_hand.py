"""What an agent needs to be looked at or done by hand before it is weighed out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tankside.claims import Claim, Knowledge
from tankside.course.amounts.label import LabelEntry
from tankside.course.amounts.needs import AGE_KEY
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.facts import find_number


@dataclass(frozen=True, slots=True)
class ByHand:
    """One need that no reading answers: ``needs.<name>`` in an agent's file.

    Args:
        name: short name; an answer is typed under it.
        question: what is asked.
        when_no: what is the matter where the answer is no.
        instead: what to do about it.
    """

    name: str
    question: str
    when_no: str
    instead: str

    @property
    def typed(self) -> str:
        """The name as it is typed."""
        return self.name.replace("_", "-")


BY_HAND = (
    ByHand(
        "buffer",
        "Has the solution been buffered, and its pH measured to match the water?",
        "the solution is not buffered",
        "Stir bicarbonate into the solution until its pH is that of the water of the fish.",
    ),
    ByHand(
        "clear_solution",
        "Is the liquid clear, without a white deposit?",
        "the liquid is not clear",
        "Do not use this container; a chemist takes it back.",
    ),
    ByHand(
        "demand_test",
        "Has a sample of this water been tested for how much of it the dirt uses up?",
        "the demand of this water was not tested",
        "Test a bucket of the water first, and clean the tank.",
    ),
    ByHand(
        "formulation_named",
        "Does the container name its formulation, with the test kit that reads it?",
        "the container does not name its formulation",
        "Use a container that names it; a reading of another formulation says nothing.",
    ),
    ByHand(
        "predissolve",
        "Has it been dissolved before it goes into the water?",
        "it is not dissolved yet",
        "Dissolve it first as its label says; powder on the water is not a dose.",
    ),
    ByHand(
        "zinc_free",
        "Does the container say that it is free of zinc?",
        "the container is not said to be free of zinc",
        "Use a container that says so.",
    ),
)


def not_seen_to(
    facts: Knowledge, label: LabelEntry, agent_name: str, hour: int, body: str
) -> Iterator[Caution]:
    """Yield what the agent of a container needs by hand and was not answered with yes, lately.

    Not answered, or answered longer ago than a water test may be old, blocks (E-DOSE-20); an
    answer of no blocks (E-DOSE-25).
    """
    age_limit_h = find_number(facts, AGE_KEY)
    for need in BY_HAND:
        claim = facts.find(f"agent.{label.agent}.needs.{need.name}")
        if claim is None:
            continue
        answered = f"answer {need.typed}=yes with the container."
        fresh = age_limit_h is None or -label.read_at_h <= age_limit_h
        if need.name in label.not_ready:
            code, words = "E-DOSE-25", f"{agent_name}: {need.when_no}."
            instead = f"{need.instead} Then {answered}"
        elif need.name in label.ready and fresh:
            continue
        else:
            code, words = "E-DOSE-20", f"{agent_name}: {need.question}"
            instead = f"Look today, then {answered}"
        yield Caution(
            Level.BLOCKED, code, words, _why(claim), claim.key, instead,
            hour=hour, body=body, agent=label.agent,
        )  # fmt: skip


def _why(claim: Claim) -> str:
    said = (claim.note or "what nobody has looked at is not taken as safe").rstrip(".")
    stated = claim.source or claim.provenance.value.replace("_", " ")
    return f"{said[:1].upper()}{said[1:]} ({stated})."
