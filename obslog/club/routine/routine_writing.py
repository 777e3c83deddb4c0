"""The club's routine written down as its file, with words that explain each part; read again it says the same."""

import json
import re
from collections.abc import Iterable, Iterator, Sequence

from obslog.club.routine.club_routine import ClubRoutine
from obslog.club.routine.club_steps import StepEntry, Steps
from obslog.club.routine.condition_words import SAID
from obslog.club.routine.service_routine import THE_CLUBS_OWN, RoutineTask

_BARE = re.compile(r"[A-Za-z0-9_-]+")
HEAD = """\
# The routine of our club: steps of a set-up, words for conditions, loans, and service.
#
# Change what you like, look at what would change, and then load it:
#   obslog rule look routine.toml
#   obslog rule load routine.toml
# It is loaded as a whole or not at all, and one undo takes it back. A part that is taken
# away is as it ships. What stands behind a # is a remark: it is not kept when the file is
# loaded, so keep the file too.
"""
CHECKLIST = """\
# The steps of a set-up, in the order in which they are done. Move a line, or take one
# away: that step is then left out, and what went wrong at it stays on record. The word
# in quotes is by which a step is known: leave it as it is, and old snags still count.
"""
STEPS = """\
# Steps of your own, and steps that ship in your own words. A step of your own needs a
# title and what to do, and a line in the list above. It may have:
#   tolerance        how well
#   why              what goes wrong else
#   mounts           only for these: ["german", "fork", "altaz"]
#   about_the_mount  true: what goes wrong at it speaks of the mount, not of people
# A step that ships may have title, do, tolerance and why; what is not said stays.
"""
EXAMPLE = """\
#
# [step.dew-heaters]
# title = "Unplug the dew heaters"
# do = "Pull both plugs before the battery is lifted out."
# why = "A heater that stays plugged in empties the battery on the way home."
"""
CONDITIONS = """\
# The words for the condition of a part when it goes out and when it comes back, and what
# each means: sound, worn, broken or missing. Several words may mean the same; the first
# of them is the one that the program says itself.
"""
LOAN = """\
# Loans.
#   days      how long one lasts, where its kit has no term of its own: the rule loan-days
#   renewals  how often it may be extended; without this line, as often as asked
#   agrees    what the borrower agrees to; what concerns safety stays on the form
"""
TASKS = """\
# Service: what is done to what, and how often.
#   of            a kind (mount, tube, eyepiece) or the category of another item
#   task          the word by which a service says that it did it: --task WORD
#   do            what to do
#   every_months, every_nights   when it is due again, by what comes first; or else
#   when          what has to be so
#   caution       what to beware of
#   source        on whose word
# The maker's instructions come first.
"""


def written(routine: ClubRoutine) -> str:
    return "\n".join(
        "".join(part)
        for part in (
            [HEAD],
            _checklist(Steps(routine.steps)),
            _steps(routine.steps),
            _conditions(routine),
            _loan(routine),
            _tasks(routine.tasks),
        )
    )


def _checklist(steps: Steps) -> Iterator[str]:
    yield CHECKLIST
    yield "[checklist]\nsteps = [\n"
    yield from _in_columns([(f"  {_quoted(key)},", steps.title(key)) for key in steps.keys])
    yield "]\n"
    gone = [entry.step for entry in steps.entries if entry.left_out and entry.ships]
    if gone:
        yield f"# Left out of those that ship: {', '.join(gone)}\n"


def _steps(entries: Sequence[StepEntry]) -> Iterator[str]:
    yield STEPS
    own = [entry for entry in entries if not entry.ships or _has_words(entry)]
    if all(entry.ships for entry in own):
        yield EXAMPLE
    for entry in own:
        yield f"\n[step.{entry.step}]\n"
        if entry.left_out and not entry.ships:
            yield "# Left out: it is not in the list above.\n"
        for name in ("title", "do", "tolerance", "why"):
            words = getattr(entry, name)
            if words is not None:
                yield f"{name} = {_quoted(words)}\n"
        if entry.mounts:
            yield f"mounts = [{', '.join(map(_quoted, entry.mounts))}]\n"
        if entry.about_the_mount:
            yield "about_the_mount = true\n"


def _has_words(entry: StepEntry) -> bool:
    return any(words is not None for words in (entry.title, entry.do, entry.tolerance, entry.why))


def _conditions(routine: ClubRoutine) -> Iterator[str]:
    yield CONDITIONS
    yield "[conditions]\n"
    for one in routine.words:
        yield f"{_key(one.word)} = {_quoted(SAID[one.means])}\n"


def _loan(routine: ClubRoutine) -> Iterator[str]:
    yield LOAN
    yield "[loan]\n"
    if routine.loan_days is not None:
        yield f"days = {routine.loan_days}\n"
    if routine.terms.renewals is not None:
        yield f"renewals = {routine.terms.renewals}\n"
    yield "agrees = [\n"
    for statement in routine.terms.statements:
        yield f"  {_quoted(statement)},\n"
    yield "]\n"


def _tasks(tasks: Iterable[RoutineTask]) -> Iterator[str]:
    yield TASKS
    for task in tasks:
        yield "\n[[task]]\n"
        told = (
            ("of", task.of),
            ("task", task.task),
            ("every_months", task.every_months),
            ("every_nights", task.every_nights),
            ("when", task.when),
            ("do", task.do),
            ("caution", task.caution),
            ("source", None if task.source == THE_CLUBS_OWN else task.source),
        )
        for name, value in told:
            if value is not None:
                yield f"{name} = {_quoted(value) if isinstance(value, str) else value}\n"


def _in_columns(lines: Sequence[tuple[str, str]]) -> Iterator[str]:
    """Each line with its remark behind it, all remarks below one another."""
    wide = max((len(line) for line, _ in lines), default=0)
    return (f"{line:<{wide}}  # {remark}\n" for line, remark in lines)


def _key(word: str) -> str:
    return word if _BARE.fullmatch(word) else _quoted(word)


def _quoted(text: str) -> str:
    """A text as TOML has it in double quotes, which is how JSON has it."""
    return json.dumps(f"{text}", ensure_ascii=False)
