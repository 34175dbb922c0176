from typing import Any

from django.core.management.base import BaseCommand, CommandError

from studio.upkeep.queries import check_findings


class Command(BaseCommand):
    help = "Checks the evidence chain, every kept file and the database; ends with 1 when something is wrong."
    requires_system_checks = ()

    def handle(self, *args: Any, **options: Any) -> None:
        findings = check_findings()
        for finding in findings:
            self.stdout.write(("well   " if finding.is_well else "WRONG  ") + finding.sentence)
        if not all(finding.is_well for finding in findings):
            raise CommandError(
                "Something is wrong. Keep this folder as it is, and restore the last backup into a new one."
            )
