"""A throw-away PostgreSQL: `with server() as url: …` gives its DATABASE_URL. It listens on a unix socket only."""

import contextlib
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

from studio import bootstrap


class Missing(RuntimeError):
    """There is no PostgreSQL on this machine."""


@contextlib.contextmanager
def server() -> Iterator[str]:
    """Start one on a new folder, stop it and remove the folder afterwards, whatever happens between."""
    programs = bootstrap.postgres_folder()
    if programs is None:
        raise Missing
    folder = Path(tempfile.mkdtemp(prefix="pg-", dir="/tmp"))  # the path of a socket has a limit of 107 bytes
    try:
        _run(programs / "initdb", "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-locale", "-N", folder=folder)
        # No TCP at all, and no care for power cuts: the folder lives as long as one run.
        options = f"-k {folder} -c listen_addresses='' -c fsync=off -c synchronous_commit=off -c full_page_writes=off"
        _run(programs / "pg_ctl", "-l", str(folder / "log"), "-w", "-o", options, "start", folder=folder)
        try:
            yield f"postgres://postgres@{quote(str(folder), safe='')}/postgres"
        finally:
            _run(programs / "pg_ctl", "-m", "immediate", "-w", "stop", folder=folder)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _run(program: Path, *arguments: str, folder: Path) -> None:
    command = [str(program), "-D", str(folder / "books"), *arguments]
    if os.geteuid() != 0:
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, cwd=folder)
        return
    account = pwd.getpwnam("postgres")  # initdb and postgres refuse to run as root
    os.chown(folder, account.pw_uid, account.pw_gid)
    ids = {"user": account.pw_uid, "group": account.pw_gid}
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, cwd=folder, extra_groups=[], **ids)
