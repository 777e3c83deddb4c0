"""Somebody else's XML, element after element: nothing in it is followed or expanded, and all it holds has limits.

A file may be made to do harm: entities that grow without end, references to files and addresses, tags of a hundred
megabytes, elements nested without end. Each is refused as soon as it is met, before memory is spent on it; of a file
that is taken, one record at a time is held. Entities and references are refused by defusedxml, on the standard
library's parser.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any
from xml.parsers import expat

from obslog.errors import why_not_read
from obslog.exchange.open_log.refusals import (
    DeclaresEntities,
    HasDocumentType,
    LogTooLarge,
    NeedsEntity,
    NoSuchLog,
    NotALog,
    NotWellFormed,
    RefersOutside,
    TooMuch,
    UnknownEncoding,
    WrongEncoding,
    XmlRefused,
)

LARGEST_FILE = 100_000_000
LARGEST_TAG = 1_000_000
"""Of a tag with its attributes, a comment or an instruction, which the parser holds whole."""
LONGEST_TEXT = 1_000_000
DEEPEST = 32
MOST_PARTS = 10_000
"""Elements within one record."""
MOST_ELEMENTS = 4_000_000
MOST_NAMES = 2_000
"""Of elements that differ: the standard has fewer than two hundred."""
_CHUNK = 65_536
_INVALID_TOKEN, _UNDEFINED_ENTITY = 4, 11
_ENCODINGS = (18, 19)


@dataclass(slots=True, kw_only=True)
class Element:
    """An element of a record, its names without their namespaces, and the line in which it begins."""

    tag: str
    attributes: dict[str, str]
    line: int
    text: str = ""
    children: list["Element"] = field(default_factory=list)


CONTAINERS = frozenset(
    ("observers", "sites", "sessions", "targets", "scopes", "eyepieces", "lenses", "filters", "imagers")
)  # fmt: skip


def records(path: Path) -> Iterator[Element]:
    """The records of a log in the order of the file: each child of a container, and each observation.

    Raises NoSuchLog, XmlRefused.
    """
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise LogTooLarge(path.name, LARGEST_FILE)
        with path.open("rb") as file:
            yield from _records(file, path.name)
    except OSError as error:
        raise NoSuchLog(path, why_not_read(error, path)) from error


def _records(file: IO[bytes], name: str) -> Iterator[Element]:
    from defusedxml import DefusedXmlException, EntitiesForbidden, ExternalReferenceForbidden
    from defusedxml.ElementTree import DefusedXMLParser, ParseError

    builder = _Builder(name)
    parser = DefusedXMLParser(target=builder, forbid_dtd=False, forbid_entities=True, forbid_external=True)
    builder.parser = parser.parser
    parser.parser.StartDoctypeDeclHandler = builder.doctype
    fed = b""
    try:
        for chunk in _chunks(file, name):
            fed = chunk
            parser.feed(chunk)
            builder.look_at_what_waits(len(chunk))
            yield from builder.take()
        parser.close()
        yield from builder.take()
    except EntitiesForbidden as error:
        if error.sysid:
            raise RefersOutside(name, str(error.sysid)) from error
        raise DeclaresEntities(name, str(error.name)) from error
    except ExternalReferenceForbidden as error:
        raise RefersOutside(name, str(error.sysid)) from error
    except DefusedXmlException as error:
        raise HasDocumentType(name) from error
    except ParseError as error:
        raise _explained(name, error, parser.parser, fed, builder.fed) from error
    except (LookupError, UnicodeError, ValueError) as error:
        raise UnknownEncoding(name) from error


def _chunks(file: IO[bytes], name: str) -> Iterator[bytes]:
    """The file in pieces; one that grows while it is read ends at the limit too."""
    read = 0
    while chunk := file.read(_CHUNK):
        read += len(chunk)
        if read > LARGEST_FILE:
            raise LogTooLarge(name, LARGEST_FILE)
        yield chunk


def _explained(name: str, error: Any, parser: Any, chunk: bytes, fed: int) -> XmlRefused:
    line, column = error.position
    if error.code in _ENCODINGS:
        return UnknownEncoding(name)
    if error.code == _UNDEFINED_ENTITY:
        return NeedsEntity(name, line)
    place = parser.ErrorByteIndex - fed
    if error.code == _INVALID_TOKEN and 0 <= place < len(chunk) and chunk[place] >= 0x80:
        return WrongEncoding(name, line)
    return NotWellFormed(name, line, column + 1, expat.ErrorString(error.code) or "it cannot be read")


class _Builder:
    """Puts the elements of a record together as the parser meets them, and watches over the limits."""

    def __init__(self, name: str) -> None:
        self.parser: Any = None
        self.fed = 0  # bytes, without the piece that is just read
        self._name = name
        self._path: list[str] = []
        self._open: list[Element] = []
        self._ready: list[Element] = []
        self._texts: list[str] = []
        self._length = self._parts = self._count = 0
        self._names: set[str] = set()
        self._outside: str | None = None
        self._has_doctype = False

    def doctype(self, _name: str, sysid: str | None, pubid: str | None, _internal: bool) -> None:
        """A declaration is refused when it has ended, so that what it declares is told first."""
        self._has_doctype, self._outside = True, sysid or pubid

    def look_at_what_waits(self, chunk: int) -> None:
        """Refuse a tag or comment of which ever more comes and never an end; the parser would hold all of it."""
        self.fed += chunk
        if self.fed - max(self.parser.CurrentByteIndex, 0) > LARGEST_TAG:
            raise TooMuch(
                self._name, self.parser.CurrentLineNumber, f"a tag or comment longer than {LARGEST_TAG} bytes"
            )

    def take(self) -> Iterator[Element]:
        ready, self._ready = self._ready, []
        yield from ready

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        name = _local(tag)
        if not self._path:
            self._look_at_root(name)
        self._path.append(name)
        self._count += 1
        self._names.add(tag)
        if len(self._names) > MOST_NAMES:
            self._refuse(f"more than {MOST_NAMES} names of elements")
        if len(self._path) > DEEPEST:
            self._refuse(f"elements nested more than {DEEPEST} deep")
        if self._count > MOST_ELEMENTS:
            self._refuse(f"more than {MOST_ELEMENTS} elements")
        if self._open or self._begins_record():
            self._begin(name, attributes)

    def end(self, _tag: str) -> None:
        self._path.pop()
        if not self._open:
            return
        element = self._open.pop()
        element.text = "".join(self._texts) if not element.children else ""
        self._texts = []
        if self._open:
            self._open[-1].children.append(element)
        else:
            self._ready.append(element)
            self._parts = self._length = 0

    def data(self, text: str) -> None:
        if not self._open:
            return
        self._length += len(text)
        if self._length > LONGEST_TEXT:
            self._refuse(f"a text longer than {LONGEST_TEXT} characters")
        self._texts.append(text)

    def close(self) -> None:
        """Nothing is left to be done."""

    def _look_at_root(self, name: str) -> None:
        if self._outside:
            raise RefersOutside(self._name, self._outside)
        if self._has_doctype:
            raise HasDocumentType(self._name)
        if name != "observations":
            raise NotALog(self._name, name)

    def _begins_record(self) -> bool:
        depth = len(self._path)
        return (depth == 2 and self._path[1] == "observation") or (depth == 3 and self._path[1] in CONTAINERS)

    def _begin(self, name: str, attributes: dict[str, str]) -> None:
        self._parts += 1
        if self._parts > MOST_PARTS:
            self._refuse(f"a record of more than {MOST_PARTS} elements")
        self._texts = []
        self._open.append(
            Element(
                tag=name,
                attributes={_local(key): value for key, value in attributes.items()},
                line=self.parser.CurrentLineNumber,
            )
        )

    def _refuse(self, what: str) -> None:
        raise TooMuch(self._name, self.parser.CurrentLineNumber, what)


_NAMESPACE = re.compile(r"^\{[^}]*\}")


def _local(name: str) -> str:
    """A name without its namespace, of which older versions of the schema have others."""
    return _NAMESPACE.sub("", name)
