"""What the reckoner reads once: the knowledge files by its own reader, and by the program's."""

from __future__ import annotations

import pytest
from tests.reckoner.printed_rates import Shelf, read_shelf

from tankside.claims import Knowledge
from tankside.library import load


@pytest.fixture(scope="session")
def shelf() -> Shelf:
    return read_shelf()


@pytest.fixture(scope="session")
def facts() -> Knowledge:
    return load()
