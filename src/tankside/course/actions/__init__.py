"""One module per kind of action; each declares effects, channels and words."""

from tankside.course.actions.air import Air
from tankside.course.actions.bath import Bath
from tankside.course.actions.care_step import CareStep
from tankside.course.actions.change import WaterChange
from tankside.course.actions.check import WRITTEN, Count, ReadingTaken, TakeReading, look_for
from tankside.course.actions.dose import Dose
from tankside.course.actions.feed import Fast, MedicatedFeed, Resume
from tankside.course.actions.light import Light
from tankside.course.actions.media import Carbon, FineFilter, UltraViolet
from tankside.course.actions.removal import removal
from tankside.course.actions.salt import SaltTo, salt_steps
from tankside.course.actions.siphon import Siphon
from tankside.course.actions.titrate import StrengthTest, Titrate
from tankside.course.actions.transfer import Transfer
from tankside.course.actions.warm import Warm

__all__ = [
    "WRITTEN",
    "Air",
    "Bath",
    "Carbon",
    "CareStep",
    "Count",
    "Dose",
    "Fast",
    "FineFilter",
    "Light",
    "MedicatedFeed",
    "ReadingTaken",
    "Resume",
    "SaltTo",
    "Siphon",
    "StrengthTest",
    "TakeReading",
    "Titrate",
    "Transfer",
    "UltraViolet",
    "Warm",
    "WaterChange",
    "look_for",
    "removal",
    "salt_steps",
]
