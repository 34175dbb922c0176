from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from studio.upkeep.actions import export_books
from studio.upkeep.queries import backups_folder


class Command(BaseCommand):
    help = "Writes everything as tables (CSV and JSON) and files into one ZIP that any program can read. Give a file or a folder."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("where", nargs="?", type=Path)

    def handle(self, *args: Any, where: Path | None, **options: Any) -> None:
        at = timezone.now()
        target = where or backups_folder().with_name("exports")
        if target.suffix != ".zip":
            target /= f"export-{at:%Y-%m-%d-%H%M%S}.zip"
        made = export_books(target.resolve(), at=at)
        self.stdout.write(f"{made.path}\n{made.files} files, {made.size / 1_000_000:.1f} MB.")
