import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

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
            answers, all_allowed = answer_scenario(json.loads(file.read_bytes(), object_pairs_hook=_each_key_once))
        except InvalidScenario as wrong:
            raise CommandError(str(wrong), returncode=2) from wrong
        except OSError as wrong:
            raise CommandError(f"{file} cannot be read: {wrong.strerror}.", returncode=2) from wrong
        except (ValueError, RecursionError) as wrong:
            raise CommandError(f"the file: This is not JSON: {wrong}.", returncode=2) from wrong
        self.stdout.write(json.dumps(answers, indent=2))
        if not all_allowed:
            raise CommandError("Not everything asked is allowed; the answers say why.", returncode=3)


def _each_key_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):  # JSON readers keep the last one in silence: half of a licence would be lost
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise InvalidScenario("", f"The key “{twice}” is there twice in one object.")
    return found
