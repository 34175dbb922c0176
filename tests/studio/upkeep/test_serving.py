import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

from studio.upkeep.serving import HOST, first_free_port

ROOT = Path(__file__).resolve().parents[3]


def test_a_port_in_use_is_passed_over() -> None:
    with socket.socket() as taken:
        taken.bind((HOST, 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert port < first_free_port(port) < port + 50


def test_serve_starts_empty_books_says_where_to_begin_and_stops_when_told(tmp_path: Path) -> None:
    environment = {
        **os.environ,
        "PLATE_LEDGER_DATA": str(tmp_path / "my books"),
        "DJANGO_SETTINGS_MODULE": "studio.settings",
        "PYTHONUNBUFFERED": "1",
    }
    environment.pop("DATABASE_URL", None)
    log = tmp_path / "log"
    with log.open("w") as out:
        server = subprocess.Popen(
            [sys.executable, "-m", "django", "serve", "--port", "8341"],
            cwd=ROOT,
            env=environment,
            stdout=out,
            stderr=out,
        )
    try:
        end = time.monotonic() + 240
        while "Stop with Ctrl-C" not in log.read_text() and time.monotonic() < end and server.poll() is None:
            time.sleep(0.2)
        said = log.read_text()
        begin = re.search(r"Begin here: (http://127\.0\.0\.1:\d+/welcome/\w+/)", said)
        assert begin, said
        with urllib.request.urlopen(begin[1], timeout=60) as answer:  # noqa: S310  our own address
            assert b"Begin your books" in answer.read()
        style = re.sub(r"/welcome/.*", "/static/studio/tokens.css", begin[1])
        with urllib.request.urlopen(style, timeout=60) as answer:  # noqa: S310  our own address
            assert answer.status == 200
    finally:
        server.send_signal(signal.SIGINT)
        server.wait(timeout=60)
    assert (tmp_path / "my books" / "ledger.sqlite3").exists()
