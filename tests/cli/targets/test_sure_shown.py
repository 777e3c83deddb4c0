"""How sure targets are to be seen, in the lines of the screen; and two evenings from the database to the screen."""

import re
from datetime import UTC, datetime
from typing import Any

import pytest

from obslog.cli.targets.sure_shown import best_line, judged_line, moon_line, reason_lines
from obslog.club.targets.how_sure import Sure
from obslog.club.targets.means_to_see import JudgedIn, SkyOnRecord
from obslog.club.targets.planned_targets import MoonTonight, UpTime
from tests.cli.checklist.briefings import ZONE, at
from tests.cli.conftest import Run
from tests.cli.targets.test_targets_shown import a_plan, a_target

NIGHT = UpTime(at(20, 6), at(4, 17, 3))


def moon(*up: UpTime, phase: str = "full Moon", lit: float = 0.998, light: tuple[float, ...] = ()) -> str:
    targets = [a_target(n, moonlight_mag=value) for n, value in enumerate(light, start=1)]
    return moon_line(a_plan(*targets, moon=MoonTonight(phase, lit, up)), ZONE)


def test_the_moon_line_tells_phase_and_when_it_is_up() -> None:
    """The plan's dark is from 20:06 to 04:17."""
    assert moon(phase="waning crescent", lit=0.153) == "waning crescent, 15 % lit, down while it is dark"
    assert moon(NIGHT) == "full Moon, 100 % lit, up while it is dark"
    assert moon(UpTime(at(20, 6), at(23, 30))).endswith("up until 23:30")
    assert moon(UpTime(at(23, 30), at(4, 17, 3))).endswith("up from 23:30")
    assert moon(UpTime(at(22, 0), at(23, 30))).endswith("up from 22:00 until 23:30")


def test_the_moon_line_tells_by_how_much_the_sky_is_brighter() -> None:
    assert moon(NIGHT, light=(2.24, 3.31)).endswith(
        "behind the targets the sky is brighter by 2.2 to 3.3 mag"
    )
    assert moon(NIGHT, light=(2.24, 2.21)).endswith("behind the targets the sky is brighter by 2.2 mag")
    assert moon(NIGHT, light=(2.24, 0.0)).endswith("behind some targets the sky is brighter by 2.2 mag")
    assert "brighter" not in moon(NIGHT, light=(0.01,))


@pytest.mark.parametrize(
    ("changed", "line"),
    [
        (
            {"sky_meter": SkyOnRecord(21.04, 0.1, 3), "sky_mag": 21.04},
            "Long tube, 212 mm (the club's largest); a sky of 21.0 overhead without the Moon",
        ),
        (
            {"judged_in": JudgedIn("Long tube", 212.0, "", 40.0)},
            "Long tube, 212 mm, at 40x; a sky of 21.3 overhead without the Moon, a usual country sky: no sky-meter "
            "reading here",
        ),
        (
            {"sky_meter": SkyOnRecord(18.4, None, 1, True), "sky_mag": 18.4},
            "Long tube, 212 mm (the club's largest); a sky of 18.4 overhead without the Moon, though each reading was "
            "taken under the Moon",
        ),
        (
            {"judged_in": JudgedIn(None, 150.0, "a usual tube: none is on record", None)},
            "150 mm (a usual tube: none is on record); a sky of 21.3 overhead without the Moon, a usual country sky: "
            "no sky-meter reading here",
        ),
    ],
)
def test_what_all_is_judged_by_says_what_is_assumed(changed: dict[str, Any], line: str) -> None:
    assert judged_line(a_plan(a_target(1), **changed)) == line


def test_the_best_of_each_kind_are_those_first_in_preference() -> None:
    targets = [
        a_target(n, rank=rank, kind=kind, sure=sure)
        for n, rank, kind, sure in (
            (1, 9, "galaxies", Sure.EASILY), (2, 1, "galaxies", Sure.WITH_CARE), (3, 2, "open clusters", Sure.EASILY),
            (4, 3, "galaxies", Sure.EASILY), (5, 4, "galaxies", Sure.EASILY), (6, 5, "nebulae", Sure.HARDLY),
        )
    ]  # fmt: skip
    assert best_line(a_plan(*targets)) == "Best of each kind: galaxies M 2, M 4, M 5; open clusters M 3."
    assert best_line(a_plan(a_target(1, sure=Sure.UNKNOWN))) == ""


def test_a_number_gives_way_to_the_abbreviation_that_people_use() -> None:
    titles = ("ESO 56-115, LMC", "M 31, Andromeda Galaxy", "NGC 55")
    targets = [a_target(n, name=title.split(",")[0], title=title) for n, title in enumerate(titles, start=1)]
    assert reason_lines(a_plan(*targets))[0][1] == "LMC, M 31, NGC 55"


def test_reasons_stand_together_the_surest_first() -> None:
    targets = [
        a_target(1, sure=Sure.UNKNOWN, why="its size is not known"), a_target(2), a_target(3),
        a_target(4, sure=Sure.HARDLY, why="very faint"), a_target(5, sure=Sure.WITH_CARE, why="faint"),
    ]  # fmt: skip
    assert reason_lines(a_plan(*targets)) == [
        ("Easily seen, its stars are bright enough", "M 2, M 3"),
        ("Seen with care, faint", "M 5"),
        ("Hardly seen, very faint", "M 4"),
        ("Not known whether it shows, its size is not known", "M 1"),
    ]


def test_october_in_the_far_south_is_led_by_the_clouds_and_ngc_253(run: Run) -> None:
    """At 45.87 S they culminate at 90 - 45.87 + 25.3 = 69 deg and, in the south, at 64 and 63: high in October."""
    south = ("--lat", "-45.87", "--lon", "170.5", "--elevation-m", "300", "--tz", "Pacific/Auckland")
    assert run("site", "add", "Otago Ridge", *south).code == 0
    words = ("targets", "--site", "Otago Ridge", "--at", "2026-10-09", "--tube", "Long tube")
    shown = " ".join(run(*words).out.split())
    assert "Best of each kind: galaxies LMC, SMC, NGC 253; globular clusters NGC 104, " in shown
    assert "down while it is dark" in shown
    assert re.search("bright enough for the naked eye: [^.]*SMC, LMC", shown)
    galaxies = run(*words, "--type", "galaxy", "--json").document["targets"]
    led_by = sorted(galaxies, key=lambda target: target["rank"])[:3]
    assert {target["name"] for target in led_by} == {"ESO 56-115", "NGC 292", "NGC 253"}
    assert {target["sure"] for target in led_by} == {"easily"}


def test_in_a_town_a_great_galaxy_is_seen_by_its_core(run: Run) -> None:
    """New Moon on 9 November 2026. M 31's disc drowns in a town's light; its core shows there, as anybody has seen."""
    town = ("--lat", "48.1", "--lon", "11.6", "--elevation-m", "500", "--tz", "Europe/Berlin")
    evening = datetime(2026, 11, 8, 20, tzinfo=UTC)
    assert run("site", "add", "Roof", *town, at=evening).code == 0
    assert run("night", "start", "Roof", "--sky", "sky-meter 18.0", at=evening).code == 0
    words = ("targets", "--site", "Roof", "--at", "2026-11-08", "--tube", "Long tube", "--list", "messier")
    targets = run(*words, "--json", at=evening).document["targets"]
    (andromeda,) = (target for target in targets if target["name"] == "M 31")
    assert andromeda["sure"] == "easily"
    assert re.fullmatch(r"by its core, [2-9]' across; the disc is too faint", andromeda["why"])
    shown = " ".join(run(*words, at=evening).out.split())
    assert re.search(r"Easily seen, by its core, .' across; the disc is too faint: M 31\.", shown)


def test_a_full_moon_is_for_clusters_doubles_planets_and_the_moon(run: Run) -> None:
    """Full on the morning of 3 March 2026."""
    words = ("targets", "--site", "Mill Field", "--at", "2026-03-02", "--tube", "Long tube")
    plan = run(*words, "--json").document
    types = {target["type"] for target in plan["targets"]}
    assert {"open cluster", "globular cluster", "double star", "planet", "Moon"} <= types
    assert not {kind for kind in types if "nebula" in kind or "galaxy" in kind or "remnant" in kind}
    assert (plan["moon"]["phase"], len(plan["moon"]["up"])) == ("full Moon", 1)
    assert min(target["moonlight_mag"] for target in plan["targets"]) > 1.5
    shown = " ".join(run(*words).out.split())
    assert (
        "Moon full Moon, 100 % lit, up while it is dark; behind the targets the sky is brighter by" in shown
    )
    assert "drowned by moonlight; without the Moon 212 mm of aperture would be enough" in shown
    assert "Easily seen, the brightest there is: Moon." in shown
    # The same stars seventeen days later, under a new Moon: galaxies and nebulae are back.
    dark = run(*words[:4], "2026-03-19", *words[5:], "--json").document
    assert {"galaxies", "nebulae"} <= {target["kind"] for target in dark["targets"]}


def test_a_nebula_whose_magnitude_is_known_in_blue_only_takes_part(run: Run) -> None:
    """The North America Nebula: B 4, 120' by 100', so 4 + 2.5 log10(pi / 4 x 120 x 100 x 3600) = 22.83."""
    words = ("targets", "--site", "Mill Field", "--at", "2026-11-10", "--list", "caldwell", "--most", "60")
    plan = run(*words, "--minutes", "5", "--json").document
    nebula = next(target for target in plan["targets"] if target["name"] == "NGC 7000")
    assert nebula["band"] == "B"
    assert nebula["surface_brightness"] == pytest.approx(22.83, abs=0.01)
    assert (nebula["sure"], nebula["why"]) == ("with care", "its light is spread over 2°")


def test_the_double_cluster_takes_one_place(run: Run) -> None:
    words = (
        "targets",
        "--site",
        "Mill Field",
        "--at",
        "2026-11-10",
        "--type",
        "open cluster",
        "--most",
        "40",
    )
    plan = run(*words, "--minutes", "5", "--json").document
    beside = {target["name"]: target["beside"] for target in plan["targets"]}
    assert "NGC 884" in beside["NGC 869"]
    assert "NGC 884" not in beside
    assert "with NGC 884" in " ".join(run(*words, "--minutes", "5").out.split())


def test_a_named_object_that_the_moon_drowns_is_counted_and_an_unknown_one_is_proposed(
    run: Run, tmp_path: Any
) -> None:
    sheet = tmp_path / "mine.csv"
    sheet.write_text("target\nM 101\nNGC 7000\nM 44\nB 33\nNGC 1579\n", encoding="utf-8")
    words = (
        "targets",
        "--site",
        "Mill Field",
        "--at",
        "2026-03-02",
        "--tube",
        "Long tube",
        "--list",
        str(sheet),
    )
    plan = run(*words, "--above", "20", "--json").document
    sure = {target["name"]: target["sure"] for target in plan["targets"]}
    assert sure["M 44"] == "easily"
    assert sure["NGC 1579"] == "unknown"  # the catalogue has no magnitude of it
    assert "M 101" not in sure
    assert plan["left_out"][-1] == {
        "why": "drowned by moonlight; without the Moon 212 mm of aperture would be enough: M 101",
        "count": 1,
    }
