import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from billing.rates.scenarios import price_scenario
from shared.management.scenario_files import answer_file
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
        fees = answer_file(file, price_scenario, refusal=InvalidScenario)
        self.stdout.write(json.dumps(fees, indent=2))
