"""Texts, numbers and instants as XML holds them."""

import re
from datetime import UTC, datetime

# XML 1.0, fifth edition, production [2]: the characters that a document may hold at all.
_CANNOT_HOLD = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


class XmlText:
    """Makes text fit for XML, and counts the characters that no XML document can hold."""

    def __init__(self) -> None:
        self.left_out = 0

    def __call__(self, text: str) -> str:
        found = _CANNOT_HOLD.search(text)
        if found is not None:
            text, count = _CANNOT_HOLD.subn("", text)
            self.left_out += count
        if "&" in text or "<" in text or ">" in text or "\r" in text:
            text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace("\r", "&#13;")
        return text


def xml_number(value: float) -> str:
    """A number with all its digits, and none that say nothing: 40, 0.125."""
    return f"{value:.0f}" if value.is_integer() and abs(value) < 1e15 else repr(value)


def xml_instant(instant: datetime) -> str:
    """An xsd:dateTime with its zone; in UTC where the zone's offset is not of whole minutes, which it cannot hold."""
    text = instant.isoformat()
    if instant.tzinfo is UTC:
        return f"{text[:-6]}Z"
    offset = instant.utcoffset()
    if offset is None or offset.seconds % 60:
        return f"{instant.astimezone(UTC).isoformat()[:-6]}Z"
    return text
