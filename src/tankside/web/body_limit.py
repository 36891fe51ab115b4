"""No more of a request is read than its page may be sent, whatever length it claims."""

from __future__ import annotations

from starlette.types import Message, Receive

LARGEST_FORM = 2_000_000
"""Bytes of a form that is typed."""
LARGEST_UPLOAD = 15_500_000
"""Bytes of a form that comes with a picture: the largest file that is taken, and what is typed."""
UPLOADS = "/photos"
"""How the address of a page ends that takes files."""


def largest(path: str) -> int:
    """Return how many bytes may be sent to an address."""
    return LARGEST_UPLOAD if path.endswith(UPLOADS) else LARGEST_FORM


def bounded(receive: Receive, path: str) -> Receive:
    """Return a receiver that ends the request once it has grown too large.

    The guard refuses what says that it is too large; this holds those that do not say so.

    Args:
        receive: the receiver of the request.
        path: its address.
    """
    read = 0

    async def receive_bounded() -> Message:
        nonlocal read
        message = await receive()
        read += len(message.get("body", b""))
        return {"type": "http.disconnect"} if read > largest(path) else message

    return receive_bounded
