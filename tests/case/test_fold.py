"""The fold: pure, by sequence, history kept; three states told apart; S1's volume."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest

from tankside.case import Entry, Reading, State, encode, fold
from tankside.case.volume import volume_view
from tankside.errors import BadInput
from tankside.quantity.moment import Moment

Make = Callable[..., Entry]
Maker = Callable[[int], tuple[Entry, ...]]


def test_the_fold_is_pure_and_gives_the_same_view_again(make_case: Maker) -> None:
    for seed in range(100):
        entries = make_case(seed)
        before = encode(entries)
        assert fold(entries) == fold(list(entries))
        assert encode(entries) == before


def test_history_keeps_every_entry_in_sequence_whatever_is_corrected(make_case: Maker) -> None:
    for seed in range(300):
        entries = make_case(seed)
        view = fold(entries)
        assert tuple(line.entry for line in view.history) == entries
        for line in view.history:
            if line.corrected_by is not None:
                assert entries[line.corrected_by - 1].kind == "correction"
                assert line.current is not line.entry


def test_every_prefix_of_a_case_folds_and_history_only_grows(make_case: Maker) -> None:
    for seed in range(40):
        entries = make_case(seed)
        for end in range(1, len(entries) + 1):
            assert [x.entry for x in fold(entries[:end]).history] == list(entries[:end])


def test_a_correction_replaces_what_counts_and_the_last_one_wins(
    opened: Entry, entry: Make
) -> None:
    wrong = entry(2, "count", what="spots", number=44, fish="loach")
    right = {**wrong.model_dump(exclude_none=True), "number": 45}
    again = right | {"number": 46}
    first = entry(3, "correction", of=2, reason="slip", replacement=right)
    second = entry(4, "correction", of=2, reason="slip again", replacement=again)
    void = entry(5, "correction", of=2, reason="other tank")
    assert [c.number for c in fold([opened, wrong]).counts] == [44]
    assert [c.number for c in fold([opened, wrong, first]).counts] == [45]
    assert [c.number for c in fold([opened, wrong, first, second]).counts] == [46]
    view = fold([opened, wrong, first, second, void])
    assert view.counts == ()
    assert view.history[1].void
    assert view.history[1].entry == wrong


def test_a_correction_that_cannot_stand_is_refused(opened: Entry, entry: Make) -> None:
    note = entry(2, "note", text="x")
    lost = entry(3, "correction", of=2, reason="r")
    death = entry(2, "death", number=1).model_dump(exclude_none=True)
    with pytest.raises(BadInput, match="E-CASE-02"):
        fold([opened, note, lost, entry(4, "correction", of=3, reason="r")])
    with pytest.raises(BadInput, match="E-CASE-02"):
        fold([opened, note, entry(3, "correction", of=2, reason="r", replacement=death)])
    with pytest.raises(BadInput, match="E-CASE-02"):
        fold([opened, entry(2, "correction", of=1, reason="r")])
    with pytest.raises(BadInput, match="E-CASE-04"):
        entry(2, "correction", of=2, reason="r")


def test_a_case_begins_with_one_opening_and_is_numbered_without_gap(
    opened: Entry, entry: Make
) -> None:
    for entries in ([], [entry(1, "note", text="x")], [opened, entry(3, "note", text="x")]):
        with pytest.raises(BadInput, match="E-CASE-02"):
            fold(entries)
    second = opened.model_copy(update={"id": 2})
    with pytest.raises(BadInput, match="E-CASE-02"):
        fold([opened, second])


def test_a_closed_case_takes_only_notes_and_corrections(opened: Entry, entry: Make) -> None:
    closed = entry(2, "closed", outcome="clear")
    note = entry(3, "note", text="x")
    assert fold([opened, closed, note]).closed is not None
    with pytest.raises(BadInput, match="E-CASE-03"):
        fold([opened, closed, entry(3, "death", number=1)])
    reopened = [opened, closed, entry(3, "correction", of=2, reason="came back")]
    assert fold([*reopened, entry(4, "death", number=1)]).closed is None


def geometry(length: str, width: str, height: str, **rooms: object) -> dict[str, object]:
    sides = {"inside_length": length, "inside_width": width, "water_height": height}
    box = {side: {"value": value, "unit": "cm"} for side, value in sides.items()}
    return {"method": "geometry", **box, **rooms}


def litres(value: str, what: str = "") -> dict[str, object]:
    volume = {"value": value, "unit": "L"}
    return {"volume": volume} | ({"what": what} if what else {})


def test_the_volume_of_scenario_1_by_two_methods_one_percent_apart(
    opened: Entry, entry: Make
) -> None:
    """118 x 38 x 41 cm = 183.8 L, less 11 and 6, plus 6: 173 L; hose 14 L/min x 12.5 min: 175 L."""
    methods = [
        geometry("118", "38", "41", takes_away=[litres("11", "gravel"), litres("6", "wood")],
                 adds=[litres("6", "filter")]),
        {"method": "hose", "flow": {"value": "14", "unit": "L/min"},
         "time": {"value": "12.5", "unit": "min"}},
        {"method": "label", **litres("216")},
    ]  # fmt: skip
    view = fold([opened, entry(2, "system", volume=methods)]).systems["main"].volume
    assert view.point_l == Decimal("118") * 38 * 41 / 1000 - 11 - 6 + 6
    assert round(view.point_l) == 173
    assert view.second_l == 175
    assert view.difference_percent is not None
    assert round(view.difference_percent) == 1
    assert view.told_l == 216
    assert view.told_difference_percent is not None
    assert round(view.told_difference_percent) == 25


def test_a_label_alone_is_no_volume(opened: Entry, entry: Make) -> None:
    label_volume = [{"method": "label", **litres("216")}]
    view = fold([opened, entry(2, "system", volume=label_volume)])
    assert view.systems["main"].volume.point_l is None
    assert "system.main.volume" in view.not_asked


def test_salt_rise_gives_the_volume_of_scenario_6(opened: Entry, entry: Make) -> None:
    """500 g of salt raised the salinity by 0.90 g/L: 556 L; the sides give 567 L, 2 % apart."""
    salt = {"method": "salt_rise", "salt": {"value": "500", "unit": "g"},
            "rise": {"value": "0.90", "unit": "g/L"}}  # fmt: skip
    described = entry(2, "system", volume=[geometry("180", "90", "35"), salt],
                      volume_by="salt_rise")  # fmt: skip
    view = fold([opened, described]).systems["main"].volume
    assert round(view.point_l or 0) == 556
    assert view.second_l == 567
    assert round(view.difference_percent or 0) == 2


def test_a_box_that_holds_less_than_nothing_is_refused(entry: Make) -> None:
    with pytest.raises(BadInput, match="E-NUM-09"):
        entry(2, "system", volume=[geometry("10", "10", "10", takes_away=[litres("2", "rock")])])


def test_a_later_description_adds_to_the_earlier(opened: Entry, entry: Make) -> None:
    first = entry(2, "system", volume=[geometry("100", "50", "40")], carbon="yes", uv="no")
    hose = {"method": "hose", "flow": {"value": "10", "unit": "L/min"},
            "time": {"value": "20", "unit": "min"}}  # fmt: skip
    later = entry(3, "system", volume=[hose], carbon="no")
    system = fold([opened, first, later]).systems["main"]
    assert (system.description.carbon, system.description.uv) == ("no", "no")
    assert (system.volume.point_l, system.volume.second_l) == (200, 200)
    assert system.entry_ids == (2, 3)


def test_no_method_leaves_no_point() -> None:
    assert volume_view(()).point_l is None
    assert volume_view(()).weak


def reading(what: str, value: str | None, unit: str = "C", **more: object) -> dict[str, object]:
    if value is None:
        return {"what": what, "state": "not_looked"}
    return {"what": what, "amount": {"value": value, "unit": unit, **more}}


def test_the_latest_reading_wins_by_when_it_was_taken_and_keeps_its_age(
    opened: Entry, entry: Make
) -> None:
    late = entry(2, "water_test", "2026-03-05T09:00+00:00", readings=[reading("temperature", "26")])
    early = entry(3, "water_test", "2026-03-04T09:00+00:00", readings=[
        reading("temperature", "25"), reading("ammonia", "0.3", "mg/L", basis="as N")])  # fmt: skip
    blind = entry(4, "water_test", "2026-03-06T09:00+00:00", readings=[
        reading("temperature", None)])  # fmt: skip
    readings = fold([opened, late, early, blind]).systems
    assert readings == {}
    described = entry(5, "system", name="tank")
    folded = fold([opened, late, early, blind, described]).systems["main"].readings
    assert folded[Reading.TEMPERATURE].number("C") == 26
    assert folded[Reading.TEMPERATURE].age_h(Moment("2026-03-06T09:00+00:00")) == 24
    assert folded[Reading.AMMONIA].number("mg/L as N") == 0.3


def test_not_measured_is_told_apart_from_not_asked(opened: Entry, entry: Make) -> None:
    test = entry(2, "water_test", readings=[reading("oxygen", None)])
    view = fold([opened, test, entry(3, "system", name="tank")])
    assert view.systems["main"].readings[Reading.OXYGEN].state is State.NOT_LOOKED
    assert "system.main.reading.oxygen" not in view.not_asked
    assert "system.main.reading.ammonia" in view.not_asked


def test_the_four_states_of_a_finding_stay_apart(opened: Entry, entry: Make) -> None:
    states = ("answered", "none", "not_looked", "keeper_does_not_know")
    entries = [opened] + [
        entry(i, "finding", looked={"finding": f"f{i}", "state": state}
              | ({"answers": ["grain", "dust"]} if state == "answered" else {}))
        for i, state in enumerate(states, 2)
    ]  # fmt: skip
    evidence = fold(entries).evidence
    assert [evidence[f"f{i}"][0].state for i in range(2, 6)] == [State(s) for s in states]
    assert evidence["f2"][0].answers == {"grain", "dust"}
    assert all(not evidence[f"f{i}"][0].answers for i in range(3, 6))
    assert "f6" not in evidence


def test_every_look_is_kept_with_its_site_and_not_looking_only_where_nobody_looked(
    opened: Entry, entry: Make
) -> None:
    def look(number: int, at: str, state: str, answer: str = "", **more: str) -> Entry:
        looked = {"finding": "f", "state": state} | ({"answers": [answer]} if answer else {})
        slide = {"sample": "gill_clip", "looks": [looked], **more}
        return entry(number, "wet_mount", at, **slide)

    seen = look(2, "2026-03-02T10:00+00:00", "answered", "many", fish="worst loach")
    blind = look(3, "2026-03-04T11:00+00:00", "not_looked")
    none = look(4, "2026-03-05T11:00+00:00", "none", sample="skin_scrape")
    looks = fold([opened, seen, blind, none]).evidence["f"]
    assert [(x.site, x.fish, x.state) for x in looks] == [
        ("gill_clip", "worst loach", State.ANSWERED), ("skin_scrape", None, State.NONE),
    ]  # fmt: skip
    only_blind = look(2, "2026-03-04T11:00+00:00", "not_looked")
    assert [x.state for x in fold([opened, only_blind]).evidence["f"]] == [State.NOT_LOOKED]


def test_deaths_come_off_the_stock_and_cannot_exceed_it(opened: Entry, entry: Make) -> None:
    stock = entry(2, "stock", group="tetra", name="cardinal tetra", count=12)
    view = fold([opened, stock, entry(3, "death", number=3, group="tetra")])
    assert (view.stock["tetra"].alive, view.stock["tetra"].deaths) == (9, 3)
    recount = entry(4, "stock", group="tetra", name="cardinal tetra", count=8)
    death = entry(3, "death", number=3, group="tetra")
    assert fold([opened, stock, death, recount]).stock["tetra"].alive == 8
    with pytest.raises(BadInput, match="E-COUNT-01"):
        fold([opened, stock, entry(3, "death", number=13, group="tetra")])
    assert fold([opened, stock, entry(3, "death", number=0, group="tetra")]).deaths[0].number == 0


def test_more_carriers_than_fish_looked_at_is_refused(entry: Make) -> None:
    assert entry(2, "count", what="flukes", examined=5, infected=5)
    with pytest.raises(BadInput, match="E-COUNT-01"):
        entry(2, "count", what="flukes", examined=5, infected=6)
    with pytest.raises(BadInput, match="E-CASE-04"):
        entry(2, "count", what="flukes", infected=0)


def test_one_count_told_twice_with_two_numbers_is_refused(opened: Entry, entry: Make) -> None:
    first = entry(2, "count", what="spots", number=44, fish="worst loach")
    assert fold([opened, first, first.model_copy(update={"id": 3})])
    with pytest.raises(BadInput, match="E-DUP-01"):
        fold([opened, first, entry(3, "count", what="spots", number=45, fish="worst loach")])
    other = entry(3, "count", what="spots", number=45, fish="other loach")
    assert len(fold([opened, first, other]).counts) == 2


def test_counts_are_found_by_fish_in_the_order_they_happened(opened: Entry, entry: Make) -> None:
    late = entry(2, "count", "2026-03-06T12:00+00:00", what="spots", number=6, fish="loach")
    early = entry(3, "count", "2026-03-04T12:00+00:00", what="spots", number=61, fish="loach")
    folded = fold([opened, late, early]).counts_by_fish()
    assert [count.number for count in folded["spots", "by_eye", "loach"]] == [61, 6]


def test_an_observation_before_the_case_is_refused_but_its_history_is_not(
    opened: Entry, entry: Make
) -> None:
    arrival = entry(2, "event", "2026-02-24T12:00+00:00", what="2 loaches came in")
    assert fold([opened, arrival]).events
    with pytest.raises(BadInput, match="E-DATE-03"):
        fold([opened, entry(2, "death", "2026-03-01T23:59+00:00", number=1)])


def test_asked_and_not_known_is_not_an_open_question(opened: Entry, entry: Make) -> None:
    asked = [
        entry(2, "system", carbon="keeper_does_not_know"),
        entry(3, "agent_in_water", state="keeper_does_not_know"),
        entry(4, "event", what="anything changed", state="keeper_does_not_know"),
    ]
    view = fold([opened, *asked])
    assert "system.main.carbon" not in view.not_asked
    assert "already_in_the_water" not in view.not_asked
    assert "changes_in_14_days" not in view.not_asked
    assert "system.main.uv" in view.not_asked
    assert "already_in_the_water" in fold([opened]).not_asked


def test_the_course_followed_is_the_one_written_last(opened: Entry, entry: Make) -> None:
    courses = [
        entry(i, "course_chosen", name=name, starts_at="2026-03-03T00:00+00:00")
        for i, name in ((2, "salt"), (3, "water only"))
    ]
    view = fold([opened, *courses])
    assert view.course is not None
    assert view.course.name == "water only"
    assert view.version == 3
    assert view.day(Moment("2026-03-05T00:10+00:00")) == 3


def test_deaths_of_no_named_group_cannot_exceed_all_that_live(opened: Entry, entry: Make) -> None:
    stock = [
        entry(2, "stock", group="tetra", name="cardinal tetra", count=12),
        entry(3, "stock", group="loach", name="clown loach", count=2),
    ]
    assert fold([opened, *stock, entry(4, "death", number=14)]).deaths
    with pytest.raises(BadInput, match="E-COUNT-01"):
        fold([opened, *stock, entry(4, "death", number=15)])
    unknown = entry(3, "stock", group="loach", name="clown loach")
    view = fold([opened, stock[0], unknown, entry(4, "death", number=15)])
    assert view.stock["loach"].alive is None
    assert {"stock.loach.count", "stock.loach.length"} <= set(view.not_asked)


def test_the_view_answers_in_hours_days_and_words(opened: Entry, entry: Make) -> None:
    plant = entry(2, "stock", group="moss", name="moss", living="plant", count=1)
    view = fold([opened, plant])
    assert view.stock["moss"].living == "plant"
    assert view.stock["moss"].system == "main"
    assert view.hours(Moment("2026-03-03T06:00+00:00")) == 30
    assert "stock.moss.length" not in view.not_asked


@pytest.mark.parametrize(
    ("kind", "fields", "code"),
    [
        ("finding", {"looked": {"finding": "f", "state": "answered"}}, "E-TEXT-01"),
        ("finding", {"looked": {"finding": "f", "state": "none", "answers": ["a"]}}, "E-TEXT-01"),
        ("finding", {"looked": {"finding": "f", "state": "answered", "answers": ["a", "a"]}},
         "E-DUP-01"),
        ("finding", {"looked": {"finding": "no blanks", "state": "none"}}, "E-PATH-01"),
        ("water_test", {"readings": [{"what": "ph"}]}, "E-TEXT-01"),
        ("water_test", {"readings": [{"what": "ph", "state": "not_looked"}] * 2}, "E-DUP-01"),
        ("water_test", {"readings": []}, "E-CASE-04"),
        ("course_chosen", {"name": "x", "starts_at": "2026-03-03T00:00Z",
                           "course": {"x": "\ud800"}}, "E-TEXT-01"),
        ("agent_in_water", {"state": "answered"}, "E-CASE-04"),
        ("agent_in_water", {"agent": "salt", "amount_state": "answered"}, "E-CASE-04"),
        ("action_done", {"action": "x", "state": "other_amount"}, "E-CASE-04"),
        ("count", {"what": "spots"}, "E-CASE-04"),
        ("count", {"what": "spots", "mean": "-1"}, "E-NUM-09"),
        ("note", {"text": "x", "day_only": 1}, "E-NUM-06"),
    ],
)  # fmt: skip
def test_an_entry_that_says_half_is_refused(
    entry: Make, kind: str, fields: dict[str, object], code: str
) -> None:
    with pytest.raises(BadInput) as refused:
        entry(2, kind, **fields)
    assert refused.value.code == code
