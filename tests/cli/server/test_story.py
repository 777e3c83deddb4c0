"""A club on a server, from no roles to a member's login and back: each answer is held to the schema of its command."""

from pathlib import Path

from sqlalchemy import make_url

from tests.cli.program import Program

STORY = """
db where
db roles
db roles --make
member add Ines
db roles --login @login --as member --member Ines
db roles --login @login --as officer
db roles
site add Dune --lat 50 --lon 1 --tz Europe/London
night start Dune --with Ines
mount add Heron --type german --controller shift
setup start Heron
sync Capella
history
undo
db check
db move --to @moved
db roles --remove @login
"""


def test_a_club_on_a_server_gives_what_the_schemas_say(on_server: Program, tmp_path: Path) -> None:
    club = make_url(on_server.environment["OBSLOG_DB"]).database
    names = {"@login": f"{club} o'reilly", "@moved": str(tmp_path / "moved.db")}
    for line in STORY.strip().splitlines():
        on_server.document(*(names.get(word, word) for word in line.split()))
