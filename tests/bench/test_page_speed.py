"""``tankside bench page``: its shape, and that it asks a real server for real pages."""

from __future__ import annotations

import json

import pytest

from tankside.bench import page, page_speed
from tankside.bench.page_speed import REFERENCE, PageFigure, measure


def test_it_prints_the_documented_figures(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    figures = [
        PageFigure(REFERENCE, 0.01, "s"),
        PageFigure("fits", 0.05, "s"),
        PageFigure("most sent", 120.0, "kB"),
    ]
    monkeypatch.setattr(page_speed, "measure", lambda cases, rounds: figures)
    page.command(cases=2, rounds=1, as_json=True)
    least, fits, most = json.loads(capsys.readouterr().out)["figures"]
    assert least == {
        "name": REFERENCE, "value": 0.01, "unit": "s", "reference": "", "ratio": None
    }  # fmt: skip
    assert (fits["reference"], fits["ratio"]) == (REFERENCE, pytest.approx(5))
    assert (most["value"], most["ratio"]) == (120.0, None)


@pytest.mark.slow
def test_every_page_is_small_and_none_is_kept_waiting_by_a_comparison() -> None:
    """Sizes are bounds of the workbench; times are held to the emergency card of the same run."""
    figures = {figure.name: figure for figure in measure(30, 10)}
    sizes = [figure.value for figure in figures.values() if figure.unit == "kB"]
    assert len(sizes) == 2
    first, again = sizes
    assert first < 300
    assert again < 60
    assert figures["what fits after a tap"].value < 0.5 + 50 * figures[REFERENCE].value
