"""The numbers on own trends in docs/trends.md: python -m tests.benchmarks.own_trend_numbers"""

from numpy.random import default_rng

from obslog.trends.own.club_alarms import club_alarms
from obslog.trends.own.club_model import fit_club
from obslog.trends.own.own_verdict import HIDING
from obslog.trends.series.theil_sen import Verdict
from tests.trends.own.club_simulations import STORIES, counted_verdicts, plain, setups_of

CLUBS, ALARM_CLUBS = 30, 60


def main() -> None:
    """Print a row of the table for each disturbance: worsening as used, worsening of its own, cannot be told."""
    for name in STORIES:
        counted = counted_verdicts(default_rng(2026), name, CLUBS)
        used, own = counted.as_used[Verdict.WORSENING], counted.own[Verdict.WORSENING]
        silent = sum(counted.own[verdict] for verdict in HIDING.values())
        print(f"| {name} | {used:.3f} | {own:.3f} | {silent:.3f} |", flush=True)
    rng = default_rng(2026)
    alarms = [len(club_alarms(fit_club(setups_of(rng, plain(rng))), 1.0).alarms) for _ in range(ALARM_CLUBS)]
    print(f"{sum(alarms)} false alarms in {ALARM_CLUBS * 1.25:.0f} years of clubs of 20 mounts")


if __name__ == "__main__":
    main()
