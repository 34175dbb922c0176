"""What the shell doors share: a JSON file is read and answered, or refused with exit code 2 and the faulty place."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from django.core.management.base import CommandError

from shared.strict_json import InvalidJson, KeyTwice, read_json

Answer = TypeVar("Answer")


def answer_file(file: Path, answer: Callable[[Any], Answer], *, refusal: type[ValueError]) -> Answer:
    """What ``answer`` makes of the file. Its ``refusal`` names the path of the faulty value. Raises CommandError with exit code 2."""
    try:
        return answer(read_json(file.read_bytes()))
    except refusal as wrong:
        raise CommandError(str(wrong), returncode=2) from wrong
    except OSError as wrong:
        raise CommandError(f"{file} cannot be read: {wrong.strerror}.", returncode=2) from wrong
    except KeyTwice as wrong:
        raise CommandError(f"the file: {wrong}", returncode=2) from wrong
    except InvalidJson as wrong:
        raise CommandError(f"the file: This is not JSON: {wrong}.", returncode=2) from wrong
