"""The words of papers, mails and client pages for translators: collected from templates and code, compiled by Babel.

No gettext binary is needed. Collecting keeps every translation there is; what is no longer said is dropped.
"""

import io
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from django.utils.translation.template import templatize

KEYWORDS = {
    "gettext": None, "gettext_lazy": None, "_": None, "ngettext": (1, 2), "ngettext_lazy": (1, 2), "pgettext": ((1, "c"), 2), "pgettext_lazy": ((1, "c"), 2),
    "gettext_noop": None, "pgettext_noop": ((1, "c"), 2), "npgettext": ((1, "c"), 2, 3),
}  # fmt: skip
# Lines of the header that name a person, a list or a moment.
PERSONAL = (
    b'"POT-Creation',
    b'"PO-Revision',
    b'"Generated-By',
    b'"Last-Translator',
    b'"Language-Team',
    b'"Report-Msgid',
)
PLACES = ("shared", "clients", "shoots", "billing", "studio", "templates")
LICENCE_PLACES = (
    "shoots/uses/sentences.py",
    "shoots/uses/media_tree.py",
    "shoots/licences/papers.py",
    "shoots/found/papers.py",
    "templates/papers/a4.html",
    "templates/papers/licence.html",
    "templates/papers/found.html",
    "templates/mail/licence_granted.txt",
    "templates/mail/licence_offered.txt",
    "templates/mail/licence_sent.txt",
    "templates/mail/found_letter.txt",
)
"""A licence, its certificate and its letters, the one about a use found too, come in more languages than other papers: only their
sentences are collected for these."""


def collect(
    root: Path, known: Catalog | None = None, *, language: str = "de", places: tuple[str, ...] = PLACES
) -> Catalog:
    """Every marked sentence in the ``places`` under ``root``, with the translations of ``known`` where they still fit."""
    found = Catalog(
        locale=language, project="Plate Ledger", version="1", fuzzy=False, header_comment="# Sentences of Plate Ledger."
    )
    for path in sorted(_sources(root, places)):
        text = path.read_text()
        code = templatize(text, origin=path.name) if path.suffix in {".html", ".txt"} else text
        for _line, message, _comments, context in extract(
            "python", io.BytesIO(code.encode()), KEYWORDS, options={"encoding": "utf-8"}
        ):
            if message and (message if isinstance(message, str) else message[0]):
                flags = ["python-format"] if "%(" in (message if isinstance(message, str) else message[0]) else []
                found.add(message, locations=[(path.relative_to(root).as_posix(), 0)], context=context, flags=flags)
    if known is not None:
        for entry in found:
            old = known.get(entry.id, entry.context) if entry.id else None
            if old is not None and old.string:
                entry.string = old.string
    return found


def write_down(catalogue: Catalog) -> bytes:
    """The catalogue as a .po file, in the order of the sentences, without line numbers or dates: the same words, the same bytes."""
    out = io.BytesIO()
    write_po(out, catalogue, sort_output=True, no_location=True, omit_header=False, width=0)
    lines = out.getvalue().splitlines(keepends=True)
    return b"".join(line for line in lines if not line.startswith(PERSONAL))


def read(path: Path, language: str) -> Catalog:
    """A .po file as a catalogue."""
    with path.open("rb") as file:
        return read_po(file, locale=language)


def compiled(catalogue: Catalog) -> bytes:
    """The .mo file of a catalogue."""
    out = io.BytesIO()
    write_mo(out, catalogue)
    return out.getvalue()


def _sources(root: Path, places: tuple[str, ...]) -> Iterator[Path]:
    for place in places:
        for path in [root / place] if (root / place).is_file() else (root / place).rglob("*"):
            if path.suffix in {".py", ".html", ".txt"} and "migrations" not in path.parts:
                yield path
