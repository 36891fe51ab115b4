"""Every mistake a user can make: code, given, needed, what to do next."""

from tankside.errors.mistake import BadInput, CouldNotSave, Mistake, NotPossible

__all__ = ["BadInput", "CouldNotSave", "Mistake", "NotPossible"]
