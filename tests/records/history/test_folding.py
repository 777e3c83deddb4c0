"""What a record is by its log: the order and repetition of what came do not matter, and nothing is lost unsaid."""

from dataclasses import replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from obslog.records.history.folding import LogChange, fold

FIELDS = ("name", "note", "zone")


def change(number: int, before: dict[str, Any] | None, after: dict[str, Any] | None) -> LogChange:
    """A change by the act of that number, which has no other."""
    return LogChange(
        act_id=f"act {number:03}",
        change_id=f"change {number:03}",
        record_kind="Site",
        record_id="a site",
        before=before,
        after=after,
    )


def image(name: str | None = "Hut", note: str | None = None, zone: str | None = None) -> dict[str, Any]:
    return {"name": name, "note": note, "zone": zone}


images = st.builds(
    image,
    st.sampled_from(["Hut", "Ridge", "Mill"]),
    st.sampled_from([None, "wet", "dry"]),
    st.sampled_from([None, "Europe/London", "Europe/Oslo"]),
)
logs = st.lists(st.tuples(st.sampled_from(["added", "changed", "removed"]), images, images), min_size=1).map(
    lambda drawn: [
        change(number, None if what == "added" else before, None if what == "removed" else after)
        for number, (what, before, after) in enumerate(drawn)
    ]
)


@given(logs, st.data())
def test_order_and_repetition_of_what_came_do_not_matter(log: list[LogChange], data: st.DataObject) -> None:
    again = data.draw(st.permutations(log + data.draw(st.lists(st.sampled_from(log)))))
    assert fold(again) == fold(log)


@given(logs, images, images)
def test_a_later_entry_wins_in_the_fields_that_it_changed(
    log: list[LogChange], before: dict[str, Any], after: dict[str, Any]
) -> None:
    first = fold(log)
    then = fold([*log, change(999, before, after)])
    assert then.alive == first.alive
    for name in FIELDS:
        if first.alive:
            expected = after[name] if before[name] != after[name] else first.fields[name]
            assert then.fields[name] == expected


@given(logs, st.lists(st.tuples(images, images)))
def test_a_removal_stays_whatever_is_edited_afterwards(
    log: list[LogChange], edits: list[tuple[dict[str, Any], dict[str, Any]]]
) -> None:
    later = [change(900 + number, before, after) for number, (before, after) in enumerate(edits)]
    state = fold([*log, change(899, image(), None), *later])
    assert not state.alive
    said = {(lost.field, lost.lost) for lost in state.overwritten}
    for place, (before, after) in enumerate(edits):
        for name in FIELDS:
            wrote_over_it = [one for one, two in edits[place + 1 :] if one[name] == after[name] != two[name]]
            if before[name] != after[name] != state.fields[name] and not wrote_over_it:
                assert (name, after[name]) in said


def test_what_was_edited_in_vain_is_listed_until_somebody_who_saw_it_writes_what_stood() -> None:
    dry, wet = image(note="dry"), image(note="wet")
    log = [change(1, None, dry), change(2, dry, None), change(3, dry, wet)]
    (lost,) = fold(log).overwritten
    assert (lost.field, lost.lost, lost.lost_act, lost.stands_act) == ("note", "wet", "act 003", "act 002")
    keeping = [change(4, dry, wet), replace(change(5, wet, dry), act_id="act 004")]
    assert fold([*log, *keeping]).overwritten == ()
    taken_back = [change(6, dry, wet), replace(change(7, wet, dry), act_id="act 006")]
    again = fold([*log, *keeping, *taken_back], taking_back={"act 006": "act 004"})
    assert again.overwritten == (lost,)


def test_writing_the_other_value_and_back_in_one_act_settles_until_that_is_taken_back() -> None:
    log = [
        change(1, None, image()),
        change(2, image(), image(note="wet")),
        change(3, image(), image(note="dry")),
    ]
    listed = fold(log).overwritten
    assert [(one.lost, one.stands) for one in listed] == [("wet", "dry")]
    dry, wet = image(note="dry"), image(note="wet")
    keeping = [change(4, dry, wet), replace(change(5, wet, dry), act_id="act 004")]
    kept = fold([*log, *keeping])
    assert (kept.fields, kept.overwritten) == (dry, ())
    taken_back = [change(6, dry, wet), replace(change(7, wet, dry), act_id="act 006")]
    by_another = [replace(one, act_id="act 008", change_id=f"{one.change_id} there") for one in taken_back]
    again = [change(9, dry, wet), replace(change(10, wet, dry), act_id="act 009")]
    undoing = {"act 006": "act 004", "act 008": "act 004", "act 009": "act 006"}
    assert fold([*log, *keeping, *taken_back], taking_back=undoing).overwritten == listed
    assert fold([*log, *keeping, *taken_back, *by_another], taking_back=undoing).overwritten == listed
    assert fold([*log, *keeping, *taken_back, *again], taking_back=undoing).overwritten == ()


@given(logs, images)
def test_undoing_a_removal_brings_the_record_back_as_it_was(
    log: list[LogChange], kept: dict[str, Any]
) -> None:
    state = fold([*log, change(900, kept, None), change(901, None, kept)])
    assert state.alive
    assert state.fields == kept


@given(logs)
def test_whoever_sees_all_and_writes_settles_all(log: list[LogChange]) -> None:
    state = fold(log)
    seen = state.fields
    after = {name: f"settled {name}" for name in seen}
    settling = change(999, seen, after) if state.alive else change(999, None, after)
    assert not state.alive or fold([*log, settling]).overwritten == ()


def test_what_a_newer_entry_had_not_seen_is_kept_and_listed_until_somebody_saw_what_stands() -> None:
    log = [
        change(1, None, image()),
        change(2, image(), image(note="wet")),
        change(3, image(), image(note="dry")),
    ]
    (lost,) = fold(log).overwritten
    assert (lost.field, lost.lost, lost.lost_act) == ("note", "wet", "act 002")
    assert (lost.stands, lost.stands_act) == ("dry", "act 003")
    assert fold([*log, change(4, image(note="dry"), image(note="wet"))]).overwritten == ()


def test_an_act_that_writes_back_what_it_found_leaves_what_stands_here() -> None:
    """Where a private site lies is told to others roundly: who keeps that does not round it where it is known."""
    exactly, roundly = image(zone="52.30123"), image(zone="52.30")
    log = [change(1, None, image()), change(2, image(), exactly)]
    keeping = [
        change(3, roundly, image(zone="52.4")),
        replace(change(4, image(zone="52.4"), roundly), act_id="act 003"),
    ]
    state = fold([*log, *keeping])
    assert (state.fields, state.overwritten) == (exactly, ())


@given(st.permutations(range(4)), st.data())
def test_a_member_who_was_made_nameless_is_so_whoever_wrote_of_them_when(
    order: list[int], data: st.DataObject
) -> None:
    """The entry keeps only the key of what was there before; it may be older or newer than what others wrote."""
    key, left = {"id": "a member"}, {"id": "a member", "name": "Former member", "note": None}
    called = [{"id": "a member", "name": name, "note": "tall"} for name in ("Zora", "Zora Tern", "Z. Tern")]
    others = [change(10 * n, called[n - 1] if n else None, called[n]) for n in range(3)]
    leaving = change(data.draw(st.sampled_from([5, 15, 25])), key, left)
    log = [*others, leaving]
    state = fold(log[place] for place in order)
    assert (state.alive, state.fields, state.overwritten) == (True, left, ())
    assert set(state.written_by.values()) == {leaving.act_id}
    removed = change(data.draw(st.sampled_from([2, 12, 22, 32])), called[0], None)
    gone = fold([*log, removed])
    assert (gone.alive, gone.overwritten) == (False, ())


def test_two_who_wrote_the_same_do_not_contradict_each_other() -> None:
    log = [change(n, image(), image(note="wet")) for n in (2, 3)]
    assert fold([change(1, None, image()), *log]).overwritten == ()


def test_an_edit_leaves_the_fields_alone_that_it_did_not_change() -> None:
    state = fold(
        [
            change(1, None, image()),
            change(2, image(), image(note="wet")),
            change(3, image(), image(name="Mill")),
        ]
    )
    assert state.fields == image(name="Mill", note="wet")
    assert state.overwritten == ()


def test_fields_that_say_one_thing_together_come_from_one_entry() -> None:
    def place(lat: float, lon: float) -> dict[str, Any]:
        return {"lat_deg": lat, "lon_deg": lon}

    log = [
        change(1, None, place(1, 1)),
        change(2, place(1, 1), place(2, 1)),
        change(3, place(1, 1), place(1, 3)),
    ]
    state = fold(log)
    assert state.fields == place(1, 3)
    assert [(lost.field, lost.lost) for lost in state.overwritten] == [("lat_deg", 2)]


def test_a_log_without_its_beginning_begins_with_what_its_first_entry_found() -> None:
    state = fold([change(5, image(note="wet"), image(name="Mill", note="wet"))])
    assert state.alive
    assert state.fields == image(name="Mill", note="wet")
    assert not fold([change(5, image(), None)]).alive


def test_a_removal_by_which_two_records_were_joined_is_none() -> None:
    log = [change(1, None, image()), change(2, image(), None)]
    assert not fold(log).alive
    assert fold(log, joined_by={"act 002"}).alive


def test_of_two_records_of_one_meaning_the_second_adds_what_the_first_does_not_know() -> None:
    log = [change(1, None, image(note="wet")), change(2, None, image(zone="Europe/Oslo"))]
    assert fold(log, as_one=True).fields == image(note="wet", zone="Europe/Oslo")
    (lost,) = fold([log[0], change(2, None, image(note="dry"))], as_one=True).overwritten
    assert (lost.field, lost.lost, lost.stands) == ("note", "wet", "dry")
