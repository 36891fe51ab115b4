"""What was looked at, as it stands in a case: every look with its fish, site, water and day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from tankside.case.catalogue import Catalogue
from tankside.case.done import Death
from tankside.case.entry import Fact
from tankside.case.parts import State
from tankside.case.seen import CountMade, Finding, WetMount
from tankside.case.view import BY_EYE, AnswerView


def looks_by_finding(
    happened: Iterable[Fact], catalogue: Catalogue
) -> dict[str, tuple[AnswerView, ...]]:
    """Return every look at each finding, in the order they happened.

    "Not looked" and "keeper does not know" never stand beside what was once looked at.

    Args:
        happened: the entries that stand, in the order they happened.
        catalogue: the kinds of entry that there are.
    """
    looks: dict[str, list[AnswerView]] = {}
    for entry in happened:
        for looked in catalogue.looks(entry):
            places = {name: getattr(entry, name, None) for name in ("fish", "group", "system")}
            site = getattr(entry, "sample", BY_EYE)
            view = AnswerView(looked, entry.moment, entry.id, site, **places)
            looks.setdefault(looked.finding, []).append(view)
    return {finding: _looked_at(of_finding) for finding, of_finding in sorted(looks.items())}


def _looked_at(looks: Sequence[AnswerView]) -> tuple[AnswerView, ...]:
    made = tuple(look for look in looks if look.state in (State.ANSWERED, State.NONE))
    return made or tuple(looks)


def in_order(standing: Iterable[Fact]) -> list[Fact]:
    """Return the entries by the moment they happened.

    What was seen at one moment comes in an order of its content, so that it does not matter what
    was typed first; all else at one moment as written.
    """
    happened = sorted(standing, key=lambda entry: (entry.moment.utc, entry.id))
    ordered: list[Fact] = []
    for _, at_once in groupby(happened, key=lambda entry: entry.moment.utc):
        together = list(at_once)
        ordered += together if len(together) == 1 else sorted(together, key=_at_one_moment)
    return ordered


def _at_one_moment(entry: Fact) -> tuple[bool, object]:
    if not isinstance(entry, Finding | WetMount | CountMade | Death):
        return True, entry.id
    return False, entry.model_dump_json(exclude={"id", "recorded_at", "by", "role"})
