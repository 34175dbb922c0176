import time
from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shared.access.models import Role
from studio.demo.actions import (
    demo_is_loaded,
    finish_load,
    load_demo,
    only_one_loads,
    prepare_log_ins,
    read_log_ins,
)
from studio.demo.jobs import PICTURES_IN_ALL
from studio.demo.year import ZONE
from studio.upkeep.serving import prepare_books, serve_books


class Command(BaseCommand):
    help = "Fills a demo studio once, starts it on this machine, and prints address and log-in."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, default=8000, help="the first port to try (8000)")
        parser.add_argument(
            "--pictures", type=int, default=PICTURES_IN_ALL, help=f"how many pictures are drawn ({PICTURES_IN_ALL})"
        )
        parser.add_argument("--load-only", action="store_true", help="fill the books and start nothing")

    def handle(self, *args: Any, **options: Any) -> None:
        if settings.BOOKS != "demo" or not settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"):
            raise CommandError(
                f"The demo keeps to a folder named demo and its own SQLite; {settings.DATA_FOLDER} was left alone. "
                "Unset PLATE_LEDGER_DATA and DATABASE_URL, then start it again."
            )
        settings.MAIL_ADDRESS = ""  # invented people get no mail, whatever the environment says
        with only_one_loads(settings.DATA_FOLDER):
            prepare_books()
            self._load_once(options["pictures"])
        if not options["load_only"]:
            serve_books(start_port=options["port"], say=self._say, words=_log_in_lines)

    def _load_once(self, pictures: int) -> None:
        if demo_is_loaded():
            finish_load(settings.DATA_FOLDER)
            self._say("The demo is here already; what you typed into it is kept.")
            return
        log_ins, was_cut_short = prepare_log_ins(settings.DATA_FOLDER)
        began = time.monotonic()
        self._say(
            ("The last load was cut short and is started over. " if was_cut_short else "")
            + "Drawing and printing a year of a food photographer, some minutes, once."
        )
        load_demo(on=timezone.now().astimezone(ZONE).date(), log_ins=log_ins, pictures=pictures, tell=self._tenth)
        finish_load(settings.DATA_FOLDER)
        self._say(f"Loaded in {time.monotonic() - began:.0f} seconds.")

    def _tenth(self, tenths: int) -> None:
        self._say(f"{tenths * 10:>4} %")

    def _say(self, line: str) -> None:
        self.stdout.write(line)
        self.stdout.flush()


def _log_in_lines(address: str) -> list[str]:
    log_ins = read_log_ins(settings.DATA_FOLDER)
    if not log_ins:
        return ["The log-ins were in log-in.txt, which is gone. Delete the demo's folder to start the demo anew."]
    width = max(len(each.name) for each in log_ins)
    lines = [f"  {Role(each.role).label:<11} {each.name:<{width}}  {each.password}" for each in log_ins]
    return [f"Sign in at {address}/ as", *lines, f"(also in {settings.DATA_FOLDER / 'log-in.txt'})"]
