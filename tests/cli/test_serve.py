"""The server listens on loopback alone, answers there, and says plainly when it cannot."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from tests.shaped import is_shaped
from typer.testing import CliRunner

from tankside.cli.main import app

LOOPBACK = {"0100007F", "00000000000000000000000001000000"}
LISTENING = "0A"
runner = CliRunner()


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[subprocess.Popen[str], str]]:
    folder = tmp_path_factory.mktemp("served")
    words = [sys.executable, "-c", "from tankside.cli.main import app; app()"]
    running = subprocess.Popen(
        [*words, "serve", str(folder), "--port", "0", "--json"],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    assert running.stdout is not None
    started = json.loads(running.stdout.readline())
    is_shaped(started, "serve")
    for _ in range(100):
        try:
            let_in().open(started["url"], timeout=5).read()
            break
        except urllib.error.URLError:
            time.sleep(0.1)
    yield running, started["url"]
    running.send_signal(signal.SIGINT)
    running.wait(timeout=10)
    running.stdout.close()


def let_in() -> urllib.request.OpenerDirector:
    """Return what keeps the word it is handed at the printed address, as a browser does."""
    return urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))


def port_of(address: str) -> int:
    port = urlsplit(address).port
    assert port is not None
    return port


def listening(pid: int) -> set[str]:
    """Return the hexadecimal addresses on which a process listens, from the kernel's table."""
    sockets = {
        os.readlink(entry).removeprefix("socket:[").removesuffix("]")
        for entry in Path(f"/proc/{pid}/fd").iterdir()
        if os.readlink(entry).startswith("socket:")
    }
    addresses = set()
    for table in ("tcp", "tcp6"):
        for line in Path(f"/proc/net/{table}").read_text().splitlines()[1:]:
            cells = line.split()
            if cells[3] == LISTENING and cells[9] in sockets:
                addresses.add(cells[1].split(":")[0])
    return addresses


@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="needs the kernel's socket table")
def test_it_listens_on_loopback_and_nowhere_else(
    served: tuple[subprocess.Popen[str], str],
) -> None:
    addresses = listening(served[0].pid)
    assert addresses
    assert addresses <= LOOPBACK


def test_it_answers_with_the_headers_and_without_a_server_name(
    served: tuple[subprocess.Popen[str], str],
) -> None:
    with let_in().open(served[1], timeout=5) as answer:
        assert answer.status == 200
        assert "default-src 'none'" in answer.headers["content-security-policy"]
        assert answer.headers["server"] is None


def test_who_did_not_come_in_by_the_printed_address_sees_nothing(
    served: tuple[subprocess.Popen[str], str],
) -> None:
    with pytest.raises(urllib.error.HTTPError, match="403"):
        urllib.request.urlopen(f"http://127.0.0.1:{port_of(served[1])}/", timeout=5)


def test_a_foreign_name_is_refused_through_the_socket(
    served: tuple[subprocess.Popen[str], str],
) -> None:
    port = port_of(served[1])
    for request in (
        b"GET / HTTP/1.1\r\nHost: evil.example\r\n\r\n",
        b"GET http://evil.example/ HTTP/1.1\r\nHost: evil.example\r\n\r\n",
        b"GET / HTTP/1.0\r\n\r\n",
    ):
        with socket.create_connection(("127.0.0.1", port), timeout=5) as line:
            line.sendall(request)
            assert line.recv(64).split()[1] in (b"421", b"400")


def test_a_taken_port_is_told(served: tuple[subprocess.Popen[str], str], tmp_path: Path) -> None:
    port = port_of(served[1])
    result = runner.invoke(app, ["serve", str(tmp_path), "--port", str(port), "--json"])
    assert result.exit_code == 3
    assert json.loads(result.stdout)["error"]["code"] == "E-WEB-06"


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["nowhere"], "E-PATH-02"),
        ([".", "--port", "-1"], "E-RANGE-01"),
        ([".", "--port", "99999"], "E-RANGE-01"),
        ([".", "--port", "x"], "E-CLI-01"),
    ],
)
def test_a_wrong_place_or_port_is_bad_input(words: list[str], code: str) -> None:
    result = runner.invoke(app, ["serve", *words, "--json"])
    assert result.exit_code == 2
    assert json.loads(result.stdout)["error"]["code"] == code
