"""How well mounts point over the months: trends, comparisons, and whose error it is."""

import typer

from obslog.cli import live
from obslog.cli.aligning import drifts, first_star, sync_stars
from obslog.cli.performance import budget, compare, fit, trend, whose

app = typer.Typer(help="How well mounts point, why, and whether that changes.", no_args_is_help=True)
for part in (trend, whose, compare, fit, budget, live, sync_stars, drifts, first_star):
    part.add_to(app)
