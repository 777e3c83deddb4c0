"""One word for one thing, in every help text, error, screen and page: the twins that readers trip over are not used.

`ALLOWED` holds the places where such a word is right, each with its reason.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from obslog.cli.terminal.help_pages import paragraphs
from obslog.vocabulary.glossary import WORDS, near_words
from tests.cli.commands import VALUE, all_commands
from tests.cli.program import Program
from tests.cli.source_texts import PAGES, ROOT, SOURCES, texts


@dataclass(frozen=True)
class Twin:
    """A word that must not stand beside ours, and how it is found; headings are texts of that word alone."""

    found: re.Pattern[str]
    say: str


def _word(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w/-])(?:{pattern})(?![\w-])", re.IGNORECASE)


TWINS = [
    Twin(_word(r"things?"), "item"),
    Twin(re.compile(r"^(what|equipment)$"), "item"),
    Twin(_word(r"sorts? of|the sorts?|by sort|sort:"), "category"),
    Twin(re.compile(r"^sort$"), "category"),
    Twin(_word(r"(?:low|high|lower|higher|lowest|highest)[ -]powers?|powers? of \d+"), "magnification"),
    Twin(_word(r"(?<!exclamation )(?<!question )marks?(?! tripods| or light)"), "reference"),
    Twin(re.compile(r"\+-|\+/-"), "±"),
    Twin(re.compile(r"(?<![\w-])deg\b"), "°"),
    Twin(re.compile(rf"(?:\d|{VALUE})%(?!\w)"), "a space before %"),
    Twin(_word(r"signs"), "characters"),
    Twin(_word(r"latitude scales?"), "altitude scale"),
    Twin(_word(r"in any case"), "capitals do not matter"),
    Twin(_word(r"half written|whole story"), "as main.py has it"),
]
A_PATTERN = re.compile(r"\\[dws.]|\(\?|\[\+-\]")
EVERYDAY = "an everyday word there, and no item on record"
KEY = "a key of JSON or a column's name, which stay"
# The file, the text around the word, and why it is right there.
ALLOWED = {
    ("obslog/cli/sky/sky.py", "where things are"): EVERYDAY,
    ("obslog/cli/commands.py", "where things are"): EVERYDAY,
    ("obslog/club/targets/target_filters.py", "unknown things of the old catalogues"): EVERYDAY,
    ("obslog/club/routine/step_guides.py", "On a distant thing"): EVERYDAY,
    ("obslog/vocabulary/glossary.py", "has things mended"): EVERYDAY,
    ("docs/glossary.md", "has things mended"): EVERYDAY,
    ("DEVELOPERS.md", "Where things live"): EVERYDAY,
    ("DEVELOPERS.md", "where things are"): EVERYDAY,
    ("docs/sky.md", "where things stand"): EVERYDAY,
    ("help of obslog sky", "where things are"): EVERYDAY,
    ("obslog/cli/register/equipment.py", "sort"): KEY,
    ("obslog/club/bring_in/items_in.py", "sort"): KEY,
    ("obslog/cli/register/named_records.py", "sort"): KEY,
    ("obslog/club/register/named_records.py", "sort"): KEY,
    ("obslog/club/history/field_words.py", "sort"): KEY,
    ("obslog/records/tables/logbook.py", "what"): KEY,
    ("obslog/club/storeroom/store_list.py", "sort"): KEY,
    ("obslog/records/tables/equipment.py", "sort"): KEY,
    ("obslog/records/tables/equipment.py", "equipment"): "a table's name",
    ("obslog/records/change_counting.py", "equipment"): "a table's name",
    ("obslog/club/privacy/readable_rows.py", "equipment"): "a table's name",
    ("obslog/angles.py", "mark"): "the name of a group in a pattern",
    ("obslog/angles.py", "deg"): "the name of a group in a pattern",
    ("obslog/offsets.py", "deg"): "a unit as people type it",
    ("obslog/club/aligning/drift_alignment.py", "+-"): "the two characters before a number",
    ("obslog/exchange/open_log/leftovers.py", "deg"): "a unit of the open schema",
    ("obslog/exchange/open_log/writing.py", 'unit="deg"'): "a unit of the open schema",
    ("obslog/exchange/open_log/reading.py", "equipment"): "an element of the open schema",
    ("obslog/exchange/open_log/writing.py", "equipment"): "an element of the open schema",
    ("obslog/cli/look/plain_signs.py", "+/-"): "what the plain look has in place of ±",
    ("obslog/cli/look/plain_signs.py", " deg"): "what the plain look has in place of °",
    ("docs/pointing.md", "igns"): "plus and minus",
}


def places() -> Iterator[tuple[str, str]]:
    """Where each text stands, and the text."""
    for path in SOURCES:
        name = path.relative_to(ROOT).as_posix()
        for _, text in texts(path):
            yield name, text
    for page in PAGES:
        yield from ((page.relative_to(ROOT).as_posix(), line) for line in prose(page))
    for words, command in all_commands():
        place = f"help of {' '.join(('obslog', *words))}"
        yield from ((place, part) for part in paragraphs(command.help))


def prose(page: Path) -> list[str]:
    """The lines of a page without what stands in fences and in code."""
    text = re.sub(r"^```.*?^```", "", page.read_text(encoding="utf-8"), flags=re.MULTILINE | re.DOTALL)
    return [re.sub(r"`[^`]*`", "", line) for line in text.splitlines()]


def offences() -> Iterator[tuple[str, str, Twin]]:
    for place, text in places():
        if A_PATTERN.search(text):
            continue
        for twin in TWINS:
            if twin.found.search(text):
                yield place, text, twin


def is_allowed(place: str, text: str) -> bool:
    return any(place == file and phrase in text for file, phrase in ALLOWED)


def test_no_text_uses_a_second_word_for_one_thing() -> None:
    wrong = [
        f"{place}: {text!r}: {twin.found.search(text)}: say {twin.say}"
        for place, text, twin in offences()
        if not is_allowed(place, text)
    ]
    assert wrong == []


def test_every_exception_is_still_needed() -> None:
    found = [(place, text) for place, text, _ in offences()]
    unused = [key for key in ALLOWED if not any(key[0] == place and key[1] in text for place, text in found)]
    assert unused == []


@pytest.mark.parametrize(
    "text",
    [
        "Lend a kit or a thing.",
        "what",
        "a thing of the sort battery",
        "Use high power.",
        "inside the low-power field",
        "The snag's mark",
        "4.2 +- 0.3",
        f"{VALUE} deg high",
        "95% of them",
        ".0%",
        "latitude scale 52.2°",
        "It holds signs that cannot be shown.",
        "The name, in any case.",
    ],
)
def test_a_second_word_would_be_noticed(text: str) -> None:
    assert any(twin.found.search(text) for twin in TWINS)


@pytest.mark.parametrize(
    "text",
    [
        "What to do tonight.",
        "sort them by name",
        "the power plug",
        "an exclamation mark",
        "95 % of them",
        "±",
    ],
)
def test_an_honest_word_is_not_noticed(text: str) -> None:
    assert not any(twin.found.search(text) for twin in TWINS)


def test_each_word_has_a_short_meaning() -> None:
    assert len(WORDS) > 50
    for word, meaning in WORDS.items():
        assert len(meaning) <= 160, word
        assert meaning[0].isupper(), word
        assert meaning.endswith("."), word
    assert list(WORDS) == sorted(WORDS, key=str.casefold)


@pytest.mark.parametrize("named", ["snag", "loan", "act", "conflict"])  # snag fix, loan back, undo, conflicts
def test_a_reference_is_explained_by_all_that_commands_name_by_one(named: str) -> None:
    assert re.search(rf"\ban? {named}\b", WORDS["reference"])


def test_words_are_told_whole_in_part_and_as_json(program: Program) -> None:
    assert program.must("words", "KIT").out == f"kit: {WORDS['kit']}\n"
    assert program.document("words", "sync") == [{"word": "sync", "meaning": WORDS["sync"]}]
    assert [entry["word"] for entry in program.document("words")] == list(WORDS)
    assert near_words("field") == ["apparent field", "field stop", "true field"]


@pytest.mark.parametrize(
    ("typed", "hint"),
    [
        ("squarness", "Did you mean squareness? See them all: obslog words"),
        ("conne", "Did you mean cone error? See them all: obslog words"),
        ("feild", "Did you mean apparent field or field stop or true field? See them all: obslog words"),
        ("xyzzy", "See them all: obslog words"),
    ],
)
def test_a_word_that_is_not_there_names_the_nearest(program: Program, typed: str, hint: str) -> None:
    answer = program("words", typed)
    assert answer.code == 2
    assert answer.error_lines == [f"There is no word named {typed!r}.", hint]
