"""Computing ahead, after something was written, what the next command will need."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from obslog.cli.terminal.screen import Screen
    from obslog.records.database import Database

STOPPED = "Stopped. Nothing is lost: what was left is computed when it is needed."


def compute_ahead(database: "Database", screen: "Screen") -> None:
    """Compute and keep what is not kept yet, with a bar on a terminal; Ctrl-C stops it without harm.

    Nothing that goes wrong here is told: what was asked for is done, and who asks for a result is told then.
    """
    try:
        from obslog.club.keeping import keep_results, mounts_to_keep

        mounts = mounts_to_keep(database)
        with screen.progress("Computing ahead (Ctrl-C skips it)", len(mounts) + 1) as tick:
            for _ in keep_results(database, mounts):
                tick(1)
    except KeyboardInterrupt:
        screen.note(STOPPED)
    except Exception:
        return
