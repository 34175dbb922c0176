"""Countries as people type them: names in English or German, or the two letters of ISO 3166-1, with commas between."""

import re
import unicodedata
from collections.abc import Iterable
from functools import cache

from shared.words import formats
from shoots.uses.territory_tree import COUNTRIES

# Names that people use and CLDR does not list first.
EVERYDAY = {
    "USA": "US", "UK": "GB", "Great Britain": "GB", "Turkey": "TR", "Czech Republic": "CZ", "Hong Kong": "HK", "Ivory Coast": "CI",
    "South Korea": "KR", "Russia": "RU", "Macao": "MO",
}  # fmt: skip


class UnknownCountries(ValueError):
    """Words that name no country we know. ``words`` are they, as typed."""

    def __init__(self, words: tuple[str, ...]) -> None:
        self.words = words
        named = formats.list_in_words([f"“{word}”" for word in words], "en")
        super().__init__(
            f"{named} {'is no country' if len(words) == 1 else 'are no countries'} we know. "
            "Write the name or its two letters, for example Germany or DE, with commas between."
        )


def read_countries(text: str) -> tuple[str, ...]:
    """The codes of the countries in ``text``, each once, in the order typed. Raises UnknownCountries with every word that is none."""
    found: dict[str, None] = {}
    unknown = []
    for word in re.split(r"[,;\n]", text):
        code = _codes_by_name().get(_plain(word))
        if code is not None:
            found[code] = None
        elif word.strip():
            unknown.append(word.strip())
    if unknown:
        raise UnknownCountries(tuple(unknown))
    return tuple(found)


def countries_written(codes: Iterable[str], language: str = "en") -> str:
    """*Austria, Belgium, Egypt*: by name, so that ``read_countries`` reads them back."""
    return ", ".join(sorted(formats.country(code, language) for code in codes))


@cache
def _codes_by_name() -> dict[str, str]:
    codes = {_plain(name): code for name, code in EVERYDAY.items()} | {_plain(code): code for code in COUNTRIES}
    for language in formats.LOCALES:
        codes |= {_plain(formats.country(code, language)): code for code in COUNTRIES}
    return codes


def _plain(name: str) -> str:
    """A name without what people write in two ways: case, accents, spaces, *the*, *and* or *&*, the apostrophe."""
    bare = "".join(each for each in unicodedata.normalize("NFKD", name) if not unicodedata.combining(each))
    words = re.sub(r"\s+", " ", bare).strip().casefold().replace("&", "and").replace("’", "'")
    return words.removeprefix("the ")
