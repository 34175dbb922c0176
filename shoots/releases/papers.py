from zoneinfo import ZoneInfo

from django.utils import translation
from django.utils.translation import gettext

from shared.papers.letterhead import Letterhead
from shared.papers.printing import print_paper, signature_uri
from shared.words import formats
from shoots.releases.snapshot import SignedRelease

CAPACITIES = {
    "self": lambda: gettext("for myself"),
    "owner": lambda: gettext("as the owner of this place"),
    "for_owner": lambda: gettext("for the owner, who has allowed it"),
}


def _capacity(release: SignedRelease) -> str:
    if release.capacity == "guardian":
        return gettext("as parent or guardian of %(name)s") % {"name": release.who_or_what}
    return CAPACITIES[release.capacity]() if release.capacity in CAPACITIES else ""


def release_pdf(release: SignedRelease) -> bytes:
    """The signed release as a tagged PDF: both languages paragraph by paragraph, the signature, and how it can be proved."""
    language = release.texts[0].language
    with translation.override(language):
        signed = formats.moment(release.signed_at, ZoneInfo(release.time_zone), language)
        capacity = _capacity(release)
        facts = [(gettext("Release"), release.number), (gettext("Signed"), signed)]
    rows = [
        [(text.language, paragraph) for text, paragraph in zip(release.texts, paragraphs, strict=True)]
        for paragraphs in zip(*(text.paragraphs for text in release.texts), strict=True)
    ]
    return print_paper(
        "papers/release.html",
        {
            "sender": Letterhead(
                name=release.photographer, address=release.address, footer=(release.number,), logo=release.logo
            ),
            "facts": facts,
            "titles": [(text.language, text.title) for text in release.texts],
            "rows": rows,
            "signer": release.signer_name,
            "capacity": capacity,
            "drawn": signature_uri(release.signature_path) if release.signature_path else "",
            "typed": release.typed_name,
            "signed": signed,
            "photographer": release.photographer,
            "photographer_signature": release.photographer_signature,
            "text_sha256": release.text_sha256,
            "head_seq": release.head_seq,
            "head": release.head_hash[:16],
        },
        language=language,
        title=f"{release.texts[0].title}, {release.number}",
        at=release.signed_at,
        identifier=f"release {release.number} {release.text_sha256}",
    )
