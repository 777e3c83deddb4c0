"""What is built and installed works away from the checkout: its migrations and its demo travel in the wheel."""

import os
import subprocess
import sys
import tarfile
import tomllib
import venv
import zipfile
from pathlib import Path

import pytest

pytestmark = pytest.mark.wheel

ROOT = Path(__file__).resolve().parents[1]
BUNDLED = "obslog/_bundled"


def run(*command: object, cwd: Path, **environment: str) -> str:
    """What the command prints; fails with all it said where it does not succeed."""
    kept = {name: os.environ[name] for name in ("PATH", "HOME", "LANG") if name in os.environ}
    settings = {
        name: value
        for name, value in os.environ.items()
        if name.startswith(("PIP_", "SSL_", "https_", "HTTPS_"))
    }
    done = subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        env=kept | settings | environment,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        pytest.fail(f"{command} ended with {done.returncode}:\n{done.stdout}\n{done.stderr}", pytrace=False)
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT, cwd=ROOT)
    (built,) = folder.glob("obslog_club-*.whl")
    return built


@pytest.fixture(scope="module")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that has nothing to do with the checkout, for a person of whom nothing is known."""
    return tmp_path_factory.mktemp("elsewhere")


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The programs' folder of a fresh environment that holds the wheel and what it depends on, nothing else."""
    folder = tmp_path_factory.mktemp("environment")
    venv.create(folder, with_pip=True)
    programs = folder / ("Scripts" if os.name == "nt" else "bin")
    run(programs / "python", "-m", "pip", "install", "--quiet", "--no-input", wheel, cwd=folder)
    return programs


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The top of the source archive, built from the checkout and unpacked."""
    folder = tmp_path_factory.mktemp("sdist")
    run(sys.executable, "-m", "build", "--sdist", "--no-isolation", "--outdir", folder, ROOT, cwd=ROOT)
    (built,) = folder.glob("obslog_club-*.tar.gz")
    with tarfile.open(built) as archive:
        archive.extraction_filter = getattr(tarfile, "data_filter", None)  # Python 3.11.2 has none
        archive.extractall(folder)
    return folder / built.name.removesuffix(".tar.gz")


def names_in(wheel: Path) -> set[str]:
    with zipfile.ZipFile(wheel) as archive:
        return set(archive.namelist())


def files_of(folder: str) -> set[str]:
    """What is under version control there, or in an unpacked archive all there is."""
    listed = subprocess.run(
        ["git", "ls-files", folder], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if listed.returncode == 0:
        return set(listed.stdout.split())
    files = (path.relative_to(ROOT) for path in (ROOT / folder).rglob("*") if path.is_file())
    return {path.as_posix() for path in files if "__pycache__" not in path.parts}


def test_the_wheel_holds_the_package_the_migrations_and_the_demo(wheel: Path) -> None:
    names = names_in(wheel)
    assert files_of("obslog") <= names
    for folder in ("migrations", "seed_demo"):
        assert files_of(folder)
        assert {f"{BUNDLED}/{name}" for name in files_of(folder)} <= names


def test_the_wheel_holds_nothing_else(wheel: Path) -> None:
    allowed = ("obslog/", f"obslog_club-{version()}.dist-info/")
    assert [name for name in names_in(wheel) if not name.startswith(allowed)] == []
    assert [name for name in names_in(wheel) if "__pycache__" in name or name.endswith((".db", ".pyc"))] == []


def test_the_source_archive_holds_all_that_its_tests_need(unpacked: Path) -> None:
    """Everything under version control but what begins with a dot, which is for the checkout alone."""
    wanted = {name for name in files_of(".") if not name.startswith(".")}
    assert {name for name in wanted if not (unpacked / name).is_file()} == set()
    tests = ("tests/test_house.py", "tests/test_docs.py", "tests/test_dependencies.py")
    chosen = "agreed_names or reference or readme or users_install or longer or declared"
    told = run(sys.executable, "-m", "pytest", *tests, "-k", chosen, cwd=unpacked, PYTHONPATH=str(unpacked))
    assert "passed" in told or "100%" in told


def test_the_program_runs_from_anywhere(installed: Path, elsewhere: Path) -> None:
    assert "Usage: obslog" in run(installed / "obslog", "--help", cwd=elsewhere)
    assert "Usage: obslog" in run(installed / "python", "-m", "obslog", "--help", cwd=elsewhere)


def test_what_runs_is_what_was_installed(installed: Path, elsewhere: Path) -> None:
    script = "import obslog, importlib.metadata as m; print(obslog.__file__, m.version('obslog-club'))"
    place, found = run(installed / "python", "-c", script, cwd=elsewhere).split()
    assert Path(place).is_relative_to(installed.parent)
    assert found == version()


def test_the_demo_runs_from_an_unrelated_folder(installed: Path, elsewhere: Path) -> None:
    told = run(
        installed / "obslog",
        "demo",
        cwd=elsewhere,
        HOME=str(elsewhere),
        XDG_DATA_HOME=str(elsewhere / "data"),
    )
    assert "worsening" in told.lower()


def test_a_first_record_makes_the_database(installed: Path, elsewhere: Path) -> None:
    database = elsewhere / "club.db"
    run(installed / "obslog", "--db", database, "member", "add", "Ines", cwd=elsewhere)
    assert "Ines" in run(installed / "obslog", "--db", database, "member", "list", cwd=elsewhere)


def version() -> str:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text())
    return str(settings["project"]["version"])
