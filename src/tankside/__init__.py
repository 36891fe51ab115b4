"""Tankside: a case workbench for ornamental-fish health.

What stands in ``__all__`` is the public surface: read and write a case, rank, water, dose, courses,
day card, forecast, follow-up, claims. A name, a type or a unit of it changes only with a note in
the changelog; everything else may change at any time. Nothing is imported before it is asked for.

    import tankside

    call = tankside.Opening("Elm Road", "M. Vell", "fresh", "Europe/London")
    tankside.new_case("elm.jsonl", call, by="me")
    tankside.add_entry("elm.jsonl", "finding", ["spots_visible=yes", "flashing=frequent"], by="me")
    tankside.what_fits("elm.jsonl").differential.ranking.order()[0]
"""

import importlib
import os
from typing import TYPE_CHECKING

# Matrices here are small: threads of the linear algebra would wait longer than they work.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

if TYPE_CHECKING:
    from tankside.errors import BadInput, Mistake, NotPossible
    from tankside.intake.dose_request import DoseRequest
    from tankside.intake.follow_setup import FollowRequest
    from tankside.intake.forecast_setup import ForecastRequest
    from tankside.intake.plan_setup import PlanRequest
    from tankside.records.case_store import read_case
    from tankside.services.care import care_for
    from tankside.services.cases import Opening, export_case, new_case
    from tankside.services.cases import add_words as add_entry
    from tankside.services.comparison import choose_course
    from tankside.services.differential_case import differential_of as what_fits
    from tankside.services.dose import work_out as dose
    from tankside.services.follow import follow as follow_up
    from tankside.services.forecast import forecast
    from tankside.services.knowledge import look_up, rivals
    from tankside.services.plan import plan as compare_courses
    from tankside.services.today import today as day_card
    from tankside.services.water import ammonia, carbon_dioxide, nitrite, oxygen

__all__ = [
    "BadInput",
    "DoseRequest",
    "FollowRequest",
    "ForecastRequest",
    "Mistake",
    "NotPossible",
    "Opening",
    "PlanRequest",
    "add_entry",
    "ammonia",
    "carbon_dioxide",
    "care_for",
    "choose_course",
    "compare_courses",
    "day_card",
    "dose",
    "export_case",
    "follow_up",
    "forecast",
    "look_up",
    "new_case",
    "nitrite",
    "oxygen",
    "read_case",
    "rivals",
    "what_fits",
]

_FROM = {
    "errors": {name: name for name in ("BadInput", "Mistake", "NotPossible")},
    "intake.dose_request": {"DoseRequest": "DoseRequest"},
    "intake.follow_setup": {"FollowRequest": "FollowRequest"},
    "intake.forecast_setup": {"ForecastRequest": "ForecastRequest"},
    "intake.plan_setup": {"PlanRequest": "PlanRequest"},
    "records.case_store": {"read_case": "read_case"},
    "services.care": {"care_for": "care_for"},
    "services.cases": {
        "Opening": "Opening",
        "add_entry": "add_words",
        "export_case": "export_case",
        "new_case": "new_case",
    },
    "services.differential_case": {"what_fits": "differential_of"},
    "services.dose": {"dose": "work_out"},
    "services.follow": {"follow_up": "follow"},
    "services.forecast": {"forecast": "forecast"},
    "services.knowledge": {"look_up": "look_up", "rivals": "rivals"},
    "services.comparison": {"choose_course": "choose_course"},
    "services.plan": {"compare_courses": "plan"},
    "services.today": {"day_card": "today"},
    "services.water": {name: name for name in ("ammonia", "carbon_dioxide", "nitrite", "oxygen")},
}
_PLACES = {
    name: (f"tankside.{module}", there)
    for module, names in _FROM.items()
    for name, there in names.items()
}


def __getattr__(name: str) -> object:
    """Import a name of the public surface when it is first asked for."""
    if name not in _PLACES:
        raise AttributeError(f"module 'tankside' has no attribute {name!r}")
    module, there = _PLACES[name]
    value: object = getattr(importlib.import_module(module), there)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """Name what is public."""
    return sorted(__all__)
