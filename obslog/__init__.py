"""obslog: what a club's telescope mounts did, night after night, and what to do about it."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from obslog.library.club import open_club

__all__ = ["__version__", "open_club"]
__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    """The library is loaded when it is first asked for: the commands need none of it."""
    if name == "open_club":
        from obslog.library.club import open_club

        return open_club
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
