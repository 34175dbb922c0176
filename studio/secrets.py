"""The secret key of one data folder: made on first use, readable by its owner only, never in the repository."""

import contextlib
import os
import secrets
from pathlib import Path


def secret_key(folder: Path) -> str:
    """The key in ``folder/secret.key``; made there when missing. Two processes starting together end with the same one."""
    path = folder / "secret.key"
    if not path.exists():
        fresh = folder / f".secret.{os.getpid()}"
        fresh.touch(mode=0o600)
        fresh.write_text(secrets.token_urlsafe(48))
        with contextlib.suppress(FileExistsError):
            os.link(fresh, path)
        fresh.unlink()
    return path.read_text().strip()
