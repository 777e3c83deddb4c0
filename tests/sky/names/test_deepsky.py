"""Finding and searching deep-sky objects: every usual spelling, and what is said when nothing is found."""

import subprocess
import sys

import pytest
from skyfield.api import load_constellation_names

from obslog.errors import WrongInput
from obslog.sky.names.deepsky import (
    AmbiguousObject,
    NothingThere,
    UnknownObject,
    find_object,
    object_columns,
    object_or_none,
    object_rows,
    objects,
)
from obslog.sky.names.deepsky_names import name_key, read_designation
from obslog.sky.names.deepsky_search import search_objects

ANDROMEDA = (
    "M 31|M31|m31|m  31|M-31|Messier 31|messier31|MESSIER 031|NGC 224|ngc224|NGC0224|ngc 0224|N224|UGC 454"
)


@pytest.mark.parametrize("text", ANDROMEDA.split("|"))
def test_every_usual_spelling_of_one_object(text: str) -> None:
    assert find_object(text).names[0] == "Andromeda Galaxy"
    assert find_object(f"  {text} ") == find_object("Andromeda Galaxy")


@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("C 14", "C 14"),
        ("caldwell14", "C 14"),
        ("h and chi Persei", "C 14"),
        ("h & Chi Persei", "C 14"),
        ("IC 1805", "IC 1805"),
        ("I.C. 1805", None),
        ("i1805", "IC 1805"),
        ("NGC 61A", "NGC 61A"),
        ("ngc61a", "NGC 61A"),
        ("IC80NED01", "IC 80 NED01"),
        ("NGC 650-1", "NGC 650"),
        ("NGC 650/651", "NGC 650"),
        ("NGC 651", "NGC 650"),
        ("NGC 6992/5", "NGC 6992"),
        ("Sh2-155", "C 9"),
        ("sh 2-155", "C 9"),
        ("Sharpless 155", "C 9"),
        ("Barnard 33", "B 33"),
        ("Collinder 399", "Cr 399"),
        ("Mel. 25", "C 41"),
        ("ESO 056-115", "ESO 56-115"),
        ("Hickson 92", "HCG 92"),
    ],
)
def test_designations_of_many_catalogues(text: str, designation: str | None) -> None:
    thing = object_or_none(text)
    assert (thing.designation if thing else None) == designation


@pytest.mark.parametrize(
    "text", ["Cat's Eye Nebula", "cats eye nebula", "CAT’S EYE NEBULA", "the cat's-eye nebula"]
)
def test_common_names_in_any_case_and_with_any_apostrophe(text: str) -> None:
    assert find_object(text).designation == "NGC 6543"


def test_accents_do_not_matter() -> None:
    assert find_object("Plëiadés").messier == 45
    assert name_key("Écu de Sobieski") == name_key("ecu de sobieski")


@pytest.mark.parametrize(
    ("text", "messier"), [("whirlpool", 51), ("Lagoon", 8), ("eagle", 16), ("beehive", 44)]
)
def test_a_name_without_its_last_word(text: str, messier: int) -> None:
    assert find_object(text).messier == messier


def test_a_constellation_is_not_an_object() -> None:
    names = [full for _, full in load_constellation_names()]
    assert len(names) == 88
    assert [name for name in names if object_or_none(name)] == []


def test_a_name_shared_by_an_object_and_its_part_means_the_messier_object() -> None:
    assert find_object("Eagle Nebula").messier == 16


def test_a_short_name_of_several_objects_is_refused_with_all_of_them() -> None:
    with pytest.raises(AmbiguousObject) as caught:
        find_object("helix")
    assert "Helix Nebula (NGC 7293)" in caught.value.hint
    assert "Helix Galaxy (NGC 2685)" in caught.value.hint
    assert object_or_none("helix") is None


@pytest.mark.parametrize(
    ("text", "nearest"),
    [
        ("andromida", "Andromeda Galaxy"),
        ("pliades", "Pleiades"),
        ("M 111", "M 110"),
        ("horse head nebulla", "Horsehead Nebula"),
    ],
)
def test_an_unknown_name_gets_the_nearest(text: str, nearest: str) -> None:
    with pytest.raises(UnknownObject) as caught:
        find_object(text)
    assert nearest in caught.value.nearest
    assert len(caught.value.nearest) <= 3
    assert nearest in caught.value.hint
    assert caught.value.exit_code == 2


@pytest.mark.parametrize(
    "text", ["", " ", "?", "31", "qqqqqq", "M", "NGC", "M 0", "NGC 99999", "M 31,galaxy"]
)
def test_what_is_no_name_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(WrongInput) as caught:
        find_object(text)
    assert caught.value.message
    assert caught.value.hint


@pytest.mark.parametrize("text", ["IC 1064", "ic1064", "NGC 412"])
def test_a_number_given_to_nothing_says_so(text: str) -> None:
    with pytest.raises(NothingThere, match="no object"):
        find_object(text)
    assert object_or_none(text) is None


def test_a_designation_is_read_whether_or_not_there_is_such_an_object() -> None:
    assert read_designation("ngc09999") == "NGC 9999"
    assert read_designation("Pleiades") is None


def test_magnitude_is_v_where_known_and_b_else() -> None:
    nebula = find_object("NGC 7000")
    assert (nebula.v_mag, nebula.magnitude, nebula.band) == (None, nebula.b_mag, "B")
    assert nebula.magnitude_from == "B"
    assert find_object("M 31").band == "V"


def test_each_magnitude_and_corrected_size_keeps_where_it_is_from() -> None:
    told = {name: find_object(name).magnitude_from for name in ("M 31", "NGC 157", "NGC 6723", "Coalsack")}
    assert told == {"M 31": "V", "NGC 157": "from B", "NGC 6723": "Harris", "Coalsack": None}
    assert (find_object("M 7").size_from, find_object("M 31").size_from) == ("handbooks", None)
    assert [t.designation for t in objects() if (t.magnitude is None) != (t.magnitude_from is None)] == []


def test_title_is_what_people_say() -> None:
    assert find_object("NGC 224").title == "M 31, Andromeda Galaxy"
    assert find_object("NGC 1").title == "NGC 1"


def test_search_orders_whole_names_first_then_starts_then_parts_and_brighter_first() -> None:
    found = search_objects("butterfly nebula")
    assert found[0].designation == "NGC 6302"
    titles = [thing.title for thing in search_objects("eagle")]
    assert titles == ["M 16, Eagle Nebula", "IC 4703, Eagle Nebula"]
    starts = search_objects("NGC 70")
    assert starts[0].designation == "NGC 70"
    magnitudes = [thing.magnitude for thing in starts[1:] if thing.magnitude is not None]
    assert magnitudes == sorted(magnitudes)
    assert "NGC 7000" in [thing.designation for thing in starts]
    assert [thing.magnitude is None for thing in starts] == sorted(
        thing.magnitude is None for thing in starts
    )


def test_search_is_blind_to_case_accents_and_apostrophes() -> None:
    assert search_objects("BODES") == search_objects("bodé’s") != []


@pytest.mark.parametrize("text", ["", "  ", "'", "zzzz"])
def test_search_that_finds_nothing(text: str) -> None:
    assert search_objects(text) == []


def test_search_for_everything_gives_each_object_once() -> None:
    found = search_objects("ngc")
    assert len({thing.designation for thing in found}) == len(found) > 7000
    assert len(found) <= len(objects())


def test_finding_an_object_loads_no_heavy_library() -> None:
    program = (
        "import sys; from obslog.sky.names.deepsky import find_object; import obslog.sky.names.deepsky_search; "
        "assert find_object('m31').messier == 31; "
        "print(*[m for m in ('numpy', 'skyfield', 'sqlalchemy', 'scipy') if m in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == ""


def test_the_columns_are_those_of_the_lines() -> None:
    assert [list(row) for row in zip(*object_columns(), strict=True)] == object_rows()
