"""Lines of a stocktake at the prompt: what a scanner types, what ends that, and what finishing asks first."""

from datetime import datetime

import pytest

from obslog.club.shelves.counting import NoStocktake, Started
from obslog.club.shelves.finishing import Finish
from obslog.club.shelves.looking_through import TickedAlready
from obslog.club.shelves.seen import Seen, SeenOutcome
from obslog.club.shelves.standing import standing
from obslog.club.shelves.typed_lines import Counting, FinishAsked, LineDone, do_line, words_while_counting
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit
from obslog.records.database import Database
from obslog.vocabulary.storeroom import Found


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("M-01", ("saw", "M-01")),
        ("  wide   25 ", ("saw", "wide", "25")),
        ("sync vega", ("saw", "sync", "vega")),  # no verb is looked for
        ("21:05", ("saw", "21:05")),
        ("M;01!", ("saw", "M;01!")),
        ("at shelf 2", ("at", "shelf", "2")),
        ("AT", ("at",)),
        ("done", ("done",)),
        ("done deal", ("saw", "done", "deal")),
        ("undo", None),
        ("Quit", None),
        ("quit smoking", ("saw", "quit", "smoking")),
        ("stocktake finish", None),
        ("help stocktake", None),
        ("", None),
    ],
)
def test_while_tags_are_typed_only_a_few_words_are_no_tag(typed: str, words: tuple[str, ...] | None) -> None:
    assert words_while_counting(typed) == words


class Lines:
    """Lines one after the other, as the prompt would hand them over."""

    def __init__(self, database: Database, now: datetime) -> None:
        self.database, self.now, self.counting = database, now, Counting()

    def __call__(self, *words: str, sure: bool = False, note: str | None = None) -> LineDone | None:
        done = do_line(
            self.database,
            words,
            self.now,
            note=note,
            usual_member=lambda: "Ines",
            sure=sure,
            counting=self.counting,
        )
        if done is not None:
            self.counting = done.counting
        return done

    def value(self, *words: str, sure: bool = False, note: str | None = None) -> object:
        done = self(*words, sure=sure, note=note)
        assert done is not None
        return done.value


@pytest.fixture
def lines(club: Database, now: datetime) -> Lines:
    write_paper(club, "Heron", {"tag": "M-01", "place": "shelf 2"}, now)
    add_kit(club, "Evening kit", ["Heron", "dew cap", "power lead"], now)
    return Lines(club, now)


def test_a_stocktake_from_its_beginning_to_its_end(lines: Lines) -> None:
    started = lines.value("start")
    assert isinstance(started, Started)
    assert (started.member, lines.counting.on) == ("Ines", True)
    assert lines("at", "attic") is not None
    seen = lines.value("saw", "m-01", note="dusty")
    assert isinstance(seen, Seen)
    assert (seen.outcome, seen.seen_at) == (SeenOutcome.ELSEWHERE, "attic")
    kit = lines.value("saw", "evening", "kit", "without", "dew", "cap,", "power", "lead")
    assert isinstance(kit, Seen)
    assert kit.parts_missing == ("dew cap", "power lead")
    assert lines.value() == lines.value("show") == standing(lines.database)
    with pytest.raises(FinishAsked) as asked:
        lines("finish")
    assert "Missing from 2026-03-02: " in asked.value.details[0]
    assert "dew cap of Evening kit" in asked.value.details[0]
    assert "Kept elsewhere from now on: Heron (attic)." in asked.value.details
    assert standing(lines.database).finished_on is None
    done = lines.value("finish", sure=True)
    assert isinstance(done, Finish)
    assert done.done
    assert lines.counting == Counting()
    [heron] = [item for item in standing(lines.database).items if item.name == "Heron"]
    assert (heron.found, heron.note) == (Found.ELSEWHERE, "dusty")


def test_who_is_named_counts_by_any_beginning(lines: Lines) -> None:
    started = lines.value("sta", "bram")
    assert isinstance(started, Started)
    assert started.member == "Bram Ostler"


def test_tags_may_be_left_and_gone_on_with(lines: Lines) -> None:
    with pytest.raises(NoStocktake):
        lines("saw")
    lines("start")
    lines("done")
    assert not lines.counting.on
    lines("saw")
    assert lines.counting.on
    lines("at", "attic")
    lines("at")
    assert lines.counting.place is None


@pytest.mark.parametrize("words", [("frobnicate",), ("done", "now"), ("finish", "it"), ("s", "M-01")])
def test_what_says_nothing_is_told_to_say_nothing(lines: Lines, words: tuple[str, ...]) -> None:
    lines("start")
    assert lines(*words) is None


def test_a_note_is_of_what_was_seen_alone(lines: Lines) -> None:
    assert lines("start", note="in the rain") is None
    with pytest.raises(NoStocktake):
        lines("saw", "M-01")


def test_without_is_a_word_of_its_own_only_behind_a_name(lines: Lines) -> None:
    lines("start")
    assert lines.value("saw", "without") == Seen(text="without", outcome=SeenOutcome.NOT_ON_RECORD)
    lines("saw", "M-01")
    with pytest.raises(TickedAlready):
        lines("saw", "Evening kit", "without", "Heron")


def test_of_many_that_would_be_missing_the_first_are_named(lines: Lines) -> None:
    add_kit(lines.database, "Box", [f"screw {number}" for number in range(30)], lines.now)
    lines("start")
    lines("saw", "Box", "without", ", ".join(f"screw {number}" for number in range(30)))
    with pytest.raises(FinishAsked) as asked:
        lines("finish")
    # 7 items and 30 screws, of which 20 are named.
    assert asked.value.details[0].endswith(" and 17 more.")
