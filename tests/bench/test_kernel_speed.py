"""Rounds in turn, and the middle of each."""

from __future__ import annotations

from collections.abc import Callable

from tankside.bench.kernel_speed import rounds


def test_jobs_take_turns_and_the_middle_round_counts() -> None:
    done: list[str] = []
    now = [0.0]
    first = {"slow": iter((5.0, 1.0, 9.0)), "quick": iter((0.1, 0.3, 0.2))}

    def job(name: str) -> Callable[[], None]:
        def run() -> None:
            done.append(name)
            now[0] += next(first[name])

        return run

    middle = rounds({name: job(name) for name in first}, 3, lambda: now[0])
    assert done == ["slow", "quick"] * 3
    assert round(middle["slow"], 9) == 5.0
    assert round(middle["quick"], 9) == 0.2
