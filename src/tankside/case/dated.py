"""What every entry carries: its number, when it happened, when and by whom it was written."""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from pydantic import Field

from tankside.case.parts import Instant, Key, Name, Part
from tankside.errors import BadInput
from tankside.quantity.moment import Moment


def need(condition: bool, message: str, needed: str, field: str) -> None:
    """Refuse an entry that lacks a part it cannot stand without.

    Raises:
        BadInput: E-CASE-04.
    """
    if not condition:
        raise BadInput(
            "E-CASE-04",
            message,
            needed=needed,
            next_step="Complete the entry; nothing was saved.",
            field=field,
        )


Role = Literal["keeper", "practitioner", "student"]
ROLES: tuple[Role, ...] = get_args(Role)
"""As what somebody may write."""


class Dated(Part):
    """What every entry carries: number in the case, times, and who wrote it."""

    id: Annotated[int, Field(ge=1)]
    occurred_at: Instant
    day_only: bool = False
    recorded_at: Instant
    by: Name
    role: Role | None = None
    """As what the writer wrote it, at the time of writing."""
    not_known: Annotated[tuple[Key, ...], Field(strict=False)] = ()
    """Words of the entry that were asked for and that the keeper does not know."""

    @property
    def moment(self) -> Moment:
        """When it happened."""
        return Moment(self.occurred_at, self.day_only)
