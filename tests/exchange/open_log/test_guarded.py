"""Files made to do harm are refused, each with its own words, before memory or time is spent on them."""

import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import pytest

from obslog.exchange.open_log import guarded
from obslog.exchange.open_log.guarded import records
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

ROOT = '<observations version="2.1">'
END = "</observations>"
MILLION = 1_000_000
LAUGHS = "".join(f'<!ENTITY a{place} "&a{place - 1};&a{place - 1};">' for place in range(1, 30))


def attributes(count: int) -> str:
    return " ".join(f'a{n}=""' for n in range(count))


# Each made when it is asked for, since some are large.
HARM: dict[str, tuple[Callable[[], str], type[XmlRefused], str]] = {
    "a billion laughs": (
        lambda: f'<!DOCTYPE o [<!ENTITY a0 "ha">{LAUGHS}]>{ROOT}&a29;{END}',
        DeclaresEntities,
        "'a0'",
    ),
    "a quadratic blow-up": (
        lambda: f'<!DOCTYPE o [<!ENTITY a "{"x" * 50_000}">]>{ROOT}{"&a;" * 50_000}{END}',
        DeclaresEntities,
        "'a'",
    ),
    "a file of the machine": (
        lambda: f'<!DOCTYPE o [<!ENTITY a SYSTEM "file:///etc/passwd">]>{ROOT}&a;{END}',
        RefersOutside,
        "file:///etc/passwd",
    ),
    "an address": (
        lambda: f'<!DOCTYPE o SYSTEM "http://example.org/o.dtd">{ROOT}{END}',
        RefersOutside,
        "example.org",
    ),
    "a parameter entity": (
        lambda: f'<!DOCTYPE o [<!ENTITY % a SYSTEM "http://example.org/x"> %a;]>{ROOT}{END}',
        RefersOutside,
        "example.org",
    ),
    "a picture of a file": (
        lambda: f'<!DOCTYPE o [<!NOTATION n SYSTEM "x"><!ENTITY a SYSTEM "/etc/passwd" NDATA n>]>{ROOT}{END}',
        RefersOutside,
        "/etc/passwd",
    ),
    "a document type": (lambda: f"<!DOCTYPE observations>{ROOT}{END}", HasDocumentType, "<!DOCTYPE"),
    "attributes declared": (
        lambda: f'<!DOCTYPE o [<!ATTLIST observations version CDATA "2.1">]>{ROOT}{END}',
        HasDocumentType,
        "<!DOCTYPE",
    ),
    "an attribute of 40 MB": (
        lambda: f'{ROOT}<observation id="{"x" * 40 * MILLION}"/>{END}',
        TooMuch,
        "a tag or comment",
    ),
    "a comment of 40 MB": (lambda: f"{ROOT}<!--{'x' * 40 * MILLION}-->{END}", TooMuch, "a tag or comment"),
    "a million attributes": (
        lambda: f"{ROOT}<observation {attributes(MILLION)}/>{END}",
        TooMuch,
        "a tag or comment",
    ),
    "a text of 40 MB": (
        lambda: f"{ROOT}<observation>{'x' * 40 * MILLION}</observation>{END}",
        TooMuch,
        "a text longer",
    ),
    "a nest without end": (
        lambda: f"{ROOT}<observation>{'<a>' * MILLION}",
        TooMuch,
        "nested more than 32 deep",
    ),
    "a nest beside the records": (lambda: f"{ROOT}{'<a>' * MILLION}", TooMuch, "nested more than 32 deep"),
    "a record of a million parts": (
        lambda: f"{ROOT}<observation>{'<a/>' * MILLION}",
        TooMuch,
        "a record of more than",
    ),
    "a million names": (
        lambda: ROOT + "".join(f"<n{n}/>" for n in range(MILLION)),
        TooMuch,
        "names of elements",
    ),
    "an entity nobody knows": (
        lambda: f"{ROOT}<observation>&nbsp;</observation>{END}",
        NeedsEntity,
        "line 1",
    ),
    "a file cut off": (lambda: f"{ROOT}<observation>", NotWellFormed, "not well-formed"),
    "an empty file": (str, NotWellFormed, "not well-formed"),
    "a control character": (
        lambda: f"{ROOT}<observation>\x01</observation>{END}",
        NotWellFormed,
        "line 1, column 42",
    ),
    "a page of the web": (lambda: "<html><body/></html>", NotALog, "'html'"),
}


@pytest.mark.parametrize("name", HARM)
def test_harm_is_refused_in_its_own_words_within_bounds(tmp_path: Path, name: str) -> None:
    make, error, words = HARM[name]
    path = tmp_path / "log.xml"
    path.write_text(make())
    tracemalloc.start()
    began = time.process_time()
    with pytest.raises(error) as refused:
        list(records(path))
    seconds, (_, peak) = time.process_time() - began, tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert words in refused.value.message + refused.value.hint
    assert refused.value.hint
    assert refused.value.exit_code == 2
    assert peak < 12 * MILLION  # bytes: of files of up to 40 MB
    assert seconds < 2


@pytest.mark.parametrize(
    ("data", "error"),
    [
        (f"{ROOT}<observation>é</observation>{END}".encode("latin-1"), WrongEncoding),
        (b'<?xml version="1.0" encoding="EBCDIC-7"?>' + f"{ROOT}{END}".encode(), UnknownEncoding),
        (b'<?xml version="1.0" encoding="utf-7"?>' + f"{ROOT}{END}".encode(), UnknownEncoding),
        (b'<?xml version="1.0" encoding="utf-16"?>' + f"{ROOT}{END}".encode(), UnknownEncoding),
        (f"{ROOT}{END}".encode("utf-32"), NotWellFormed),
        (bytes(range(256)) * 40, NotWellFormed),
    ],
)
def test_a_wrong_encoding_is_said(tmp_path: Path, data: bytes, error: type[XmlRefused]) -> None:
    path = tmp_path / "log.xml"
    path.write_bytes(data)
    with pytest.raises(error):
        list(records(path))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "iso-8859-1", "windows-1252"])
def test_encodings_that_people_use_are_read(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "log.xml"
    named = f'<?xml version="1.0" encoding="{encoding.removesuffix("-sig")}"?>'
    path.write_bytes(f"{named}{ROOT}<observation>é</observation>{END}".encode(encoding))
    (found,) = records(path)
    assert (found.tag, found.text) == ("observation", "é")


def test_a_file_beyond_all_size_is_not_even_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "log.xml"
    with path.open("wb") as file:
        file.truncate(guarded.LARGEST_FILE + 1)  # a file with a hole: it takes no room
    with pytest.raises(LogTooLarge):
        list(records(path))


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(NoSuchLog):
        list(records(tmp_path / "none.xml"))
    with pytest.raises(NoSuchLog):
        list(records(tmp_path))


def test_records_come_one_by_one_without_their_namespaces(tmp_path: Path) -> None:
    path = tmp_path / "log.xml"
    path.write_text(
        '<a:observations xmlns:a="urn:a" version="2.1">\n<observers>\n<observer id="x"><name>Ada</name></observer>'
        "</observers><other><thing/></other>\n"
        '<a:observation a:id="y"><result>one<![CDATA[<two>]]></result></a:observation></a:observations>'
    )
    observer, observation = records(path)
    assert (observer.tag, observer.attributes, observer.line) == ("observer", {"id": "x"}, 3)
    assert [(child.tag, child.text) for child in observer.children] == [("name", "Ada")]
    assert (observation.attributes, observation.children[0].text) == ({"id": "y"}, "one<two>")
