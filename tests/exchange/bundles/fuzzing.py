"""Bundles changed at random, by the hundred thousand: python -m tests.exchange.bundles.fuzzing [INPUTS] [SEED]

Half of what is changed gets a right hash again, so that it comes as far as the checks inside. Each input is refused as
a broken bundle, or read; and what is read can be written and read again to the same entries. Anything else is an error.
"""

import json
import random
import sys
import time
import zlib
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from obslog.exchange.bundles.errors import BrokenBundle
from tests.exchange.bundles.arrivals import arrival_rows, arrivals_batch
from tests.exchange.bundles.made import ACT, ENTRIES, bundle_of, hashed, key, lines_of, read, with_contents

Chance = random.Random
SEEDS = (bundle_of(ENTRIES), bundle_of([ACT, arrivals_batch(arrival_rows(8))]))
ODD: tuple[Any, ...] = (
    None, True, 0, -1, 2**63, -(2**63) - 1, 10**400, 1e308, float("nan"), float("inf"), "", "\0", "\ud800", "\u202e",
    "\x1b[31m", "x" * 70_000, "../../etc/passwd", "'; DROP TABLE acts; --", key(9), key(9).upper(), [], {}, [[]],
    {"id": 1}, [[[[[[[1]]]]]]], "2026-11-29T01:00:00Z", "9999-12-31T23:59:59-23:59", "0001-01-01T00:00:00+23:59",
    "id", "act", "batch", "added", "Member",
)  # fmt: skip


def bytes_changed(data: bytes, chance: Chance) -> bytes:
    """Some bits flipped, a stretch taken out, put in, doubled, moved, overwritten or cut off."""
    for _ in range(chance.choice((1, 1, 1, 2, 5))):
        if not data:
            break
        start = chance.randrange(len(data))
        end = min(len(data), start + chance.choice((1, 1, 2, 8, 64, 1000)))
        piece = data[start:end]
        change = chance.randrange(7)
        if change == 0:
            flipped = bytes([data[start] ^ 1 << chance.randrange(8)])
            data = data[:start] + flipped + data[start + 1 :]
        elif change == 1:
            data = data[:start] + data[end:]
        elif change == 2:
            data = data[:start] + chance.randbytes(end - start) + data[start:]
        elif change == 3:
            data = data[:end] + piece + data[end:]
        elif change == 4:
            place = chance.randrange(len(data))
            data = data[:place] + piece + data[place:]
        elif change == 5:
            data = data[:start] + chance.randbytes(end - start) + data[end:]
        else:
            data = data[:start]
    return data


def value_changed(value: Any, chance: Chance) -> Any:
    """One place somewhere inside, or the whole, made odd, left out, said twice or swapped."""
    if not isinstance(value, list | dict) or not value or chance.random() < 0.1:
        return chance.choice(ODD)
    pairs: list[tuple[Any, Any]] = list(value.items() if isinstance(value, dict) else enumerate(value))
    place = chance.randrange(len(pairs))
    change = chance.randrange(8)
    if change == 0:
        del pairs[place]
    elif change == 1:
        pairs.insert(place, (chance.choice(("later", "id", "", "extra", "a b", key(3))), chance.choice(ODD)))
    elif change == 2:
        pairs.append(pairs[place])
    elif change == 3:
        other = chance.randrange(len(pairs))
        pairs[place], pairs[other] = (pairs[place][0], pairs[other][1]), (pairs[other][0], pairs[place][1])
    else:
        pairs[place] = (pairs[place][0], value_changed(pairs[place][1], chance))
    return dict(pairs) if isinstance(value, dict) else [inside for _name, inside in pairs]


def any_bytes(data: bytes, chance: Chance) -> bytes:
    return bytes_changed(data, chance)


def first_line_bytes(data: bytes, chance: Chance) -> bytes:
    first, _, payload = data.partition(b"\n")
    said = json.loads(first)["sha256"]
    return hashed(bytes_changed(first.replace(said.encode(), b"0" * 64), chance), payload)


def first_line_values(data: bytes, chance: Chance) -> bytes:
    first, _, payload = data.partition(b"\n")
    changed = value_changed({**json.loads(first), "sha256": "0" * 64}, chance)
    return hashed(json.dumps(changed, separators=(",", ":")).encode(), payload)


def packed_bytes(data: bytes, chance: Chance) -> bytes:
    first, _, payload = data.partition(b"\n")
    payload = bytes_changed(payload, chance)
    said = {**json.loads(first), "payload_bytes": len(payload), "sha256": "0" * 64}
    return hashed(json.dumps(said, separators=(",", ":")).encode(), payload)


def plain_bytes(data: bytes, chance: Chance) -> bytes:
    plain = bytes_changed(zlib.decompress(data.partition(b"\n")[2]), chance)
    return with_contents(plain, records=_records(plain))


def values(data: bytes, chance: Chance) -> bytes:
    lines = [json.loads(line) for line in lines_of(data)]
    for _ in range(chance.choice((1, 1, 2, 4))):
        place = chance.randrange(len(lines))
        lines[place] = value_changed(lines[place], chance)
    if chance.random() < 0.1:
        chance.shuffle(lines)
    separators = chance.choice(((",", ":"), (", ", ": ")))
    escaped = chance.random() < 0.5
    texts = [json.dumps(line, separators=separators, ensure_ascii=escaped) for line in lines]
    plain = b"".join(text.encode(errors="surrogatepass") + b"\n" for text in texts)
    return with_contents(plain, records=_records(plain))


def doubled_names(data: bytes, chance: Chance) -> bytes:
    """A name said twice, as no writer of JSON does."""
    lines = lines_of(data)
    place = chance.randrange(len(lines))
    names = [b'"id":', b'"act_id":', b'"rows":', b'"name":', b'"ids":', b'"sentence":']
    name = chance.choice([name for name in names if name in lines[place]])
    value = json.dumps(chance.choice(ODD)).encode()
    lines[place] = lines[place].replace(name, name + value + b"," + name, 1)
    plain = b"".join(line + b"\n" for line in lines)
    return with_contents(plain, records=_records(plain))


MUTATIONS: tuple[Callable[[bytes, Chance], bytes], ...] = (
    any_bytes, first_line_bytes, first_line_values, packed_bytes, plain_bytes, values, values, doubled_names,
)  # fmt: skip


def _records(plain: bytes) -> int:
    """How many records the batches hold, as far as they can be read: so that this is seldom what is wrong."""
    count = 0
    for line in plain.splitlines():
        if line.startswith(b'["batch"'):
            try:
                count += len(json.loads(line)[1]["ids"])
            except (ValueError, LookupError, TypeError, RecursionError):
                continue
    return count


def outcome(data: bytes) -> str:
    """What came of one input: the name of the error, or that it was read. Raises whatever should never be."""
    try:
        _manifest, entries = read(data)
    except BrokenBundle as error:
        if not (error.message and error.hint and f"{error.message}{error.hint}".isprintable()):
            raise AssertionError(repr((error.message, error.hint))) from error
        return type(error).__name__
    assert read(bundle_of(entries))[1] == entries
    return "read"


def run(inputs: int, seed: int) -> Counter[str]:
    chance = random.Random(seed)
    found: Counter[str] = Counter()
    for _ in range(inputs):
        found[outcome(chance.choice(MUTATIONS)(chance.choice(SEEDS), chance))] += 1
    return found


def peak_kb() -> int:
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM"))


def main(inputs: int, seed: int) -> None:
    run(1000, seed)  # what imports and the first inputs need
    before, start = peak_kb(), time.process_time()
    found = run(inputs, seed + 1)
    for name, count in found.most_common():
        sys.stdout.write(f"{name}: {count}\n")
    sys.stdout.write(
        f"{inputs} inputs in {time.process_time() - start:.1f} s of processor time; "
        f"{(peak_kb() - before) / 1024:.1f} MB more at most than after the first thousand\n"
    )


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:]]
    main(*given, *(200_000, 1)[len(given) :])
