from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from shared.errors import Refusal
from studio.upkeep.actions import restore_backup


class Command(BaseCommand):
    help = "Restores a backup into an empty data folder (PLATE_LEDGER_DATA names it), after checking every part."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("backup", type=Path)

    def handle(self, *args: Any, backup: Path, **options: Any) -> None:
        try:
            files = restore_backup(backup, say=self.stdout.write)
        except Refusal as refusal:
            raise CommandError(str(refusal)) from None
        self.stdout.write(
            f"The books are in {settings.DATA_FOLDER} again, with {files} files. Run check_books, then serve."
        )
