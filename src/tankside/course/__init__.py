"""Actions, schedule, amounts, hour-by-hour water of every tank, safety checks."""

from tankside.course.actions.course import Course, DayLine
from tankside.course.amounts.amount import PrintedAmount
from tankside.course.amounts.label import LabelEntry, StrengthBasis, Tool, ToolUnit
from tankside.course.bodies.caution import Caution, Level
from tankside.course.bodies.stock import StockGroup
from tankside.course.bodies.system import Aeration, BodyKind, FilterState, InWater, NewWater, System
from tankside.course.bodies.volume import (
    Agreement,
    Volume,
    VolumeRules,
    compare_volumes,
    volume_from_methods,
)
from tankside.course.course_run import CourseRun
from tankside.course.run import run
from tankside.course.safety.counted_day import CountedDay

__all__ = [
    "Aeration",
    "Agreement",
    "BodyKind",
    "Caution",
    "CountedDay",
    "Course",
    "CourseRun",
    "DayLine",
    "FilterState",
    "InWater",
    "LabelEntry",
    "Level",
    "NewWater",
    "PrintedAmount",
    "StockGroup",
    "StrengthBasis",
    "System",
    "Tool",
    "ToolUnit",
    "Volume",
    "VolumeRules",
    "compare_volumes",
    "run",
    "volume_from_methods",
]
