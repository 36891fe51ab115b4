"""Find a case by the name in its address, among the cases that are served and nowhere else."""

from __future__ import annotations

from pathlib import Path

from fastapi import Request

from tankside.services.shelf import Shelf


def shelf_of(request: Request) -> Shelf:
    """Return where the cases that are served stand."""
    shelf: Shelf = request.app.state.shelf
    return shelf


def find_case(request: Request, file: str) -> Path | str:
    """Return the reference of a case.

    Raises:
        BadInput: E-PATH-02 when there is no such case among them.
    """
    return shelf_of(request).find(file)
