"""``tankside serve``: the workbench in a browser on this machine."""

from __future__ import annotations

import webbrowser
from typing import Annotated

import typer

from tankside.cli.account import who_types
from tankside.terminal.output import answer

PORT = 8765


def command(
    case: Annotated[
        str,
        typer.Argument(
            metavar="CASE", help="a case file, a folder of case files, or a case of the journal"
        ),
    ] = ".",
    journal: Annotated[
        bool, typer.Option("--journal", help="all cases of the journal, in place of a folder")
    ] = False,
    port: Annotated[int, typer.Option(help="port on 127.0.0.1; 0 takes a free one")] = PORT,
    no_open: Annotated[
        bool, typer.Option("--no-open", help="print the address, open no browser")
    ] = False,
    by: Annotated[str | None, typer.Option(help="who makes the entries; your login name")] = None,
    json: Annotated[
        bool, typer.Option("--json", help="print the address as JSON, open no browser")
    ] = False,
) -> None:
    """Work on cases in a browser, on 127.0.0.1 only. Stop it with Ctrl-C.

    Nothing is sent anywhere. Only a browser that opens the printed address is let in.
    """

    def ready(address: str, where: str) -> None:
        text = f"Cases of {where}\nOpen {address}\nStop with Ctrl-C."
        answer({"url": address, "folder": where}, text, as_json=json)
        if not (no_open or json):
            webbrowser.open(address)

    from tankside.web.server import serve

    serve(case, port, ready, by=who_types(by), journal=journal)
