#!/usr/bin/env python3
"""The front door: every command of the project, on a bare python3."""

import os
import sys

from studio import bootstrap


def main() -> None:
    bootstrap.enter(sys.argv)  # the first time it makes .venv, then starts the same command again inside
    if sys.argv[1:2] == ["test"]:
        from tests import run  # pytest, not Django's own runner: it needs nothing of the settings

        sys.exit(run.main(sys.argv[2:]))
    if sys.argv[1:2] == ["demo"]:  # the demo has a folder of its own; removing it removes the demo
        os.environ.setdefault("PLATE_LEDGER_DATA", str(bootstrap.ROOT / ".data" / "demo"))
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
    from django.core.management import execute_from_command_line  # only there once .venv is

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
