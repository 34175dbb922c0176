import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from billing.months.actions import run_month
from billing.months.queries import month_in_words, month_planned
from shared.dates import InvalidMonth, parse_month
from shared.errors import Refusal
from shoots.uses.queries import trees_of_the_books


class Command(BaseCommand):
    help = "Bill a month: month_end 2026-10 [--dry-run] [--send] [--json]. Exit code 0 done, 1 refused, 2 not a month, 3 some jobs failed."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("month", help="the month, as 2026-10")
        parser.add_argument(
            "--dry-run", action="store_true", help="show what a run would do; nothing is numbered, booked or sent"
        )
        parser.add_argument("--send", action="store_true", help="send each invoice as it is made")
        parser.add_argument("--json", action="store_true", help="write JSON")

    def handle(self, *, month: str, dry_run: bool, send: bool, **options: Any) -> None:
        try:
            first, at = parse_month(month), timezone.now()
            with trees_of_the_books():
                said = month_planned(first, at=at)
                report = None if dry_run else run_month(first, by="month_end", sends=send, at=at)
        except InvalidMonth as wrong:
            raise CommandError(str(wrong), returncode=2) from wrong
        except Refusal as refusal:
            raise CommandError(str(refusal), returncode=1) from refusal
        if report is not None:
            said["made"] = [
                {"number": each.number, "job": each.job_key, "to_pay": str(each.to_pay)} for each in report.made
            ]
            said["failed"] = [{"job": key, "why": str(refusal)} for key, refusal in report.failed]
        self.stdout.write(json.dumps(said, indent=2, ensure_ascii=False) if options["json"] else month_in_words(said))
        if said.get("failed"):
            raise CommandError("Some jobs were not billed; they are named above.", returncode=3)
