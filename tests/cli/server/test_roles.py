"""What somebody sees who looks at the roles, or gives one."""

import pytest
from sqlalchemy import make_url

from tests.cli.program import Program


def test_from_no_roles_to_a_member_with_a_login(on_server: Program) -> None:
    login = f"{make_url(on_server.environment['OBSLOG_DB']).database} o'reilly"
    assert "Make them: obslog db roles --make" in on_server.must("db", "roles").out
    assert "No login has a role yet" in on_server.must("db", "roles", "--make").out
    on_server.must("member", "add", "Ines Alvarado")
    words = ("db", "roles", "--login", login, "--as", "member", "--member", "Ines Alvarado")
    assert on_server.document(*words)["logins"] == [
        {"login": login, "role": "member", "member": "Ines Alvarado"}
    ]
    told = on_server.must("db", "roles").out
    assert "reads all but contacts; writes own nights, snags and ticks" in told
    assert f"{login}\tmember\tInes Alvarado" in told
    assert on_server.document("db", "roles", "--remove", login)["logins"] == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--make", "--remove", "ines"), "three acts"),
        (("--login", "ines"), "What may the login do?"),
        (("--login", "ines", "--as", "king"), "There is no role king"),
        (("--login", "ines", "--as", "member"), "Whose login is ines?"),
    ],
)
def test_what_is_missing_is_asked_for(in_club: Program, words: tuple[str, ...], said: str) -> None:
    answer = in_club("db", "roles", *words)
    assert answer.code == 2
    assert said in answer.error_lines[0]
    assert len(answer.error_lines) == 2


def test_a_file_has_no_roles(in_club: Program) -> None:
    answer = in_club("db", "roles")
    assert answer.code == 1
    assert "who may read the file may do all" in answer.err
