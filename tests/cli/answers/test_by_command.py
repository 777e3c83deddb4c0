"""Every command with --json has a schema, and gives what its schema says; the files in docs/json are current."""

import json
import shlex
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from tests.cli.answers.held import DOCS, NotAsDescribed, closed, command_of, hold, make_schemas, schemas
from tests.cli.commands import all_commands
from tests.cli.program import Program

# Typed in this order on the evening of OUTSIDE; a word that begins with @ is a file of the test's own.
STORY = """
start
site list
site show "Mill Field"
site add Dune --lat 50 --lon 1 --tz Europe/London
site edit Dune --note sandy
site retire Dune
member list --officer
member list
member show Ines
member add Tomasz
member edit Tomasz --note new
member contact Ines --email ines@example.org
member me Ines
member tell Ines
member leavers
member add Tomas
member same Tomasz Tomas --yes
member retire Tomasz
mount list
mount show Heron
mount add Otter --type altaz --controller model
mount edit Otter --note new
mount add Oter --type altaz --controller model
same Otter Oter --yes
mount retire Otter
tube list
tube show "Long tube"
tube add Stub --aperture-mm 77 --focal-mm 489
tube edit Stub --note short
tube retire Stub
eyepiece list
eyepiece show "Wide 25"
eyepiece add Deep --focal-mm 6 --field-deg 82
eyepiece edit Deep --note new
eyepiece retire Deep
item list
item show "Lead battery"
item add Lamp --category lamp
item edit Lamp --note red
item retire Lamp
sync Vega 1E 1N --at 21:39
check Procyon 3E 4N
goto Regulus in
saw M "81" --note "oval glow"
edit 1 --note windy
undo
redo
setup show Heron
setup edit --note windy
setup flip west
snag add power "plug came loose"
snag list
snag fix "@snag" "tied down"
observation add M "31"
observation list
observation show 1
observation edit 1 --note "brighter than thought"
find plug
progress messier --member Ines
night note --sky "antoniadi 2"
night list
night show
pointing now
setup end
setup start Heron
night end
night edit --night 2026-03-02 --to-date 2026-03-01
night edit --night 2026-03-01 --to-date 2026-03-02
pointing fit Heron
pointing trend Heron
pointing trend Heron --mechanics
pointing compare
pointing stars Heron --tube "Long tube" --site "Mill Field"
pointing run-plan Heron --site "Mill Field"
pointing drift "Procyon 21:40 10 2.5N" --site "Mill Field"
pointing mistakes --site "Mill Field" --star Capella --east 15 --north 0
checklist Heron --site "Mill Field"
brief --site "Mill Field"
optics "Long tube" "Wide 25"
targets --site "Mill Field" --most 3
sky where Vega --site "Mill Field"
sky when M "31" --site "Mill Field"
sky sun-moon --site "Mill Field"
sky pole --site "Mill Field"
sky find Vega
scales
scales antoniadi
words cone
look
review
review Heron
store list
store show "Lead battery"
store note "Lead battery" --tag B-01
store photo "Lead battery" "@photo"
store missing "Lead battery"
store found "Lead battery"
store receipt "Lead battery" @photo
store note "Lead battery" --acquired gift --acquired-on 2026-01-05
officer thanks "Lead battery" --to Wilma
officer insurance --out @insured --officer
officer wanted --out @wanted
store write-off "Lead battery" --why worn
store reinstate "Lead battery"
service add Heron "worm cleaned" --mechanical
service list
service due
service orders
service routine
service battery "Lead battery" --rest-volts 12.6
kit add "Red kit" --part Heron --part "dust cap"
kit edit "Red kit" --note new
kit put "Red kit" "Lead battery"
kit replace "Red kit" "dust cap" "lens cap"
kit missing "Red kit" "lens cap"
kit found "Red kit" "lens cap"
kit remove "Red kit" "Lead battery"
kit show "Red kit"
kit list
loan out "Red kit" "Ines"
loan list
loan list --officer
loan show "Red kit"
loan renew "Red kit"
loan called "Red kit" will bring it on Thursday
loan escalate --officer --to officer@example.org --into @mails
loan fault "Red kit" slips --part Heron
sheet loan "Red kit" --out @sheet3
loan reserve "Red kit" "Bram Ostler"
loan waiting
loan withdraw "Red kit" "Bram Ostler"
loan hand-over "Red kit" "Bram Ostler"
loan back "Red kit"
loan remind
loan remind --officer
loan advise Ines
kit retire "Red kit"
stocktake start
stocktake saw B-01
stocktake show
page stocktake --out "@page1"
stocktake finish --sure
stocktake past
stocktake losses
label "Lead battery" --out "@labels"
rule list
rule routine
rule write @routine
rule look @routine
rule load @routine
history
rule set loan-days 20
rule reset loan-days
officer report
officer health
officer handover
db where
db check
db move --to @moved
sheet night --site "Mill Field" --out "@sheet1"
sheet checklist Heron --site "Mill Field" --out "@sheet2"
sheet stocktake --out "@sheet4"
sheet pointing-run Heron --site "Mill Field" --out "@sheet5"
page mount Heron --out "@page2"
page night 2026-03-02 --out "@page3"
page store --out "@page4"
page member Ines --out "@page5"
page club --out "@page6"
page all --out "@pages"
export members
export members --officer
export items
export kits
export loans --officer
export services
export arrivals
export observations
export observations @log
import observations --columns
db backup @backup
db restore @backup --look
bundle write @bundle
merge @bundle
conflicts
export all "@sheets"
import members --columns
import items --blank "@items"
import items "@items" --look
import kits --columns
import loans --columns
import services --columns
db restore @backup --yes
""".strip().splitlines()


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
    """`Program.document` holds each answer to its schema."""
    (tmp_path / "photo").write_bytes(b"a picture")
    endings = {
        "sheets": "",
        "pages": "",
        "mails": "",
        "moved": ".db",
        "backup": ".db",
        "log": ".xml",
        "routine": ".toml",
        "photo": "",
        "items": ".csv",
    }
    told, failed = set(), []
    for line in STORY:
        words = shlex.split(line)
        for place, word in enumerate(words):
            if word == "@snag":
                words[place] = outside.document("snag", "list")[0]["reference"]
            elif word.startswith("@"):
                ending = endings.get(word[1:], ".html" if word.startswith("@page") else ".pdf")
                words[place] = str(tmp_path / f"{word[1:]}{ending}")
        try:
            outside.document(*words)
        except AssertionError as error:
            failed.append(f"{line}: {error}")
        told.add(command_of(words))
    assert failed == [], "\n".join(failed)
    assert schemas().keys() - told == ELSEWHERE.keys()


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


DEMO = """
night list
night show
observation list
snag list --all
member list --officer
pointing fit Bramble
pointing trend Bramble --mechanics
pointing whose
pointing compare Bramble|Silver Heron
pointing budget Bramble
review
review Bramble
checklist Bramble
brief
loan list --all --officer
loan advise
service due
service orders
store list
kit list
officer report
officer health
export items
export kits
"""


def test_the_invented_club_gives_what_the_schemas_say(outside: Program, tmp_path: Path) -> None:
    path = tmp_path / "demo.db"
    outside.now = datetime(2026, 11, 1, 12, tzinfo=UTC)
    outside.document("demo", "--into", str(path), "--until", "2026-10-31")
    outside.environment["OBSLOG_DB"] = str(path)
    failed = []
    for line in DEMO.strip().splitlines():
        first, *names = line.split("|")
        try:
            outside.document(*first.split(), *names)
        except AssertionError as error:
            failed.append(f"{line}: {error}")
    assert failed == [], "\n".join(failed)


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
