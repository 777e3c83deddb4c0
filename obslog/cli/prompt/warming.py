"""What is loaded while nobody waits: the names in the sky, and then when the sky changes tonight.

It runs in one thread beside the prompt, touches no database, and is waited for (the names) before a line is done.
"""

import threading
import time
from contextlib import suppress
from datetime import date, datetime
from typing import TYPE_CHECKING

from obslog.club.register.observing_site import ObservingSite

if TYPE_CHECKING:
    from obslog.club.evening.night_hours import NightChange

AFTER_S = 0.2  # the prompt is on the screen by then


class Warming:
    """Starts with `begin`, and again for another site or night."""

    def __init__(self) -> None:
        self._names: threading.Thread | None = None
        self._key: tuple[str, date] | None = None
        self._changes: dict[tuple[str, date], tuple[NightChange, ...]] = {}

    def begin(self, view: ObservingSite | None, now: datetime) -> None:
        """Load what is not loaded; the changes of the sky of a site's night once."""
        if self._names is None:
            self._names = threading.Thread(target=_begin_loading, daemon=True)
            self._names.start()
        key = (view.site, view.night_at(now)) if view is not None else None
        if view is None or key is None or key == self._key:
            return
        self._key = key
        threading.Thread(target=self._look, args=(key, view, now, self._names), daemon=True).start()

    def wait_for_names(self) -> None:
        if self._names is not None:
            self._names.join()

    def changes(self) -> "tuple[NightChange, ...]":
        """Those of the night that was begun last; empty as long as they are not known."""
        return self._changes.get(self._key, ()) if self._key else ()

    def _look(
        self, key: tuple[str, date], view: ObservingSite, now: datetime, names: threading.Thread
    ) -> None:
        names.join()
        with suppress(Exception):  # a bottom line without them is no reason to disturb anybody
            from obslog.club.evening.night_hours import changes_of_night
            from obslog.club.live import answers_now  # noqa: F401 - what is said at once is computed by it

            self._changes[key] = changes_of_night(view, now)


def _begin_loading() -> None:
    time.sleep(AFTER_S)
    with suppress(Exception):  # who needs the names loads them himself then, and hears what is wrong
        load_names()


def load_names() -> None:
    """Load the names in the sky, those that come nearest to a mistyped one, and the tables that an undoing needs."""
    from obslog.records.tables import schema  # noqa: F401 - mapping them takes a few milliseconds
    from obslog.sky.names.lookup import found_or_none, nearest_in_sky

    for name in ("Vega", "M 31"):
        found_or_none(name)
    nearest_in_sky("Vegga")
