import json
import sys
import tomllib
from argparse import ArgumentParser
from importlib import resources
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shoots.plan.allergens import read_allergen_words
from shoots.plan.languages import said
from shoots.plan.lexicon import read_lexicon
from shoots.plan.recipe import LONGEST_PAGE, InvalidRecipe, read_recipe
from shoots.plan.recipe_json import recipe_as_json, recipe_as_lines

MOST_BYTES = 4 * LONGEST_PAGE


class Command(BaseCommand):
    help = (
        "Reads a recipe: plain text, schema.org data or a page's source: read_recipe FILE [--json], - for what comes in. The books are not opened. "
        "Exit code 0 read, 2 it is no recipe or cannot be read."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="the recipe, or - to read what is piped in")
        parser.add_argument("--json", action="store_true", help="write JSON")

    def handle(self, *, file: str, **options: Any) -> None:
        try:
            recipe = read_recipe(_text(file))
        except OSError as wrong:
            raise CommandError(f"{file} cannot be read: {wrong.strerror}.", returncode=2) from wrong
        except InvalidRecipe as wrong:
            raise CommandError(f"{file}: {wrong}", returncode=2) from wrong
        lexicon, words = read_lexicon(_table("actions.toml")), read_allergen_words(_table("allergens.toml"))
        if options["json"]:
            if recipe.language != "en":
                self.stderr.write(said(recipe.language))
            self.stdout.write(json.dumps(recipe_as_json(recipe, lexicon, words), indent=2, ensure_ascii=False))
            return
        for line in recipe_as_lines(recipe, lexicon, words):
            self.stdout.write(line)


def _text(file: str) -> str:
    if file == "-":
        data = sys.stdin.buffer.read(MOST_BYTES + 1)
    else:
        with open(file, "rb") as opened:  # noqa: PTH123 - read no further than the limit
            data = opened.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise InvalidRecipe(f"It has more than {MOST_BYTES:,} bytes. Give one recipe at a time.")
    try:
        return data.decode("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8")
    except UnicodeDecodeError as wrong:
        raise InvalidRecipe("This is no text in UTF-8. Save it as plain text in UTF-8 and try again.") from wrong


def _table(name: str) -> dict[str, object]:
    # Read here, not by the room's queries: the door must work where no books are, and own words of a studio stand in the books.
    return tomllib.loads((resources.files("shoots.plan") / name).read_text(encoding="utf-8"))
