"""The description says of each sheet what the standard asks for."""

from typing import Any

from obslog import fields
from obslog.exchange.package.description import description_of
from obslog.exchange.package.sheet_file import FileFacts
from obslog.exchange.package.tables import Holds, Reference, SheetColumn, SheetTable

TUBES = SheetTable(
    name="tubes",
    meaning="Tubes.",
    key=("id",),
    columns=(
        SheetColumn(name="id", holds=Holds.KEY, meaning="The key.", needed=True),
        SheetColumn(name="aperture_mm", holds=Holds.NUMBER, meaning="The aperture.", rule=fields.APERTURE_MM),
        SheetColumn(name="rating", holds=Holds.WHOLE, meaning="How good.", rule=fields.RATING),
        SheetColumn(name="side", holds=Holds.WORD, meaning="The side.", words=("east", "west")),
        SheetColumn(name="tag", holds=Holds.TEXT, meaning="The tag.", rule=fields.FILTER, unique=True),
        SheetColumn(name="older_id", holds=Holds.KEY, meaning="The one before."),
        SheetColumn(name="site_id", holds=Holds.KEY, meaning="Where."),
    ),
    unique=(("side", "rating"),),
    references=(Reference("older_id", "tubes", "id"), Reference("site_id", "sites", "id")),
)


def resource() -> dict[str, Any]:
    document = description_of(
        [(TUBES, FileFacts(7, 900, "ab" * 32))],
        created_utc="2026-03-02T21:40:00Z",
        version="1",
        revision="0011",
        left_out={"search_text": "made anew"},
    )
    assert document["obslog"] == {
        "version": "1",
        "revision": "0011",
        "left_out": {"search_text": "made anew"},
    }
    (found,) = document["resources"]
    assert isinstance(found, dict)
    return found


def test_a_sheet_is_described_with_its_facts() -> None:
    told = resource()
    assert (told["path"], told["encoding"], told["format"]) == ("tubes.csv", "utf-8", "csv")
    assert (told["rows"], told["bytes"], told["hash"]) == (7, 900, f"sha256:{'ab' * 32}")


def test_columns_are_described_with_types_units_and_what_they_may_hold() -> None:
    columns = {column["name"]: column for column in resource()["schema"]["fields"]}
    assert (columns["id"]["type"], columns["id"]["format"]) == ("string", "uuid")
    assert columns["id"]["constraints"] == {"required": True}
    assert columns["aperture_mm"]["type"] == "number"
    assert columns["aperture_mm"]["constraints"] == {"minimum": 10, "maximum": 5000}
    assert columns["aperture_mm"]["description"] == "The aperture. In mm."
    assert columns["rating"]["type"] == "integer"
    assert columns["side"]["constraints"] == {"enum": ["east", "west"]}
    assert columns["tag"]["constraints"] == {"unique": True}
    assert columns["tag"]["description"] == "The tag. At most 200 characters."


def test_keys_and_references_are_described_and_none_to_a_sheet_that_is_not_there() -> None:
    schema = resource()["schema"]
    assert schema["primaryKey"] == ["id"]
    assert schema["uniqueKeys"] == [["side", "rating"]]
    assert schema["missingValues"] == [""]
    assert schema["foreignKeys"] == [
        {"fields": ["older_id"], "reference": {"resource": "", "fields": ["id"]}}
    ]
