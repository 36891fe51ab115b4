"""Pages of a running server, timed from outside while courses are being compared beside them."""

from __future__ import annotations

import gzip
import http.client
import json
import os
import re
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Event, Thread
from urllib.parse import urlencode, urlsplit

from tankside.bench.records_journal import write_journal
from tankside.records.case_store import read_case
from tankside.records.journal.place import VARIABLE
from tankside.services.cases import Opening, add_words, new_case

CASE, BUSY = "elm", "busy"
TYPED = (
    ("system", "inside-length=118 cm", "inside-width=38 cm", "water-height=41 cm",
     "takes-away=11 L gravel", "hose=14 L/min for 12 min", "tap=none"),
    ("stock", "name=cardinal tetra", "count=12", "length=3 cm"),
    ("water", "temperature=25.5 C", "ph=7.4", "oxygen=7.2 mg/L"),
    ("finding", "spots_visible=yes", "spot_size=grain", "flashing=frequent"),
    ("suspected", "condition=white spot", "shown-by=eye"),
)  # fmt: skip
"""A case that is ready for a comparison of courses."""
REFERENCE = "emergency card"
"""The page that everything else is held to: it is made once and needs no case."""
ENTRIES_EACH = 12
AT_ONCE = 40
"""Loads of one page that are asked for together while the emergency card is."""
PAGES = ("story", "tank", "water", "look", "fits", "enter", "enter/water")
PATIENCE_S = 300.0
STATIC = re.compile(r"/static/[\w./-]+")


@dataclass(frozen=True, slots=True)
class PageFigure:
    """One measured figure.

    Args:
        name: what was measured.
        value: the figure.
        unit: s or kB.
    """

    name: str
    value: float
    unit: str


@dataclass(slots=True)
class Visitor:
    """A browser as far as a server sees it: one connection, and the cookie it was handed."""

    connection: http.client.HTTPConnection
    cookie: str = ""

    def beside(self) -> Visitor:
        """Return another connection of the same browser."""
        other = http.client.HTTPConnection(
            self.connection.host, self.connection.port, timeout=PATIENCE_S
        )
        return Visitor(other, self.cookie)

    def ask(self, path: str, form: dict[str, str] | None = None) -> tuple[bytes, float]:
        """Return what a page sends, and how long it took [s]."""
        origin = f"http://{self.connection.host}:{self.connection.port}"
        headers = {"cookie": self.cookie, "origin": origin, "accept-encoding": "gzip"}
        body = None
        if form is not None:
            headers["content-type"] = "application/x-www-form-urlencoded"
            body = urlencode(form)
        began = time.perf_counter()
        self.connection.request("GET" if form is None else "POST", path, body, headers)
        answer = self.connection.getresponse()
        sent = answer.read()
        seconds = time.perf_counter() - began
        if answer.status >= http.HTTPStatus.BAD_REQUEST:
            raise RuntimeError(f"{path}: {answer.status} {sent[:300]!r}")
        self.cookie = (answer.getheader("set-cookie") or self.cookie).partition(";")[0]
        return sent, seconds


@dataclass(frozen=True, slots=True)
class BenchCases:
    """Addresses of the case that is looked at and of the one that keeps the server busy."""

    looked_at: str
    busy: str


def measure(cases: int, rounds: int) -> list[PageFigure]:
    """Return times and sizes of the pages of a journal of cases.

    Args:
        cases: how many cases the journal holds.
        rounds: how often each page is asked for.
    """
    with tempfile.TemporaryDirectory() as place:
        made = _fill(Path(place), cases)
        with _served(Path(place)) as visitor:
            return [
                *_plan(visitor, made),
                *_pages(visitor, made, rounds),
                *_emergency(visitor, made, rounds),
                *_sizes(visitor, made),
            ]


def _fill(folder: Path, cases: int) -> BenchCases:
    """Make a journal with a case to look at, one that keeps the server busy, and many others."""
    os.environ[VARIABLE] = str(write_journal(folder, cases - 2, ENTRIES_EACH))
    opening = Opening("Elm Road", "M. Vell", "fresh", "Europe/London")
    for name in (CASE, BUSY):
        new_case(name, opening, by="bench")
        for kind, *words in TYPED:
            add_words(name, kind, words, by="bench")
    add_words(BUSY, "note", ("text=busy",), by="bench")
    return BenchCases(*(f"/case/{read_case(name).reference}" for name in (CASE, BUSY)))


@contextmanager
def _served(folder: Path) -> Iterator[Visitor]:
    words = [sys.executable, "-c", "from tankside.cli.main import app; app()"]
    running = subprocess.Popen(
        [*words, "serve", "--journal", "--port", "0", "--json"],
        stdout=subprocess.PIPE,
        text=True,
        cwd=folder,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    assert running.stdout is not None
    try:
        start = urlsplit(json.loads(running.stdout.readline())["url"])
        connection = http.client.HTTPConnection(str(start.hostname), start.port, timeout=PATIENCE_S)
        visitor = Visitor(connection)
        visitor.ask(f"{start.path}?{start.query}")
        yield visitor
    finally:
        running.send_signal(signal.SIGINT)
        running.wait(timeout=30)
        running.stdout.close()


def _plan(visitor: Visitor, made: BenchCases) -> Iterator[PageFigure]:
    """Time the comparison of courses: until a rough answer stands on its page, and the whole.

    It is asked for as a person comes to it, after the list, the case and what fits.
    """
    plans = f"{made.looked_at}/plans"
    _, first = visitor.ask("/")
    yield PageFigure("list of cases, read for the first time", first, "s")
    for before in ("story", "fits"):
        visitor.ask(f"{made.looked_at}/{before}")
    began = time.perf_counter()
    rough = 0.0
    while True:
        page, _ = visitor.ask(plans)
        text = gzip.decompress(page)
        if b"ROUGH" in text and not rough:
            rough = time.perf_counter() - began
        if b"data-work" not in text:
            break
        time.sleep(0.05)
    whole = time.perf_counter() - began
    yield PageFigure("first rough comparison of courses", rough or whole, "s")
    yield PageFigure("whole comparison of courses", whole, "s")


def _pages(visitor: Visitor, made: BenchCases, rounds: int) -> Iterator[PageFigure]:
    """Time each page while another case is being compared."""
    with _kept_busy(visitor.beside(), made.busy):
        for name, path in (
            (REFERENCE, "/emergency"),
            ("list of cases", "/"),
            ("list of cases, searched", "/?q=willow"),
            *((page, f"{made.looked_at}/{page}") for page in PAGES),
        ):
            yield PageFigure(name, _slowest(visitor, path, rounds), "s")
        tap = {"sample": "skin_scrape", "alive": "yes", "f.m_big_ciliate": "crescent_nucleus"}
        ahead = _slowest(visitor, f"{made.looked_at}/look/scrape/ahead", rounds, tap)
        yield PageFigure("what fits after a tap", ahead, "s")


@contextmanager
def _kept_busy(other: Visitor, busy: str) -> Iterator[None]:
    """Have courses compared for another case all the while; told more when that is done."""
    over = Event()

    def ask() -> None:
        while not over.wait(0.5):
            page, _ = other.ask(f"{busy}/plans")
            if b"data-work" not in gzip.decompress(page):
                add_words(BUSY, "note", ("text=busy",), by="bench")

    other.ask(f"{busy}/plans")
    asking = Thread(target=ask)
    asking.start()
    try:
        yield
    finally:
        over.set()
        asking.join()


def _slowest(visitor: Visitor, path: str, rounds: int, form: dict[str, str] | None = None) -> float:
    """Return the time within which 95 % of the answers come [s], the first of all left out."""
    visitor.ask(path, form)
    times = sorted(visitor.ask(path, form)[1] for _ in range(rounds))
    return statistics.quantiles(times, n=20)[-1] if rounds > 1 else times[0]


def _emergency(visitor: Visitor, made: BenchCases, rounds: int) -> Iterator[PageFigure]:
    """Time the emergency card while one page of a case is asked for many times at once."""
    page = f"{made.looked_at}/fits"
    with ThreadPoolExecutor(AT_ONCE) as pool:
        loads = [pool.submit(visitor.beside().ask, page) for _ in range(AT_ONCE)]
        times: list[float] = []
        while len(times) < rounds or not all(load.done() for load in loads):
            times.append(visitor.ask("/emergency")[1])
        for load in loads:
            load.result()
    name = f"{REFERENCE} beside {AT_ONCE} loads of what fits"
    yield PageFigure(name, statistics.quantiles(times, n=20)[-1], "s")


def _sizes(visitor: Visitor, made: BenchCases) -> Iterator[PageFigure]:
    """Return what the largest page sends the first time with its files, and without them."""
    sizes = []
    for page in PAGES:
        sent, _ = visitor.ask(f"{made.looked_at}/{page}")
        files = set(STATIC.findall(gzip.decompress(sent).decode()))
        whole = len(sent) + sum(len(visitor.ask(file)[0]) for file in files)
        sizes.append((whole, len(sent), page))
    first, again = max(sizes), max(sizes, key=lambda size: size[1])
    yield PageFigure(f"most sent for a page the first time ({first[2]})", first[0] / 1000, "kB")
    yield PageFigure(f"most sent for a page after that ({again[2]})", again[1] / 1000, "kB")
