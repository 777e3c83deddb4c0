"""Where things are: the database, the folders shipped with the program, and what the environment asks for."""

from collections.abc import Mapping
from pathlib import Path

from obslog.errors import WrongInput


class NoDatabaseNamed(WrongInput):
    """A name that is empty, as a variable of the shell that was never set leaves it."""

    def __init__(self) -> None:
        super().__init__(
            "--db names no database.", "Name a file or a URL, or leave --db out for the usual one."
        )


def default_database_path() -> Path:
    """The database in the platform's own folder for a person's data."""
    from platformdirs import user_data_path

    return user_data_path("obslog", appauthor=False) / "obslog.db"


def database_target(option: str | None, environment: Mapping[str, str]) -> str:
    """The path or URL to open: the option first, then OBSLOG_DB, then the default place. Raises NoDatabaseNamed."""
    if option is not None and not option.strip():
        raise NoDatabaseNamed
    return option or environment.get("OBSLOG_DB") or str(default_database_path())


def red_theme(option: bool, environment: Mapping[str, str]) -> bool:
    return option or environment.get("OBSLOG_THEME", "").strip().lower() == "red"


def resource_dir(name: str) -> Path:
    """The folder `migrations` or `seed_demo`: inside the installed package, or beside it in a checkout.

    Looked up from this file and not through importlib.resources, which after an editable install would find the
    stale copy that the installer left behind.
    """
    here = Path(__file__).resolve().parent
    for candidate in (here / "_bundled" / name, here.parent / name):
        if candidate.is_dir():
            return candidate
    raise FileNotFoundError(name)
