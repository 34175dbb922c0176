"""The numbers of pictures: who, when, which, as WL-1126-018."""

import re
import unicodedata
from datetime import date


def initials(name: str) -> str:
    """The letters a client's pictures begin with: the first of each word, two to four, capital, A to Z."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    words = re.findall(r"[A-Za-z0-9]+", plain)
    letters = "".join(word[0] for word in words)[:4].upper()
    if len(letters) < 2:
        letters = ("".join(words).upper() + "XX")[:2]
    return letters


def series_of(client: str, on: date) -> str:
    """The series of a client's pictures in a month: WL-1126."""
    return f"{initials(client)}-{on:%m%y}"


def picture_number(series: str, count: int) -> str:
    """WL-1126-018."""
    return f"{series}-{count:03d}"
