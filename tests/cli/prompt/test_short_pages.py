"""The prompt's own pages: what one needs in the dark, and no digit more."""

import re
from datetime import UTC, datetime
from io import StringIO
from zoneinfo import ZoneInfo

import pytest

from obslog.cli.prompt.short_pages import show_next, show_where
from obslog.cli.terminal.screen import Screen
from obslog.club.aligning.sync_star_plan import Expected, StarPlan, StarStep
from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.where import where_is
from obslog.values import Place
from tests.cli.program import Program
from tests.cli.prompt.test_prompt import BEGUN, Piped

LONDON = ZoneInfo("Europe/London")


def shown_where(name: str, at_utc: datetime) -> str:
    out = StringIO()
    view = ObservingSite("Mill Field", Place(52.2, 0.12, 20.0), LONDON)
    show_where(Screen(out, out), where_is(view, name, at_utc), at_utc.astimezone(LONDON))
    return out.getvalue()


def test_the_pole_star_is_as_high_as_the_latitude_and_in_the_north() -> None:
    """Within its distance from the pole, two thirds of a degree: at 52.2 degrees of latitude 51.5 to 52.9."""
    told = shown_where("Polaris", datetime(2026, 3, 2, 21, 40, tzinfo=UTC))
    assert re.match(r"Polaris at 21:40: 5[123]° up in the north \(azimuth (0|1|359|360)°\), ", told)
    assert "in UMi, magnitude 2.0, " in told


def test_what_is_down_is_told_by_how_much_alone() -> None:
    """Sigma Octantis stands 1.1 degrees from the south pole, which is 52.2 degrees down."""
    told = shown_where("sigma Oct", datetime(2026, 3, 2, 21, 40, tzinfo=UTC))
    assert re.fullmatch(r".* at 21:40: 5[123]° below the horizon\.\n", told)


@pytest.mark.parametrize(
    "line", ["where regulus", "where m31", "when m13", "pole", "next", "l", "targ", "br"]
)
def test_no_page_has_options_of_the_command_line_or_digits_that_nobody_sees(piped: Piped, line: str) -> None:
    told = piped([*BEGUN, "20:50 sy regulus 3E2N pw", line]).out.partition("(Heron)\n")[2]
    assert told
    assert not re.search(r"(?<!\w)--?[a-z]", told), told
    assert "SITE" not in told
    assert not re.search(r"\d\.\d\d", told), told


def test_the_list_has_a_line_for_each_as_it_was_answered(piped: Piped) -> None:
    lines = ["20:50 sy regulus 3E2N pw; thin cloud", "20:56 g m31 edge", "21:10 sa m82; a streak"]
    told = piped([*BEGUN, *lines, "l"]).out.splitlines()
    assert told[-4:] == [
        "1.  20:50  sync  Regulus  3.0E 2.0N  pier west  thin cloud",
        "2.  20:56  goto  M 31  edge",
        "Seen tonight:",
        "1.  21:10  seen M 82  a streak",
    ]


def test_a_setup_that_ends_is_not_listed_once_more(piped: Piped) -> None:
    told = piped([*BEGUN, "20:50 sy regulus", "20:56 g m31 edge", "setup end"]).out.splitlines()
    assert told[-1] == "Heron, set-up 1 of the night of 2026-03-02 at Mill Field: over, with 2 arrivals."


def test_of_a_night_what_nobody_said_is_left_out(piped: Piped) -> None:
    assert "unknown" not in piped(["night start mill", "night"]).out


def test_notes_of_a_night_are_kept_apart(piped: Piped, in_club: Program) -> None:
    piped(["night start mill", "note dew heavy", "night end; clouds"])
    assert "dew heavy; clouds" in in_club.must("night", "show").out


def test_an_eyepiece_that_is_not_known_is_asked_for(piped: Piped) -> None:
    answer = piped(["night start mill", "setup start heron, long, ines"])
    assert "Which eyepiece is in it?" in answer.err
    assert "Which eyepiece" not in piped(["setup end", *BEGUN[1:]]).err


def test_a_night_that_was_ended_and_is_open_says_that_it_was_opened_again(piped: Piped) -> None:
    told = piped([*BEGUN, "night end", "night", "night start", "night"]).out
    ends = [line for line in told.splitlines() if line.startswith("to\t")]
    assert [line.endswith(", then opened again") for line in ends] == [False, False, True, True]


def test_the_stars_to_sync_on_stand_below_from_when_they_are_seen() -> None:
    out = StringIO()
    landing = Expected(20.0, 50.0, None)
    star = StarStep(order=1, name="Sirius", magnitude=-1.5, alt_deg=20.4, az_deg=180.0, pier_side=None)
    plan = StarPlan(
        mount="Heron", tube=None, stars=[star], expected_landing_arcmin=landing, after_each=[landing], flips=0,
        basis=[], caution=None,
    )  # fmt: skip
    show_next(Screen(out, out), plan, "from 18:16 on, as soon as it is dark enough, ")
    assert out.getvalue().splitlines() == [
        "From 18:16 on, as soon as it is dark enough, sync next on, in this order:",
        "1. Sirius, 20° up in the south; then half the go-tos land within 20'",
    ]
