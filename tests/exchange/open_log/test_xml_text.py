"""Texts, numbers and instants as XML holds them."""

import xml.etree.ElementTree as ElementTree
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.exchange.open_log.xml_text import XmlText, xml_instant, xml_number


@given(st.text())
def test_any_text_is_the_same_again_but_for_what_xml_cannot_hold(text: str) -> None:
    """By another parser, and by XML 1.0, production [2], written out as a test of each character."""
    fit = XmlText()
    found = ElementTree.fromstring(f"<a>{fit(text)}</a>").text or ""
    held = [
        sign
        for sign in text
        if sign in "\t\n\r"
        or 0x20 <= ord(sign) <= 0xD7FF
        or 0xE000 <= ord(sign) <= 0xFFFD
        or ord(sign) >= 0x10000
    ]
    assert found == "".join(held)
    assert fit.left_out == len(text) - len(held)


@pytest.mark.parametrize(
    ("value", "text"), [(40.0, "40"), (0.1, "0.1"), (-1.55, "-1.55"), (1e-9, "1e-09"), (1e16, "1e+16")]
)
def test_a_number_has_all_its_digits(value: float, text: str) -> None:
    assert xml_number(value) == text
    assert float(text) == value


@pytest.mark.parametrize(
    ("instant", "text"),
    [
        (datetime(2026, 3, 2, 20, 41, tzinfo=UTC), "2026-03-02T20:41:00Z"),
        (datetime(2026, 7, 2, 22, 41, tzinfo=ZoneInfo("Europe/Berlin")), "2026-07-02T22:41:00+02:00"),
        (datetime(2026, 3, 2, 20, 41, 0, 250_000, tzinfo=UTC), "2026-03-02T20:41:00.250000Z"),
        # Amsterdam's clocks were 19 min 32 s ahead until 1937, which xsd:dateTime cannot say.
        (
            datetime(1930, 1, 1, 12, 19, 32, tzinfo=timezone(timedelta(minutes=19, seconds=32))),
            "1930-01-01T12:00:00Z",
        ),
    ],
)
def test_an_instant_has_its_zone(instant: datetime, text: str) -> None:
    assert xml_instant(instant) == text
