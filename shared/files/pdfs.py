"""Is a PDF whole, open to everyone and not empty? Bytes in, pages out."""

import io

from pikepdf import PasswordError, Pdf, PdfError

from shared.files.refusals import PictureRefused


def check_pdf(data: bytes, *, name: str = "The file") -> int:
    """How many pages a PDF has. Raises ``PictureRefused`` when it cannot be opened, asks for a password, or has no page."""
    again = "Scan the paper once more, or photograph it, and send that."
    try:
        with Pdf.open(io.BytesIO(data)) as paper:
            pages = len(paper.pages)
    except PasswordError:
        raise PictureRefused(name, "asks for a password.", "Save it without one, then send it again.") from None
    except (PdfError, ValueError, RuntimeError):
        raise PictureRefused(name, "is a PDF that is cut off or damaged.", again) from None
    if not pages:
        raise PictureRefused(name, "is a PDF without a page.", again)
    return pages
