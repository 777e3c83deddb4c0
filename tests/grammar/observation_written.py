"""An observation as somebody may type it, to hold the reading of one to it."""

from obslog.grammar.lines import quoted_word
from obslog.grammar.observation_words import ObservationSaid
from obslog.grammar.written import number_words, target_words
from obslog.vocabulary.observations import FindingMethod, Sighting


def observation_line(said: ObservationSaid, *, at: str | None = None, sure: bool = False) -> str:
    """`21:05 saw M 81 averted 150x rating 4; oval glow`. An unknown name is quoted, and taken by the `!` at the end."""
    words = [
        at,
        "saw",
        target_words(said.target),
        None if said.sighting == Sighting.SEEN else said.sighting.value,
        said.vision and said.vision.value,
        None if said.magnification is None else f"{number_words(said.magnification)}x",
        None if said.rating is None else f"rating {said.rating}",
        _named("filter", said.filter),
        _named("sketch", said.sketch),
        _named("eyepiece", said.eyepiece),
        said.found_by and f"by {said.found_by}",
        _named("observer" if _is_method(said.observer) else "by", said.observer),
    ]
    line = " ".join(word for word in words if word)
    if said.text:
        line += f"; {quoted_word(' '.join(said.text.split()))}"
    return f"{line} !" if sure or not said.target.known else line


def _named(keyword: str, name: str | None) -> str | None:
    return name and f"{keyword} {quoted_word(name)}"


def _is_method(name: str | None) -> bool:
    """Whether a member's name reads as a way of finding an object."""
    plain = (name or "").casefold().replace("-", " ").split()
    return any(plain[: len(words)] == words for words in (m.replace("-", " ").split() for m in FindingMethod))
