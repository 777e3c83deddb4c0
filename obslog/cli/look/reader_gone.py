"""Whether a failed writing means that whoever read the output has gone, as `head` does when it has enough."""

import errno
import sys


def nobody_reads(error: BaseException, platform: str = sys.platform) -> bool:
    """Whether it was that; Windows calls a pipe that nobody reads any more an invalid argument.

    Source: Python's issue 79935, of standard output on Windows. What is wrong with a file names that file.
    """
    if isinstance(error, BrokenPipeError):
        return True
    is_unnamed = isinstance(error, OSError) and error.errno == errno.EINVAL and error.filename is None
    return is_unnamed and platform == "win32"
