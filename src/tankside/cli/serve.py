"""``tankside serve``: the workbench in a browser on this machine."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from tankside.terminal.output import answer

if TYPE_CHECKING:
    from pathlib import Path

PORT = 8765


def command(
    case: Annotated[
        str, typer.Argument(metavar="CASE", help="a case file, or a folder of case files")
    ] = ".",
    port: Annotated[int, typer.Option(help="port on 127.0.0.1; 0 takes a free one")] = PORT,
    json: Annotated[bool, typer.Option("--json", help="print the address as JSON")] = False,
) -> None:
    """Show cases in a browser, read only, on 127.0.0.1 only. Stop it with Ctrl-C.

    Nothing is sent anywhere and nothing is changed.
    """

    def ready(address: str, folder: Path) -> None:
        text = f"Cases of {folder}\nOpen {address}\nStop with Ctrl-C."
        answer({"url": address, "folder": str(folder)}, text, as_json=json)

    from tankside.web.server import serve

    serve(case, port, ready)
