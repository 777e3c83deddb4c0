"""The commands before a set-up: checklist with ticks, and the briefing, in words, as JSON, and with wrong input."""

import pytest

from tests.cli.program import Program

CHECKLIST = ("checklist", "Heron", "--site", "Mill Field")
BRIEF = ("brief", "--site", "Mill Field", "--at", "21:00")


def test_a_step_is_ticked_and_the_checklist_shows_it(outside: Program) -> None:
    done = outside.must(*CHECKLIST, "--tick", "power", "--value", "12.6 12.1")
    assert done.out == "power: done, 12.6 12.1 (Heron, Ines, Mill Field)\n"
    line = outside.document(*CHECKLIST, "--tick", "level", "--wrong")
    assert (line["step"], line["went_well"], line["member"]) == ("level", False, "Ines")
    shown = outside.must(*CHECKLIST, "--short").out
    assert " - done: 12.6 12.1" in shown
    assert " - went WRONG" in shown


def test_look_first_comes_before_the_steps_in_words_and_as_json(outside: Program) -> None:
    for night in ("2026-02-27", "2026-03-01"):
        outside.must(
            *CHECKLIST, "--tick", "cables", "--wrong", "--value", "plug loose", "--at", f"{night}T20:00Z"
        )
    made = outside.document(*CHECKLIST)
    assert [one["step"] for one in made["look_first"]] == ["cables"]
    assert made["look_first"][0]["evidence"] == '"plug loose" on 2 of the last 3 nights with Heron'
    assert [one["order"] for one in made["steps"]] == list(range(1, len(made["steps"]) + 1))
    assert {"mount", "site", "member", "at_utc", "local", "caution", "steps"} <= set(made)
    lines = outside.must(*CHECKLIST).out.splitlines()
    assert lines.index("Look first:") < next(n for n, line in enumerate(lines) if line.startswith(" 1. "))


@pytest.mark.parametrize("extra", [(), ("--full",)])
def test_the_brief_goes_through_the_evening_in_its_order(outside: Program, extra: tuple[str, ...]) -> None:
    for night in ("2026-02-27", "2026-03-01"):
        outside.must(*CHECKLIST, "--tick", "cables", "--wrong", "--at", f"{night}T20:00Z")
    out = outside.must(*BRIEF, "--mount", "Heron", "--member", "Ines", *extra).out
    words = ("Sun without", "Mill Field", "Fully dark", "Moon:", "Polaris", "Heron", "Look first", "Sync at")
    places = [out.index(word) for word in (*words, "half of the go-tos")]
    assert places == sorted(places)


def test_the_brief_in_full_leaves_nothing_out(outside: Program) -> None:
    short, full = (outside.must(*BRIEF, *extra).out for extra in ((), ("--full",)))
    made = outside.document(*BRIEF)
    for target in made["targets"]:
        assert target["title"] in full
    for star in made["mounts"][0]["stars"]:
        assert star["name"] in full
        assert star["name"] in short
    assert len(full.splitlines()) > len(short.splitlines())
    assert outside.must(*BRIEF, "--full", "--json").document == made


def test_the_brief_as_json(outside: Program) -> None:
    made = outside.document(*BRIEF)
    assert (made["site"], made["night"], made["at_utc"]) == (
        "Mill Field",
        "2026-03-02",
        "2026-03-02T21:00:00Z",
    )
    (mount,) = made["mounts"]
    assert [star["order"] for star in mount["stars"]] == [1, 2, 3]
    assert mount["eyepiece"]["eyepiece"] == "Wide 25"


@pytest.mark.parametrize(
    "words",
    [
        (*CHECKLIST, "--value", "12.6"),
        (*CHECKLIST, "--wrong"),
        (*CHECKLIST, "--tick", "sleep"),
        (*CHECKLIST, "--tick", "level", "--value", ""),
        (*CHECKLIST, "--tick", "level", "--at", "25:00"),
        (*BRIEF, "--mount", "Nobody"),
        (*BRIEF, "--member", "Nobody"),
        ("brief", "--site", "Nowhere"),
        ("brief", "--site", "Mill Field", "--at", "noonish"),
        ("brief", "--at", "noonish"),
    ],
    ids=lambda words: " ".join(words[-2:]),
)
def test_wrong_input_is_two_lines_and_nothing_else(outside: Program, words: tuple[str, ...]) -> None:
    answer = outside(*words)
    assert (answer.out, len(answer.error_lines)) == ("", 2)
    assert answer.code in (1, 2)
