"""Where things are: the database, the folders shipped with the program, and what the environment asks for.

Who types here is kept with the person, in their folder for settings, and not in the database: on one that several
people share, each is another "me".
"""

import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

from obslog.errors import ObslogError, WrongInput
from obslog.files.private_files import FOLDER

_ME, _LOOK = "me", "look"
_ORIGIN = "origin"


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


@dataclass(frozen=True, slots=True)
class Person:
    """Who types at this machine, by name; whether OBSLOG_ME says so, or the person's own settings."""

    name: str
    from_environment: bool = False


class UnreadableSettings(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"The settings in {path} cannot be read.",
            "Mend the file, or delete it: it holds who you are, and how output looks.",
        )


def settings_path(environment: Mapping[str, str]) -> Path:
    """The file of a person's settings: in the folder that OBSLOG_CONFIG names, or the platform's own for them."""
    from platformdirs import user_config_path

    folder = environment.get("OBSLOG_CONFIG", "").strip()
    return (Path(folder) if folder else user_config_path("obslog", appauthor=False)) / "settings.json"


def person_here(environment: Mapping[str, str]) -> Person | None:
    """Who types here: as OBSLOG_ME says, else as was kept; None where nobody has said. Raises UnreadableSettings."""
    told = environment.get("OBSLOG_ME", "").strip()
    if told:
        return Person(told, from_environment=True)
    kept = _settings(settings_path(environment)).get(_ME)
    return Person(kept) if isinstance(kept, str) and kept else None


def keep_person(environment: Mapping[str, str], name: str | None) -> None:
    """Keep who types here, or with None forget it; other settings stay. Raises UnreadableSettings, OSError."""
    _keep(settings_path(environment), _ME, name)


class UnreadableOrigin(WrongInput):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where} holds no key of this machine.",
            "A key is like 01a224dd-2f5e-7e43-a8ae-bbe7ac0f8b3c; without any, the program makes one.",
        )


def origin_here(environment: Mapping[str, str]) -> UUID | None:
    """The key by which this machine's acts are known among those of others: as OBSLOG_ORIGIN says, or as it was kept.

    It is made when it is first asked for; None where it cannot be kept. Raises UnreadableOrigin.
    """
    told, path = environment.get("OBSLOG_ORIGIN", "").strip(), settings_path(environment).with_name(_ORIGIN)
    try:
        return UUID(told or path.read_text(encoding="utf-8").strip())
    except FileNotFoundError:
        return _new_origin(path)
    except OSError:
        return None
    except ValueError as error:
        raise UnreadableOrigin("OBSLOG_ORIGIN" if told else str(path)) from error


def _new_origin(path: Path) -> UUID | None:
    """Keep a new key; where another program was quicker, its key."""
    from obslog.files.atomic_file import whole_file

    try:
        path.parent.mkdir(mode=FOLDER, parents=True, exist_ok=True)
        with suppress(FileExistsError), whole_file(path, private=True) as draft:
            draft.write_text(f"{uuid4()}\n", encoding="utf-8")
        return UUID(path.read_text(encoding="utf-8").strip())
    except (OSError, ValueError):
        return None


def look_kept(environment: Mapping[str, str]) -> str | None:
    """How output is to look here: `red` or `plain`; None where nobody has said. Raises UnreadableSettings."""
    kept = _settings(settings_path(environment)).get(_LOOK)
    return kept if isinstance(kept, str) and kept else None


def keep_look(environment: Mapping[str, str], look: str | None) -> None:
    """Keep how output is to look, or with None forget it; other settings stay. Raises UnreadableSettings, OSError."""
    _keep(settings_path(environment), _LOOK, look)


def _keep(path: Path, key: str, value: str | None) -> None:
    from obslog.files.atomic_file import replaced_file

    settings = {name: kept for name, kept in _settings(path).items() if name != key}
    if value is not None:
        settings[key] = value
    path.parent.mkdir(mode=FOLDER, parents=True, exist_ok=True)
    with replaced_file(path, private=True) as draft:
        draft.write_text(json.dumps(settings, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


def _settings(path: Path) -> dict[str, Any]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError) as error:
        raise UnreadableSettings(path) from error
    if not isinstance(found, dict):
        raise UnreadableSettings(path)
    return found


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
