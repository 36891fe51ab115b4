"""The opening of a case with some of its words told anew; what is not typed stays as it was."""

from __future__ import annotations

from collections.abc import Sequence

from tankside.case import to_object
from tankside.case.described import OPENED, Opened
from tankside.case.typed_entry import with_words
from tankside.case.typed_value import Door, Fields, Typed
from tankside.intake.country import country_code
from tankside.library import load

KIND = OPENED.name
STAMPS = ("id", "recorded_at", "by")


def opening_with(old: Opened, words: Sequence[Typed], door: Door) -> Fields:
    """Return the fields of an opening with what was typed in place of what it said.

    Args:
        old: the opening as it stands.
        words: keys and values as typed, for example ``country=GB``.
        door: zone, present time and decimal mark.

    Raises:
        BadInput: E-WORD-01 unknown key, E-WORD-02 no such country or answer.
    """
    before: Fields = {k: v for k, v in to_object(old).items() if k not in STAMPS}
    fields = with_words(OPENED, before, words, door)
    if isinstance(fields.get("country"), str):
        fields["country"] = country_code(load(), str(fields["country"]))
    return fields
