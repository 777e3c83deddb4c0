"""How well mounts point over the months: trends, comparisons, and whose error it is."""

import typer

from obslog.cli import pointing_fit, pointing_plans, pointing_trend

app = typer.Typer(help="How well mounts point, why, and whether that changes.", no_args_is_help=True)
for part in (pointing_trend, pointing_fit, pointing_plans):
    part.add_to(app)
