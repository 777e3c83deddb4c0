"""What the rules of rows ask: who somebody is, and how old a key."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
from sqlalchemy import text

from obslog.records.database import Database
from tests.records.roles.conftest import Opened


def answer(database: Database, call: str, key: UUID | None = None) -> object:
    with database.engine.connect() as connection:
        return connection.execute(text(f"SELECT {call}"), {} if key is None else {"key": key}).scalar_one()


def key_made(at: datetime) -> UUID:
    """A key of version 7, its first 48 bits the milliseconds (RFC 9562, section 5.7)."""
    return UUID(int=int(at.timestamp() * 1000) << 80 | 0x7 << 76 | 0x2 << 62)


@pytest.mark.parametrize(
    ("login", "name"), [("ines", "Ines"), ("bram", "Bram Ostler"), ("officer", None), ("reader", None)]
)
def test_a_login_is_known_by_its_member(as_login: Opened, login: str, name: str | None) -> None:
    assert answer(as_login(login), "obslog_my_name()") == name
    assert (answer(as_login(login), "obslog_me()") is None) == (name is None)


@pytest.mark.parametrize(("hours", "new"), [(0, True), (35, True), (37, False)])
def test_a_key_is_new_for_a_day_and_a_half(as_login: Opened, hours: int, new: bool) -> None:
    made = key_made(datetime.now(UTC) - timedelta(hours=hours))
    assert answer(as_login("ines"), "obslog_is_new(:key)", made) is new


def test_the_example_of_the_standard_is_read_as_it_says() -> None:
    """RFC 9562, appendix A.6: this key was made on 22 February 2022 at 19:22:22 UTC."""
    assert key_made(datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC)).hex[:12] == "017f22e279b0"


def test_a_record_that_says_the_same_as_none_stands_for_itself(as_login: Opened) -> None:
    key = UUID("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
    assert answer(as_login("ines"), "obslog_stands_for(:key)", key) == key
