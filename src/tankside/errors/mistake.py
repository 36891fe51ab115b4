"""The one family of errors a user can cause or mend."""

from __future__ import annotations

SHOWN_LENGTH = 80


class Mistake(Exception):
    """Something the user can put right.

    Args:
        code: stable identifier, for example ``E-NUM-01``.
        message: what is wrong, in the user's words, at most two sentences.
        given: the value as typed (shown escaped and cut at 80 characters).
        needed: what would be accepted, with its unit.
        next_step: what to do now.
        field: name of the box or option, when there is one.
    """

    exit_code = 2

    def __init__(
        self,
        code: str,
        message: str,
        *,
        given: object = "",
        needed: str = "",
        next_step: str = "",
        field: str = "",
    ) -> None:
        super().__init__(message)
        self.code = code
        self.message = message
        self.given = shown(given)
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


class NotPossible(Mistake):
    """The request is well formed but cannot be met with what is known or built."""

    exit_code = 3


class CouldNotSave(Mistake):
    """The store refused; what was there before is unchanged."""

    exit_code = 5


def shown(value: object) -> str:
    """Return a value escaped for display and cut at 80 characters."""
    text = value if isinstance(value, str) else repr(value)
    safe = "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text)
    return safe if len(safe) <= SHOWN_LENGTH else safe[: SHOWN_LENGTH - 1] + "…"
