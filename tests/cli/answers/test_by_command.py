"""Every command with --json has a schema, and gives what its schema says; the files in docs/json are current."""

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from tests.cli.answers.held import (
    DOCS,
    NotAsDescribed,
    closed,
    command_of,
    hold,
    make_schemas,
    schemas,
)
from tests.cli.answers.little_known import LITTLE_KNOWN
from tests.cli.answers.stories import DEMO, STORY
from tests.cli.answers.told import told_once
from tests.cli.commands import all_commands
from tests.cli.program import Program


def test_every_command_with_json_has_a_schema_that_is_one() -> None:
    with_json = {
        " ".join(words)
        for words, command in all_commands()
        if not hasattr(command, "commands") and any("--json" in p.opts for p in command.params)
    }
    assert with_json == schemas().keys()
    for words, schema in schemas().items():
        Draft202012Validator.check_schema(schema)
        assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
        assert {"$ref", "type", "anyOf"} & schema.keys(), f"{words}: it says nothing of the answer"


def test_the_files_are_what_the_commands_make() -> None:
    """Made again by: python docs/make_schemas.py."""
    folder = DOCS / "json"
    assert {path.name for path in folder.iterdir()} == {make_schemas.file_of(words) for words in schemas()}
    for words, schema in schemas().items():
        path = folder / make_schemas.file_of(words)
        assert json.loads(path.read_text(encoding="utf-8")) == schema, f"{path}: run docs/make_schemas.py"


def test_the_script_makes_the_files_and_their_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "json").mkdir()
    (tmp_path / "json" / "gone.schema.json").write_text("{}")
    monkeypatch.setattr(make_schemas, "FOLDER", tmp_path / "json")
    monkeypatch.setattr(make_schemas, "PAGE", tmp_path / "json-schemas.md")
    make_schemas.main()
    assert len(list((tmp_path / "json").iterdir())) == len(schemas())
    assert (tmp_path / "json-schemas.md").read_text() == (DOCS / "json-schemas.md").read_text()


def test_a_command_is_known_by_its_line() -> None:
    assert command_of(["--db", "club.db", "night", "list", "--most", "3"]) == "night list"
    assert command_of(["sync", "Vega"]) == "sync"
    assert command_of(["loan", "form"]) is None


def test_a_key_that_nobody_wrote_down_is_refused_here_and_allowed_to_scripts(outside: Program) -> None:
    (night,) = outside.document("night", "list")
    more = [{**night, "weather": "fine"}]
    with pytest.raises(NotAsDescribed, match="weather"):
        hold(["night", "list"], more)
    Draft202012Validator(schemas()["night list"]).validate(more)


@pytest.mark.parametrize(
    ("line", "wrong"),
    [
        ("night list", [{"night": "2026-03-02"}]),
        ("night list", {"night": "2026-03-02"}),
        ("db where", {"database": 3}),
        ("site show", {"name": "Dune"}),
    ],
)
def test_an_answer_of_another_form_is_refused(line: str, wrong: Any) -> None:
    with pytest.raises(NotAsDescribed):
        hold(line.split(), wrong)


def test_closing_reaches_every_object() -> None:
    inner = {"type": "object", "properties": {"a": {"type": "string"}}}
    told = closed({"anyOf": [inner, {"type": "array", "items": inner}], "$defs": {"A": inner}})
    assert str(told).count("'additionalProperties': False") == 3


def test_units_and_meanings_are_told() -> None:
    fit = schemas()["pointing fit"]
    assert fit["$defs"]["FitAnswer"]["properties"]["noise_arcmin"]["description"] == "In arcminutes."
    assert fit["$defs"]["FitAnswer"]["description"] == "All nights of a mount and tube fitted together."
    assert fit["description"].startswith("Tell the mount's own errors")


def test_every_command_gives_what_its_schema_says(outside: Program, tmp_path: Path) -> None:
    """`Answer.document` holds each answer to its schema."""
    told = told_once(outside, tmp_path, STORY)
    assert told.failed == [], "\n".join(told.failed)
    assert schemas().keys() - told.commands == ELSEWHERE.keys()


def test_a_club_of_which_little_is_known_gives_what_the_schemas_say(program: Program, tmp_path: Path) -> None:
    told = told_once(program, tmp_path, LITTLE_KNOWN)
    assert told.failed == [], "\n".join(told.failed)


def test_what_takes_a_file_or_asks_first_gives_what_its_schema_says(outside: Program, tmp_path: Path) -> None:
    sheet, folder = tmp_path / "arrivals.csv", tmp_path / "sheets"
    outside.must("export", "arrivals", str(sheet))
    outside.must("export", "all", str(folder))
    outside.document("import", "arrivals", str(sheet))
    outside.document("member", "leave", "Ines", "--look")
    outside.document("member", "leave", "Ines", "--yes")
    outside.environment["OBSLOG_DB"] = str(tmp_path / "new.db")
    outside.document("import", "all", str(folder))
    outside.must("night", "end")
    outside.document("night", "start", "Kestrel Ridge")


def test_the_invented_club_gives_what_the_schemas_say(outside: Program, tmp_path: Path) -> None:
    told = told_once(outside, tmp_path, DEMO)
    assert told.failed == [], "\n".join(told.failed)


ELSEWHERE = {
    "db roles": "tests/cli/server/test_story.py",
    "demo": "test_the_invented_club_gives_what_the_schemas_say",
    "import all": "test_what_takes_a_file_or_asks_first_gives_what_its_schema_says",
    "import arrivals": "test_what_takes_a_file_or_asks_first_gives_what_its_schema_says",
    "member leave": "test_what_takes_a_file_or_asks_first_gives_what_its_schema_says",
    "night start": "test_what_takes_a_file_or_asks_first_gives_what_its_schema_says",
    "night type-up": "tests/cli/paper/test_type_up.py",
    "pointing budget": "test_the_invented_club_gives_what_the_schemas_say",
    "pointing whose": "test_the_invented_club_gives_what_the_schemas_say",
    "prompt": "tests/cli/prompt/test_prompt.py",
}
