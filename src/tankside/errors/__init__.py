"""Every mistake a user can make: code, given, needed, what to do next; the register of codes."""

from tankside.errors.code import UnregisteredCode
from tankside.errors.mistake import BadInput, CouldNotSave, Mistake, NotPossible, refused_as

__all__ = [
    "BadInput",
    "CouldNotSave",
    "Mistake",
    "NotPossible",
    "UnregisteredCode",
    "refused_as",
]
