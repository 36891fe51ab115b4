"""A form that is sent twice is saved once: its number is remembered with the page it led to."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Callable
from threading import Lock

MOST_REMEMBERED = 2000


def new_number() -> str:
    """Return the number of a form that is about to be shown."""
    return secrets.token_urlsafe(12)


class SentForms:
    """The forms saved by this run of the server, the latest first forgotten last."""

    def __init__(self) -> None:
        self._led_to: OrderedDict[str, str] = OrderedDict()
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
                    self._led_to[number] = onward
                while len(self._led_to) > MOST_REMEMBERED:
                    self._led_to.popitem(last=False)
            return onward
