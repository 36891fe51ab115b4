"""Tasks of a practitioner as they are walked on the pages, each under its number.

The numbers and questions are those of the project's own list of sixty tasks (docs/tasks.md). A walk
opens pages and sends forms as a browser does; each page is reached by a link that stands on the
page named with it. What a page must say is the good answer of the list, or arithmetic done here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

COURSE, BARE, KOI = "kiln-lane.jsonl", "no-course.jsonl", "mill-pond.jsonl"


@dataclass(frozen=True)
class Walked:
    """One page of a walk.

    Args:
        page: its address below the case, or from the root when it begins with a stroke.
        sees: what must stand there.
        sent: the form that is sent to it; None when it is only opened.
        by: the page on which a link leads to it; "" for the list of steps or cases.
    """

    page: str
    sees: tuple[str, ...] = ()
    sent: Mapping[str, str] | None = None
    by: str = ""


@dataclass(frozen=True)
class Task:
    """A task: its number, the question, the case and the pages walked."""

    number: int
    question: str
    case: str
    walk: tuple[Walked, ...] = field(default_factory=tuple)


def form(page: str, *sees: str, by: str = "", **sent: str) -> Walked:
    """Return a form that is filled in and saved, and what the page it leads to says."""
    named = {name.replace("__", "."): text for name, text in sent.items()}
    return Walked(page, sees, named, by)


TASKS = (
    Task(1, "Are they dying now, and what do I say?", BARE, (
        Walked("look/call", ("Say now", "Air on, at full rate.", "No food.", "Keep a litre")),
        Walked("/emergency", ("air",)),
    )),
    Task(2, "What changed in the last 14 days?", BARE, (
        form("enter/event", "hose left running", by="look", w__what="hose left running",
             w__changed="20", u__changed="L", w__on="2026-03-10", onward="story"),
        form("enter/event", "keeper does not know", by="look", alone="?", onward="story"),
    )),
    Task(3, "What is already in the water?", BARE, (
        form("enter/in_water", "formalin, amount not known", by="look", w__agent="formalin",
             u__amount="?", onward="water"),
        Walked("water", ("Already in the water",)),
    )),
    Task(4, "How much water is it really?", BARE, (
        form("enter/system", "118 L; 100 L by a second method", "18 % apart", by="tank",
             w__inside_length="60", u__inside_length="cm", w__inside_width="50",
             u__inside_width="cm", w__water_height="39.33", u__water_height="cm",
             w__hose="10 L/min for 10 min", onward="tank"),
    )),
    Task(5, "Who lives in it, and what can they not stand?", COURSE, (
        Walked("tank", ("Living in it", "platy")),
        Walked("why", ("What the animals bear",), by="course"),
    )),
    Task(6, "What should they bring or send?", KOI, (
        Walked("letter/laboratory", ("What to send", "gill first", "Samples sent"), by="record"),
        Walked("letter/laboratory.pdf"),
    )),
    Task(7, "Who comes first today?", COURSE, (Walked("/", ("Who comes first?", "Open")),)),
    Task(8, "Is this mine to do?", KOI, (
        Walked("day", ("Who must be told", "United Kingdom: notifiable")),
    )),
    Task(9, "I only have a video: what can I honestly say?", BARE, (
        Walked("fits", ("not known", "Do this sitting")),
    )),
    Task(10, "What do they do when nobody stands there?", BARE, (
        form("look/look_over", "flashing: frequent", by="look", f__flashing="frequent",
             f__breathing="fast"),
        Walked("record", ("flashing: frequent", "breathing: fast")),
    )),
    Task(11, "Which fish, and how many?", COURSE, (
        Walked("letter/quarantine", ("examined infected is not proof of absence",), by="record"),
    )),
    Task(12, "What is on this slide?", BARE, (
        form("look/scrape", "large rolling ciliate", by="look", sample="skin_scrape", alive="yes",
             slide_age_min="5", f__m_big_ciliate="crescent_nucleus"),
    )),
    Task(13, "Is this spot what I think?", BARE, (
        Walked("look/look_over", ("plates/", "bars:"), by="look"),
        form("look/look_over/ahead", "White spot", f__spot_size="grain_0p3_1mm",
             f__spots_visible="yes"),
    )),
    Task(14, "Which water test first, and what does it mean here?", BARE, (
        Walked("enter/water", ("mg/L as N", "mg/L as NH4"), by="water"),
        # pKa = 0.09018 + 2729.92/T (Emerson et al. 1975, as recalled): 13 % at pH 8.4 and 26 C
        form("enter/water", "13 % of it is the toxic form", by="water",
             w__ammonia="1", u__ammonia="mg/L as N", w__ph="8.4", w__temperature="26",
             u__temperature="C", onward="water"),
    )),
    Task(15, "Will there be oxygen at dawn?", BARE, (
        Walked("water", ("at the dawn to come not measured",)),
        form("enter/water", by="water", w__oxygen="8.4", u__oxygen="mg/L", w__ph="8.4",
             w__temperature="24", u__temperature="C", onward="water"),
        form("enter/water", "Between dawn and day", by="water", w__oxygen="5.2",
             u__oxygen="mg/L", w__ph="7.4", w__dawn="yes", w__on="2026-03-18",
             onward="water"),
        Walked("water", ("oxygen 5.2 mg/L at dawn, 8.4 mg/L by day",
                         "at the dawn to come, at least", "full, at this temperature")),
    )),
    Task(16, "The scrape is empty but the fish are bad.", BARE, (
        form("look/scrape", "Do this sitting", by="look", sample="skin_scrape", alive="yes",
             f__m_big_ciliate="none", f__m_disc_ring="none"),
    )),
    Task(17, "What can a dead fish still tell me?", BARE, (
        form("enter/wet_mount", "MIND", "Take a live fish", by="enter",
             w__sample="skin_scrape", w__alive="no", w__time_dead="6",
             u__time_dead="h", k__0="m_big_ciliate", v__0="none", onward="story"),
    )),
    Task(19, "One fish or the tank?", BARE, (
        form("look/call", f__share_affected="one", f__mortality="none"),
        Walked("record", ("share of fish affected: one",)),
    )),
    Task(20, "Is it safe for me and the fish?", KOI, (
        form("enter/label", by="enter", w__agent="formalin", w__strength="37 % w/w as formaldehyde",
             w__syringe="0.1", u__syringe="mL", w__density="1.08", u__density="g/mL",
             w__clear_solution="yes", onward="amount"),
        Walked("amount?agent=formalin&strength=15+mg/L", ("Wear", "Splashed"), by="enter"),
    )),
    Task(21, "What fits and what speaks against it?", BARE, (
        Walked("fits", ("for:", "against:", "White spot")),
    )),
    Task(23, "What look next is worth the time?", BARE, (
        Walked("fits", ("LOOK NEXT", "min;", "Do this sitting")),
    )),
    Task(24, "Two problems: which first?", BARE, (
        form("enter/water", by="water", w__ammonia="3", u__ammonia="mg/L as N", w__ph="8.2",
             w__temperature="25", u__temperature="C", onward="day"),
        Walked("day", ("put right before any parasite is treated",)),
    )),
    Task(27, "How much do I weigh out?", COURSE, (
        Walked("amount?agent=formalin&strength=25+mg/L", ("NO AMOUNT", "label")),
        Walked("course", ("the sum", "149 g")),
    )),
    Task(28, "When again, and how long, at this temperature?", COURSE, (
        Walked("course", ("The course", "149 g")),
        Walked("follow", ("Do not stop before",)),
    )),
    Task(29, "Should I warm it? How fast, how far?", BARE, (
        form("enter/water", by="water", w__oxygen="8.4", u__oxygen="mg/L", w__ph="8.4",
             w__temperature="24", u__temperature="C", onward="water"),
        form("enter/water", "Between dawn and day", by="water", w__oxygen="5.2",
             u__oxygen="mg/L", w__ph="7.4", w__dawn="yes", w__on="2026-03-18",
             onward="water"),
        Walked("water", ("is the most that", "At most 1 C a day", "at dawn, warmed to")),
        form("build", "warmed to 26 C", "What speaks for care", kind="warm", to="26 C"),
    )),
    Task(31, "What will the filter do?", KOI, (
        form("enter/label", by="enter", w__agent="formalin", w__strength="37 % w/w as formaldehyde",
             w__syringe="0.1", u__syringe="mL", w__density="1.08", u__density="g/mL",
             w__clear_solution="yes", onward="amount"),
        Walked("amount?agent=formalin&strength=15+mg/L", ("ilter",), by="enter"),
    )),
    Task(35, "What do I do today?", COURSE, (
        Walked("day/2026-03-19", ("DO NOT", "CALL IF", "149 g", "To paste into a message")),
        Walked("day/2026-03-19.pdf"),
    )),
    Task(37, "They are rolling over in the bath.", COURSE, (
        Walked("/emergency", ("stops breathing in a bath", "clean tank water of the same"),
               by="/"),
    )),
    Task(38, "I took 40 L out. What goes back?", COURSE, (
        form("step/A0-3/answer", state="done", onward="day"),
        form("enter/label", by="enter", w__agent="salt", w__strength="pure", w__scale="1",
             u__scale="g", onward="amount"),
        Walked("amount?agent=salt&strength=1+g/L&changed=40+L", ("40 g",), by="course"),
    )),
    Task(40, "Ammonia is up.", BARE, (
        form("enter/water", by="water", w__ammonia="2", u__ammonia="mg/L as N", w__ph="8.0",
             w__temperature="25", u__temperature="C", onward="day"),
        Walked("day", ("dangerous. Stop feeding", "Change a third to a half of the water")),
    )),
    Task(41, "The heater failed, or spring came.", COURSE, (
        form("enter/water", by="water", w__temperature="19", u__temperature="C", onward="day"),
        Walked("day", ("the thermometer read 19 C", "Cold for platy")),
    )),
    Task(45, "How do I get it out, and where does it go?", COURSE, (
        Walked("course", ("Waste water",)),
    )),
    Task(46, "When may they mix, move or be sold?", COURSE, (
        Walked("letter/quarantine", ("The clock started on", "Apart until"), by="record"),
    )),
    Task(47, "Give me one page for vet, owner, inspector.", COURSE, (
        Walked("record", ("Whose, and where", "Chosen so far", "Counts", "Made from case entry")),
        Walked("record.pdf"),
    )),
    Task(48, "I wrote it wrong.", COURSE, (
        form("correct/2", "taken back by entry", by="story", how="void", reason="another tank"),
    )),
    Task(50, "New fish came in: does the clock restart?", BARE, (
        form("enter/stock", by="enter", w__name="guppy", w__count="4", w__length="3",
             u__length="cm", w__arrived="2026-03-18", onward="record"),
        Walked("letter/quarantine", ("The clock started on Wed 18 Mar 2026",), by="record"),
    )),
    Task(54, "The pond: season, rain, dawn, drains.", KOI, (
        form("enter/system", "by a second method", "% apart", by="tank", w__meter="5200",
             u__meter="L", onward="tank"),
        form("enter/water", by="water", w__oxygen="8.4", u__oxygen="mg/L", w__ph="8.4",
             w__temperature="24", u__temperature="C", onward="water"),
        form("enter/water", "Between dawn and day", by="water", w__oxygen="5.2",
             u__oxygen="mg/L", w__ph="7.4", w__dawn="yes", w__on="2026-03-18",
             onward="water"),
        Walked("water", ("pH 7.4 at dawn, 8.4 by day",)),
        form("enter/label", by="enter", w__agent="formalin", w__strength="37 % w/w as formaldehyde",
             w__syringe="0.1", u__syringe="mL", w__density="1.08", u__density="g/mL",
             w__clear_solution="yes", onward="amount"),
        Walked("amount?agent=formalin&strength=15+mg/L", ("Waste water",), by="enter"),
    )),
    Task(60, "Why does it say so?", COURSE, (
        Walked("why", ("sodium chloride",), by="course"),
        Walked("/claim/agent.sodium_chloride.dose.prolonged", ("its source was read", "doi"),
               by="why"),
        Walked("/source/mifsud_rowland_2008", ("cited by",),
               by="/claim/agent.sodium_chloride.dose.prolonged"),
    )),
)  # fmt: skip
"""Those that need no long work; the others are walked where courses are compared."""
