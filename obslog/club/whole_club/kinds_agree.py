"""Whether each record that is spread over two sheets is in both: a mount of equipment.csv in mounts.csv, and so on."""

from sqlalchemy import Table, select
from sqlalchemy.orm import Mapper, Session

from obslog.exchange.package.faults import FaultList
from obslog.exchange.package.folder import Package
from obslog.exchange.package.sheet_file import SheetReader, plain_file
from obslog.records.tables.base import Base

_MOST = 20


def kinds_that_disagree(session: Session, package: Package, faults: FaultList) -> None:
    """A fault for each record of which one half is missing, or whose sheet is that of another kind."""
    for mapper in Base.registry.mappers:
        if mapper.inherits is not None and mapper.local_table is not mapper.inherits.local_table:
            _look(session, package, mapper, faults)


def _look(session: Session, package: Package, mapper: Mapper[object], faults: FaultList) -> None:
    assert mapper.inherits is not None
    assert mapper.polymorphic_on is not None
    whole, part, kind = mapper.inherits.local_table, mapper.local_table, mapper.polymorphic_identity
    assert isinstance(whole, Table)
    assert isinstance(part, Table)
    of_kind = whole.c[str(mapper.polymorphic_on.key)] == kind
    alone = select(whole.c.id).where(of_kind, whole.c.id.not_in(select(part.c.id))).limit(_MOST)
    other = select(part.c.id).join(whole, whole.c.id == part.c.id).where(~of_kind).limit(_MOST)
    told = (
        (
            whole,
            alone,
            f"is of the kind {kind}, but {part.name}.csv has no row with its key.",
            "Put it there.",
        ),
        (part, other, f"{whole.name}.csv says that it is of another kind.", "Correct one of the two."),
    )
    for table, query, reason, remedy in told:
        keys = {str(key) for key in session.scalars(query)}
        for line in _lines_of(package, table, keys):
            faults.add(package.resources[table.name].file, reason, remedy, line=line, column="id")


def _lines_of(package: Package, table: Table, keys: set[str]) -> list[int]:
    """On which lines of its sheet rows with these keys stand."""
    if not keys:
        return []
    with plain_file(package.folder / package.resources[table.name].file) as file:
        reader = SheetReader(file)
        place = reader.heads.index("id")
        return [line for line, cells in reader.rows() if cells[place] in keys]
