"""What `python3 manage.py test` runs: pytest on SQLite, then the tests marked `both` again on a throw-away PostgreSQL.

With arguments they go to pytest as they are and the second round is left out, unless `--postgres` asks for it.
"""

import os
import signal
import subprocess
import sys
from pathlib import Path

from studio import bootstrap
from tests import postgres

ROOT = Path(__file__).resolve().parent.parent
NO_TESTS_FOUND = 5  # pytest's own code


def main(arguments: list[str]) -> int:
    # Started in the background it was told to ignore Ctrl-C, and so would be each server that a test stops with it.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    chosen = [argument for argument in arguments if argument != "--postgres"]
    codes = {"SQLite": _pytest(*(chosen or ["-n", "2", "--dist", "worksteal"]))}
    if not chosen or "--postgres" in arguments:
        codes["PostgreSQL"] = _on_postgres(chosen)
    verdicts = [f"{where}: {'passed' if code == 0 else 'FAILED'}" for where, code in codes.items()]
    print("; ".join(verdicts), flush=True)
    return next((code for code in codes.values() if code), 0)


def _pytest(*arguments: str, **environment: str) -> int:
    command = [sys.executable, "-m", "pytest", *arguments]
    return subprocess.run(command, cwd=ROOT, env={**os.environ, **environment}, check=False).returncode


def _on_postgres(chosen: list[str]) -> int:
    print("\nOnce more on PostgreSQL: the tests marked `both`", flush=True)
    try:
        with postgres.server() as url:
            code = _pytest("-m", "both", *chosen, DATABASE_URL=url)
    except postgres.Missing:
        print(f"PostgreSQL is missing. Run\n    {bootstrap.line_to_type('postgresql')}\nthen the same command again.")
        return 1
    return 0 if code == NO_TESTS_FOUND and chosen else code


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
