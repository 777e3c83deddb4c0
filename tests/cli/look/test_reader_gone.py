"""A reader who has gone is told from a disk or a file with which something is wrong."""

import errno

import pytest

from obslog.cli.look.reader_gone import nobody_reads


@pytest.mark.parametrize(
    ("error", "platform", "gone"),
    [
        (BrokenPipeError(errno.EPIPE, "Broken pipe"), "linux", True),
        (BrokenPipeError(errno.EPIPE, "Broken pipe"), "win32", True),
        (OSError(errno.EINVAL, "Invalid argument"), "win32", True),
        (OSError(errno.EINVAL, "Invalid argument"), "linux", False),
        (OSError(errno.EINVAL, "Invalid argument", "con?.html"), "win32", False),
        (OSError(errno.ENOSPC, "No space left"), "win32", False),
        (ValueError("Invalid argument"), "win32", False),
    ],
)
def test_windows_calls_a_pipe_without_a_reader_an_invalid_argument(
    error: Exception, platform: str, gone: bool
) -> None:
    assert nobody_reads(error, platform) == gone
