"""The review on the command line: the keys that scripts rely on, each of one shape, and words without riddles."""

from typing import Any

from tests.cli.program import Program
from tests.cli.review.mended_club import NIGHTS


def shapes(document: Any, found: dict[str, set[str]]) -> dict[str, set[str]]:
    """The shapes that stand under each key anywhere in a document: text, number, list of what, object with what."""
    if isinstance(document, dict):
        for key, value in document.items():
            found.setdefault(key, set()).add(shape(value))
            shapes(value, found)
    elif isinstance(document, list):
        for value in document:
            shapes(value, found)
    return found


def shape(value: Any) -> str:
    if isinstance(value, list):
        return f"list of {shape(value[0])}" if value else "empty list"
    return type(value).__name__


def test_reasons_are_text_in_every_document_of_the_review(mended: Program) -> None:
    mended.must(
        "service", "add", "Alder", "new clutch", "--on", str(NIGHTS[-1]), "--mechanical"
    )  # too few since
    every = {item["name"]: item for item in mended.document("review")["items"]}
    found: dict[str, set[str]] = {}
    for name in ("Mended", "Alder", "Long tube"):
        one = mended.document("review", name)
        assert {key: one[key] for key in every[name]} == every[name]
        assert [reason["words"] for reason in one["evidence"]] == one["reasons"]
        shapes(one, found)
    shapes(list(every.values()), found)
    assert found["reasons"] <= {"list of str", "empty list"}
    assert found["evidence"] <= {"list of dict", "empty list"}
    assert found["numbers"] <= {"dict"}


def test_the_published_keys_stand(mended: Program) -> None:
    document = mended.document("review")
    assert list(document["attribution"]) == ["mount", "observer", "site", "rest"]
    assert all(set(share) == {"share", "sd"} for share in document["attribution"].values())
    assert all(set(item) == {"name", "kind", "status", "reasons", "effect"} for item in document["items"])
    effect = next(item["effect"] for item in document["items"] if item["name"] == "Alder")
    assert set(effect) == {"ratio", "low", "high", "setups", "tube"}
    assert effect["setups"] == 40


def test_whose_the_errors_are_is_unknown_and_not_zero_where_nobody_set_anything_up(in_club: Program) -> None:
    unknown = {"share": None, "sd": None}
    assert in_club.document("review")["attribution"] == dict.fromkeys(
        ("mount", "observer", "site", "rest"), unknown
    )


def test_an_unknown_name_is_refused_for_all_kinds_with_near_names_of_all(in_club: Program) -> None:
    in_club.must("kit", "add", "Herring kit", "--part", "dust cap")
    for typed, near in (("Heronn", "Heron"), ("Long tubee", "Long tube"), ("Herring kitt", "Herring kit")):
        answer = in_club("review", typed)
        assert answer.code == 2
        what, hint = answer.error_lines
        assert what.endswith(f"There is no mount, tube, eyepiece, kit or item named '{typed}'.")
        assert near in hint
        assert "See what there is: obslog store list" in hint
    listed = in_club.must("store", "list").out
    assert all(name in listed for name in ("Heron", "Long tube", "Herring kit"))
