"""A practice case: what is told and asked step by step, and what each answer costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

EXAMPLE_LEVEL = 0
"""Level of the case that is not asked but told."""


@dataclass(frozen=True, slots=True)
class PracticeChoice:
    """One answer to a question.

    Args:
        words: what is done or said; "" where a cause or a sitting names it.
        harm: 0 none, 1 time is lost, 2 fish may be lost, 3 many may be lost, or a person harmed.
            A judgement.
        minutes: what it takes the adviser [min]; None where it is that of a sitting.
        because: keys of the statements that say why.
        cause: the condition it names, "" where it names none.
        sitting: the sitting it asks for, "" where it asks for none.
    """

    words: str
    harm: int
    minutes: float | None
    because: tuple[str, ...]
    cause: str = ""
    sitting: str = ""


@dataclass(frozen=True, slots=True)
class PracticeStep:
    """One step of a case.

    Args:
        shows: what is told.
        seen: the same as findings, as far as there are some.
        ask: the question.
        choices: the answers, in the order of the file.
    """

    shows: str
    seen: Mapping[str, str]
    ask: str
    choices: tuple[PracticeChoice, ...]


@dataclass(frozen=True, slots=True)
class PracticeCase:
    """An invented case to practise on.

    Args:
        id: its short name.
        level: 1 for one plain cause, 2 for what misleads; 0 for the example.
        title: what it is called.
        call: what the keeper says.
        truth: what it is, as conditions.
        published: the published cases it was held against, as ``file:case``.
        steps: in order.
    """

    id: str
    level: int
    title: str
    call: str
    truth: tuple[str, ...]
    published: tuple[str, ...]
    steps: tuple[PracticeStep, ...]
