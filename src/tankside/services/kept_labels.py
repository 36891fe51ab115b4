"""A container that a practice keeps, told by its name: its label as words of an entry."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from tankside.case.typed_value import Typed
from tankside.claims import THIS_PRACTICE
from tankside.errors import BadInput
from tankside.library import load

KIND, WORD, NOTE = "label", "container", "note"


def kept_label_words(kind: str, words: Sequence[Typed]) -> list[Typed]:
    """Return the words of an entry with those of the named container in place of its name.

    Args:
        kind: the kind of entry that is typed.
        words: as typed.

    Raises:
        BadInput: E-PROD-02 this practice keeps no such container; E-DUP-01 its label says already
            what is typed beside it.
    """
    named = [text for key, text in words if key == WORD]
    if kind != KIND or not named:
        return list(words)
    labels = load().labels
    label = labels.get(named[0])
    if label is None or len(named) > 1:
        near = get_close_matches(named[0], labels, n=3) or sorted(labels)
        raise BadInput(
            "E-PROD-02",
            "This practice keeps no container of this name.",
            given=" ".join(named),
            needed="one of: " + ", ".join(near) if near else "a label in the folder labels",
            next_step="Type the name of its file, or what the label says; nothing was saved.",
            field=WORD,
        )
    typed = [(key, text) for key, text in words if key != WORD]
    twice = sorted({key for key, _ in typed} & label.keys() - {NOTE})
    if twice:
        raise BadInput(
            "E-DUP-01",
            "The label of this container says that already.",
            given=", ".join(twice),
            needed="the container, or what its label says",
            next_step="Leave it out, or correct the file of the label; nothing was saved.",
            field=twice[0],
        )
    remarks = [text for key, text in typed if key == NOTE]
    said = [text for key, text in label.items() if key == NOTE]
    note = "; ".join((f"{THIS_PRACTICE}: label {named[0]}", *said, *remarks))
    rest = [(key, text) for key, text in typed if key != NOTE]
    return [*((key, text) for key, text in label.items() if key != NOTE), *rest, (NOTE, note)]
