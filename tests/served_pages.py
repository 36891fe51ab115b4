"""The pages as a browser sees them that came in by the printed address."""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from tankside.services.shelf import FolderShelf
from tankside.web.app import create_app
from tankside.web.entrance import Entrance

PORT = 8765
RENEWS = 'http-equiv="refresh"'
"""What a page holds that waits for its answer, for a browser without scripts."""
BASE = f"http://127.0.0.1:{PORT}"


def served(folder: Path, *, raises: bool = True) -> TestClient:
    """Return a client of the pages of a folder.

    Args:
        folder: where the case files are.
        raises: whether a fault of the program is raised in place of answered.
    """
    entrance = Entrance(PORT)
    client = TestClient(
        create_app(FolderShelf(folder), entrance, "test"),
        base_url=BASE,
        raise_server_exceptions=raises,
    )
    client.headers["origin"] = BASE
    client.cookies.set(entrance.cookie, entrance.word)
    return client
