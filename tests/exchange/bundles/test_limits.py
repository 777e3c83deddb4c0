"""The limits leave room for what a club can write."""

from obslog import fields
from obslog.exchange.bundles.limits import LIMITS, LONGEST_TEXT, MOST_ROWS_A_LINE
from obslog.exchange.bundles.manifest import Manifest
from tests.exchange.bundles.arrivals import arrivals_bundle
from tests.exchange.bundles.made import read


def test_a_change_of_every_text_there_is_fits_in_a_line() -> None:
    longest = [one.longest for one in vars(fields).values() if isinstance(one, fields.TextField)]
    assert max(longest) <= LONGEST_TEXT
    bytes_a_character, images, and_as_it_is_searched_for = 4, 2, 2
    assert sum(longest) * bytes_a_character * images * and_as_it_is_searched_for < LIMITS.line


def test_two_million_arrivals_fit_and_pack_as_records_do() -> None:
    manifest: Manifest = read(arrivals_bundle(MOST_ROWS_A_LINE))[0]
    assert manifest.records == MOST_ROWS_A_LINE
    scale = 2_000_000 / MOST_ROWS_A_LINE
    assert manifest.plain_bytes * scale < LIMITS.unpacked
    assert manifest.payload_bytes * scale < LIMITS.packed
    assert manifest.plain_bytes < LIMITS.line / 2
    assert 2 < manifest.plain_bytes / manifest.payload_bytes < LIMITS.ratio / 4
