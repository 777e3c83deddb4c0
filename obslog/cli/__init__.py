"""The commands. The only room that knows Typer and Rich; no SQL and no formulas here."""
