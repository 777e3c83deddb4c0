"""Signs that an old terminal or a code page of Windows does not know: its nearest in ASCII stands in for each.

So a bar stays as long as it was drawn. A letter that is not known there is written as an escape, for a name in other
letters would be another name.
"""

import codecs

from obslog.cli.look.plain_signs import plain_signs

STAND_INS = "obslog.stand-ins"
_ARROWS = dict(zip("↑↓←→↖↗↘↙", r"^v<>\/\/", strict=True))


def stand_in(error: UnicodeError) -> tuple[str, int]:
    """What is written in place of signs that cannot be: a handler of encoding errors."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    signs = error.object[error.start : error.end]
    return "".join(map(_nearest, signs)), error.end


def _nearest(sign: str) -> str:
    return _ARROWS.get(sign) or plain_signs(sign).encode("ascii", "backslashreplace").decode("ascii")


codecs.register_error(STAND_INS, stand_in)
