"""The prompt at a terminal: a line that can be edited, completed and looked up in what was typed before."""

from collections.abc import Iterable
from contextlib import suppress

from prompt_toolkit.application.current import get_app
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import History

from obslog.cli.look.shown_values import shown
from obslog.cli.prompt.bottom_line import bottom_line
from obslog.cli.prompt.conversation import Conversation
from obslog.cli.prompt.drawing import session_on
from obslog.cli.prompt.kept import KeptLines, beside_database
from obslog.cli.prompt.warming import Warming
from obslog.cli.terminal.state import State
from obslog.club.evening.standing import EveningStanding, standing
from obslog.errors import ObslogError

CLOCK_S = 15.0  # how often the bottom line is drawn anew


class Typed(History):
    """The lines typed before; answers to questions are none."""

    def __init__(self, kept: KeptLines, talk: Conversation) -> None:
        super().__init__()
        self._kept, self._talk = kept, talk

    def load_history_strings(self) -> Iterable[str]:
        return self._kept.newest_first()

    def append_string(self, string: str) -> None:
        if string.strip() and self._talk.waiting is None:
            super().append_string(string)

    def store_string(self, string: str) -> None:
        with suppress(OSError):  # a full disk behind the history is no reason to lose the line itself
            self._kept.add(string)


class Offers(Completer):
    """Offers what a line may become, when Tab is pressed."""

    def __init__(self, talk: Conversation, warming: Warming) -> None:
        self._talk, self._warming = talk, warming

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        from obslog.club.evening.offered import offered

        self._warming.wait_for_names()
        counting = self._talk.settings.counting
        for text, signs in offered(self._talk.database, document.text_before_cursor, counting=counting):
            if text.isprintable():
                yield Completion(text, start_position=-signs)


class LineEditor:
    """A session of the line editor for one conversation."""

    def __init__(self, talk: Conversation, state: State) -> None:
        self._talk, self._state = talk, state
        self._warming = Warming()
        self._standing = self._look()
        self._session = session_on(
            state.screen.terminal[0],
            state.screen,
            history=Typed(KeptLines(beside_database(state.target, "prompt-lines")), talk),
            completer=Offers(talk, self._warming),
            bottom_toolbar=self._bottom,
            refresh_interval=CLOCK_S,
            search_ignore_case=True,
        )

    def read(self) -> str:
        """The next line. Raises KeyboardInterrupt, EOFError."""
        return self._session.prompt(self._talk.prompt, pre_run=self._begin)

    def converse(self) -> None:
        """Hear lines until quit or Ctrl-D; Ctrl-C drops the line being typed."""
        while True:
            try:
                typed = self.read()
            except KeyboardInterrupt:
                self._talk.drop()
                continue
            except EOFError:
                return
            self._warming.wait_for_names()
            for line in typed.splitlines() or [typed]:
                if not self._talk.hear(line, self._state.now()):
                    return
            self._state.screen.flush()
            self._standing = self._look()

    def _begin(self) -> None:
        self._warming.begin(self._standing.view, self._state.now())

    def _bottom(self) -> str:
        from obslog.club.evening.night_hours import next_change

        now, width = self._state.now(), get_app().output.get_size().columns
        change = next_change(self._warming.changes(), now)
        return shown(bottom_line(self._standing, self._talk.settings, change, now, width))

    def _look(self) -> EveningStanding:
        """What stands open now; where the database cannot be read, nothing that anybody would be told of twice."""
        try:
            settings = self._talk.settings
            return standing(self._talk.database, settings.mount, settings.site)
        except ObslogError:
            return EveningStanding()


def converse(talk: Conversation, state: State) -> None:
    """Hear lines at a terminal until quit."""
    LineEditor(talk, state).converse()
