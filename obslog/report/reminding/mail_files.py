"""A letter as a file that a mail program opens, to be looked at and sent by the officer. Nothing is sent here."""

from datetime import date, datetime
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from unicodedata import normalize
from uuid import UUID

from obslog.errors import WrongInput
from obslog.records.tables.keys import reference_of
from obslog.report.plain_text import label
from obslog.report.reminding.club_template import LONGEST_SUBJECT, Letter

LONGEST_NAME = 100
LONGEST_IN_FILE_NAME = 40
HOST = "obslog.invalid"  # RFC 2606, section 2: a name that is no host, for none is needed to be found


class NotAnAddress(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(f"{text!r} is no e-mail address.", "Write it like name@example.org.")


def mail_file(
    letter: Letter, name: str, email: str, key: UUID, now: datetime, sender: str | None = None
) -> bytes:
    """The mail to that member, of that key. Raises NotAnAddress.

    Sources: RFC 5322 section 3.6 (fields), RFC 2047 (names that are not ASCII). X-Unsent opens it as a draft in mail
    programs that know it. Without a sender, From is left to the mail program.
    """
    message = EmailMessage(policy=SMTP)
    if sender is not None:
        message["From"] = mailbox("", sender)
    message["To"] = mailbox(name, email)
    message["Subject"] = _one_line(letter.subject, LONGEST_SUBJECT)
    message["Date"] = now
    message["Message-ID"] = f"<{key.hex}.{now:%Y%m%dT%H%M%S}@{HOST}>"
    message["X-Unsent"] = "1"
    message.set_content(letter.text, cte="quoted-printable")
    return message.as_bytes()


def mailbox(name: str, email: str) -> Address:
    """A name with an address, of which nothing can become another one. Raises NotAnAddress."""
    if not email.isascii() or not email.isprintable():
        raise NotAnAddress(email)
    try:
        address = Address(addr_spec=email)
    except Exception as error:  # the library's own errors, of several kinds
        raise NotAnAddress(email) from error
    if not address.username or not address.domain or address.addr_spec != email:
        raise NotAnAddress(email)
    return Address(_one_line(name, LONGEST_NAME), address.username, address.domain)


def _one_line(text: str, most: int) -> str:
    """The text on one line, in which nothing is read as the beginning of an encoded word of RFC 2047: it could hold
    line ends and addresses, and readers decode it.
    """
    return label(text.replace("=?", "= ?"), most)


def file_name(name: str, key: UUID, day: date) -> str:
    """`2026-03-02-ines-4f2a19.eml`: the day, the name in plain letters, the reference of the member."""
    plain = normalize("NFKD", name).encode("ascii", "ignore").decode().casefold()
    words = "-".join("".join(sign if sign.isalnum() else " " for sign in plain).split())
    parts = [f"{day}", words[:LONGEST_IN_FILE_NAME].strip("-"), reference_of(key)]
    return "-".join(part for part in parts if part) + ".eml"
