"""Translations: what is compiled is what is written."""

import io

from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

from tests.house import rooms


def compiled(po: bytes) -> bytes:
    out = io.BytesIO()
    write_mo(out, read_po(io.BytesIO(po), abort_invalid=True))
    return out.getvalue()


def test_every_compiled_translation_equals_its_source():
    sources = [file for file in rooms.kept_files() if file.suffix == ".po"]
    stale = [
        rooms.name(file) for file in sources if file.with_suffix(".mo").read_bytes() != compiled(file.read_bytes())
    ]
    assert stale == []


def test_the_guard_sees_a_changed_sentence():
    source = b'msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\nmsgid "Due"\nmsgstr "%s"\n'
    assert compiled(source % b"Zahlbar") != compiled(source % b"Offen")
