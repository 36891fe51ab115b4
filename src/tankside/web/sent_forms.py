"""A form that is sent twice is saved once: its number is remembered with the page it led to."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from threading import Lock

from tankside.services.sent_keys import SentKeys

MOST_REMEMBERED = 2000
FIELD, LONGEST = "form", 64


def new_number() -> str:
    """Return the number of a form that is about to be shown."""
    return secrets.token_urlsafe(12)


def number_of(sent: Mapping[str, Sequence[str]]) -> str:
    """Return the number that a form came with; "" for none, and for what this server never made."""
    number = (sent.get(FIELD) or [""])[0]
    return number if number.isascii() and number.isprintable() and len(number) <= LONGEST else ""


class SentForms:
    """The forms that were saved, also by earlier runs of the server; the latest are forgotten last.

    Args:
        folder: where the cases are, or what belongs to none of them.
    """

    def __init__(self, folder: Path) -> None:
        self._kept = SentKeys(folder)
        self._led_to: OrderedDict[str, str] = OrderedDict(self._kept.read())
        self._lock = Lock()

    def was_sent(self, number: str) -> bool:
        """Tell whether a form of this number was saved."""
        with self._lock:
            return number in self._led_to

    def once(self, number: str, save: Callable[[], str]) -> str:
        """Save a form unless it was saved already, and return the address it leads to.

        A second click waits for the first and gets its answer. A form that is refused is not
        remembered: it may be sent again when it is corrected.

        Args:
            number: the number that the form was shown with; "" is never remembered.
            save: saves what was filled in and returns the address to go on to.
        """
        with self._lock:
            onward = self._led_to.get(number)
            if onward is None:
                onward = save()
                if number:
                    self._kept.keep(number, onward)
                    self._led_to[number] = onward
                while len(self._led_to) > MOST_REMEMBERED:
                    self._led_to.popitem(last=False)
            return onward
