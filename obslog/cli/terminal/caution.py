"""The solar caution on a screen: first of all that is shown."""

from obslog.cli.terminal.screen import Screen


def show_caution(screen: Screen, caution: str | None) -> None:
    if caution:
        screen.line(f"CAUTION. {caution}", style="bold")
