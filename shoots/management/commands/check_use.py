import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shared.strict_json import InvalidJson, KeyTwice, read_json
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
        try:
            answers, all_allowed = answer_scenario(read_json(file.read_bytes()))
        except InvalidScenario as wrong:
            raise CommandError(str(wrong), returncode=2) from wrong
        except OSError as wrong:
            raise CommandError(f"{file} cannot be read: {wrong.strerror}.", returncode=2) from wrong
        except KeyTwice as wrong:
            raise CommandError(f"the file: {wrong}", returncode=2) from wrong
        except InvalidJson as wrong:
            raise CommandError(f"the file: This is not JSON: {wrong}.", returncode=2) from wrong
        self.stdout.write(json.dumps(answers, indent=2))
        if not all_allowed:
            raise CommandError("Not everything asked is allowed; the answers say why.", returncode=3)
