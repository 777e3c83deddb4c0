"""The insurer's list as a CSV sheet: a row for each item, for an insurer's own form or a spreadsheet."""

from pathlib import Path

from obslog.club.office.insurance import InsuranceList, InsuredItem
from obslog.errors import ObslogError
from obslog.exchange.spreadsheets.writing import csv_text
from obslog.files.atomic_file import replaced_file, whole_file
from obslog.files.output_files import output_in_sentences

HEADS = (
    "tag",
    "name",
    "kind",
    "category",
    "kit",
    "maker",
    "model",
    "serial",
    "acquired",
    "acquired_on",
    "cost",
    "value",
    "currency",
    "valued_on",
    "valued_by",
    "written_down_to",
    "written_down_on",
    "depreciation",
    "depreciation_rule",
    "status",
    "place",
    "where",
    "holder",
    "due_on",
    "photographs",
    "receipts",
)


class SheetThere(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} is there already.", "Name another file, or give --overwrite to write over it."
        )


def insurance_csv(found: InsuranceList) -> str:
    """The sheet as text. What is not known is blank; each proof is a file name and its SHA-256, parted by `; `."""
    return csv_text(HEADS, ([_row(item, found)[head] for head in HEADS] for item in found.items))


def write_insurance_csv(found: InsuranceList, path: Path, *, overwrite: bool) -> None:
    """Write the sheet as a whole, for its owner alone to read. Raises SheetThere."""
    content = insurance_csv(found).encode("utf-8-sig")
    with output_in_sentences(path):
        if overwrite:
            with replaced_file(path.resolve(), private=True) as draft:
                draft.write_bytes(content)
            return
        try:
            with whole_file(path, private=True) as draft:
                draft.write_bytes(content)
        except FileExistsError as error:
            raise SheetThere(path) from error


def _row(item: InsuredItem, found: InsuranceList) -> dict[str, object]:
    own = {head: getattr(item, head) for head in HEADS if hasattr(item, head)}
    down = item.written_down
    return {
        **own,
        "currency": found.currency,
        "written_down_to": down.value if down else None,
        "written_down_on": down.on if down else None,
        "depreciation": down.rule if down else None,
        "depreciation_rule": down.rule_name if down else None,
        **{f"{what}s": _proof(item, what) for what in ("photograph", "receipt")},
    }


def _proof(item: InsuredItem, what: str) -> str | None:
    return "; ".join(f"{one.file_name} {one.sha256}" for one in item.proof if one.what == what) or None
