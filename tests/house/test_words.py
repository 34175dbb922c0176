"""Translations: what is compiled is what is written."""

import gettext
import io

from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

from tests.house import rooms


def compiled(po: bytes) -> bytes:
    out = io.BytesIO()
    write_mo(out, read_po(io.BytesIO(po), abort_invalid=True))
    return out.getvalue()


def sentences(mo: bytes) -> dict[object, str]:
    """What a .mo file says, without its header: Babel writes the hour of the day into that."""
    said = gettext.GNUTranslations(io.BytesIO(mo))._catalog
    return {sentence: translation for sentence, translation in said.items() if sentence}


def test_every_compiled_translation_equals_its_source():
    sources = [file for file in rooms.kept_files() if file.suffix == ".po"]
    assert sources
    written = {file: sentences(compiled(file.read_bytes())) for file in sources}
    stale = [rooms.name(file) for file in sources if sentences(file.with_suffix(".mo").read_bytes()) != written[file]]
    assert stale == []


def test_the_guard_sees_a_changed_sentence():
    source = b'msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\nmsgid "Due"\nmsgstr "%s"\n'
    assert sentences(compiled(source % b"Zahlbar")) == {"Due": "Zahlbar"}
    assert sentences(compiled(source % b"Zahlbar")) != sentences(compiled(source % b"Offen"))
