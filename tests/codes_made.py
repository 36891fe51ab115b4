"""Which codes of the register the tests raise: a whole run fails when one is never raised.

A code counts when the program makes a refusal or a caution with it, not when a test does. With
several workers the codes of all are put together. A run of some tests only is not judged;
``--codes`` then lists what it did not raise.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

import tankside
from tankside.course.bodies.caution import Caution
from tankside.errors import Mistake
from tankside.errors.register import REGISTER

SOURCE = str(Path(tankside.__file__).parent)
EVERYTHING = ("", "not slow")
MADE = pytest.StashKey[set[str]]()
NEVER = pytest.StashKey[list[str]]()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--codes", action="store_true", help="list the codes that were not raised")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[MADE] = set()
    config.stash[NEVER] = []
    # A caution is made by its generated __init__, which calls __post_init__: one frame more.
    _watch(config, Mistake, "__init__", up=1)
    _watch(config, Caution, "__post_init__", up=2)


def _watch(config: pytest.Config, made: type, step: str, up: int) -> None:
    """Note the code of each one that the program makes; ``up`` frames up is who makes it."""
    checked = getattr(made, step)

    def note(made: Mistake | Caution, *args: object, **kwargs: object) -> None:
        checked(made, *args, **kwargs)
        if sys._getframe(up).f_code.co_filename.startswith(SOURCE):
            config.stash[MADE].add(made.code)

    setattr(made, step, note)
    config.add_cleanup(lambda: setattr(made, step, checked))


def whole(config: pytest.Config) -> bool:
    """Whether this run was asked for every test of the fast tier."""
    chosen = ("keyword", "deselect", "ignore", "ignore_glob", "lf", "stepwise", "collectonly")
    if any(config.getoption(name, None) for name in chosen):
        return False
    paths = {str(config.rootpath / path) for path in config.getini("testpaths")}
    asked = {str(config.invocation_params.dir / path) for path in config.args}
    return config.getoption("markexpr") in EVERYTHING and asked == paths


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    config = session.config
    told = getattr(config, "workeroutput", None)
    if told is not None:
        raised = config.stash[MADE]
        told["codes"] = sorted(raised)
        return
    config.stash[NEVER] = [name for name in REGISTER if name not in config.stash[MADE]]
    if config.stash[NEVER] and whole(config) and exitstatus == pytest.ExitCode.OK:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    output = getattr(node, "workeroutput", {})
    node.config.stash[MADE].update(output.get("codes", []))


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    never = config.stash[NEVER]
    if never and (config.getoption("--codes") or whole(config)):
        terminalreporter.section("codes that no test raised")
        terminalreporter.line(" ".join(never))
