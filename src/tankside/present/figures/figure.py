"""What every figure carries: a chart specification, its sentence and its table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.present.table import Table

Spec = Mapping[str, object]

INK = "currentColor"
WIDTH = 620
PADDING = {"left": 30, "right": 14, "top": 6, "bottom": 6}
"""Room for labels that a page sets in a wider font than the one the chart was measured with."""
CONFIG: Spec = {
    "background": None,
    "aria": False,
    "font": "Noto Sans, system-ui, sans-serif",
    "view": {"stroke": None},
    "axis": {
        "labelColor": INK,
        "titleColor": INK,
        "domainColor": INK,
        "tickColor": INK,
        "gridColor": INK,
        "gridOpacity": 0.15,
        "labelFontSize": 13,
        "titleFontSize": 13,
        "titleFontWeight": "normal",
    },
    "legend": {
        "labelColor": INK,
        "titleColor": INK,
        "labelFontSize": 13,
        "orient": "bottom",
        "title": None,
    },
    "text": {"color": INK, "fontSize": 13},
}
"""Shared look: the ink of the page around it, no own background, nothing told by colour alone."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A chart with the same facts as one sentence and as a table."""

    name: str
    spec: Spec
    sentence: str
    table: Table


def chart(description: str, height: int, layers: list[Spec], **more: object) -> Spec:
    """Return a layered chart specification with the shared look."""
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "description": description,
        "width": WIDTH,
        "padding": PADDING,
        "height": height,
        "config": CONFIG,
        "layer": layers,
        **more,
    }
