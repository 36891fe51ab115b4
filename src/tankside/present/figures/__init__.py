"""Figures as data: a chart, the sentence that says the same, and the table behind it."""

from tankside.present.figures.ahead import Clearing, forecast_chart
from tankside.present.figures.fan import Band, Seen, fan
from tankside.present.figures.figure import Figure
from tankside.present.figures.gantt import course_chart
from tankside.present.figures.on_paper import as_file
from tankside.present.figures.stages import StageDays, stage_areas
from tankside.present.figures.svg import as_svg

__all__ = [
    "Band",
    "Clearing",
    "Figure",
    "Seen",
    "StageDays",
    "as_file",
    "as_svg",
    "course_chart",
    "fan",
    "forecast_chart",
    "stage_areas",
]
