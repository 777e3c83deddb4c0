"""Nights and set-ups by the names' beginnings; what is changed during one holds for what follows alone."""

import pytest

from obslog.club.evening.asked import PromptSettings, SaidWords, SetupEnded
from obslog.club.evening.gear_lines import NotSaidSo, SideNotKnown
from obslog.club.evening.names_typed import NothingIsNone
from obslog.club.evening.standing import standing
from obslog.club.night.open_night import NoOpenSetup
from obslog.club.night.plausibility import Doubtful
from obslog.club.night.setup_corrections import HasNoSides
from obslog.club.register.usual_choices import NoneNamed
from obslog.club.shelves.finishing import finish
from obslog.errors import UnknownName
from obslog.grammar.lines import UnknownVerb
from obslog.grammar.name_choice import SeveralNamesFit
from obslog.records.database import Database
from tests.club.evening.typing import NOW, Typing


@pytest.fixture
def typing(club: Database) -> Typing:
    return Typing(club).begun()


def test_a_night_and_a_setup_by_the_beginnings_of_names(typing: Typing) -> None:
    assert typing.rows("SELECT s.name FROM nights n JOIN sites s ON s.id = n.site_id") == [("Mill Field",)]
    assert typing.rows("SELECT m.name FROM attendances a JOIN members m ON m.id = a.member_id") == [("Ines",)]
    told = typing.rows(
        "SELECT q.name, t.name, e.name, m.name FROM setups s JOIN equipment q ON q.id = s.mount_id"
        " JOIN equipment t ON t.id = s.tube_id JOIN equipment e ON e.id = s.eyepiece_id"
        " JOIN members m ON m.id = s.member_id"
    )
    assert told == [("Heron", "Long tube", "Wide 25", "Ines")]


def test_names_may_stand_without_commas_and_in_any_order(club: Database) -> None:
    typing = Typing(club)
    typing("night start kestrel ridge with bram ostler and ines")
    page = typing("setup start long tube heron bram wide 25").value
    assert (page.mount, page.tube, page.observer, page.eyepiece) == (
        "Heron",
        "Long tube",
        "Bram Ostler",
        "Wide 25",
    )


@pytest.mark.parametrize(
    ("line", "tube", "eyepiece", "observer"),
    [
        ("heron, long, none, ines", "Long tube", None, "Ines"),
        ("heron none wide ines", None, "Wide 25", "Ines"),
        ("heron, none, none, bram ostler", None, None, "Bram Ostler"),
        ("heron, long, wide, None", "Long tube", "Wide 25", None),
    ],
)
def test_none_stands_for_what_is_not_named(
    typing: Typing, line: str, tube: str | None, eyepiece: str | None, observer: str | None
) -> None:
    page = typing(f"setup start {line}").value
    assert (page.tube, page.eyepiece, page.observer) == (tube, eyepiece, observer)


def test_none_where_all_is_named_or_a_mount_is_meant_is_refused(typing: Typing) -> None:
    with pytest.raises(NothingIsNone):
        typing("setup start heron, long, wide, ines, none")
    with pytest.raises(NoneNamed):
        typing("setup start none")


def test_who_leaves_out_start_is_told_how_a_setup_begins(typing: Typing) -> None:
    with pytest.raises(NotSaidSo, match="'heron long wide' is not understood after setup") as refused:
        typing("setup heron long wide")
    assert refused.value.hint.startswith("Write: setup start MOUNT")


def test_what_is_not_named_is_as_it_was_last_and_said_back(typing: Typing) -> None:
    answer = typing("setup start heron")
    assert (answer.value.tube, answer.value.eyepiece) == ("Long tube", "Wide 25")
    assert answer.taken[:2] == ("tube: Long tube (the last used)", "eyepiece: Wide 25 (the last used)")
    assert typing("night start").taken == ("site: Mill Field (of the open night)",)
    with pytest.raises(NoneNamed):
        typing("setup start")


def test_a_name_that_nothing_has_is_refused(club: Database) -> None:
    typing = Typing(club)
    with pytest.raises(UnknownName):
        typing("night start marsh")
    typing("night start mill")
    with pytest.raises(UnknownName):
        typing("setup start heron, longest tube")
    with pytest.raises(SeveralNamesFit):
        typing("setup start b")  # Bracken or Bram
    assert typing.rows("SELECT count(*) FROM setups") == [(0,)]


def test_the_eyepiece_changes_for_what_follows(typing: Typing) -> None:
    # Wide 25 in 1000 mm: 53 x 25 / 1000 deg = 79.5'; a field stop of 20 mm: 2 atan(10 / 1000) = 68.75'.
    typing("20:50 sy regulus 3E")
    typing("eye stop")
    typing("20:55 ch procyon 0.5f W")
    fields = typing.rows("SELECT field_arcmin, offset_east_arcmin FROM arrivals ORDER BY id")
    assert fields[0] == (79.5, 3.0)
    assert fields[1] == (pytest.approx(68.75, abs=0.01), pytest.approx(-34.375, abs=0.01))
    assert typing("u").value == {"undone": "check Procyon"}
    assert typing("u").value == {"undone": "change to the eyepiece Stop 20"}


def test_the_side_of_the_pier_holds_until_it_is_changed(typing: Typing) -> None:
    typing("20:45 pier w")
    typing("20:50 sy regulus")
    typing("20:55 ch procyon pe")
    typing("21:00 g m81")
    typing("21:04 flip")
    typing("21:05 g m42")
    assert [row[5] for row in typing.arrivals()] == ["west", "east", "west", "east"]
    assert typing("pier").value == SaidWords(("Tube on the east side of the pier.",))


def test_the_side_goes_with_its_setup(typing: Typing) -> None:
    typing("20:45 pier w")
    typing("setup start heron")
    typing("g m81")
    assert [row[5] for row in typing.arrivals()] == [None]


def test_a_flip_needs_a_side_that_was_said(typing: Typing) -> None:
    with pytest.raises(SideNotKnown):
        typing("flip")
    typing("20:50 sy regulus pw")
    assert typing("flip").value.setup.pier_side == "east"


def test_only_a_german_mount_has_sides(typing: Typing) -> None:
    typing("setup end")
    with pytest.raises(NoOpenSetup):
        typing("pier west")
    typing("setup start bracken")
    with pytest.raises(HasNoSides):
        typing("pier west")


def test_of_two_setups_the_one_that_is_named_is_meant(typing: Typing) -> None:
    typing("setup start bracken")
    typing("g m81")
    typing("setup heron")
    typing("g m82")
    told = typing.rows(
        "SELECT q.name, a.target FROM arrivals a JOIN setups s ON s.id = a.setup_id"
        " JOIN equipment q ON q.id = s.mount_id ORDER BY a.id"
    )
    assert told == [("Bracken", "M 81"), ("Heron", "M 82")]


def test_a_setup_that_was_ended_elsewhere_sends_no_line_to_another_mount(typing: Typing) -> None:
    typing("setup start bracken")
    typing("setup heron")
    elsewhere = Typing(typing.database)
    elsewhere("setup end heron")
    before = typing.rows("SELECT count(*) FROM acts")
    for line in (
        "g m81 in",
        "sa m81",
        "eye stop",
        "edit 1 in",
        "ti power 12.6",
        "sn power flat",
        "pier west",
    ):
        with pytest.raises(SetupEnded) as error:
            typing(line)
        assert error.value.message == "No set-up of Heron is open any more; open: Bracken."
        assert error.value.hint == "To go on with it: setup Bracken"
    with pytest.raises(NoOpenSetup, match="No set-up of Heron is open"):
        typing("setup end")
    assert typing.rows("SELECT count(*) FROM acts") == before
    typing("setup bracken")
    typing("g m81 in")
    assert standing(typing.database, "Bracken").next_number == 2


def test_to_end_the_setup_of_another_mount_changes_not_which_is_meant(typing: Typing) -> None:
    typing("setup start bracken")
    typing("setup start thistle")
    assert typing("setup end bracken").settings.mount == "Thistle"
    assert typing("setup end").settings.mount is None


def test_quiet_is_a_setting_until_it_is_taken_back_or_the_night_ends(typing: Typing) -> None:
    assert typing("quiet").settings.quiet
    assert not typing("quiet").settings.quiet
    assert typing("quiet on").settings.quiet
    assert not typing("night end").settings.quiet
    assert typing.rows("SELECT open FROM nights") in ([(False,)], [(0,)])


@pytest.mark.parametrize("line", ["night begin mill", "quiet please", "pier north", "night end mill"])
def test_words_that_say_nothing_are_refused(typing: Typing, line: str) -> None:
    with pytest.raises((NotSaidSo, UnknownName)):
        typing(line)


@pytest.mark.parametrize("line", ["eyepiece with", "setup and", "setup end by", "eyepiece ,"])
def test_words_that_only_fill_a_line_name_nothing(typing: Typing, line: str) -> None:
    with pytest.raises(NotSaidSo):
        typing(line)


def test_while_a_stocktake_is_counted_each_line_is_a_tag_until_done(club: Database) -> None:
    typing = Typing(club)
    typing("stocktake start ines")
    assert typing.settings.counting
    for line in ("wide 25", "sync vega", "at attic", "heron"):
        typing(line)
    assert typing.rows("SELECT found_place FROM stocktake_ticks ORDER BY id") == [(None,), ("attic",)]
    assert typing.rows("SELECT text FROM stocktake_unknowns") == [("sync vega",)]
    assert typing("undo").value == {"undone": "saw Heron in the stocktake"}
    typing("done")
    with pytest.raises(UnknownVerb):
        typing("wide 25")
    assert typing("stocktake").value.expected == 7
    with pytest.raises(Doubtful):
        typing("stocktake finish")
    assert typing("stocktake finish !").value.done
    assert typing.settings == PromptSettings()


def test_lines_are_lines_again_where_the_stocktake_was_finished_elsewhere(club: Database) -> None:
    typing = Typing(club)
    typing("stocktake start ines")
    typing("at attic")
    finish(club, NOW)
    assert typing("help").verb == "help"
    assert typing.settings == PromptSettings()
    assert typing("night start mill with ines").verb == "night"
    with pytest.raises(NotSaidSo, match="not understood after stocktake"):
        typing("stocktake everything")


def test_a_setup_typed_twice_says_what_became_of_the_first(typing: Typing) -> None:
    first = typing.rows("SELECT ordinal FROM setups WHERE open")
    again = typing("setup start heron, long tube")
    assert [words for words in again.taken if "twice" in words] == [
        "Heron's set-up 1 is ended by this, with no star and nothing seen in it. If it was typed twice: undo"
    ]
    typing("u")
    assert typing.rows("SELECT ordinal FROM setups WHERE open") == first == [(1,)]
    typing("sync regulus")
    assert not any("twice" in words for words in typing("setup start heron").taken)
