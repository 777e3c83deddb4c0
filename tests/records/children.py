"""Child processes for tests of what happens between programs, or when one is killed."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
OPENING = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from obslog.errors import ObslogError
from obslog.records.opening import open_database
NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
"""


def start(script: str, *arguments: object) -> subprocess.Popen[str]:
    """A child that runs the script, which begins with OPENING, in the checkout."""
    command = [sys.executable, "-c", OPENING + script, *(str(argument) for argument in arguments)]
    return subprocess.Popen(command, cwd=ROOT, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def output(child: subprocess.Popen[str], expected: int = 0) -> str:
    """What the child printed; fails with its errors where it ended otherwise than expected."""
    out, errors = child.communicate(timeout=60)
    assert child.returncode == expected, errors
    return out
