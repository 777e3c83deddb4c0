"""The solar caution on a screen: first of all that is shown."""

from obslog.cli.terminal.state import State


def show_caution(state: State, caution: str | None) -> None:
    if caution:
        state.screen.line(f"CAUTION. {caution}", style="bold")
