import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from billing.rates.scenarios import price_scenario
from shared.strict_json import InvalidJson, KeyTwice, read_json
from shoots.licences.scenarios import InvalidScenario


class Command(BaseCommand):
    help = (
        "Prices uses from a JSON file alone: price_use FILE.json prints each fee with its working. The books are not opened. "
        "Exit code 0 priced, also where an answer is an error; 2 the file is wrong, with the path of the faulty value."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "file", type=Path, metavar="FILE.json", help="requests, and a card if it is not the shipped one"
        )

    def handle(self, *, file: Path, **options: Any) -> None:
        try:
            fees = price_scenario(read_json(file.read_bytes()))
        except InvalidScenario as wrong:
            raise CommandError(str(wrong), returncode=2) from wrong
        except OSError as wrong:
            raise CommandError(f"{file} cannot be read: {wrong.strerror}.", returncode=2) from wrong
        except KeyTwice as wrong:
            raise CommandError(f"the file: {wrong}", returncode=2) from wrong
        except InvalidJson as wrong:
            raise CommandError(f"the file: This is not JSON: {wrong}.", returncode=2) from wrong
        self.stdout.write(json.dumps(fees, indent=2))
