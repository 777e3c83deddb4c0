"""Reading the published tables beside these tests; a line that starts with # tells the source."""

import csv
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

DATA = Path(__file__).parent / "data"


def columns(name: str) -> dict[str, list[str]]:
    lines = [line for line in (DATA / name).read_text().splitlines() if not line.startswith("#")]
    rows = list(csv.DictReader(lines))
    return {key: [row[key] for row in rows] for key in rows[0]}


def numbers(name: str) -> dict[str, NDArray[np.float64]]:
    return {key: np.array(cells, float) for key, cells in columns(name).items()}
