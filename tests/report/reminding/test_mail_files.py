"""Mail files, read back by the standard library."""

from datetime import datetime, timedelta
from email import policy
from email.message import EmailMessage
from email.parser import BytesParser
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.report.plain_text import label
from obslog.report.reminding.club_template import Letter
from obslog.report.reminding.mail_files import LONGEST_NAME, NotAnAddress, file_name, mail_file
from tests.report.reminding.records import MEMBER, NOW

LETTER = Letter("Overdue: Evening kit", "Dear Ines,\n\nplease bring it back.\n")
FIELDS = ["To", "Subject", "Date", "Message-ID", "X-Unsent"]
OF_THE_BODY = ["Content-Type", "Content-Transfer-Encoding", "MIME-Version"]


def read_back(content: bytes) -> EmailMessage:
    message = BytesParser(policy=policy.default).parsebytes(content)
    assert isinstance(message, EmailMessage)
    return message


def text_of(message: EmailMessage) -> str:
    """The text with the line ends of this program, not those of the mail."""
    return str(message.get_content()).replace("\r\n", "\n")


def mail(
    letter: Letter = LETTER, name: str = "Ines", email: str = "ines@example.org", now: datetime = NOW
) -> bytes:
    return mail_file(letter, name, email, MEMBER, now)


def test_a_mail_is_read_back_as_it_was_written() -> None:
    message = read_back(mail())
    assert list(message.keys()) == FIELDS + OF_THE_BODY
    (to,) = message["To"].addresses
    assert (to.display_name, to.addr_spec) == ("Ines", "ines@example.org")
    assert message["Subject"] == LETTER.subject
    assert message["Date"].datetime == NOW
    assert message["Message-ID"] == "<0195574a00007000800000000000abcd.20260302T214000@obslog.invalid>"
    assert text_of(message) == LETTER.text
    assert message["From"] is None


def test_the_sender_where_one_is_named() -> None:
    message = read_back(mail_file(LETTER, "Ines", "ines@example.org", MEMBER, NOW, "officer@example.org"))
    assert [address.addr_spec for address in message["From"].addresses] == ["officer@example.org"]


def test_the_same_gives_the_same_bytes_and_another_time_another_message() -> None:
    assert mail() == mail()
    assert read_back(mail())["Message-ID"] != read_back(mail(now=NOW + timedelta(seconds=1)))["Message-ID"]


def test_every_line_is_short_and_ascii_and_ends_as_the_standard_wants() -> None:
    """RFC 5322, section 2.1.1: lines of at most 998 characters, ended by CR LF; section 2.3: no lone CR or LF."""
    content = mail(Letter("Ü" * 150, "Grüße\n" + "ä" * 5000 + "\n.\nFrom here\n"), "Ø" * 90)
    assert content.isascii()
    assert max(len(line) for line in content.split(b"\r\n")) <= 998
    assert content.count(b"\r\n") == content.count(b"\n") == content.count(b"\r")
    assert text_of(read_back(content)) == "Grüße\n" + "ä" * 5000 + "\n.\nFrom here\n"


@given(name=st.text(max_size=150), subject=st.text(max_size=200), text=st.text(max_size=300))
def test_no_name_or_item_makes_a_field_or_an_address(name: str, subject: str, text: str) -> None:
    message = read_back(mail(Letter(label(subject, 150), text), name))
    assert list(message.keys()) == FIELDS + OF_THE_BODY
    (to,) = message["To"].addresses
    assert to.addr_spec == "ines@example.org"
    assert message.defects == []


@pytest.mark.parametrize(
    "name",
    [
        "Ines\r\nBcc: all@example.org",
        "Ines\nBcc: all@example.org\n\nOther text",
        'Ines" <all@example.org>, "Other',
        "all@example.org, other",
        "Ines <all@example.org>",
        "=?utf-8?q?all=40example.org=2C?=",
        "=?utf-8?q?a=0D=0ABcc=3A_all=40example.org?=",
        "(a remark) Ines",
        "Group: a@example.org;",
        "Ines\x00\x1b[2J\u202e",
        "\\",
        "",
    ],
)
def test_hostile_names_stay_names(name: str) -> None:
    message = read_back(mail(Letter(f"Overdue: {label(name)}", "text\n"), name))
    (to,) = message["To"].addresses
    assert to.addr_spec == "ines@example.org"
    assert list(message.keys()) == FIELDS + OF_THE_BODY


@pytest.mark.parametrize(
    "name", ["Ådne Øygård", "Łucja Żak", "中村 花子", "Zoë O'Brien-Núñez", "Ines, M. (Dr)"]
)
def test_names_in_any_letters_come_back(name: str) -> None:
    (to,) = read_back(mail(name=name))["To"].addresses
    assert to.display_name == label(name, LONGEST_NAME)


@pytest.mark.parametrize(
    "email",
    [
        "a@x.org,b@y.org",
        "a@x.org\r\nBcc: b@y.org",
        "<a@x.org>",
        "a",
        "@x.org",
        "a@",
        "ä@x.org",
        "a@ä.org",
        "a b@x.org",
        "",
        "a@x.org (b)",
    ],
)
def test_what_is_no_address_is_refused(email: str) -> None:
    with pytest.raises(NotAnAddress):
        mail(email=email)


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Ines", "2026-03-02-ines-00abcd.eml"),
        ("Zoë O'Brien", "2026-03-02-zoe-o-brien-00abcd.eml"),
        ("../../etc/passwd", "2026-03-02-etc-passwd-00abcd.eml"),
        ("中村", "2026-03-02-00abcd.eml"),
        ("a" * 300, f"2026-03-02-{'a' * 40}-00abcd.eml"),
        ("CON\x00.eml", "2026-03-02-con-eml-00abcd.eml"),
    ],
)
def test_the_file_is_named_by_day_and_member_in_plain_letters(name: str, file: str) -> None:
    assert file_name(name, MEMBER, NOW.date()) == file


def test_two_of_one_name_have_two_files() -> None:
    assert file_name("Ines", UUID(int=1), NOW.date()) != file_name("Ines", UUID(int=2), NOW.date())
