"""The page of the pictures of a case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.quantity.dates import entry_moment_words
from tankside.report.page import OpenCase
from tankside.services.case_photos import CasePhoto

NOT_KEPT = "The file is only named; it was not kept with the case."


@dataclass(frozen=True, slots=True)
class ShownPhoto:
    """A picture as the page shows it.

    Args:
        number: of its entry.
        title: what it shows, or the name of its file.
        about: when it was taken, by whom, and what was noted.
        is_kept: whether there are bytes to be shown.
    """

    number: int
    title: str
    about: str
    is_kept: bool


@dataclass(frozen=True, slots=True)
class PhotosPage:
    """The pictures of a case, the latest first, and what a new one may show."""

    lead: str
    photos: tuple[ShownPhoto, ...]
    fish: tuple[str, ...]


def photos_page(case: OpenCase, photos: Sequence[CasePhoto]) -> PhotosPage:
    """Return the page.

    Args:
        case: the case.
        photos: its pictures in the order of their entries.
    """
    number = len(photos)
    pictures = "picture" if number == 1 else "pictures"
    lead = f"{number} {pictures}." if number else "No picture yet."
    shown = tuple(map(_shown, reversed(photos)))
    fish = tuple(group.description.name for group in case.view.stock.values())
    return PhotosPage(lead, shown, fish)


def _shown(photo: CasePhoto) -> ShownPhoto:
    entry = photo.entry
    said = [entry_moment_words(entry.moment), f"by {entry.by}"]
    said += [entry.note] if entry.note else []
    said += [] if photo.kept else [NOT_KEPT]
    return ShownPhoto(entry.id, entry.of or entry.file, "; ".join(said), photo.kept)
