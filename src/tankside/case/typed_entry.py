"""Typed words to entries: the one grammar of the command line, CSV columns and page forms.

An entry is typed as a kind, a few bare words, and ``key=value`` words. In every kind ``on=``
says when (``2026-03-04`` or ``2026-03-04T18:30``). Keys may be written with hyphens. Left out
means not asked; ``?`` means asked, the keeper does not know; ``not-looked`` means not examined;
``none`` means examined and absent.

    system [ID]   inside-length= inside-width= water-height= ("118 cm")   takes-away= adds= ("11 L
                  gravel", may repeat)   hose="14 L/min for 12.5 min"   salt-rise="500 g raised
                  0.90 g/L"   meter= label= keeper-says= ("216 L")   volume-by=geometry|hose|...
                  and name use water turnover filter filter-ripe carbon uv ozone skimmer air-stone
                  plants invertebrates co2 food-fish heater-dial lowest highest room lights-on
                  lights-off shares-water shared-tools conditioner note
    stock [ID]    name= count= length="3 cm" length-to= weight= host= living= system= life-stage=
                  arrived= quarantined= gill-damage= note=
    event         what= topic= system= changed="80 L"      event none      event ?
    finding       FINDING=ANSWER ... (several answers parted by commas), fish= group= system= note=
    water         temperature="25.5 C" ph=7.4 ammonia="0.3 mg/L as N" nitrite= nitrate= kh="5 dH"
                  alkalinity= gh= oxygen= salinity= chloride= chlorine= co2= copper= conductivity=
                  and system sample kit conditioner dawn note
    wet-mount SAMPLE   FINDING="7 ANSWER" FINDING=none ...   fish= group= alive= time-dead=
                  slide-age= examined= fields= objective= system= note=
    count         WHAT=61 | WHAT="mean 5" | WHAT="0 of 5"   fish= group= method= fields= system=
    death N       group= fish= system= note=
    in-water      agent= amount="5 g"|?  system= note=     in-water none     in-water ?
    label         agent= strength="25 % w/w as Cu" scale="1 g" syringe="0.1 mL" expires=2027-05-01
                  buffer= clear-solution= demand-test= formulation-named= predissolve= zinc-free=
                  (yes, no or ?)  photo= note=
    dose          agent= strength="2 g/L" route= minutes="30 min" changed="40 L" system= reason=
    course        name= starts= reason= replaces= stop-signs=
    done | not-done | other-amount   action= agent= amount="80 g" changed="40 L" index= system=
                  reason=
    photo         file= of= note=
    confirmed | suspected | ruled-out   condition= shown-by= note=
    decision WHAT reason= note=           (start go-on stop extend change wait refer end other)
    note TEXT
    closed OUTCOME reason=                (clear died moved lost-contact referred other)
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping, Sequence

from tankside.case import typed_value as tv
from tankside.case.medicine import SEEN_TO
from tankside.case.parts import READING_KINDS, Reading
from tankside.case.typed_fields import BARE, FIELDS, KIND_WORDS, LENGTH, OTHER_NAMES
from tankside.case.typed_value import Door, Parser, refuse
from tankside.quantity import AMOUNT, DOSE
from tankside.quantity.moment import check_moment, parse_moment

_METHODS: Mapping[str, Parser] = {
    "hose": tv.hose, "salt_rise": tv.salt_rise, "meter": tv.told("meter"),
    "label": tv.told("label"), "keeper_says": tv.told("keeper_says"),
}  # fmt: skip
_SIDES = ("inside_length", "inside_width", "water_height")
_ROOMS = ("takes_away", "adds")
HISTORY = ("event", "agent_in_water", "label_read", "system", "stock", "note", "photo")
"""Kinds that may be dated before the case began."""
_OPEN = ("finding", "wet_mount", "count")

Typed = tuple[str, str]
Fields = dict[str, object]


def split_words(words: Iterable[str]) -> list[Typed]:
    """Part ``key=value`` words; a bare word has an empty key."""
    found = []
    for word in words:
        pair = re.match(r"([A-Za-z][A-Za-z0-9_.-]*)=", word)
        plain = pair.group(1).replace("-", "_").lower() if pair else ""
        found.append((plain, word[pair.end() :] if pair else word))
    return found


def typed_entries(kind_word: str, words: Sequence[Typed], door: Door) -> list[Fields]:
    """Turn typed words into the fields of one or more entries.

    Several findings or counts typed together become one entry each.

    Args:
        kind_word: what is entered, for example ``water`` or ``wet-mount``.
        words: keys and values; a bare word has an empty key.
        door: zone, present time and decimal mark.

    Returns:
        Fields of entries without ``id``, ``recorded_at`` and ``by``.

    Raises:
        BadInput: E-WORD-01 unknown kind or key, E-WORD-02 unknown answer, E-DUP-01 a key twice,
            or the code of the number, unit or date that is refused.
    """
    plain = kind_word.replace("-", "_").lower()
    if plain not in KIND_WORDS:
        kinds = ", ".join(sorted(word.replace("_", "-") for word in KIND_WORDS))
        raise refuse("E-WORD-01", "This is no kind of entry.", kind_word, kinds, "kind")
    kind, preset = KIND_WORDS[plain]
    known, rest = _known(kind, words, door)
    base: Fields = {"kind": kind, **preset, **_when(kind, rest, door), **known}
    for shape in (
        _system_volume, _water_readings, _state_words, _seen_to, _stock_name, _which_system,
    ):  # fmt: skip
        shape(base, rest, door)
    if kind in _OPEN:
        return _open_list(kind, base, rest, door)
    for name, text in rest:
        raise _unknown(kind, name, text)
    return [base]


def _known(kind: str, words: Sequence[Typed], door: Door) -> tuple[Fields, list[Typed]]:
    """Read the keys of the kind; return the others as they are."""
    fields: Fields = {}
    rest: list[Typed] = []
    for typed_name, text in words:
        name = _full_name(kind, typed_name or BARE.get(kind, ""))
        if not typed_name and kind in ("event", "agent_in_water"):
            rest.append(("", text))
        elif name not in FIELDS[kind]:
            rest.append((name, text))
        elif name in fields:
            raise refuse("E-DUP-01", "This key stands twice.", text, "each key once", name)
        else:
            fields[name] = FIELDS[kind][name](text, name, door)
    return fields, rest


def _full_name(kind: str, name: str) -> str:
    if kind == "system" and name == "co2":
        return "carbon_dioxide_added"
    if kind != "system" and name == "id":
        return "group" if kind == "stock" else name
    return OTHER_NAMES.get(name, name)


def _when(kind: str, rest: list[Typed], door: Door) -> Fields:
    typed = [pair for pair in rest if pair[0] == "on"]
    for pair in typed:
        rest.remove(pair)
    if len(typed) > 1:
        raise refuse("E-DUP-01", "This key stands twice.", typed[1][1], "one time", "on")
    at = door.standing_at
    if typed:
        at = parse_moment(typed[0][1], field="on", zone=door.zone)
        history = kind in HISTORY
        check_moment(at, field="on", now=door.now, began=None if history else door.opened)
    return {"occurred_at": at.text} | ({"day_only": True} if at.day_only else {})


def _unknown(kind: str, name: str, text: str) -> Exception:
    if not name:
        return refuse("E-WORD-01", "This word needs a key.", text, "key=value", kind)
    extra = (*_METHODS, *_SIDES, *_ROOMS) if kind == "system" else ()
    if kind == "water_test":
        extra = tuple(what.value for what in Reading)
    allowed = [word.replace("_", "-") for word in ("on", *FIELDS[kind], *extra)]
    near = difflib.get_close_matches(name.replace("_", "-"), allowed, 1)
    needed = f"perhaps {near[0]}=; else one of: " if near else "one of: "
    return refuse(
        "E-WORD-01", "This key does not belong here.", name, needed + ", ".join(allowed), name
    )


def _take(rest: list[Typed], wanted: Iterable[str]) -> list[Typed]:
    taken = [pair for pair in rest if pair[0] in wanted]
    for pair in taken:
        rest.remove(pair)
    return taken


def _once(pairs: Iterable[Typed]) -> None:
    seen: set[str] = set()
    for name, text in pairs:
        if name in seen:
            raise refuse("E-DUP-01", "This key stands twice.", text, "each key once", name)
        seen.add(name)


def _system_volume(base: Fields, rest: list[Typed], door: Door) -> None:
    if base["kind"] != "system":
        return
    volume: list[object] = []
    sides = _take(rest, _SIDES)
    rooms = _take(rest, _ROOMS)
    _once(sides)
    told = {
        key: [tv.room(text, key, door) for name, text in rooms if name == key] for key in _ROOMS
    }
    if sides or rooms:
        missing = [name for name in _SIDES if name not in dict(sides)]
        if missing:
            given = ", ".join(name for name, _ in (*sides, *rooms))
            needed = ", ".join(_SIDES).replace("_", "-")
            message = "A volume by its sides needs all three."
            raise refuse("E-WORD-03", message, given, needed, missing[0])
        box: Fields = {"method": "geometry"}
        box |= {name: LENGTH(text, name, door) for name, text in sides}
        volume.append(box | told)
    methods = _take(rest, _METHODS)
    _once(methods)
    volume += [_METHODS[name](text, name, door) for name, text in methods]
    if volume:
        base["volume"] = volume
    if not base.keys() - {"kind", "occurred_at", "day_only", "system"}:
        needed = "a volume, carbon=yes, or another key"
        raise refuse("E-WORD-03", "Nothing is told about this system.", "", needed, "system")


def _water_readings(base: Fields, rest: list[Typed], door: Door) -> None:
    if base["kind"] != "water_test":
        return
    lines = _take(rest, {what.value for what in Reading})
    _once(lines)
    readings = []
    for name, text in lines:
        what = Reading(name)
        parsed = tv.reading(*READING_KINDS[what])(text, name, door)
        readings.append({"what": name, **dict(parsed if isinstance(parsed, dict) else {})})
    if not readings:
        for name, text in rest:
            raise _unknown("water_test", name, text)
        needed = 'for example temperature="25.5 C"'
        raise refuse("E-NUM-01", "A water test needs a reading.", "", needed, "water")
    base["readings"] = readings


def _state_words(base: Fields, rest: list[Typed], door: Door) -> None:
    """Read the bare words none and ? of an event, a substance in the water, an amount."""
    kind = base["kind"]
    if kind not in ("event", "agent_in_water"):
        return
    for _, text in _take(rest, {""}):
        if text == tv.NONE:
            base["state"] = "none"
        elif text in tv.NOT_KNOWN:
            base["state"] = "keeper_does_not_know"
        elif kind == "event" and "what" not in base:
            base["what"] = text
        else:
            raise _unknown(str(kind), "", text)
        if kind == "event":
            base.setdefault("what", "anything that changed in the last 14 days")
    if kind == "agent_in_water" and "amount" in base:
        text = str(base.pop("amount"))
        known = text not in tv.NOT_KNOWN
        base["amount_state"] = "answered" if known else "keeper_does_not_know"
        if known:
            base["amount"] = tv.amount(*AMOUNT, *DOSE)(text, "amount", door)


def _seen_to(base: Fields, rest: list[Typed], door: Door) -> None:
    """Gather the answers about a container; what was not asked stays out."""
    del rest, door
    if base["kind"] == "label_read":
        told = [{"need": need, "answer": base.pop(need)} for need in SEEN_TO if need in base]
        base |= {"seen_to": told} if told else {}


def _stock_name(base: Fields, rest: list[Typed], door: Door) -> None:
    del rest, door
    if base["kind"] != "stock":
        return
    if "group" not in base and "name" in base:
        base["group"] = tv.slug(str(base["name"]))
    if "group" in base and "name" not in base:
        base["name"] = str(base["group"]).replace("_", " ")


def _which_system(base: Fields, rest: list[Typed], door: Door) -> None:
    """Take the one system there is; where there are several and no main one, ask."""
    del rest
    asked = ("water_test", "agent_in_water", "dose_asked", "action_done", "stock")
    if base["kind"] not in asked or "system" in base or not door.systems:
        return
    if "main" not in door.systems and len(door.systems) > 1:
        if base["kind"] == "stock":
            return
        needed = "one of: " + ", ".join(door.systems)
        raise refuse("E-WORD-03", "Say in which system.", "", needed, "system")
    if "main" not in door.systems:
        base["system"] = door.systems[0]


def _open_list(kind: str, base: Fields, rest: Sequence[Typed], door: Door) -> list[Fields]:
    """Read findings or counts, whose keys are the names of what was looked for."""
    _once(rest)
    for name, text in rest:
        if not name:
            raise _unknown(kind, name, text)
    if not rest and kind == "count":
        raise refuse("E-NUM-01", "A count needs its number.", "", "for example spots=61", kind)
    if not rest:
        needed = "for example spot_size=grain"
        raise refuse("E-WORD-03", "Say what was looked for.", "", needed, kind)
    if kind == "count":
        return [base | tv.counted(name, text, door) for name, text in rest]
    looks = [tv.looked(name, text) for name, text in rest]
    if kind == "wet_mount":
        return [base | {"looks": looks}]
    return [base | {"looked": look} for look in looks]
