"""A real PostgreSQL server for the tests: a cluster of its own, gone when they end.

Without a server's programs the tests fail; ``.ci/setup`` installs them.
"""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count
from pathlib import Path

PLACES = ("/usr/lib/postgresql/*/bin", "/usr/local/pgsql/bin", "/opt/homebrew/opt/postgresql*/bin")
SETTINGS = "-c fsync=off -c listen_addresses= -c max_connections=60 -c log_min_messages=fatal"
UNPRIVILEGED = "postgres"


class NoServer(RuntimeError):
    """PostgreSQL is not installed on this machine."""


@dataclass
class Cluster:
    """A running server; ``new_url`` makes an empty database in it."""

    folder: Path
    bin: Path

    def __post_init__(self) -> None:
        self._numbers = count(1)

    def new_url(self) -> str:
        name = f"journal_{next(self._numbers)}"
        self.sql(f"CREATE DATABASE {name}")
        return self.url(name)

    def url(self, database: str, user: str = "keeper_of_tables") -> str:
        return f"postgresql://{user}@/{database}?host={self.folder}"

    def sql(self, words: str, database: str = "postgres") -> str:
        command = [str(self.bin / "psql"), "-qAt", "-v", "ON_ERROR_STOP=1", "-h", str(self.folder)]
        done = subprocess.run(
            [*command, "-U", "keeper_of_tables", "-d", database, "-c", words],
            capture_output=True, text=True, check=True,
        )  # fmt: skip
        return done.stdout.strip()


def programs() -> Path:
    """Return the folder with the programs of the newest server."""
    on_path = shutil.which("initdb")
    if on_path:
        return Path(on_path).resolve().parent
    there = [path for place in PLACES for path in Path("/").glob(place[1:] + "/initdb")]
    if not there:
        raise NoServer("PostgreSQL is not installed; .ci/setup says what the tests need")
    return max(there, key=lambda path: path.parts).parent


def _as_nobody_special() -> list[str]:
    """Return the words that start a server as somebody else: it refuses to run as root."""
    if os.geteuid():
        return []
    # It stands where a search path that was cut short does not look.
    runuser = shutil.which("runuser", path=f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin")
    return [runuser or "runuser", "-u", UNPRIVILEGED, "--"]


@contextmanager
def running_cluster() -> Iterator[Cluster]:
    """Start a server in a folder of its own and stop it again."""
    folder = Path(tempfile.mkdtemp(prefix="pg"))
    folder.chmod(0o755)
    who = _as_nobody_special()
    if who:
        account = pwd.getpwnam(UNPRIVILEGED)
        os.chown(folder, account.pw_uid, account.pw_gid)
    cluster = Cluster(folder, programs())

    def run(program: str, *words: str) -> None:
        subprocess.run(
            [*who, str(cluster.bin / program), *words],
            check=True, cwd=folder, stdout=subprocess.DEVNULL,
        )  # fmt: skip

    data = str(folder / "data")
    try:
        run("initdb", "-D", data, "-U", "keeper_of_tables", "-A", "trust", "-E", "UTF8", "-N",
            "--locale=C.UTF-8")  # fmt: skip
        settings = f"{SETTINGS} -k {folder}"
        run("pg_ctl", "-D", data, "-w", "-s", "-o", settings, "-l", str(folder / "log"), "start")
        yield cluster
    finally:
        if Path(data).exists():
            run("pg_ctl", "-D", data, "-s", "-m", "immediate", "stop")
        shutil.rmtree(folder, ignore_errors=True)
