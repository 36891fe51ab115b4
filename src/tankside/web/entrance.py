"""Who may come in: the person who started the server, by the address it printed.

Every program of this machine reaches a loopback port, other people's too. So the server makes a
random word at its start; the printed address hands it over once, as a cookie that scripts cannot
read and other sites cannot send, and every page but the emergency card asks for it.
"""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie

START = "/start/"
OPEN = ("/emergency", "/emergency.pdf", "/static/")
"""What needs no word: it shows nothing of a case."""


def new_word() -> str:
    """Return a word that cannot be guessed."""
    return secrets.token_urlsafe(32)


@dataclass(frozen=True, slots=True)
class Entrance:
    """The word of one run of the server.

    Args:
        port: browsers send cookies to every port of a host, so the port is part of their name.
        word: what the printed address holds.
    """

    port: int
    word: str = field(default_factory=new_word)

    @property
    def cookie(self) -> str:
        """The name of the cookie."""
        return f"tankside-{self.port}"

    @property
    def set_cookie(self) -> str:
        """The header value that hands the word to a browser."""
        return f"{self.cookie}={self.word}; HttpOnly; SameSite=Strict; Path=/"

    def start_address(self, onward: str) -> str:
        """Return the path that lets a browser in and leads to a page.

        Args:
            onward: path of that page.
        """
        return f"{START}{self.word}?to={onward}"

    def opens(self, path: str) -> bool:
        """Tell whether the path needs no cookie."""
        return path == OPEN[0] or path == OPEN[1] or path.startswith((OPEN[2], START))

    def is_word(self, shown: str) -> bool:
        """Compare a word in a time that does not depend on it."""
        return hmac.compare_digest(shown.encode(), self.word.encode())

    def lets_in(self, cookies: bytes) -> bool:
        """Tell whether the cookie header holds the word."""
        try:
            jar = SimpleCookie(cookies.decode("latin-1"))
        except CookieError:
            return False
        return self.cookie in jar and self.is_word(jar[self.cookie].value)
