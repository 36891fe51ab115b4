"""Every test of the journal runs on both databases: a SQLite file and a real PostgreSQL server."""

from __future__ import annotations

import resource
import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from tests.records.postgresql import Cluster, running_cluster

from tankside.records.journal.place import VARIABLE, JournalPlace, journal_place

DATABASES = ("sqlite", "postgresql")


@pytest.fixture(scope="session")
def cluster() -> Iterator[Cluster]:
    """Give a running PostgreSQL server; where none is installed the test fails."""
    with running_cluster() as running:
        yield running


@pytest.fixture
def sqlite_place(tmp_path: Path) -> JournalPlace:
    return journal_place(tmp_path / "data" / "journal.db")


@pytest.fixture(params=DATABASES)
def place(
    request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> JournalPlace:
    """Give an empty place on each database, which commands use too."""
    if request.param == "sqlite":
        text = str(tmp_path / "data" / "journal.db")
    else:
        text = request.getfixturevalue("cluster").new_url()
    monkeypatch.setenv(VARIABLE, text)
    return journal_place(text)


@pytest.fixture
def full_disk() -> Iterator[Callable[[int], None]]:
    """Let no file grow beyond some bytes, as a full disk would not."""
    old = resource.getrlimit(resource.RLIMIT_FSIZE)
    ignored = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    yield lambda size: resource.setrlimit(resource.RLIMIT_FSIZE, (size, old[1]))
    resource.setrlimit(resource.RLIMIT_FSIZE, old)
    signal.signal(signal.SIGXFSZ, ignored)
