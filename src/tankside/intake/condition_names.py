"""Names of conditions as people write them: the short name, the printed one, or nearly so."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence

from tankside.case import Entry
from tankside.case.done import DiagnosisConfirmed
from tankside.case.typed_value import Fields, slug
from tankside.claims import setting
from tankside.claims.diagnosis import OUTSIDE
from tankside.errors import BadInput
from tankside.library.diagnosis_files import load_diagnosis

KIND = "diagnosis_confirmed"
_NEAR = setting(0.84, "two slips of the pen in a dozen letters")


def conditions_named(typed: Sequence[Fields]) -> list[Fields]:
    """Write the short name of a condition that was named as it is printed, in any case.

    A name that fits no condition on file is kept as it was typed.

    Args:
        typed: fields of entries from a door where people type.

    Raises:
        BadInput: E-WORD-02 the name fits several conditions.
    """
    return [
        fields | {"condition": _short_name(str(fields["condition"]))}
        if fields.get("kind") == KIND and "condition" in fields
        else fields
        for fields in typed
    ]


def unknown_conditions(entries: Iterable[Entry]) -> list[str]:
    """Return one note for each condition that is kept but that is not on file."""
    listed = {*load_diagnosis().conditions, OUTSIDE}
    return [
        f"{entry.condition}: kept, but no condition on file"
        for entry in entries
        if isinstance(entry, DiagnosisConfirmed) and entry.condition.upper() not in listed
    ]


def _short_name(typed: str) -> str:
    listed = load_diagnosis().conditions
    if typed.strip().upper() in {*listed, OUTSIDE}:
        return typed.strip()
    wanted = _plain(typed)
    names = {
        name: condition.id
        for condition in listed.values()
        for name in _names_of(condition.id, condition.name)
    }
    if wanted in names:
        return names[wanted]
    near = difflib.get_close_matches(wanted, names, len(names), _NEAR)
    meant = dict.fromkeys(names[name] for name in near) or dict.fromkeys(
        short for name, short in names.items() if wanted and f" {wanted} " in f" {name} "
    )
    if len(meant) > 1:
        raise BadInput(
            "E-WORD-02",
            "Several conditions are called so.",
            given=typed,
            needed="one of: " + ", ".join(f"{short} ({listed[short].name})" for short in meant),
            next_step="Type the short name; nothing was saved.",
            field="condition",
        )
    return next(iter(meant), slug(typed))


def _names_of(short: str, printed: str) -> tuple[str, ...]:
    """Return how a condition is written: short, whole, without its bracket, the bracket alone."""
    outside, _, inside = printed.partition("(")
    return tuple(filter(None, map(_plain, (short, printed, outside, inside))))


def _plain(text: str) -> str:
    return re.sub(r"[\W_]+", " ", text).strip().lower()
