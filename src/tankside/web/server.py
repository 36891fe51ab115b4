"""Listen on loopback and serve the pages until stopped."""

from __future__ import annotations

import socket
from collections.abc import Callable
from pathlib import Path

import uvicorn

from tankside.errors import BadInput, NotPossible
from tankside.web.app import create_app
from tankside.web.entrance import Entrance
from tankside.web.render import case_url

LOOPBACK = "127.0.0.1"
HIGHEST_PORT = 65535


def serve(place: str, port: int, ready: Callable[[str, Path], None], *, by: str) -> None:
    """Serve a folder of cases, or the folder of one case file, until interrupted.

    Args:
        place: a folder, or a case file in it.
        port: port on loopback; 0 takes a free one.
        ready: told the address to open and the folder once the port is taken.
        by: who is written beside each entry.

    Raises:
        BadInput: E-PATH-02 no such place; E-RANGE-01 no such port.
        NotPossible: E-WEB-06 the port is taken.
    """
    path = Path(place)
    if not path.exists():
        raise BadInput(
            "E-PATH-02",
            "There is no such file or folder.",
            given=place,
            needed="a case file, or a folder with case files",
            next_step="Check the name, or make an example with: tankside demo --out DIR",
            field="case",
        )
    folder = (path if path.is_dir() else path.parent).resolve()
    listening = _listen(port)
    taken: int = listening.getsockname()[1]
    entrance = Entrance(taken)
    app = create_app(folder, entrance, by)
    onward = case_url(path.name) if path.is_file() else "/"
    ready(f"http://{LOOPBACK}:{taken}{entrance.start_address(onward)}", folder)
    config = uvicorn.Config(app, log_level="warning", server_header=False, access_log=False)
    uvicorn.Server(config).run(sockets=[listening])


def _listen(port: int) -> socket.socket:
    if not 0 <= port <= HIGHEST_PORT:
        raise BadInput(
            "E-RANGE-01", "This is not a port number.",
            given=port, needed="0 to 65535", field="port",
            next_step="Leave it out, or take a number such as 8765.",
        )  # fmt: skip
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    # On Windows "reuse" would let two programs take one port; there the port is asked for alone.
    alone = getattr(socket, "SO_EXCLUSIVEADDRUSE", None)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR if alone is None else alone, 1)
    try:
        listening.bind((LOOPBACK, port))
        # Who opens the printed address before the server answers waits; he is not refused.
        listening.listen()
    except OSError as taken:
        listening.close()
        raise NotPossible(
            "E-WEB-06",
            "This port is taken by another program.",
            given=f"{LOOPBACK}:{port} ({taken.strerror})",
            needed="a free port",
            next_step="Add --port with another number, or --port 0 for any free one.",
            field="port",
        ) from None
    return listening
