"""Reads a bundle line by line; whoever wrote it is not trusted."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import BinaryIO

from obslog.exchange.bundles.entries import Entry
from obslog.exchange.bundles.limits import LIMITS, Limits
from obslog.exchange.bundles.manifest import Manifest


@dataclass(frozen=True, slots=True)
class Bundle:
    """A bundle whose bytes are those that were written. `entries` can be gone through once.

    An entry that cannot be meant is met only on the way: take them in within one transaction.
    """

    manifest: Manifest
    entries: Iterator[Entry]


def read_bundle(
    stream: BinaryIO, now: datetime, *, called: str = "The bundle", limits: Limits = LIMITS
) -> Bundle:
    """Look at the manifest and at the hash of all that follows it, then hand out the entries in their order.

    `called` is how errors call the file. The stream is gone through twice and must be able to go back.
    Raises BrokenBundle, as the iterator does too.
    """
    raise NotImplementedError
