"""Actions, schedule, amounts, hour-by-hour water of every tank, safety checks."""

from tankside.course.caution import Caution, Level
from tankside.course.course import Amount, CountedDay, Course, CourseRun, DayLine
from tankside.course.label import LabelEntry, StrengthBasis, Tool, ToolUnit
from tankside.course.run import run
from tankside.course.stock import StockGroup
from tankside.course.system import (
    Aeration,
    BodyKind,
    FilterState,
    InWater,
    NewWater,
    System,
)
from tankside.course.volume import (
    Agreement,
    Volume,
    VolumeRules,
    compare_volumes,
    volume_from_methods,
)

__all__ = [
    "Aeration",
    "Agreement",
    "Amount",
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
