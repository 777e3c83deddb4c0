"""Planning an evening's targets from the command line."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run

HERE = ("targets", "--site", "Mill Field")


def test_a_plan_is_shown_with_what_was_left_out(run: Run) -> None:
    answer = run(*HERE, "--list", "messier", "--most", "5")
    assert answer.code == 0, answer.err
    assert "M 44, Beehive Cluster" in answer.out
    assert "Looked through 110 objects; left out:" in answer.out


def test_every_object_is_accounted_for(run: Run) -> None:
    plan = run(*HERE, "--list", "messier", "--tube", "Long tube", "--type", "galaxy", "--json").document
    assert len(plan["targets"]) + sum(left["count"] for left in plan["left_out"]) == plan["considered"] == 110
    assert {target["type"] for target in plan["targets"]} == {"galaxy"}
    assert all(target["alt_deg"] > 29.9 for target in plan["targets"])


def test_what_a_member_has_seen_is_left_out_but_not_what_was_missed(run: Run) -> None:
    for words in (("night", "start", "Mill Field"), ("saw", "M", "42", "-o", "Ines")):
        assert run(*words).code == 0
    assert run("saw", "M", "35", "--not-seen", "-o", "Ines").code == 0
    wide = (*HERE, "--list", "messier", "--above", "20", "--json", "--not-seen-by")
    names = {
        who: {target["name"] for target in run(*wide, who).document["targets"]}
        for who in ("Ines", "Bram Ostler")
    }
    assert names["Bram Ostler"] - names["Ines"] == {"M 42"}
    assert "M 35" in names["Ines"]


def test_a_list_of_ones_own(run: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "mine.csv"
    sheet.write_text("number,Object\n1,M81\n2,Polaris\n3,Nowhere at all\n4,Jupiter\n", encoding="utf-8")
    plan = run(*HERE, "--list", str(sheet), "--json").document
    assert {target["name"] for target in plan["targets"]} == {"M 81", "Polaris"}
    assert plan["left_out"][0] == {
        "why": "unknown here, or wandering among the stars: Nowhere at all, Jupiter",
        "count": 2,
    }


def test_the_field_and_the_landings_are_told(run: Run) -> None:
    gear = ("--mount", "Heron", "--tube", "Long tube", "-e", "Stop 20", "--list", "messier")
    plan = run(*HERE, *gear, "--json").document
    assert plan["chance_in_field"] is None  # nothing is on record yet: unknown, not zero
    assert plan["field_arcmin"] == pytest.approx(68.75, abs=0.02)  # 2 atan(20 / 2000), by hand
    for words in (
        ("night", "start", "Mill Field"),
        ("setup", "start", "Heron", "--tube", "Long tube", "-e", "Stop 20"),
        ("sync", "Regulus"),
        ("check", "Procyon", "25E", "20N"),
    ):
        assert run(*words).code == 0
    chance = run(*HERE, *gear, "--json").document["chance_in_field"]
    assert list(chance) == ["chance", "low", "high", "setups", "arrivals"]
    assert (chance["setups"], chance["arrivals"]) == (1, 1)
    assert chance["low"] < chance["chance"] < chance["high"] <= 1


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--list", "mesier"), 2),
        (("--list", "missing.csv"), 1),
        (("--type", "gallaxy"), 2),
        (("--above", "95"), 2),
        (("--minutes", "0"), 2),
        (("--not-seen-by", "Nobody"), 2),
        (("--mount", "Swan"), 2),
        (("--at", "2026-06-21T23:00:00Z", "--most", "0"), 2),
    ],
)
def test_wrong_input_is_refused_in_two_lines(run: Run, words: tuple[str, ...], code: int) -> None:
    answer = run(*HERE, *words)
    assert (answer.code, answer.out, len(answer.err.splitlines())) == (code, "", 2)


def test_what_hides_the_sky_of_the_site_is_no_target(run: Run) -> None:
    """With a wall of 60 deg from east through south to west, all that stays is high or in the north."""
    wide = (*HERE, "--list", "messier", "--json", "--most", "40")
    free = {target["name"] for target in run(*wide).document["targets"]}
    assert run("site", "edit", "Mill Field", "--horizon", "0:0,80:0,90:60,270:60,280:0").code == 0
    walled = run(*wide).document
    assert (
        "M 44" in free
    )  # dec +20: never over 90 - 52 + 20 = 58 deg here, and below 30 deg before it is past the wall
    assert "M 44" not in {target["name"] for target in walled["targets"]}
    assert walled["targets"]
    assert all(t["alt_deg"] > 59 or not 90 < t["az_deg"] < 270 for t in walled["targets"])
    assert any("the site's horizon" in left["why"] for left in walled["left_out"])


def test_planets_are_targets_with_their_distance_from_the_sun(run: Run) -> None:
    """Jupiter was in opposition on 2026 January 10 (from memory), so by March 2 about 125 deg from the Sun."""
    plan = run(*HERE, "--type", "planet", "--json").document
    jupiter = next(target for target in plan["targets"] if target["name"] == "Jupiter")
    assert jupiter["type"] == "planet"
    assert -2.9 < jupiter["magnitude"] < -1.6  # its extremes in handbooks
    assert 0.5 < jupiter["size_arcmin"][0] < 0.84  # 30 to 50 arcseconds
    assert jupiter["sun_deg"] == pytest.approx(125, abs=8)
    assert {target["type"] for target in plan["targets"]} == {"planet"}
    assert {t["type"] for t in run(*HERE, "--type", "planetary", "--json").document["targets"]} == {
        "planetary nebula"
    }


def test_double_stars_are_targets_and_the_tube_is_asked_to_part_them(run: Run) -> None:
    words = (*HERE, "--list", "doubles", "--tube", "Long tube", "--most", "40", "--minutes", "5")
    plan = run(*words, "--json").document
    castor = next(target for target in plan["targets"] if target["name"] == "Castor")
    assert castor["type"] == "double star"
    pair = castor["pair"]
    assert (pair["magnitude_a"], pair["magnitude_b"], pair["separation_arcsec"]) == (1.9, 3.0, 5.5)
    assert pair["rayleigh_arcsec"] > pair["dawes_arcsec"] > 0
    assert pair["parted"] == "yes"
    shown = run(*words)
    assert (
        'Castor: magnitudes 1.9 and 3.0, 5.5" apart in 2022, position angle 52°; this tube parts them (Dawes'
        in shown.out + shown.err
    )


def test_a_search_for_double_stars_finds_the_showpieces_and_other_targets_are_no_pairs(run: Run) -> None:
    doubles = run(*HERE, "--type", "double", "--most", "10", "--json").document["targets"]
    assert {target["type"] for target in doubles} == {"double star"}
    assert sum(target["pair"] is not None for target in doubles) >= 8
    clusters = run(*HERE, "--type", "cluster", "--most", "3", "--json").document["targets"]
    assert [target["pair"] for target in clusters] == [None] * 3


def test_nebulae_of_messiers_list_are_found(run: Run) -> None:
    plan = run(*HERE, "--list", "messier", "--type", "nebula", "--above", "15", "--json").document
    assert {"M 42", "M 1"} <= {target["name"] for target in plan["targets"]}


def test_an_eyepiece_without_a_tube_is_not_passed_over(run: Run) -> None:
    answer = run(*HERE, "--eyepiece", "Wide 25")
    assert (answer.code, answer.out) == (2, "")
    assert "The field of the eyepiece 'Wide 25' is not known without a tube." in answer.err
    assert "--tube NAME" in answer.err


def test_of_all_objects_none_of_unknown_magnitude_is_planned_but_what_is_dark(run: Run) -> None:
    """No catalogue has a magnitude of a dark nebula; that of NGC 1579 is not in this one."""
    words = (*HERE, "--tube", "Long tube", "--most", "1000", "--minutes", "1", "--json")
    plan = run(*words, "--type", "galaxy", "--type", "nebula").document
    assert {one["type"] for one in plan["targets"] if one["sure"] == "unknown"} <= {"dark nebula"}
    why = "of unknown magnitude or size, and planned only from a --list"
    assert sum(left["count"] for left in plan["left_out"] if left["why"] == why) > 0
    assert run(*words, "--type", "dark", "--above", "5").document["targets"]
