"""Which mistake a snag's text names."""

import pytest

from obslog.club.aligning.mistake_words import mistakes_in


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("Forgot summer time again", "summer time"),
        ("Daylight saving still on", "summer time"),
        ("wrong time zone", "time zone"),
        ("the clock was eleven minutes slow", "clock"),
        ("Day and month the wrong way round", "day and month swapped"),
        ("typed the longitude as east instead of west", "longitude sign"),
        ("still had the last site in it", "another site's longitude"),
        ("synced on the wrong star", "wrong star"),
        ("not Castor but Pollux", "wrong star"),
        ("did not start from home", "declination zero"),
        ("home mark a finger off", "declination zero"),
        ("at home the declination axis read 88", "declination zero"),
        ("left the counterweight at home", None),
        ("went home early, cloud", None),
        ("the clock drive squeaks", None),
        ("dew from 10 o'clock on", None),
        ("battery flat", None),
        ("the latitude scale reads low", None),
    ],
)
def test_texts_of_snags_are_counted_once_each(text: str, named: str | None) -> None:
    assert dict(mistakes_in([text, text])) == ({named: 2} if named else {})
