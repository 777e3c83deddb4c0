"""Writes a bundle: the manifest in a line of its own, then a line of JSON for each entry, packed."""

from collections.abc import Iterable
from typing import BinaryIO

from obslog.exchange.bundles.entries import Entry
from obslog.exchange.bundles.limits import LIMITS, Limits
from obslog.exchange.bundles.manifest import Facts, Manifest


def write_bundle(
    stream: BinaryIO, facts: Facts, entries: Iterable[Entry], *, limits: Limits = LIMITS
) -> Manifest:
    """Write the entries into a stream that can be gone back in, in their order; gives the manifest.

    A batch of any length is cut into lines that a reader takes. Raises BundleTooLarge, UnwritableEntry.
    """
    raise NotImplementedError
