"""What a log holds, in the standard's own terms."""

from obslog.exchange.open_log.records import LogObserver


def test_a_name_is_first_and_last_name_with_one_space() -> None:
    assert LogObserver(id="a", name="Ada ", surname=" Brook").full_name == "Ada Brook"
    assert LogObserver(id="a", name="Ada").full_name == "Ada"
