import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shoots.run.day_file import plan_as_json, read_day
from shoots.run.day_plan import InvalidDay
from shoots.run.scheduling import plan_day


class Command(BaseCommand):
    help = "Plan a day written as JSON: plan_day FILE.json [--json]. It touches no database. Exit code 0 planned, 2 the file is wrong."
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="resources and activities as JSON")
        parser.add_argument("--json", action="store_true", help="write JSON")

    def handle(self, *, file: Path, **options: Any) -> None:
        try:
            asked = read_day(file.read_text(encoding="utf-8"))
        except (OSError, UnicodeDecodeError) as error:
            raise CommandError(f"{file} cannot be read: {error}", returncode=2) from error
        except InvalidDay as wrong:
            raise CommandError(str(wrong), returncode=2) from wrong
        plan = plan_day(asked.day, seconds=asked.seconds, seed=asked.seed)
        said = plan_as_json(plan, asked.day)
        if options["json"]:
            self.stdout.write(json.dumps(said, indent=2, ensure_ascii=False))
            return
        for key, start in sorted(plan.starts.items(), key=lambda each: each[1]):
            self.stdout.write(f"{start:5}  {key}")
        self.stdout.write(f"Done at minute {plan.finish}; no plan can be done before minute {plan.bound}.")
        for warning in said["warnings"]:
            self.stdout.write(warning["text"])
