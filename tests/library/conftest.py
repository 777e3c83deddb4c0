"""The invented club, made once: a file to be looked at, and to be copied by who writes to it."""

import io
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest

from obslog.cli.main import main
from tests.test_docs import READ_AT


@pytest.fixture(scope="session")
def invented_club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("invented") / "obslog-demo.db"
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        assert main(["demo", "--into", str(path)], lambda: READ_AT, {}) == 0
    return path
