"""What cannot be worked out, as a piece of a page in place of an answer."""

from __future__ import annotations

from tankside.errors import Mistake
from tankside.present.blocks import Words


def refused_block(mistake: Mistake) -> Words:
    """Return a mistake with its next step as one piece, its code in front."""
    return Words(mistake.message, (mistake.next_step,), mistake.code)
