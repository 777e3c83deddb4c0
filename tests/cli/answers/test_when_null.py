"""Of each value that may be null it is said when, and it has been null in an answer; what never is null says so."""

from pathlib import Path

import pytest

from tests.cli.answers.held import NotAsDescribed, hold, schema_types, schemas
from tests.cli.answers.little_known import LITTLE_KNOWN
from tests.cli.answers.nulls import nulls_in, that_may_be_null
from tests.cli.answers.stories import DEMO, STORY
from tests.cli.answers.told import told_once
from tests.cli.program import Program


def test_of_each_value_that_may_be_null_it_is_said_when() -> None:
    silent = {field for field, said in that_may_be_null().items() if "null " not in said.lower()}
    assert silent == set()


def test_it_is_said_of_nothing_else() -> None:
    said = {(record, name) for record, keys in schema_types.WHEN_NULL.items() for name in keys}
    records = {record for schema in schemas().values() for record in schema.get("$defs", {})}
    parts = {one for one in said if one[0] not in records}
    assert parts == set(), "records that are in no schema"
    assert said - that_may_be_null().keys() == set()
    assert schema_types.IN_ALL.keys() - {name for _, name in that_may_be_null()} == set()


def test_what_never_is_null_is_refused_where_it_is(outside: Program) -> None:
    """Of every answer in the tests that is asked too, for `Answer.document` holds it to its schema."""
    pole = outside.document("sky", "pole", "--site", "Mill Field")
    with pytest.raises(NotAsDescribed, match="alt_deg"):
        hold(["sky", "pole"], {**pole, "alt_deg": None})


def test_the_nulls_of_an_answer_are_found_by_their_records(outside: Program) -> None:
    night = outside.document("night", "show")
    found = nulls_in("night show", night)
    assert ("NightShown", "note") in found
    assert ("ArrivalOfNight", "pier_side") in found, "one within a list"
    outside.must("night", "note", "--note", "windy")
    assert found - nulls_in("night show", outside.document("night", "show")) == {("NightShown", "note")}
    evening = ["sky", "sun-moon", "--site", "Mill Field"]
    sun = outside.document(*evening)
    assert ("SunMoon", "twilight_utc") not in nulls_in("sky sun-moon", sun)
    sun["twilight_utc"]["sunset"] = None
    assert ("SunMoon", "twilight_utc") in nulls_in("sky sun-moon", sun), "one that a key holds"


def test_what_may_be_null_has_been_null(program: Program, outside_template: Path, tmp_path: Path) -> None:
    """Or it would be said of what always is there. A value that is null though it may not be fails with its schema."""
    nulls = told_once(program, tmp_path, LITTLE_KNOWN).nulls
    for story in (STORY, DEMO):
        Path(program.environment["OBSLOG_DB"]).write_bytes(outside_template.read_bytes())
        nulls |= told_once(program, tmp_path, story).nulls
    never = {f"{record}.{name}" for record, name in that_may_be_null().keys() - nulls}
    assert "\n".join(sorted(never)) == "\n".join(sorted(ELSEWHERE))


_LAPTOPS = "takes what two laptops wrote: tests/cli/together/test_conflicts.py"
_NEVER_SAID = "the program itself always says it: only sheets of a whole club can leave it open"
_FOUND = "takes a long record in which something else than a size is found: tests/pointing/misfit"
_SINCE = "of a record from before acts were kept, so that nothing tells since when it is there"
ELSEWHERE = {
    "ActLine.origin": "of an act that no known computer wrote, such as an upgrade's",
    "ChangeFound.factor": "takes a change in a long record, with hardly a landing on one side of it",
    "Conflict.joined_to": _LAPTOPS,
    "Finding.example": "takes a damaged file: tests/records/care",
    "Finding.sd_arcmin": _FOUND,
    "Finding.since": _FOUND,
    "Finding.size_arcmin": _FOUND,
    "HealthAnswer.kept": "takes a damaged file: tests/cli/care/test_check.py",
    "LineAnswer.refused": "is typed through a pipe: tests/cli/prompt/test_prompt.py",
    "LineAnswer.verb": "is typed through a pipe: tests/cli/prompt/test_prompt.py",
    "LoginLine.member": "takes a server: tests/cli/server/test_roles.py",
    "OneSays.act": _LAPTOPS,
    "OneSays.at_utc": _LAPTOPS,
    "OneSays.value": _LAPTOPS,
    "OneSays.who": _LAPTOPS,
    "ReadBack.setup": "is typed from paper: tests/cli/paper/test_type_up.py",
    "TickLine.went_well": _NEVER_SAID,
    "Ticked.went_well": _NEVER_SAID,
    "ToSettle.beside": _LAPTOPS,
    "Use.days_available": _SINCE,
    "Use.days_missing": _SINCE,
    "Use.days_out": _SINCE,
    "Wanted.like": "takes several full nights of one category: tests/club/buying/test_wanted.py",
}
"""What may be null and is not in these stories, and why."""
