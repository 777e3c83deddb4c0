"""Of a text that two laptops tell, that from which more was taken out of members who left; so all come to say the same.

What differs in any other way is no text with less: then the one that was asked about stays as it is.
"""

import re
from collections.abc import Mapping
from typing import Any

from msgspec.structs import replace

from obslog.exchange.bundles.entries import ActEntry, ChangeEntry
from obslog.records.nameless import NAMES, NEUTRAL, TAKEN_OUT

Image = Mapping[str, Any]
_STANDS_IN = re.compile("|".join(map(re.escape, (NEUTRAL, TAKEN_OUT))))


def without_more(text: str, told: str) -> str:
    """The text as it is told, where that is this text with something taken out; else the text itself."""
    first, *others = _STANDS_IN.split(told)
    if told == text or not others or not text.startswith(first):
        return text
    place = len(first)
    for part in others[:-1]:  # each as early as can be: if any way fits, this one does
        place = text.find(part, place + 1) + len(part)
        if place < len(part):
            return text
    last = others[-1]
    return told if text.endswith(last) and len(text) - len(last) > place else text


def with_less(image: Image, told: Image) -> dict[str, Any]:
    """What the image says, without what is taken out of its texts as they are told; names stay."""
    return {
        name: without_more(value, told[name])
        if isinstance(value, str) and name not in NAMES and isinstance(told.get(name), str)
        else value
        for name, value in image.items()
    }


def sentence_and_author(
    sentence: str, who: str | None, told_sentence: str, told_who: str | None
) -> tuple[str, str | None]:
    """What an act says, and who typed it, without what is taken out of both as they are told."""
    return without_more(sentence, told_sentence), NEUTRAL if who and told_who == NEUTRAL else who


def least_act(act: ActEntry, told: ActEntry) -> ActEntry:
    """The act without what another bundle takes out of it."""
    sentence, who = sentence_and_author(act.sentence, act.who, told.sentence, told.who)
    return replace(act, sentence=sentence, who=who)


def least_change(change: ChangeEntry, told: ChangeEntry) -> ChangeEntry:
    """The one of the two that withholds less, without what the other takes out of its texts."""
    whole, other = (told, change) if len(told.withheld) < len(change.withheld) else (change, told)
    before, after = (
        image and with_less(image, there or {})
        for image, there in ((whole.before, other.before), (whole.after, other.after))
    )
    return replace(whole, before=before, after=after)
