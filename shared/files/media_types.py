"""What a file is, told by its first bytes and never by its name."""

OCTETS = "application/octet-stream"


def media_type_of(data: bytes) -> str:
    """The media type of ``data`` by its signature (RFC 8118 section 8, ISO/IEC 10918-1 SOI, PNG 3rd edition section 5.2, TIFF 6.0
    section 2, RFC 9649 section 2.4, PKZIP local file header); plain text by its bytes; else ``application/octet-stream``.
    """
    head = data[:1024]
    if head.lstrip()[:5] == b"%PDF-":
        return "application/pdf"
    if head[:3] == b"\xff\xd8\xff":
        return "image/jpeg"
    if head[:8] == b"\x89PNG\r\n\x1a\n":
        return "image/png"
    if head[:4] in (b"II*\x00", b"MM\x00*"):
        return "image/tiff"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "image/webp"
    if head[:4] == b"PK\x03\x04":
        return "application/zip"
    return _kind_of_text(data)


def _kind_of_text(data: bytes) -> str:
    if not data or b"\x00" in data:
        return OCTETS
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return OCTETS
    start = text.lstrip()[:100]
    if start.startswith("<?xml"):
        return "application/xml"
    return "application/json" if start[:1] in ("{", "[") else "text/plain"


SAID = {
    "application/pdf": "PDF",
    "image/jpeg": "JPEG",
    "image/png": "PNG",
    "image/tiff": "TIFF",
    "image/webp": "WebP",
    "application/zip": "ZIP",
    "application/xml": "XML",
    "application/json": "JSON",
    "text/plain": "text",
    OCTETS: "something else",
}
