"""What a practice added to the released knowledge, for people and programs."""

from __future__ import annotations

from tankside.claims import THIS_PRACTICE
from tankside.library.views import as_object, origin_in_words, value_in_words
from tankside.present.blocks import Document, Words
from tankside.services.practice_added import AddedClaim, PracticeAnswer

HOLDS, ONLY_SHOWN = "holds", "only shown: it is not stricter than what was released"
RULE = "The stricter holds. What was released is neither changed nor covered."


def practice_document(answer: PracticeAnswer) -> Document:
    """Return what a practice added, by file, each with whether it holds and what was released."""
    files = dict.fromkeys(each.claim.overlay for each in answer.added)
    blocks = [
        Words(file, tuple(_line(each) for each in answer.added if each.claim.overlay == file))
        for file in files
    ]
    labels = [
        f"{name}: {', '.join(f'{key} {text}' for key, text in words.items())}"
        for name, words in answer.labels.items()
    ]
    if labels:
        blocks.append(Words("labels", tuple(labels)))
    return Document(f"Knowledge: {THIS_PRACTICE} ({answer.folder})", tuple(blocks), RULE)


def practice_json(answer: PracticeAnswer) -> dict[str, object]:
    """Return the documented answer of ``knowledge practice --json``."""
    added = [
        as_object(each.claim)
        | {"holds": each.holds}
        | ({} if each.released is None else {"released": as_object(each.released)})
        for each in answer.added
    ]
    labels = {name: dict(words) for name, words in answer.labels.items()}
    return {"folder": answer.folder, "state": answer.state, "added": added, "labels": labels}


def _line(each: AddedClaim) -> str:
    claim = each.claim
    released = each.released
    beside = ""
    if released is not None:
        beside = f"; released: {value_in_words(released)} ({origin_in_words(released)})"
    holds = HOLDS if each.holds else ONLY_SHOWN
    return f"{claim.key}: {value_in_words(claim)} ({origin_in_words(claim)}) - {holds}{beside}"
