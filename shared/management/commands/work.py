import signal
from argparse import ArgumentParser
from threading import Event
from typing import Any

from django.core.management.base import BaseCommand

from shared.access.actions import forget_old_submissions
from shared.outbox.worker import work_off, work_until


class Command(BaseCommand):
    help = "Sends the mail that waits and tells the rooms what happened. Runs until it is stopped; `serve` and `demo` have it built in."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--once", action="store_true", help="do what is due now, then end")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["once"]:
            self.stdout.write(f"{work_off()} jobs done.")
            return
        stop = Event()
        for name in (signal.SIGINT, signal.SIGTERM):
            signal.signal(name, lambda *_: stop.set())
        self.stdout.write("Working. Stop with Ctrl-C.")
        work_until(stop, chores=[forget_old_submissions])
