"""Papers: a template and its context in, the bytes of a tagged PDF with embedded fonts out.

WeasyPrint 70, variant PDF/A-3a (ISO 19005-3, level A: tagged, with language and title; the level an e-invoice needs). The same
input gives the same bytes: no clock is read, the identifier is handed in, and fonts carry one fixed day. Nothing is fetched: a
paper sees its own fonts and what its context carries as data.
"""

import atexit
import base64
import hashlib
import logging
import os
import threading
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path
from typing import Any
from urllib.parse import quote
from urllib.request import url2pathname

from django.template.loader import render_to_string
from django.utils import translation

from shared.files.models import StoredFile
from shared.words.signature import BOX, read_signature

VARIANT = "pdf/a-3a"
# fontTools stamps the present second into every subset font unless this is set before it is imported.
FONT_DAY = "1767225600"
LANGUAGE_TAGS = {"en": "en-GB", "de": "de-DE"}
HERE = Path(__file__).resolve().parent
# One file a weight, cut from the variable fonts of the screens by fontTools.varLib.instancer: WeasyPrint cuts a variable font
# again for each paper, which took more than half of its time. Western letters and the others (latin, latin-ext) are put together
# by fontTools.merge: in two files Pango 1.56 would make “ū” from the “u” and the mark of the first, and a reader would copy “uū”.
# For the same reason Ō and ō were added to Atkinson Hyperlegible, which lacks them, from its own O, o and mark, set as on its Ā, ē.
FONTS = HERE / "fonts"

# One press: Pango's font map is not made for two threads at once.
_press_is_free = threading.Lock()
log = logging.getLogger("shared.papers")


def print_paper(
    template: str, context: dict[str, Any], *, language: str, title: str, at: datetime, identifier: str
) -> bytes:
    """Print ``template`` in ``language`` and return the bytes of the PDF.

    ``title`` is the document's title as readers show it, ``at`` the moment that stands in the file as its making (aware),
    ``identifier`` a text that is this paper's alone (number and version): its hash becomes the file's identifier.
    """
    with translation.override(language):
        html = render_to_string(
            template,
            {
                **context,
                "language": LANGUAGE_TAGS.get(language, language),
                "title": title,
                "made_at": f"{at.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}",
            },
        )
    with _press_is_free:
        fonts, sheets, fetcher = _press()
        import weasyprint

        document = weasyprint.HTML(string=html, base_url=_nowhere(), url_fetcher=fetcher).render(
            font_config=fonts, stylesheets=list(sheets), pdf_variant=VARIANT
        )
        printed = document.write_pdf(
            pdf_variant=VARIANT, pdf_identifier=hashlib.sha256(identifier.encode()).digest()[:16]
        )
    return bytes(printed)


def picture_uri(data: bytes) -> str:
    """A PNG or JPEG as a data address for a paper. Raises ``ValueError`` for anything else."""
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        kind = "image/png"
    elif data.startswith(b"\xff\xd8\xff"):
        kind = "image/jpeg"
    else:
        raise ValueError("a paper takes PNG and JPEG pictures")
    return f"data:{kind};base64,{base64.b64encode(data).decode()}"


def kept_picture_uri(file: StoredFile | None) -> str:
    """A kept picture as a data address for a paper; empty where there is none, or its file is lost or nothing a paper takes."""
    try:
        return picture_uri(file.read_bytes()) if file else ""
    except (OSError, ValueError):
        return ""


def signature_uri(path: str) -> str:
    """A signature drawn on the page (``shared.words.signature``) as a picture for a paper."""
    drawing = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {BOX[0]} {BOX[1]}"><path d="{read_signature(path)}" fill="none" '
        'stroke="#111" stroke-width="4" stroke-linecap="round" stroke-linejoin="round"/></svg>'
    )
    return "data:image/svg+xml," + quote(drawing)


def _nowhere() -> str:
    """The base of every address in a paper: one that is never served."""
    return "paper:/"


@lru_cache(maxsize=1)
def _press() -> tuple[Any, tuple[Any, ...], Any]:
    """Fonts and style sheet, made once a process: it halves the time of a paper and keeps memory flat."""
    os.environ.setdefault("SOURCE_DATE_EPOCH", FONT_DAY)
    import weasyprint
    from weasyprint.text.fonts import FontConfiguration

    fetcher = _fetcher()
    fonts = FontConfiguration()
    sheet = weasyprint.CSS(
        string=(HERE / "papers.css").read_text(), base_url=FONTS.as_uri() + "/", url_fetcher=fetcher, font_config=fonts
    )
    atexit.register(_press.cache_clear)  # the fonts' folder goes while the interpreter still stands
    return fonts, (sheet,), fetcher


def _fetcher() -> Any:
    """Serves ``data:`` and the files of our font folder; everything else is refused, the paper is printed without it."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class OwnFilesOnly(URLFetcher):  # type: ignore[misc]  # the library has no types
        def fetch(self, url: str, headers: Any = None) -> Any:
            if url.startswith("data:"):
                return super().fetch(url, headers)
            if url.startswith("file:"):
                path = Path(url2pathname(url.partition("?")[0].removeprefix("file://"))).resolve()
                if path.parent == FONTS and path.suffix == ".ttf":
                    return URLFetcherResponse(url, path.read_bytes(), {"Content-Type": "font/ttf"})
            log.warning("A paper asked for %s and did not get it.", url[:200])
            raise ValueError(f"A paper takes nothing from outside: {url[:200]}")

    return OwnFilesOnly()
