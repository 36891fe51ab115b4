"""The arrays that pass between the compiled loop and the rest: names, types and shapes.

Letters in shapes: R histories, H hours, D moments looked at, G groups of fish, N fish, B bodies
of water, S stages on the bottom, A mortality factors, E timed events, P pulses, V value
columns, F watched fish, C clocks, T, K and U room for lists. Columns of fixed meaning are named in
:mod:`.positions`.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from tankside.claims import whole_setting

ZERO = np.int64(0)  # typed, so that a whole number compiles one version of a function
ONE = np.int64(1)
TWO = np.int64(2)
PLACES = whole_setting(4096, "streams are numbered as if there were so many bodies and stages")
Array = Any
Word = Any  # 64 random bits
Whole = Any  # a whole number
Real = Any
Truth = Any
Place = tuple[Whole, Whole, Whole]  # (stage, body, hour)
World = Any  # see world.World


FIELDS = """
# one stratum of water, shared by its histories
flags i8 1 Flag
where i8 2 G H: body each group is in
moved u1 1 H: 1 in an hour before which a group has just been moved
first i8 1 G + 1: first fish of each group
group_of i8 1 N
clock_of i8 1 G: row of the clock of a group on the fish; alike clocks are kept once
host_clock f8 2 C H + 1
host_inverse i4 2 C M + 1
host_per f8 1 C
low_clock f8 3 S B H + 1
low_inverse i4 3 S B M + 1
low_per f8 2 S B
table f8 2 1 + S, table size: spread of the residence time on the fish and the bottom
swim_table f8 1 table size: exponential
temperature f8 2 B H
salinity f8 2 B H
volume f8 1 B
residue_low f8 3 A B H
residue_high f8 3 A B H
flow f8 3 3 B H: Flow
event_at i8 2 E 4: EventColumn
event_share f8 2 E 4: ShareColumn
active u1 2 S + 2, max(B, G): anything removes this slot here
kill_hours f8 2 A S + 2: exposure time of the half-kill strength, 0 without a parameter
swim_factor f8 2 B H: temperature factor of swimmer death
rate_factor f8 3 3 G H: RateFactor
immune_clock f8 2 G H + 1
warmth f8 2 G H: 0 cold to 1 warm, weight of the immune effect
fed f8 2 G H: 1 while a feed lasts that hinders settling
pulse_at i8 2 P 3: PulseColumn
record_h i8 1 D
watch i8 1 F: index of each watched fish
# one row per history
given_index i8 1 R: number of the history in the whole forecast, names its random stream
given_values f8 2 R V: Column
kill_mid f8 3 R A S + 2
kill_steep f8 3 R A S + 2
strong f8 4 R A S + 2 4: StrongColumn
given_area f8 2 R G
given_susceptibility f8 2 R G
given_lethal f8 2 R G
start f8 3 R G 3: OnFish
start_bottom f8 3 R B 2: OnBottom
start_swimmers f8 2 R B
start_immune f8 2 R G: share of the fish that are immune
given_pulse f8 2 R P: mean number that comes from outside, or share that is carried
# results, one row per history
out_group i8 4 R D G 5: GroupColumn
out_body i8 4 R D B 2: BodyCount
out_fish i4 4 R D F 3: FishCount
out_work i8 2 R 4: Work
# fish of the history being played
values f8 1 V: Column
pulse f8 1 P
susceptibility f8 1 N
area f8 1 N
tolerance f8 1 N: burden of half the greatest hazard, or lethal load of one whole stay
place f8 1 N: uniform, place of the fish among those more and less easily killed
threshold f8 1 N: accumulated hazard, or damage, at which the fish dies
damage f8 1 N: in whole stays of one parasite
settled_sum f8 1 N: sum over its parasites of the host clock at which they settled
squared_ages f8 1 N: sum of their ages squared, at hour 0 only
hazard f8 1 N: added up to hazard_hour
hazard_rate f8 1 N: per hour, at the present burden
hazard_hour i8 1 3: HazardHour
counted u1 1 N: alive when swimmers were last dealt
dealt_area f8 1 B: area of the counted fish
alive u1 1 N
burden i8 1 N: timed stage
rated i8 1 N: rated stage
watch_at f8 1 N: burden above which immunity or the ceiling must be looked at
immune_from f8 1 N: immune clock value
immune_first f8 1 1: earliest of them
taken_fish i4 1 T: parasites about to settle: their fish
taken_many i4 1 T: how many share the draw
taken_bits u8 1 T: the draw
fish_ring i4 2 H N: leaving at this hour
fish_lost i4 2 H N: killed on the fish at this hour (one row when nothing kills)
settled_ring f8 2 H N: part of settled_sum that leaves at this hour (one row without damage)
grown i8 2 2 N: Grown
grown_ring i4 3 2 H N: change of these at this hour (one row when neither is asked)
group_sums f8 2 G 2: GroupSum
group_alive i8 1 G
busy u1 1 H: 1 in an hour in which anything is due
leaves u1 1 H: 1 in an hour in which anything leaves a fish or changes on it
# bottom and water of the history being played
low_ring i4 3 S B H: finishing at this hour
low_lost i4 3 S B H: removed at this hour
low_count i8 2 S B
arrive i8 2 S B: entering in this hour
land i4 2 B H: swimmers that settle at this hour
gone i4 2 B H: swimmers that would have settled but are removed at this hour
pending i8 1 B: swimmers in the two above
released f8 3 B H 3: Released
turned i8 2 B H + 1: at the start of this hour, back in the water and never to settle
pool i8 1 B: all others that will never settle, alive at hour pool_at
pool_at i8 1 B
# hazards of the history being played
cumulative f8 3 S + 1, B, H + 1: removal from bottom slots and water
jump f8 3 S + 1, B, H
host_cumulative f8 2 G H + 1
host_jump f8 2 G H
leave f8 2 B H: hazard of a swimmer without removal
leave_clock f8 2 B H + 1
share f8 2 B H: of those leaving, the part that settles on a fish
share_top f8 1 B
find f8 2 B H + 1: chance to settle for a swimmer alive at the start of the hour
find_new f8 2 B H: the same for one released evenly within the hour
dealt i8 1 K: names of the draws of swimmers that settle
brood f8 1 K: chance that at most so many of one brood settle
brood_guide i4 1 U: where to begin in it, by uniform number
brood_law f8 1 3: BroodLaw
rates f8 1 H
host_rates f8 1 H
# choice of a fish, and random streams
choice_cut u4 2 B N
choice_own i4 2 B N
choice_other i4 2 B N
choice_size i8 1 B
choice_stale u1 1 B
choice_weight f8 1 N
choice_stack i8 2 2 N
keys u8 1 Stream
state u8 1 1: sequential stream
total i8 1 4: Work
"""


def fields() -> tuple[tuple[str, str, int], ...]:
    """Return (name, data type, dimensions) of every array, in order."""
    rows = (line.split() for line in FIELDS.splitlines() if line and not line.startswith("#"))
    return tuple((row[0], row[1], int(row[2])) for row in rows)
