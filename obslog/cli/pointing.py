"""How well mounts point over the months: trends, comparisons, and whose error it is."""

import typer

from obslog.cli import aligning, live
from obslog.cli.performance import budget, compare, fit, trend

app = typer.Typer(help="How well mounts point, why, and whether that changes.", no_args_is_help=True)
for part in (trend, compare, fit, budget, live, aligning):
    part.add_to(app)
