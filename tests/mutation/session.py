"""One test session that collects once and then forks a process for every planted change."""

from __future__ import annotations

import gc
import inspect
import json
import os
import random
import re
import resource
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from importlib import import_module
from pathlib import Path
from typing import TypedDict

import coverage
import pytest
from hypothesis import Phase, settings
from tests.mutation.mutants import Mutant
from tests.mutation.plant import forget, plant

KILLED, SURVIVED, TIMEOUT = "killed", "survived", "timeout"
_GRACE_S = 10
_LONGEST_S = 5.0
_WORD = re.compile(r"\w+")
_SETS = re.compile(r"^([A-Za-z_]+)(?:: [^=]+)? = ")
Walked = dict[str, dict[str, list[str]]]
"""Which tests walk a line: {file: {line: tests}}."""


class Observed(TypedDict):
    """What one pass over unchanged code saw, as written to a file and read again."""

    walked: Walked
    seconds: dict[str, float]
    failed: list[str]


class Session:
    """A pytest plugin: runs the tests once to see which lines each one walks, then the changes.

    ``results`` holds, for every change, how it ended.
    """

    def __init__(
        self, mutants: Sequence[Mutant], files: Sequence[str], source: Path, workers: int
    ) -> None:
        self.mutants = mutants
        self.files = files
        self.source = source
        self.workers = workers
        self.results: dict[Mutant, str] = {}
        self.problem = ""
        self._failed = False

    def pytest_configure(self) -> None:
        """Draw the same examples every time and do not search for the smallest failing one."""
        phases = (Phase.explicit, Phase.generate)
        settings.register_profile("mutation", derandomize=True, database=None, phases=phases)
        settings.load_profile("mutation")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self._failed = self._failed or report.failed

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if session.testsfailed:
            self.problem = "the tests could not be collected"
            return True
        walked, seconds = self._look(session)
        if self.problem:
            return True
        self._run_all(session, walked, seconds)
        return True

    # One pass over unchanged code -------------------------------------------------------------

    def _look(self, session: pytest.Session) -> tuple[Walked, dict[str, float]]:
        """Return, from a process of its own, {file: {line: tests}} and the seconds of each test."""
        with tempfile.TemporaryDirectory() as place:
            report = Path(place) / "told.json"
            child = os.fork()
            if child == 0:
                _quiet()
                report.write_text(json.dumps(self._observe(session)))
                os._exit(0)
            os.waitpid(child, 0)
            if not report.exists():
                self.problem = "the tests stopped before the end"
                return {}, {}
            observed: Observed = json.loads(report.read_text())
        if observed["failed"]:
            self.problem = "a test fails on unchanged code: " + ", ".join(observed["failed"][:5])
        return observed["walked"], observed["seconds"]

    def _observe(self, session: pytest.Session) -> Observed:
        files = {str(self.source / file): file for file in self.files}
        watch = coverage.Coverage(data_file=None, config_file=False, include=list(files))
        seconds: dict[str, float] = {}
        failed: list[str] = []
        watch.start()
        for item in session.items:
            forget()
            watch.switch_context(item.nodeid)
            began = time.process_time()
            self._failed = False
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
            seconds[item.nodeid] = time.process_time() - began
            if self._failed:
                failed.append(item.nodeid)
        watch.stop()
        data = watch.get_data()
        walked = {
            short: {str(line): [t for t in tests if t] for line, tests in
                    data.contexts_by_lineno(path).items()}
            for path, short in files.items()
        }  # fmt: skip
        return {"walked": walked, "seconds": seconds, "failed": failed}

    # A process for every change ---------------------------------------------------------------

    def _run_all(self, session: pytest.Session, walked: Walked, seconds: dict[str, float]) -> None:
        items = {item.nodeid: item for item in session.items}
        running: dict[int, Mutant] = {}
        done = 0
        gc.freeze()
        texts = {file: (self.source / file).read_text("utf-8").splitlines() for file in walked}
        said = {name: _words_of(item) for name, item in items.items()}
        width = _width(walked)
        for mutant in self.mutants:
            names = _in_turn(_tests_of(mutant, walked, texts, said), seconds, width)
            while len(running) >= self.workers:
                done += self._wait(running, done)
            child = os.fork()
            if child == 0:
                self._try(
                    mutant, [items[name] for name in names], sum(seconds[name] for name in names)
                )
            running[child] = mutant
        while running:
            done += self._wait(running, done)

    def _wait(self, running: dict[int, Mutant], done: int) -> int:
        child, status = os.wait()
        if child not in running:
            return 0
        code = os.waitstatus_to_exitcode(status)
        mutant = running.pop(child)
        self.results[mutant] = SURVIVED if code == 0 else TIMEOUT if code < 0 else KILLED
        if code == 0:
            print(f"  survives  {mutant.name}", flush=True)
        if (done + 1) % 100 == 0:
            print(f"  {done + 1} of {len(self.mutants)}", file=sys.stderr, flush=True)
        return 1

    def _try(self, mutant: Mutant, items: Iterable[pytest.Item], expected_s: float) -> None:
        """Plant the change in this process, run its tests, and end: 1 noticed, 0 not."""
        _quiet()
        limit = int(_GRACE_S + 4 * expected_s)
        resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 2))
        try:
            plant(import_module(_module(mutant.file)), mutant.source)
        except BaseException:
            os._exit(1)
        for item in items:
            forget()
            self._failed = False
            try:
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
            except BaseException:
                os._exit(1)
            if self._failed:
                os._exit(1)
        os._exit(0)


def _module(file: str) -> str:
    return "tankside." + file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def _tests_of(
    mutant: Mutant, walked: Walked, texts: dict[str, list[str]], said: dict[str, set[str]]
) -> list[set[str]]:
    """Return the tests that may notice a change, the likeliest first.

    A statement inside a function: the tests that walk it. One that is walked only when the
    module is loaded: the tests that name what it sets or walk a line naming it, then the same for
    anything the file sets outside functions, then the tests of the whole file.
    """
    lines = walked.get(mutant.file, {})
    walking = _walking(lines, range(mutant.first, mutant.last + 1))
    if walking:
        return [walking]
    text = texts[mutant.file]
    first = set(_SETS.findall(text[mutant.first - 1]))
    every = {name for line in text for name in _SETS.findall(line)}
    return [
        _naming(first, walked, texts, said),
        _naming(every, walked, texts, said),
        {test for tests in lines.values() for test in tests},
    ]


def _naming(
    names: set[str], walked: Walked, texts: dict[str, list[str]], said: dict[str, set[str]]
) -> set[str]:
    """Return the tests that hold one of the names, or walk a line of any file holding it."""
    tests = {test for test, words in said.items() if names & words}
    for file, text in texts.items():
        numbers = [n for n, line in enumerate(text, 1) if names & set(_WORD.findall(line))]
        tests |= _walking(walked.get(file, {}), numbers)
    return tests


def _words_of(item: pytest.Item) -> set[str]:
    assert isinstance(item, pytest.Function)
    return set(_WORD.findall(inspect.getsource(item.function)))


def _walking(lines: dict[str, list[str]], numbers: Iterable[int]) -> set[str]:
    return {test for number in numbers for test in lines.get(str(number), ())}


def _width(walked: Walked) -> dict[str, int]:
    """Return how many lines each test walks: the fewer, the nearer it looks."""
    every = (test for lines in walked.values() for tests in lines.values() for test in tests)
    return Counter(every)


def _in_turn(
    kinds: Iterable[set[str]], seconds: dict[str, float], width: dict[str, int]
) -> list[str]:
    """Order tests by what a test function has cost by then and by how near it looks.

    A function that goes through a list in a hundred quick cases is done with them before a slow
    one begins, and one of a single room before one of a whole course. Together they take at most
    ``_LONGEST_S`` on unchanged code: a change that only a test left out would notice counts as
    one that survives.
    """
    order: list[tuple[int, float, float, str]] = []
    seen: set[str] = set()
    for rank, tests in enumerate(kinds):
        cost: dict[str, float] = defaultdict(float)
        for name in sorted(tests - seen, key=lambda name: seconds[name]):
            function = name.partition("[")[0]
            cost[function] += seconds[name]
            order.append((rank, cost[function] * width[name], seconds[name], name))
        seen |= tests
    spent, kept = 0.0, []
    for *_, each, name in sorted(order):
        if spent + each <= _LONGEST_S:
            spent += each
            kept.append(name)
    return kept


def _quiet() -> None:
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, 1)
    os.dup2(nothing, 2)


def drawn(mutants: Sequence[Mutant], share: float, seed: int) -> Iterator[Mutant]:
    """Yield a seeded sample of the changes, in their order."""
    count = round(share * len(mutants))
    chosen = set(random.Random(seed).sample(range(len(mutants)), count))
    return (mutant for index, mutant in enumerate(mutants) if index in chosen)
