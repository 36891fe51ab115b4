"""No more of a request is read than a form may hold, whatever length it claims."""

from __future__ import annotations

from starlette.types import Message, Receive

LARGEST_FORM = 12_000_000
"""Bytes: a photo of a phone and its form; text alone is far below."""


def bounded(receive: Receive) -> Receive:
    """Return a receiver that ends the request once it has grown too large.

    The guard refuses what says that it is too large; this holds those that do not say so.
    """
    read = 0

    async def receive_bounded() -> Message:
        nonlocal read
        message = await receive()
        read += len(message.get("body", b""))
        return {"type": "http.disconnect"} if read > LARGEST_FORM else message

    return receive_bounded
