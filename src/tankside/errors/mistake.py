"""The one family of errors a user can cause or mend."""

from __future__ import annotations

from typing import ClassVar

from tankside.errors.code import RefusalKind
from tankside.errors.register import check_refusal, kind_of

SHOWN_LENGTH = 80
NOT_TOLD = object()
"""In place of what was given, where the register says why nothing can be."""


class Mistake(Exception):
    """Something the user can put right; it is raised as one of the kinds below.

    Args:
        code: stable identifier of the register, for example ``E-NUM-01``.
        message: what is wrong, in the user's words, at most two sentences.
        given: the value as typed (shown escaped and cut at 80 characters); it may be empty
            where nothing was typed.
        needed: what would be accepted, with its unit.
        next_step: what to do now.
        field: name of the box or option, when there is one.

    Raises:
        UnregisteredCode: the code is not registered, is of another kind, or lacks a part.
    """

    exit_code: ClassVar[int] = 2
    kind: ClassVar[RefusalKind | None] = None

    def __init__(
        self,
        code: str,
        message: str,
        *,
        needed: str,
        next_step: str,
        given: object = NOT_TOLD,
        field: str = "",
    ) -> None:
        texts = {"message": message, "needed": needed, "next step": next_step}
        check_refusal(code, self.kind, texts=texts, says_given=given is not NOT_TOLD, field=field)
        super().__init__(message)
        self.code = code
        self.message = message
        self.given = "" if given is NOT_TOLD else shown(given)
        self.needed = needed
        self.next_step = next_step
        self.field = field

    def as_json(self) -> dict[str, str]:
        """Return the stable machine-readable form used by ``--json`` and the web door."""
        return {
            "code": self.code,
            "message": self.message,
            "given": self.given,
            "needed": self.needed,
            "next": self.next_step,
        } | ({"field": self.field} if self.field else {})

    def __str__(self) -> str:
        parts = [f"{self.code}: {self.message}"]
        if self.field:
            parts.append(f"Field: {self.field}.")
        if self.given:
            parts.append(f"Given: {self.given}.")
        if self.needed:
            parts.append(f"Needed: {self.needed}.")
        if self.next_step:
            parts.append(f"Next: {self.next_step}")
        return " ".join(parts)


class BadInput(Mistake):
    """The input breaks a rule; nothing was saved and no default was put in its place."""

    exit_code = 2
    kind = RefusalKind.BAD_INPUT


class NotPossible(Mistake):
    """The request is well formed but cannot be met with what is known or built."""

    exit_code = 3
    kind = RefusalKind.NOT_POSSIBLE


class CouldNotSave(Mistake):
    """The store refused; what was there before is unchanged."""

    exit_code = 5
    kind = RefusalKind.COULD_NOT_SAVE


_REFUSES = {refused.kind: refused for refused in (BadInput, NotPossible, CouldNotSave)}


def refused_as(code: str) -> type[Mistake]:
    """Return the kind of mistake that a code is raised as.

    Raises:
        UnregisteredCode: the code is not registered, or refuses nothing.
    """
    return _REFUSES[kind_of(code)]


def shown(value: object) -> str:
    """Return a value escaped for display and cut at 80 characters."""
    text = value if isinstance(value, str) else repr(value)
    safe = "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text)
    return safe if len(safe) <= SHOWN_LENGTH else safe[: SHOWN_LENGTH - 1] + "…"
