from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.utils import translation
from django.utils.translation import gettext

from shared.papers.letterhead import Letterhead
from shared.papers.printing import print_paper, signature_uri
from shared.words import formats
from shoots.releases.snapshot import ReleaseToSign, SignedRelease, TextShown

CAPACITIES = {
    "self": lambda: gettext("for myself"),
    "owner": lambda: gettext("as the owner of this place"),
    "for_owner": lambda: gettext("for the owner, who has allowed it"),
}


def _as_guardian(of: str) -> str:
    return gettext("as parent or guardian of %(name)s") % {"name": of}


def _capacity(release: SignedRelease) -> str:
    if release.capacity == "guardian":
        return _as_guardian(release.who_or_what)
    return CAPACITIES[release.capacity]() if release.capacity in CAPACITIES else ""


def _rows(texts: tuple[TextShown, ...]) -> list[list[tuple[str, str]]]:
    return [
        [(text.language, paragraph) for text, paragraph in zip(texts, paragraphs, strict=True)]
        for paragraphs in zip(*(text.paragraphs for text in texts), strict=True)
    ]


def _block(name: str, *, said: str = "", drawn: str = "", typed: str = "", at: str = "") -> dict[str, Any]:
    """One signature: the name with what they sign as, then when, and the drawing or the typed name above the rule."""
    return {
        "name": f"{name}, {said}" if said else name,
        "signer": name,
        "drawn": signature_uri(drawn) if drawn else "",
        "typed": typed,
        "is_typed": bool(typed) and not drawn,
        "at": at,
    }


def release_pdf(release: SignedRelease) -> bytes:
    """The signed release as a tagged PDF: both languages paragraph by paragraph, every signature, and how it can be proved."""
    language = release.texts[0].language

    def moment(at: datetime) -> str:
        return formats.moment(at, ZoneInfo(release.time_zone), language)

    with translation.override(language):
        signed = moment(release.signed_at)
        facts = [(gettext("Release"), release.number), (gettext("Signed"), signed)]
        blocks = [
            _block(
                release.signer_name,
                said=_capacity(release),
                drawn=release.signature_path,
                typed=release.typed_name,
                at=signed,
            )
        ]
        if release.minor_signed_at is not None:
            blocks.append(
                _block(
                    release.who_or_what,
                    said=gettext("under age, beside the guardian"),
                    drawn=release.minor_signature_path,
                    typed=release.minor_typed_name,
                    at=moment(release.minor_signed_at),
                )
            )
        if release.witness_name:
            blocks.append(
                _block(
                    release.witness_name,
                    said=gettext("as witness"),
                    drawn=release.witness_signature_path,
                    typed="" if release.witness_signature_path else release.witness_name,
                    at=signed,
                )
            )
    return print_paper(
        "papers/release.html",
        {
            "sender": Letterhead(
                name=release.photographer, address=release.address, footer=(release.number,), logo=release.logo
            ),
            "facts": facts,
            "titles": [(text.language, text.title) for text in release.texts],
            "rows": _rows(release.texts),
            "blocks": blocks,
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


def release_to_sign_pdf(release: ReleaseToSign) -> bytes:
    """The text of a release with lines to sign with a pen: who signs, place and day, the person under age and a witness where asked."""
    language = release.texts[0].language
    with translation.override(language):
        lines = [
            {
                "name": f"{release.signer_name}, {_as_guardian(release.who_or_what)}"
                if release.is_minor
                else release.signer_name,
                "boxes": [CAPACITIES[each]() for each in ("owner", "for_owner")] if release.is_property else [],
            }
        ]
        if release.minor_signs:
            lines.append({"name": f"{release.who_or_what}, {gettext('under age, beside the guardian')}"})
        if release.asks_witness:
            lines.append({"name": gettext("Witness, of full age: name in capitals and signature")})
        lines.append({"name": release.photographer})
        facts = [(gettext("Release"), release.number), (gettext("Code of this text"), release.text_code)]
    return print_paper(
        "papers/release_to_sign.html",
        {
            "sender": Letterhead(
                name=release.photographer,
                address=release.address,
                footer=(release.number, release.text_code),
                logo=release.logo,
            ),
            "facts": facts,
            "titles": [(text.language, text.title) for text in release.texts],
            "rows": _rows(release.texts),
            "lines": lines,
            "text_sha256": release.text_sha256,
        },
        language=language,
        title=f"{release.texts[0].title}, {release.number}",
        at=release.made_at,
        identifier=f"release to sign {release.number} {release.text_sha256}",
    )
