from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from studio.upkeep.actions import KEY_WORDS, make_backup
from studio.upkeep.queries import backups_folder


class Command(BaseCommand):
    help = "Writes everything into one ZIP file, while the house goes on working. Give a file or a folder; else it goes to the data folder's backups."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("where", nargs="?", type=Path)

    def handle(self, *args: Any, where: Path | None, **options: Any) -> None:
        at = timezone.now()
        target = where or backups_folder()
        if target.suffix != ".zip":
            target /= f"books-{at:%Y-%m-%d-%H%M%S}.zip"
        made = make_backup(target.resolve(), at=at)
        self.stdout.write(
            f"{made.path}\n{made.files} files, {made.size / 1_000_000:.1f} MB. Keep a copy on another machine.\n{KEY_WORDS}"
        )
        if made.missing:
            raise CommandError(
                f"{len(made.missing)} files were missing on the disk or changed, and are not in the backup. Run check_books."
            )
