"""Whatever writes a file says the same where its folder is missing: which folder, and not a word about the database."""

from pathlib import Path

import pytest

from tests.cli.program import Program


@pytest.mark.parametrize(
    "arguments",
    [
        ("page", "club", "--out", "{}.html"),
        ("page", "all", "--out", "{}"),
        ("sheet", "night", "--out", "{}.pdf"),
        ("label", "Heron", "--out", "{}.pdf"),
        ("pointing", "trend", "Heron", "--picture", "{}.svg"),
        ("bundle", "write", "--all", "{}.obslog"),
        ("export", "items", "{}.csv"),
        ("export", "items", "{}.xlsx"),
        ("export", "observations", "{}.xml"),
        ("export", "arrivals", "{}.csv"),
        ("export", "all", "{}"),
        ("rule", "write", "{}.toml"),
        ("officer", "report", "--into", "{}.html"),
        ("officer", "insurance", "--out", "{}.csv"),
        ("officer", "handover", "--out", "{}.html"),
        ("loan", "remind", "--write-template", "{}.txt"),
        ("loan", "calendar", "--into", "{}.ics"),
        ("loan", "calendar", "--out", "{}.ics"),
        ("officer", "report", "--out", "{}.html"),
        ("member", "tell", "Ines", "--out", "{}.json"),
    ],
    ids=lambda arguments: " ".join(arguments[:2]),
)
def test_a_missing_folder_is_named(in_club: Program, tmp_path: Path, arguments: tuple[str, ...]) -> None:
    in_club.must("store", "note", "Heron", "--tag", "M-01")
    missing = tmp_path / "missing"
    answer = in_club(*(argument.format(missing / "file") for argument in arguments))
    assert answer.code == 2
    assert f"There is no folder {missing}." in answer.err.replace("\n", " ")
    assert "--db" not in answer.err
    assert not missing.exists()
