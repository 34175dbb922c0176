from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from studio.upkeep.serving import prepare_books, serve_books


class Command(BaseCommand):
    help = "Starts your own books on this machine and prints the address."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, default=8001, help="the first port to try (8001)")

    def handle(self, *args: Any, **options: Any) -> None:
        prepare_books()
        serve_books(start_port=options["port"], say=lambda line: self.stdout.write(line) or self.stdout.flush())
