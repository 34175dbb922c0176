"""Starting the house on this machine: tables made, one worker beside, pages at the first free address."""

import gc
import os
import socket
import threading
from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.urls import reverse
from waitress.server import create_server

from shared.access.actions import forget_old_submissions
from shared.access.queries import books_have_an_owner, welcome_token
from shared.outbox.worker import work_until

HOST = "127.0.0.1"
PORTS_TRIED = 50


def prepare_books() -> None:
    """Makes or updates the tables of the open books."""
    call_command("migrate", verbosity=0, interactive=False)


def first_free_port(start: int) -> int:
    """The first port from ``start`` on that nobody listens on."""
    for port in range(start, start + PORTS_TRIED):
        with socket.socket() as line:
            line.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                line.bind((HOST, port))
            except OSError:
                continue
            return port
    raise SystemExit(
        f"No port from {start} to {start + PORTS_TRIED - 1} is free on this machine. Stop another program first."
    )


def serve_books(
    *, start_port: int, say: Callable[[str], object], words: Callable[[str], list[str]] | None = None
) -> None:
    """Serves until Ctrl-C. ``words`` gives further lines to print, from the address: the demo's log-in."""
    server, address = _open_server(start_port)
    if "PLATE_LEDGER_ADDRESS" not in os.environ:
        settings.SITE_ADDRESS = address  # private links in messages lead to where we really are
    lines = [f"Plate Ledger is at {address}/  (books in {settings.DATA_FOLDER})"]
    if not books_have_an_owner():
        lines.append(f"These books are new. Begin here: {address}{reverse('welcome', args=[welcome_token()])}")
    lines += words(address) if words else []
    if not settings.MAIL_ADDRESS:
        lines.append("There is no mail server: messages are kept and shown under Settings, Messages.")
    for line in [*lines, "Stop with Ctrl-C."]:
        say(line)
    stop = threading.Event()
    worker = threading.Thread(
        target=work_until, args=(stop,), kwargs={"chores": [forget_old_submissions]}, name="worker"
    )
    worker.start()
    gc.collect()
    gc.freeze()  # what was loaded stays loaded: sweeping through it held up a page now and then for a quarter of a second
    try:
        server.run()
    except KeyboardInterrupt:
        pass
    finally:
        server.close()
        stop.set()
        worker.join(timeout=30)


def _open_server(start_port: int) -> tuple[Any, str]:
    from studio.wsgi import application

    for _ in range(PORTS_TRIED):
        port = first_free_port(start_port)
        try:
            server = create_server(
                application, host=HOST, port=port, threads=6, ident=None, max_request_body_size=2 * 1024**3
            )
        except OSError:  # somebody was quicker
            start_port = port + 1
            continue
        return server, f"http://{HOST}:{port}"
    raise SystemExit("No port is free on this machine.")
