"""Records of one kind in a row: each as a record, one field of all as an array of numpy, all as a frame of pandas.

In arrays a number that is not known is nan and a time NaT; a text that is not known is None.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import UTC, date, datetime
from functools import lru_cache
from types import UnionType
from typing import TYPE_CHECKING, Any, Generic, TypeVar, cast, get_args, get_type_hints, overload

from obslog.errors import ObslogError, WrongInput, nearest_names

if TYPE_CHECKING:
    import pandas
    from numpy.typing import ArrayLike, NDArray

T = TypeVar("T")


class NoSuchColumn(WrongInput):
    def __init__(self, name: str, known: Sequence[str]) -> None:
        near = nearest_names(name, known)
        super().__init__(
            f"There is no column named {name!r}.",
            f"Did you mean {' or '.join(near)}?" if near else f"There are: {', '.join(known)}.",
        )


class PandasMissing(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "pandas is not installed.",
            "Install it: pip install pandas. The arrays of columns() need numpy alone.",
        )


class Table(Sequence[T], Generic[T]):
    """A sequence of records, kept by columns. A slice of it, or what `where` leaves, is one too."""

    def __init__(self, kind: type[T], columns: Mapping[str, Sequence[Any]]) -> None:
        """`columns` has the values of each field of `kind`, all equally many."""
        self._kind, self._hints = kind, _hints(cast(Any, kind))
        self._columns = {field.name: columns[field.name] for field in _fields(kind)}

    @classmethod
    def of(cls, kind: type[T], records: Iterable[T]) -> "Table[T]":
        """The table of these records."""
        rows = list(records)
        return cls(kind, {field.name: [getattr(row, field.name) for row in rows] for field in _fields(kind)})

    @property
    def names(self) -> tuple[str, ...]:
        """The columns; of a field that is a record itself each part, as `polar_altitude.value_arcmin`."""
        return tuple(self._hints)

    def column(self, name: str) -> "NDArray[Any]":
        """One column as an array. Raises NoSuchColumn."""
        if name not in self._hints:
            raise NoSuchColumn(name, self.names)
        field, _, part = name.partition(".")
        values = self._columns[field]
        return _array([getattr(value, part) for value in values] if part else values, self._hints[name])

    def columns(self) -> "dict[str, NDArray[Any]]":
        """All columns as arrays, by their names."""
        return {name: self.column(name) for name in self.names}

    def frame(self) -> "pandas.DataFrame":
        """A frame of pandas with the same columns, its instants in UTC. Raises PandasMissing."""
        try:
            import pandas
        except ImportError as error:
            raise PandasMissing from error
        return pandas.DataFrame(
            {
                name: pandas.to_datetime(column, utc=True)
                if datetime in _kinds(self._hints[name])
                else column
                for name, column in self.columns().items()
            }
        )

    def where(self, which: "ArrayLike") -> "Table[T]":
        """The records for which an array is true, or whose places it holds."""
        import numpy as np

        chosen = np.asarray(which)
        places = np.arange(len(self))[chosen if chosen.size else chosen.astype(int)]
        return Table(
            self._kind, {name: [values[p] for p in places] for name, values in self._columns.items()}
        )

    def __len__(self) -> int:
        return len(next(iter(self._columns.values())))

    @overload
    def __getitem__(self, place: int) -> T: ...

    @overload
    def __getitem__(self, place: slice) -> "Table[T]": ...

    def __getitem__(self, place: int | slice) -> "T | Table[T]":
        if isinstance(place, slice):
            return Table(self._kind, {name: values[place] for name, values in self._columns.items()})
        return self._kind(**{name: values[place] for name, values in self._columns.items()})

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Table) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"<{len(self)} of {self._kind.__name__}: {', '.join(self.names)}>"


def _fields(kind: type[Any]) -> tuple[Any, ...]:
    return fields(kind)


@lru_cache(maxsize=64)
def _hints(kind: type[Any]) -> dict[str, Any]:
    """The type of each column."""
    found: dict[str, Any] = {}
    for name, hint in get_type_hints(kind).items():
        inside = next((one for one in _kinds(hint) if is_dataclass(one)), None)
        if inside is None:
            found[name] = hint
        else:
            found |= {f"{name}.{part}": of_part for part, of_part in get_type_hints(inside).items()}
    return found


def _kinds(hint: Any) -> tuple[Any, ...]:
    """The types that a value may have: of `float | None` both."""
    return get_args(hint) if isinstance(hint, UnionType) else (hint,)


def _array(values: Sequence[Any], hint: Any) -> "NDArray[Any]":
    import numpy as np

    kinds = set(_kinds(hint))
    if datetime in kinds:
        utc = [None if value is None else value.astimezone(UTC).replace(tzinfo=None) for value in values]
        return np.array(utc, dtype="datetime64[us]")
    if date in kinds:
        return np.array(values, dtype="datetime64[D]")
    if kinds == {bool}:
        return np.array(values, dtype=bool)
    if kinds == {int}:
        return np.array(values, dtype=np.int64)
    if kinds <= {int, float, type(None)}:
        return np.array([np.nan if value is None else value for value in values], dtype=float)
    return np.fromiter(values, dtype=object, count=len(values))
