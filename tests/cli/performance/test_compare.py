"""What `pointing compare` shows and gives to scripts, from comparisons made by hand."""

from obslog.cli.performance.compare import comparison_document, show_comparison
from obslog.club.landing.before_and_after import Difference, Side, TwoSidesOfAMount
from obslog.club.landing.beside_the_first import MountBeside
from obslog.club.over_time.landing_history import AsUsed, MountHistory
from obslog.trends.series.theil_sen import Verdict
from obslog.values import Interval
from tests.cli.program import Program
from tests.cli.screens import shown_by

FOUND = TwoSidesOfAMount(
    mount="Heron",
    sides=(Side("before", Interval(12.0, 10.0, 14.0, 21)), Side("since", Interval(6.0, 5.0, 7.0, 19))),
    ratio=Interval(0.5, 0.4, 0.7, 40), as_seen=0.55, decided=True, more_nights=None,
    differs=[Difference("cone error", 10.5, 1.25)], words=["It is better.", "By half."],
)  # fmt: skip


def history(mount: str) -> MountHistory:
    return MountHistory(
        mount=mount,
        setups=[],
        slope=None,
        days=0,
        verdict=Verdict.TOO_FEW,
        words="",
        adjusted_for=(),
        as_used=AsUsed(None, Verdict.TOO_FEW),
        reasons=[],
        alarms=[],
        services=[],
    )


BESIDE = [MountBeside(history("Heron"), None), MountBeside(history("Bittern"), Interval(3.0, 1.5, 6.0, 31))]


def test_the_verdict_comes_first_and_then_what_each_cause_adds() -> None:
    for shown in shown_by(lambda screen: show_comparison(screen, FOUND)):
        assert shown.in_order("It is better.", "By half.", "cone error", "10.5", "1.2")


def test_mounts_are_set_beside_the_first() -> None:
    for shown in shown_by(lambda screen: show_comparison(screen, BESIDE)):
        assert "Bittern lands 3.00 times (95 % interval 1.50 to 6.00) as far off as Heron" in shown.words


def test_a_ratio_that_nothing_bounds_is_no_answer() -> None:
    few = [BESIDE[0], MountBeside(history("Bittern"), Interval(0.05, None, None, 2))]
    for shown in shown_by(lambda screen: show_comparison(screen, few)):
        assert shown.words.startswith("How Bittern lands beside Heron cannot be told")
        assert "0.05" not in shown.words


def test_scripts_get_each_mount_with_its_ratio() -> None:
    first, second = comparison_document(BESIDE)
    assert (first["mount"], first["ratio"]) == ("Heron", None)  # type: ignore[index]
    assert second["ratio"] == {"value": 3.0, "low": 1.5, "high": 6.0}  # type: ignore[index]


def test_scripts_get_both_sides_of_a_mount() -> None:
    sides = [
        {
            "side": "before",
            "setups": 21,
            "half_land_within_arcmin": 12.0,
            "low_arcmin": 10.0,
            "high_arcmin": 14.0,
        },
        {
            "side": "since",
            "setups": 19,
            "half_land_within_arcmin": 6.0,
            "low_arcmin": 5.0,
            "high_arcmin": 7.0,
        },
    ]
    assert comparison_document(FOUND) == {
        "mount": "Heron", "sides": sides, "ratio": {"value": 0.5, "low": 0.4, "high": 0.7}, "ratio_as_seen": 0.55,
        "decided": True, "more_nights": None, "differs": [Difference("cone error", 10.5, 1.25)],
        "words": ["It is better.", "By half."],
    }  # fmt: skip


def test_an_option_asks_for_one_mount(program: Program) -> None:
    ran = program("pointing", "compare", "Heron", "Bittern", "--service")
    assert ran.code == 2
    assert "One mount is compared in one way" in ran.err
