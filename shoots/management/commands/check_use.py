import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shared.management.scenario_files import answer_file
from shoots.licences.scenarios import InvalidScenario, answer_scenario


class Command(BaseCommand):
    help = (
        "Answers what licences allow, from a JSON file alone: check_use FILE.json. The books are not opened. "
        "Exit code 0 all is allowed, 3 something is not, 2 the file is wrong, with the path of the faulty value."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE.json", help="licences, pictures and questions")

    def handle(self, *, file: Path, **options: Any) -> None:
        answers, all_allowed = answer_file(file, answer_scenario, refusal=InvalidScenario)
        self.stdout.write(json.dumps(answers, indent=2))
        if not all_allowed:
            raise CommandError("Not everything asked is allowed; the answers say why.", returncode=3)
