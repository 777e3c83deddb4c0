"""What was likely meant by a line that begins with no verb, as a line that can be typed."""

from obslog.club.evening.verbs import INSTEAD
from obslog.grammar.lines import UnknownVerb
from obslog.grammar.target_names import target_named
from obslog.offsets import is_offset_or_landing
from obslog.vocabulary.sky_scales import SkyScale

_SHORTEST_SCALE = 3  # fewer letters begin too many words


def line_instead(typed: str, error: UnknownVerb) -> str | None:
    """The hint for a whole line that was refused so; None where nothing is to be guessed."""
    word = error.typed.casefold()
    if word in INSTEAD:
        return INSTEAD[word]
    line = " ".join(typed.split())
    if is_offset_or_landing(line):
        return f"Where the last one stood: edit {line}"
    if _names_a_scale(word):
        return f"What the sky is like: sky {line}"
    if any(sign.isdigit() for sign in word) and target_named(line).known:
        return f"A verb comes first: goto {line} edge, or saw {line}; WORDS"
    return None


def _names_a_scale(word: str) -> bool:
    return len(word) >= _SHORTEST_SCALE and any(
        part.startswith(word) for scale in SkyScale for part in (scale, *scale.split("-"))
    )
