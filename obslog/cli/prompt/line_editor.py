"""The prompt at a terminal: a line that can be edited, completed and looked up in what was typed before.

The libraries of the line editor are imported here alone. In the red theme every sign that it draws, whatever part of it
draws it, passes through one transformation, so that nothing can reach the terminal in another colour.
"""

import sys
from collections.abc import Iterable, Mapping
from contextlib import suppress

from prompt_toolkit.application.current import get_app
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import History
from prompt_toolkit.output.base import Output
from prompt_toolkit.output.color_depth import ColorDepth
from prompt_toolkit.output.defaults import create_output
from prompt_toolkit.shortcuts.prompt import PromptSession
from prompt_toolkit.styles import Attrs, Style, StyleTransformation
from prompt_toolkit.utils import get_term_environment_variable

from obslog.cli.prompt.bottom_line import bottom_line
from obslog.cli.prompt.conversation import Conversation
from obslog.cli.prompt.kept import KeptLines, beside_database
from obslog.cli.prompt.warming import Warming
from obslog.cli.terminal.screen import DIM_RED, Screen, shown
from obslog.cli.terminal.state import State
from obslog.club.evening.standing import Standing, standing
from obslog.errors import ObslogError

CLOCK_S = 15.0  # how often the bottom line is drawn anew
MENU_LINES = 5
STYLE = Style.from_dict(
    {
        "bottom-toolbar": "noreverse",
        "completion-menu": "bg:default fg:default",
        "completion-menu.completion": "bg:default fg:default",
        "completion-menu.completion.current": "bg:default fg:default reverse",
        "scrollbar.background": "bg:default",
        "scrollbar.button": "bg:default reverse",
    }
)


class OneColour(StyleTransformation):
    """Whatever is drawn is drawn in one colour on the terminal's own ground; None is the terminal's own too."""

    def __init__(self, colour: str) -> None:
        self._colour = colour

    def transform_attrs(self, attrs: Attrs) -> Attrs:
        return attrs._replace(color=self._colour, bgcolor="")


def _colours(screen: Screen, environment: Mapping[str, str]) -> ColorDepth | None:
    """How many colours the terminal has, where that is known or none is wanted; as Rich takes it."""
    if not screen.styles:
        return ColorDepth.DEPTH_1_BIT
    return ColorDepth.DEPTH_24_BIT if environment.get("COLORTERM", "") in ("truecolor", "24bit") else None


def _output() -> Output:
    """Standard output as the line editor writes to it; it asks no terminal where the cursor stands.

    Terminals answer that, or do not, among the keys that are typed; and where none answers, a complaint is printed. One
    line below the cursor is all that has to be there: more is made where it is wanted.
    """
    if sys.platform == "win32":
        return create_output(sys.stdout)
    from prompt_toolkit.output.vt100 import Vt100_Output

    class Unasked(Vt100_Output):
        def get_rows_below_cursor_position(self) -> int:
            return 1

    return Unasked.from_pty(
        sys.stdout, term=get_term_environment_variable(), default_color_depth=ColorDepth.from_env()
    )


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
        for text, signs in offered(self._talk.database, document.text_before_cursor):
            if text.isprintable():
                yield Completion(text, start_position=-signs)


class LineEditor:
    """A session of the line editor for one conversation."""

    def __init__(self, talk: Conversation, state: State) -> None:
        self._talk, self._state = talk, state
        self._warming = Warming()
        self._standing = self._look()
        output = create_output(sys.stdout)
        if hasattr(output, "enable_cpr"):
            output.enable_cpr = (
                False  # asks the terminal where the cursor is, and complains where none answers
            )
        self._session: PromptSession[str] = PromptSession(
            history=Typed(KeptLines(beside_database(state.target, "prompt-lines")), talk),
            completer=Offers(talk, self._warming),
            complete_while_typing=False,
            bottom_toolbar=self._bottom,
            style=STYLE,
            style_transformation=OneColour(DIM_RED.removeprefix("#") if state.screen.red else ""),
            color_depth=_colours(state.screen, state.environment),
            include_default_pygments_style=False,
            reserve_space_for_menu=MENU_LINES,
            refresh_interval=CLOCK_S,
            search_ignore_case=True,
            enable_suspend=True,
            output=_output(),
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

    def _look(self) -> Standing:
        """What stands open now; where the database cannot be read, nothing that anybody would be told of twice."""
        try:
            settings = self._talk.settings
            return standing(self._talk.database, settings.mount, settings.site)
        except ObslogError:
            return Standing()


def converse(talk: Conversation, state: State) -> None:
    """Hear lines at a terminal until quit."""
    LineEditor(talk, state).converse()
