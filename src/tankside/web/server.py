"""Listen on loopback and serve the pages until stopped."""

from __future__ import annotations

import socket
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from threading import Thread

import uvicorn

from tankside.errors import BadInput, NotPossible
from tankside.records.case_store import read_case
from tankside.records.stored_case import names_file
from tankside.services.at_hand import have_at_hand
from tankside.services.shelf import (
    FolderShelf,
    JournalShelf,
    Shelf,
    begin_journal,
    journal_is_there,
    journal_name,
)
from tankside.web.app import create_app
from tankside.web.entrance import Entrance
from tankside.web.render import case_url
from tankside.web.worker import step_back

LOOPBACK = "127.0.0.1"
HIGHEST_PORT = 65535
SWITCH_S = 0.001
"""How long one page may keep the interpreter while another waits for it [s]."""


def serve(
    place: str, port: int, ready: Callable[[str, str], None], *, by: str, journal: bool = False
) -> None:
    """Serve cases until interrupted.

    Args:
        place: a folder, a case file whose folder is served, or a case of the journal.
        port: port on loopback; 0 takes a free one.
        ready: told the address to open and where the cases stand, once the port is taken.
        by: who is written beside each entry.
        journal: serve the journal of this user in place of a folder; it is begun if need be.

    Raises:
        BadInput: E-PATH-02 no such place; E-CASE-06, E-CASE-07 no such case in the journal;
            E-RANGE-01 no such port.
        NotPossible: E-WEB-06 the port is taken; E-DB-05 to E-DB-09 the journal cannot be used.
    """
    if journal:
        begin_journal()
    served = _of_journal("/") if journal else _named(place)
    listening = _listen(port)
    taken: int = listening.getsockname()[1]
    entrance = Entrance(taken)
    app = create_app(served.shelf, entrance, by)
    Thread(target=_ahead, daemon=True).start()
    ready(f"http://{LOOPBACK}:{taken}{entrance.start_address(served.onward)}", served.where)
    sys.setswitchinterval(SWITCH_S)
    config = uvicorn.Config(app, log_level="warning", server_header=False, access_log=False)
    uvicorn.Server(config).run(sockets=[listening])


def _ahead() -> None:
    step_back()
    have_at_hand()


@dataclass(frozen=True, slots=True)
class _Served:
    shelf: Shelf
    onward: str
    where: str


def _named(place: str) -> _Served:
    """Return what a word of the command line names: a file or folder that is there comes first."""
    path = Path(place)
    if path.exists():
        folder = (path if path.is_dir() else path.parent).resolve()
        return _Served(
            FolderShelf(folder), case_url(path.name) if path.is_file() else "/", str(folder)
        )
    if not names_file(place) and journal_is_there():
        return _of_journal(case_url(str(read_case(place).reference)))
    raise BadInput(
        "E-PATH-02",
        "There is no such file or folder.",
        given=place,
        needed="a case file, a folder with case files, or a case of the journal",
        next_step="Check the name, or make an example with: tankside demo --out DIR",
        field="case",
    )


def _of_journal(onward: str) -> _Served:
    return _Served(JournalShelf(), onward, f"the journal {journal_name()}")


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
