"""The console of Windows: it reads the signs for colours and bold letters as letters until it is asked to obey them.

Rich asks for nothing, and gives the console's own calls in their place only to what it writes there itself; what goes
through the pager, or is held until the answer is whole, does not come to the console from Rich.
Source: Microsoft's page on SetConsoleMode, ENABLE_VIRTUAL_TERMINAL_PROCESSING.
"""

import sys
from collections.abc import Iterable
from contextlib import suppress
from typing import IO, Protocol

OBEY_SIGNS = 0x0004


class Console(Protocol):
    """What is asked of a console, by the number of the open file."""

    def mode(self, file: int) -> int | None:
        """Its mode; None where the file is no console."""
        ...

    def set_mode(self, file: int, mode: int) -> bool:
        """Whether it has taken that mode; one of before Windows 10 knows no such signs."""
        ...


def obeys_signs(streams: Iterable[IO[str]], console: Console | None = None) -> bool:
    """Whether the terminals among the streams obey signs, now that those of Windows were asked to."""
    asked = console or _console_here()
    return asked is None or all(_asked(asked, stream) for stream in streams if stream.isatty())


def _asked(console: Console, stream: IO[str]) -> bool:
    with suppress(OSError):
        file = stream.fileno()
        mode = console.mode(file)
        return mode is None or bool(mode & OBEY_SIGNS) or console.set_mode(file, mode | OBEY_SIGNS)
    return True


def _console_here() -> Console | None:
    """The system's own consoles; None where it has none of this kind."""
    if sys.platform != "win32":
        return None
    import ctypes
    import msvcrt

    kernel = ctypes.WinDLL("kernel32")
    kernel.GetConsoleMode.argtypes = (ctypes.c_void_p, ctypes.POINTER(ctypes.c_uint32))
    kernel.SetConsoleMode.argtypes = (ctypes.c_void_p, ctypes.c_uint32)

    class OfWindows:
        def mode(self, file: int) -> int | None:
            found = ctypes.c_uint32()
            is_console = kernel.GetConsoleMode(msvcrt.get_osfhandle(file), ctypes.byref(found))
            return found.value if is_console else None

        def set_mode(self, file: int, mode: int) -> bool:
            return bool(kernel.SetConsoleMode(msvcrt.get_osfhandle(file), mode))

    return OfWindows()
