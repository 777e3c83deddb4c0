"""An observation from elsewhere has the same key wherever it comes in."""

from uuid import UUID

from obslog.club.open_log.log_keys import content_key, own_key

KEY = UUID("019a0b1c-2d3e-7f40-8a5b-6c7d8e9f0a1b")


def test_the_key_of_our_own_logs_is_in_the_id() -> None:
    assert own_key(f"observation-{KEY}") == KEY
    assert own_key("o_1") is None
    assert own_key(None) is None


def test_the_same_words_make_the_same_key_and_others_another() -> None:
    key = content_key(("Ada", "M 81", None, 40.0))
    assert key == content_key(("Ada", "M 81", None, 40.0))
    assert key != content_key(("Ada", "M 81", 40.0, None))
    # RFC 9562: the version stands in bits 48 to 51, the variant 10 in bits 64 and 65.
    assert (key.int >> 76 & 0xF, key.int >> 62 & 0b11) == (8, 0b10)
