from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shoots.licences.actions import rebuild_boxes
from shoots.uses.queries import trees_of_the_books
from studio.upkeep.queries import check_findings


class Command(BaseCommand):
    help = "Checks the evidence chain, every kept file and the database; ends with 1 when something is wrong."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--rebuild", action="store_true", help="first write the derived rows of the licences anew")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["rebuild"]:
            with trees_of_the_books():
                rebuilt = rebuild_boxes()
            self.stdout.write(f"{rebuilt} licences had other derived rows; they are written anew.")
        findings = check_findings()
        for finding in findings:
            self.stdout.write(("well   " if finding.is_well else "WRONG  ") + finding.sentence)
        if not all(finding.is_well for finding in findings):
            raise CommandError(
                "Something is wrong. Keep this folder as it is, and restore the last backup into a new one."
            )
