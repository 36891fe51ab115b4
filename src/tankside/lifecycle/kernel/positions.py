"""Positions of fixed meaning in the arrays of the layout: columns, flags and random streams.

The compiled loop takes them as plain whole numbers: ``SEARCH = int(Column.SEARCH)``.
"""

from __future__ import annotations

from enum import IntEnum, auto


class Position(IntEnum):
    """Members numbered from 0."""

    @staticmethod
    def _generate_next_value_(name: str, start: int, count: int, last_values: list[int]) -> int:
        del name, start, last_values
        return count


class Column(Position):
    """Columns of the values each history carries (array V)."""

    HOST_RESIDENCE = auto()  # unit of the host clock
    SPREAD_OF_SUSCEPTIBILITY = auto()  # shape of the gamma (1 / CV squared); 0 = all alike
    OFFSPRING = auto()  # mean swimmers per bottom stage that finishes
    OFFSPRING_SHAPE = auto()  # negative binomial shape; 0 = always the same number
    SEARCH = auto()  # litres per hour searched by a swimmer per fish of relative area 1
    ESTABLISH = auto()  # share of contacts that settle
    SWIMMER_DEATH = auto()  # per hour at reference temperature
    SWIMMER_FADING = auto()  # loss of infectivity, per hour
    SALT_HALF = auto()  # g/L at which half of a release fails; 0 = no effect
    SALT_STEEPNESS = auto()
    HATCH_FROM = auto()  # C, no release at or below
    HATCH_FULL = auto()  # C, full release from here
    HATCH_TOP = auto()  # C, release halves here
    HATCH_SHARE = auto()  # share that releases inside the plateau
    LETHAL_SLOPE = auto()
    HARM_GROWTH = auto()  # share of the harm of a parasite that grows with its age
    DAMAGE_KEPT = auto()  # part of the damage of a fish that has not healed after an hour
    HAZARD = auto()  # deaths per hour far above the lethal burden (hazard law)
    IMMUNE_ONSET = auto()  # unit of the immune clock
    IMMUNE_COLD = auto()  # share of contacts refused in the cold
    IMMUNE_WARM = auto()  # share of contacts refused in the warm
    IMMUNE_PRIOR = auto()  # parasites settled before immunity starts
    CAP = auto()  # most parasites per unit relative area; 0 = none
    UNSEEN_LEFT = auto()  # part of its residence time left when a parasite becomes visible
    UV_KILL = auto()  # share of swimmers killed per pass
    FILTER_CATCH = auto()  # share caught per pass through a fine filter
    IN_BRACKET = auto()  # where in the low-high bracket of residues (0 to 1)
    SHARE_IN_RANGE = auto()  # where in the low-high range of shares removed (0 to 1)
    DEAD_EARLY = auto()  # part of its residence time left at which one still leaves a dead fish
    DEAD_SHARE = auto()  # share of those that leave it alive
    BIRTH = auto()  # rated stage: young on the same fish, per hour at factor 1
    LOSS = auto()  # rated stage: losses per hour at factor 1
    LAY = auto()  # rated stage: eggs per hour at factor 1
    TRANSFER = auto()  # rated stage: moves to another fish, per hour
    FED_REFUSED = auto()  # share of contacts refused while a feed lasts that hinders settling
    IMMUNE_LOSS = auto()  # rated stage: extra losses per hour on an immune fish
    SPREAD_OF_ATTRACTION = auto()  # shape of the gamma of contacts between fish; 0 = all alike
    BOTTOM_RESIDENCE = auto()  # first bottom stage; the others follow


class Flag(Position):
    """Positions in the array of switches."""

    STAGES = auto()  # bottom stages
    TIMED_HOST = auto()
    RATED_HOST = auto()
    SWIMMERS = auto()
    DEATH_LAW = auto()  # DeathLaw
    HOST_REMOVAL = auto()  # something kills on the fish
    LOOK_AT_SPOTS = auto()
    RIPEN = auto()  # the timed stage on the fish becomes the rated one instead of leaving
    FED = auto()  # some feed hinders settling
    LAST_PULSE = auto()  # hour of the last swimmers that come from elsewhere, -1 for none
    EXACT_START = auto()  # starting numbers are not scattered
    PART_LEAVES_DEAD = auto()  # only the older parasites leave a dead fish


class DeathLaw(Position):
    """How a fish dies (flag DEATH_LAW)."""

    NONE = auto()
    HAZARD = auto()  # chance per hour by what it carries now
    DAMAGE = auto()  # damage by parasites that grow passes a threshold


class Stream(IntEnum):
    """Random streams of one history (array keys); a number once taken stays, 1 to 3 are free."""

    TRAITS = 0
    BROOD = 4
    CONTACT = 5
    REDEAL = 6
    ENTER = 7
    LAND = 8
    ONSET = 9
    BEGIN = 10
    BEGIN_AGE = 11
    STEP = 12
    HATCH = 13
    ARRIVE = 14
    SURVIVORS = 15


STREAMS = max(Stream) + 1


class EventColumn(Position):
    """Columns of a timed event (array event_at)."""

    HOUR = auto()
    SLOT = auto()  # 0 fish, 1.. bottom stages, last water
    INDEX = auto()  # body, or group of fish
    AGENT = auto()  # mortality factor, -1 for a share removed


class ShareColumn(Position):
    """Columns of how much a timed event removes (array event_share)."""

    LOW = auto()
    MIDDLE = auto()  # share, or strength of a bath or feed
    HIGH = auto()
    HOURS = auto()  # of contact


class StrongColumn(Position):
    """Columns of the kill of a strong bath (array strong)."""

    RATE = auto()  # per hour at strength 1; 0 without figures
    POWER = auto()  # of the strength
    LEAST = auto()  # strength below which nothing was tried
    MOST = auto()  # strength above which nothing was tried


class PulseColumn(Position):
    """Columns of swimmers that come at the start of an hour from elsewhere (array pulse_at)."""

    HOUR = auto()
    SOURCE = auto()  # body, -1 for outside
    TO = auto()  # body, -1 for outside


class Flow(Position):
    """Rows of water that passes per hour (array flow)."""

    EXCHANGE = auto()
    UV = auto()
    FINE_FILTER = auto()


class RateFactor(Position):
    """Rows of the factors on a rated stage (array rate_factor)."""

    BIRTH = auto()
    LOSS = auto()
    LAY = auto()


class OnFish(Position):
    """Columns of the initial state on the fish of a group (array start)."""

    MEAN = auto()  # on a carrier
    CARRIERS = auto()  # share of the group
    AGE = auto()  # part of the residence time over, -1 for evenly spread


class OnBottom(Position):
    """Columns of the initial state on the bottom of a body (array start_bottom)."""

    MEAN = auto()
    PER_PARASITE = auto()  # and as many per parasite on the fish


class GroupColumn(Position):
    """Columns of what is counted of a group at one moment (array out_group)."""

    BURDEN = auto()
    VISIBLE = auto()
    WORST_VISIBLE = auto()
    INFESTED = auto()
    ALIVE = auto()


class BodyCount(Position):
    """Columns of what is counted in a body at one moment (array out_body)."""

    BOTTOM = auto()
    SWIMMERS = auto()


class FishCount(Position):
    """Columns of what is counted on a watched fish at one moment (array out_fish)."""

    BURDEN = auto()
    VISIBLE = auto()
    ALIVE = auto()


class Work(Position):
    """Kinds of work counted (arrays total and out_work)."""

    LANDINGS = auto()
    BOTTOM_ENTRIES = auto()
    SETTLING_SWIMMERS = auto()
    HOURS_PLAYED = auto()


class Grown(Position):
    """Rows of the parasites on a fish that are old enough (arrays grown and grown_ring)."""

    VISIBLE = auto()
    LEAVES_DEAD = auto()


class GroupSum(Position):
    """Columns of the sums over the living fish of a group (array group_sums)."""

    AREA = auto()
    SUSCEPTIBLE_AREA = auto()


class HazardHour(Position):
    """Hours of the hazard of death, or of damage (array hazard_hour)."""

    ADDED = auto()  # hours added up
    SAFE = auto()  # no fish dies before this hour
    SETTLED = auto()  # landings when that was set


class Released(Position):
    """Columns of the broods of one hour (array released)."""

    BROODS = auto()
    SETTLING = auto()  # swimmers of them that settle
    PART = auto()  # of each brood released


class BroodLaw(Position):
    """What the table of a brood is for (array brood_law)."""

    CHANCE = auto()
    FILLED = auto()  # entries
    LAST = auto()  # chance of the last entry
