"""A PostgreSQL server of the tests' own: started in a fresh folder, on a socket, and removed afterwards.

`OBSLOG_POSTGRES_BIN`, a folder with initdb and pg_ctl, chooses another server than the newest that is installed.
"""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

SETTINGS = {
    "listen_addresses": "''",
    "fsync": "off",
    "full_page_writes": "off",
    "synchronous_commit": "off",
    "autovacuum": "off",
}


def server_programs() -> Path | None:
    """The folder of the chosen server's programs, or of the newest that is installed; None where there is none."""
    if chosen := os.environ.get("OBSLOG_POSTGRES_BIN"):
        return _chosen_programs(Path(chosen).resolve())
    packaged = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda p: float(p.parts[-3]))
    on_path = shutil.which("initdb")
    found = packaged[-1] if packaged else Path(on_path).resolve() if on_path else None
    return found.parent if found else None


def _chosen_programs(folder: Path) -> Path:
    lacking = [name for name in ("initdb", "pg_ctl", "postgres") if not (folder / name).is_file()]
    if lacking:
        raise FileNotFoundError(f"OBSLOG_POSTGRES_BIN names {folder}, where there is no {', '.join(lacking)}")
    return folder


@contextmanager
def running_server(programs: Path) -> Iterator[str]:
    """The folder of the socket of a running server, whose user `obslog` may do everything."""
    root = Path(tempfile.mkdtemp(prefix="obslog-", dir="/tmp"))  # short: a socket's path holds 107 bytes
    owner = _unprivileged_owner(root)

    def run(*command: object) -> None:
        log = root / "control.log"
        with log.open("a") as out:  # a file and no pipe: the server would keep a pipe open
            done = subprocess.run(
                [str(part) for part in command],
                cwd=root,
                stdin=subprocess.DEVNULL,
                stdout=out,
                stderr=subprocess.STDOUT,
                env={"PATH": "/usr/bin:/bin", "LC_ALL": "C.UTF-8"},
                check=False,
                **owner,
            )
        if done.returncode:
            raise RuntimeError(log.read_text())

    data = root / "data"
    try:
        run(programs / "initdb", "-D", data, "-U", "obslog", "-A", "trust", "-E", "UTF8", "--no-sync")
        options = " ".join([f"-k {root}", *(f"-c {name}={value}" for name, value in SETTINGS.items())])
        run(
            programs / "pg_ctl", "-D", data, "-w", "-t", 60, "-l", root / "server.log", "-o", options, "start"
        )
        yield str(root)
    finally:
        if (data / "postmaster.pid").exists():
            run(programs / "pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
        shutil.rmtree(root, ignore_errors=True)


def _unprivileged_owner(root: Path) -> dict[str, Any]:
    """The server refuses to run as root: then it runs as the user that its package made."""
    if os.geteuid() != 0:
        return {}
    user = pwd.getpwnam("postgres")
    os.chown(root, user.pw_uid, user.pw_gid)
    root.chmod(0o755)
    return {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}
