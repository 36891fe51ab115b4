"""What a projection may know of a case: number, short name, present state, people by number."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tankside.case import CaseView


@dataclass(frozen=True, slots=True)
class ProjectedCase:
    """A case as the projections see it.

    Args:
        number: in the journal.
        label: its short name.
        view: the folded entries.
        number_of: number of a person by the name that the view shows.
    """

    number: int
    label: str
    view: CaseView
    number_of: Callable[[str], int]
