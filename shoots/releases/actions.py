from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db import transaction

from clients.models import Client, Kitchen, Person
from shared.business.models import BusinessProfile
from shared.business.queries import current_business, today, zone
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.evidence.queries import evidence_head
from shared.files.actions import RECEIPTS, keep_file
from shared.files.models import StoredFile
from shared.files.pdfs import check_pdf
from shared.files.pictures import check_picture
from shared.files.refusals import FileTooLarge
from shared.links.actions import call_back_links, make_link, mark_used
from shared.links.models import PrivateLink
from shared.links.queries import links_for
from shared.numbers.actions import take_number
from shared.outbox.actions import queue_mail, tell_fact
from shared.papers.printing import picture_uri
from shared.states import MoveRefused, move
from shared.words import formats
from shoots.brief.models import Shoot
from shoots.releases.models import RELEASE_MOVES, Release, ReleaseScan, ReleaseState
from shoots.releases.papers import release_pdf, release_to_sign_pdf
from shoots.releases.snapshot import ReleaseToSign, SignedRelease, TextShown
from shoots.releases.wording import (
    ReleaseTermsInWords,
    ShootInWords,
    limits_in_words,
    release_paragraphs,
    release_title,
    text_hash,
)

PURPOSE = "release"
LINK_DAYS = 60
LARGEST_SCAN = 20 * 1024 * 1024
MOST_SHEETS = 12
OLDEST_YEARS = 100


@dataclass(frozen=True, slots=True)
class Sheet:
    """A scan or photograph as it came in: its bytes and the name it had."""

    data: bytes
    name: str


class ReleaseChanged(Refusal):
    """What the signer read is not what the release says now."""

    def __init__(self) -> None:
        super().__init__(
            "The text of this release is not the one you read.",
            "Nothing was signed.",
            "Open the page again, read it and sign then.",
        )


class SignerUnderAge(Refusal):
    """Someone who is not of full age cannot sign for themselves here."""

    def __init__(self) -> None:
        super().__init__(
            "Someone who is not of full age cannot sign this alone.",
            "Nothing was signed. The pictures wait.",
            "A parent or guardian has to sign. Tell the photographer, who will make a release for somebody under age.",
        )


class GuardianMustSign(Refusal):
    """A release of somebody under age counts only when a parent or guardian signs it, and no other release is theirs to sign."""

    def __init__(self) -> None:
        super().__init__(
            "This release is for a parent or guardian to sign, under their own name.",
            "Nothing was signed. The pictures wait.",
            "Write the guardian’s name and tick that they are the parent or guardian.",
        )


class NotWithdrawn(Refusal):
    """There is nothing to decide about a release that is not withdrawn."""

    def __init__(self, release: Release) -> None:
        super().__init__(
            f"Release {release.number} is not withdrawn.", "Nothing was changed.", "Record the withdrawal first."
        )


class SignatureMissing(Refusal):
    """Neither a drawn nor a typed signature came in."""

    def __init__(self) -> None:
        super().__init__(
            "There is no signature yet.",
            "Nothing was signed.",
            "Sign with a finger, or type your name and tick the box.",
        )


class WitnessMissing(Refusal):
    """The release asks for a witness, and none signed."""

    def __init__(self) -> None:
        super().__init__(
            "This release asks for a witness.",
            "Nothing was signed.",
            "Let the witness write their name and sign, or tick that the typed name counts.",
        )


class NotTheirsToSign(Refusal):
    """The person under age is not asked to sign, or has signed already."""

    def __init__(self, *, has_signed: bool) -> None:
        super().__init__(
            "The person under age has signed already." if has_signed else "This release asks nobody under age to sign.",
            "Nothing was changed.",
            "A parent or guardian signs now, under their own name.",
        )


class NoScan(Refusal):
    """A paper is recorded with nothing to show for it."""

    def __init__(self) -> None:
        super().__init__(
            "There is no scan or photograph of the signed paper.",
            "Nothing was recorded: the release counts only once the paper is here.",
            "Scan the paper or photograph every sheet of it, then choose the files.",
        )


class TooManySheets(Refusal):
    """More files than a release has sheets."""

    def __init__(self, count: int) -> None:
        super().__init__(
            f"{count} files are more than {MOST_SHEETS} sheets.",
            "Nothing was recorded.",
            "Scan the sheets into one PDF, then choose that.",
        )


class DayImpossible(Refusal):
    """A paper cannot have been signed on that day."""

    def __init__(self, what_happened: str) -> None:
        super().__init__(
            what_happened, "Nothing was recorded.", "Look at the day written on the paper, beside the signature."
        )


class ShootsNotNamed(Refusal):
    """A release for several shoots that names one, or shoots that cannot stand in one release."""

    def __init__(self, what_happened: str, what_to_do: str) -> None:
        super().__init__(what_happened, "No release was made.", what_to_do)


@transaction.atomic
def offer_release(
    shoot: Shoot,
    *,
    kind: str,
    person: Person | None = None,
    kitchen: Kitchen | None = None,
    property_description: str = "",
    signer: Person | None = None,
    signer_email: str = "",
    own_promotion_of: Client | None = None,
    reach: str = Release.Reach.SHOOT,
    also_for: Iterable[Shoot] = (),
    is_minor: bool = False,
    guardian_name: str = "",
    minor_signs: bool = False,
    asks_witness: bool = False,
    use_classes: frozenset[str] = frozenset(),
    use_media: frozenset[str] = frozenset(),
    use_territories: frozenset[str] = frozenset(),
    use_until: date | None = None,
    includes_portfolio: bool = True,
    pictures_promised: int = 0,
    first_language: str,
    second_language: str = "",
    prevailing_language: str = "",
    supersedes: Release | None = None,
    at: datetime,
) -> Release:
    """Make a release, freeze its text in its languages and make its private link; send the link where there is an address.

    ``reach``: this shoot alone, this one and those of ``also_for``, every shoot for its house, or every shoot. ``is_minor``: the person
    is under age on the day of the shoot; then ``guardian_name`` signs, for this shoot alone, and nothing is sent to the person
    themselves; with ``minor_signs`` they sign beside the guardian, on the same page. ``use_until`` is half-open. Empty classes, media
    or territories are no limit; ``own_promotion_of`` limits to that house. Raises ShootsNotNamed.
    """
    business = current_business(today(at))
    signer = signer or (None if is_minor else person)
    release, shoots = _new_release(
        shoot,
        also_for,
        number=take_number("release", on=today(at)),
        kind=kind,
        person=person,
        kitchen=kitchen,
        property_description=property_description,
        signer=signer,
        signer_name=guardian_name or (signer.name if signer else ""),
        signer_email=signer_email or (signer.email if signer else ""),
        reach=reach,
        is_minor=is_minor,
        guardian_name=guardian_name,
        minor_signs=minor_signs,
        asks_witness=asks_witness,
        own_promotion_of=own_promotion_of,
        use_classes=sorted(use_classes),
        use_media=sorted(use_media),
        use_territories=sorted(use_territories),
        use_until=use_until,
        includes_portfolio=includes_portfolio,
        pictures_promised=pictures_promised,
        first_language=first_language,
        second_language=second_language if second_language != first_language else "",
        prevailing_language=prevailing_language or first_language,
        supersedes=supersedes,
        state=ReleaseState.OFFERED,
        made_at=at,
    )
    texts = _texts(release, business, shoots)
    release.snapshot = {
        "texts": [{"language": lang, "title": title, "paragraphs": list(rows)} for lang, title, rows in texts],
        # The paper names beside the text whom the text names, whatever they are called by the time they sign.
        "who_or_what": release.who_or_what,
        "photographer": business.legal_name,
    }
    release.text_sha256 = text_hash(texts)
    release.save()
    record_evidence(
        "offered", subject=_subject(release), payload={"text": release.text_sha256, "number": release.number}, at=at
    )
    link = make_link(
        PURPOSE, subject=_subject(release), expires_at=at + timedelta(days=LINK_DAYS), at=at, person=signer
    )
    if release.signer_email:
        _mail(release, "release_offer", at=at, link=link)
    return release


@transaction.atomic
def send_release_link(release: Release, *, email: str, at: datetime) -> PrivateLink:
    """Send a fresh private link to ``email``; the earlier one is called back."""
    _must_wait_for_answer(Release.objects.select_for_update().get(pk=release.pk))
    call_back_links(_subject(release), purpose=PURPOSE, at=at)
    Release.objects.filter(pk=release.pk).update(signer_email=email)
    release.refresh_from_db()
    link = make_link(
        PURPOSE, subject=_subject(release), expires_at=at + timedelta(days=LINK_DAYS), at=at, person=release.signer
    )
    _mail(release, "release_offer", at=at, link=link)
    return link


@transaction.atomic
def show_release(release: Release, *, language: str, at: datetime) -> None:
    """Record that the text was shown to the signer, once a language and day."""
    record_evidence(
        "shown", subject=_subject(release), payload={"document": release.text_sha256, "language": language}, at=at
    )


@transaction.atomic
def sign_beside_guardian(
    release: Release, *, text_sha256: str, signature_path: str = "", typed_name: str = "", via: str, at: datetime
) -> Release:
    """Take the signature of the person under age. It counts for nothing alone: the release waits for the guardian as before.

    Raises ReleaseChanged, NotTheirsToSign, SignatureMissing, or MoveRefused when the release was answered already.
    """
    release = Release.objects.select_for_update().get(pk=release.pk)
    if text_sha256 != release.text_sha256:
        raise ReleaseChanged
    if release.state != ReleaseState.OFFERED:
        raise MoveRefused("release", release.get_state_display().lower(), ReleaseState.SIGNED)
    if not release.minor_signs or release.minor_signed_at is not None:
        raise NotTheirsToSign(has_signed=release.minor_signs)
    if not (signature_path or typed_name):
        raise SignatureMissing
    release.minor_signature_path, release.minor_typed_name, release.minor_signed_at = signature_path, typed_name, at
    release.save(update_fields=["minor_signature_path", "minor_typed_name", "minor_signed_at"])
    payload = {
        "document": release.text_sha256,
        "person": conceal(str(release.person)),
        "signature": conceal(signature_path or typed_name),
        "way": "drawn" if signature_path else "typed",
        "via": via,
    }
    record_evidence("minor_signed", subject=_subject(release), payload=payload, at=at)
    return release


@transaction.atomic
def sign_release(
    release: Release,
    *,
    text_sha256: str,
    signer_name: str,
    email: str = "",
    capacity: str,
    signature_path: str = "",
    typed_name: str = "",
    witness_name: str = "",
    witness_signature_path: str = "",
    is_of_full_age: bool,
    via: str,
    at: datetime,
) -> Release:
    """Take the signature: nothing that was read may differ from what is kept, and what is signed never changes again.

    Writes consent and signature into the evidence chain, prints the paper, keeps its bytes and hash, and sends both sides a copy.
    For somebody under age ``capacity`` is ``guardian``. ``witness_signature_path`` empty beside a name: the typed name counts. Raises
    ReleaseChanged, SignerUnderAge, GuardianMustSign, SignatureMissing, WitnessMissing, or MoveRefused when it was answered already.
    """
    release = Release.objects.select_for_update().get(pk=release.pk)
    if text_sha256 != release.text_sha256:
        raise ReleaseChanged
    if not is_of_full_age:
        raise SignerUnderAge
    if _lacks_guardian(release, signer_name=signer_name, capacity=capacity):
        raise GuardianMustSign
    if not (signature_path or typed_name):
        raise SignatureMissing
    if release.asks_witness and not witness_name:
        raise WitnessMissing
    if release.state != ReleaseState.OFFERED:
        raise MoveRefused("release", release.get_state_display().lower(), ReleaseState.SIGNED)
    release.witness_name = witness_name if release.asks_witness else ""
    release.witness_signature_path = witness_signature_path if release.asks_witness else ""
    release.signed_at, release.signer_name, release.capacity = at, signer_name, capacity
    release.signer_email = email or release.signer_email
    release.signature_path, release.typed_name = signature_path, typed_name
    subject = _subject(release)
    record_evidence("consent", subject=subject, payload={"document": release.text_sha256, "capacity": capacity}, at=at)
    payload = {
        "document": release.text_sha256,
        "person": conceal(signer_name),
        "signature": conceal(signature_path or typed_name),
        "way": "drawn" if signature_path else "typed",
        "via": via,
    }
    record_evidence("signed", subject=subject, payload=payload, at=at)
    if release.is_minor:
        record_evidence("guardian", subject=subject, payload={"document": release.text_sha256, "via": via}, at=at)
    if release.witness_name:
        signature = witness_signature_path or witness_name
        _record_witness(release, document=release.text_sha256, signature=signature, via=via, at=at)
    paper = release_pdf(_signed_snapshot(release, at))
    release.paper = keep_file(paper, name=f"release-{release.number}.pdf", kind="release", at=at)
    _move_to_signed(release)
    record_evidence("sealed", subject=subject, payload={"sha256": release.paper.sha256}, at=at)
    _close_signed(release, at)
    return release


def print_to_sign(release: Release) -> bytes:
    """The text of an offered release as a PDF with lines to sign by pen. The same bytes each time; nothing is kept of it.

    Raises Refusal once the release has its answer: what is signed is shown from what was kept.
    """
    if release.state != ReleaseState.OFFERED or release.has_own_wording:
        raise Refusal(
            "This release has its answer already.", "Nothing was printed.", "Make a new release if you need another."
        )
    business = current_business(today(release.made_at))
    return release_to_sign_pdf(
        ReleaseToSign(
            number=release.number,
            texts=_texts_shown(release),
            text_sha256=release.text_sha256,
            text_code=release.text_code,
            photographer=release.snapshot.get("photographer") or business.legal_name,
            address=business.address_lines,
            who_or_what=release.snapshot.get("who_or_what") or release.who_or_what,
            signer_name=release.signer_name,
            is_property=release.kind == Release.Kind.PROPERTY,
            is_minor=release.is_minor,
            minor_signs=release.minor_signs,
            asks_witness=release.asks_witness,
            made_at=release.made_at,
            logo=picture_uri(business.logo.read_bytes()) if business.logo else "",
        )
    )


@transaction.atomic
def record_signed_print(
    release: Release,
    *,
    sheets: Iterable[Sheet],
    signed_on: date,
    signer_name: str,
    capacity: str,
    minor_signed: bool = False,
    witness_name: str = "",
    email: str = "",
    at: datetime,
) -> Release:
    """Record that the print of an offered release was signed with a pen; from now on it counts like one signed on a screen.

    ``sheets``: the scan, or a photograph of each sheet, kept as they came. ``signed_on``: the day written beside the signature; as its
    hour is not known it counts from the day's first moment, so that a withdrawal of that day outranks it. Raises NoScan,
    TooManySheets, FileTooLarge, FileTypeRefused, PictureRefused, DayImpossible, GuardianMustSign, or MoveRefused.
    """
    release = Release.objects.select_for_update().get(pk=release.pk)
    if release.state != ReleaseState.OFFERED:
        raise MoveRefused("release", release.get_state_display().lower(), ReleaseState.SIGNED)
    made_on = release.made_at.astimezone(zone(release.made_at)).date()
    if signed_on < made_on:
        raise DayImpossible(
            f"This text was made on {formats.day(made_on, 'en')}. Nobody can have signed it on {formats.day(signed_on, 'en')}."
        )
    return _record_paper(
        release, sheets=sheets, signed_on=signed_on, signer_name=signer_name, capacity=capacity,
        minor_signed=minor_signed, witness_name=witness_name, email=email, at=at,
    )  # fmt: skip


@transaction.atomic
def record_foreign_paper(
    shoot: Shoot,
    *,
    paper_wording: str,
    sheets: Iterable[Sheet],
    signed_on: date,
    signer_name: str,
    capacity: str,
    kind: str,
    person: Person | None = None,
    kitchen: Kitchen | None = None,
    property_description: str = "",
    signer: Person | None = None,
    reach: str = Release.Reach.SHOOT,
    also_for: Iterable[Shoot] = (),
    is_minor: bool = False,
    guardian_name: str = "",
    minor_signed: bool = False,
    witness_name: str = "",
    own_promotion_of: Client | None = None,
    use_classes: frozenset[str] = frozenset(),
    use_media: frozenset[str] = frozenset(),
    use_territories: frozenset[str] = frozenset(),
    use_from: date | None = None,
    use_until: date | None = None,
    includes_portfolio: bool = True,
    email: str = "",
    at: datetime,
) -> Release:
    """Record a signed paper whose words are not ours: a new release with its scan, and its limits as they were typed from it.

    ``paper_wording``: what the paper is called, with its version. Days are half-open; the rest as ``offer_release`` and
    ``record_signed_print`` take it and refuse it.
    """
    business = current_business(today(at))
    release, shoots = _new_release(
        shoot,
        also_for,
        number=take_number("release", on=today(at)),
        kind=kind,
        person=person,
        kitchen=kitchen,
        property_description=property_description,
        signer=signer,
        signer_name=signer_name,
        reach=reach,
        is_minor=is_minor,
        guardian_name=guardian_name,
        minor_signs=is_minor and minor_signed,
        paper_wording=paper_wording,
        own_promotion_of=own_promotion_of,
        use_classes=sorted(use_classes),
        use_media=sorted(use_media),
        use_territories=sorted(use_territories),
        use_from=use_from,
        use_until=use_until,
        includes_portfolio=includes_portfolio,
        first_language=business.language,
        prevailing_language=business.language,
        signed_with=Release.With.PEN,
        state=ReleaseState.OFFERED,
        made_at=at,
    )
    limits = limits_in_words(_terms_in_words(release, business, shoots), "en")
    release.snapshot = {
        "texts": [],
        "limits": list(limits),
        "who_or_what": release.who_or_what,
        "photographer": business.legal_name,
    }
    release.save()
    payload = {"number": release.number, "wording": conceal(paper_wording), "limits": conceal("\n".join(limits))}
    record_evidence("limits_typed", subject=_subject(release), payload=payload, at=at)
    return _record_paper(
        release, sheets=sheets, signed_on=signed_on, signer_name=signer_name, capacity=capacity,
        minor_signed=minor_signed, witness_name=witness_name, email=email, at=at,
    )  # fmt: skip


@transaction.atomic
def refuse_release(release: Release, *, reason: str = "", via: str, at: datetime) -> Release:
    """Record that the person said no. A new release may be offered later; this one stays refused."""
    release = Release.objects.select_for_update().get(pk=release.pk)
    move(release, ReleaseState.REFUSED, moves=RELEASE_MOVES, noun="release", refused_at=at, refused_reason=reason)
    payload = {"document": release.text_sha256, "via": via, "reason": conceal(reason) if reason else ""}
    record_evidence("refused", subject=_subject(release), payload=payload, at=at)
    tell_fact("release_refused", at=at, release=release.pk)
    return release


@transaction.atomic
def call_back_release(release: Release, *, at: datetime) -> Release:
    """Take back a release nobody has answered; its private link opens nothing from now on."""
    release = Release.objects.select_for_update().get(pk=release.pk)
    move(release, ReleaseState.CALLED_BACK, moves=RELEASE_MOVES, noun="release")
    call_back_links(_subject(release), purpose=PURPOSE, at=at)
    record_evidence("called_back", subject=_subject(release), payload={"document": release.text_sha256}, at=at)
    return release


@transaction.atomic
def withdraw_release(release: Release, *, reason: str, at: datetime) -> Release:
    """Record that a signed release was withdrawn. Nothing is deleted: the paper stays, the pictures show it, new licences wait."""
    release = Release.objects.select_for_update().get(pk=release.pk)
    move(release, ReleaseState.WITHDRAWN, moves=RELEASE_MOVES, noun="release", withdrawn_at=at, withdrawn_reason=reason)
    record_evidence(
        "withdrawn",
        subject=_subject(release),
        payload={"document": release.text_sha256, "reason": conceal(reason)},
        at=at,
    )
    tell_fact("release_withdrawn", at=at, release=release.pk)
    return release


@transaction.atomic
def decide_withdrawal(release: Release, *, decision: str, words: str = "", at: datetime) -> Release:
    """Record what the photographer does about a withdrawal: a value of ``Release.Decision`` and their words. It changes no licence.

    Decided again, the later decision is shown and both stay in the log. Raises NotWithdrawn.
    """
    release = Release.objects.select_for_update().get(pk=release.pk)
    if release.state != ReleaseState.WITHDRAWN:
        raise NotWithdrawn(release)
    release.decision, release.decision_words, release.decided_at = decision, words, at
    release.save(update_fields=["decision", "decision_words", "decided_at"])
    payload = {"document": release.text_sha256, "decision": decision, "words": conceal(words) if words else ""}
    record_evidence("decided", subject=_subject(release), payload=payload, at=at)
    return release


def _new_release(shoot: Shoot, also_for: Iterable[Shoot], **fields: Any) -> tuple[Release, list[Shoot]]:
    """A release not saved yet, and all shoots it names, the earliest first. Raises ShootsNotNamed."""
    release = Release(shoot=shoot, **fields)
    release.reach_house = shoot.licensee if release.reach == Release.Reach.HOUSE else None
    shoots = sorted({shoot, *also_for}, key=lambda each: (each.first_on or date.max, each.pk))
    if release.reach != Release.Reach.NAMED:
        return release, [shoot]
    if len(shoots) < 2:
        raise ShootsNotNamed("Only one shoot is named.", "Choose the others, or make it for this shoot alone.")
    is_thing = release.kind == Release.Kind.PROPERTY and release.kitchen is None
    if is_thing and len({each.licensee_id for each in shoots}) > 1:
        raise ShootsNotNamed(
            "A thing is known by its words, and another house may have one of the same name.",
            "Choose shoots of one house.",
        )
    release.named_shoots = sorted(each.pk for each in shoots)
    return release, shoots


def _record_paper(
    release: Release,
    *,
    sheets: Iterable[Sheet],
    signed_on: date,
    signer_name: str,
    capacity: str,
    minor_signed: bool,
    witness_name: str,
    email: str,
    at: datetime,
) -> Release:
    """Keep the sheets, write them into the chain and move the release to signed: none of it without the others."""
    on, sheets = today(at), list(sheets)
    if signed_on > on:
        raise DayImpossible(f"{formats.day(signed_on, 'en')} is still to come.")
    if signed_on.year < on.year - OLDEST_YEARS:
        raise DayImpossible(f"{formats.day(signed_on, 'en')} lies more than {OLDEST_YEARS} years back.")
    if not sheets:
        raise NoScan
    if len(sheets) > MOST_SHEETS:
        raise TooManySheets(len(sheets))
    if _lacks_guardian(release, signer_name=signer_name, capacity=capacity):
        raise GuardianMustSign
    if release.asks_witness and not witness_name:
        raise WitnessMissing
    subject, files = _subject(release), [_keep_sheet(sheet, at) for sheet in sheets]
    release.paper = files[0]
    release.signed_with, release.capacity, release.signer_name = Release.With.PEN, capacity, signer_name
    release.signer_email = email or release.signer_email
    release.witness_name = witness_name
    release.signed_at = datetime.combine(signed_on, time.min, tzinfo=zone(at))
    if release.is_minor and minor_signed and release.minor_signed_at is None:
        release.minor_signed_at = release.signed_at
    for position, file in enumerate(files[1:], start=2):
        ReleaseScan.objects.create(release=release, file=file, position=position)
    record_evidence("paper_kept", subject=subject, payload={"sha256": [file.sha256 for file in files]}, at=at)
    document = release.text_sha256 or files[0].sha256
    payload = {
        "document": document,
        "person": conceal(signer_name),
        "capacity": capacity,
        "way": "pen",
        "on": signed_on.isoformat(),
        "via": "paper",
    }
    record_evidence("signed", subject=subject, payload=payload, at=at)
    if release.is_minor:
        record_evidence("guardian", subject=subject, payload={"document": document, "via": "paper"}, at=at)
        if minor_signed:
            payload = {"document": document, "person": conceal(str(release.person)), "way": "pen", "via": "paper"}
            record_evidence("minor_signed", subject=subject, payload=payload, at=at)
    if witness_name:
        _record_witness(release, document=document, signature="", via="paper", at=at)
    _move_to_signed(release)
    _close_signed(release, at)
    return release


def _keep_sheet(sheet: Sheet, at: datetime) -> StoredFile:
    """The bytes as they came, told by themselves and opened once: a file that shows nothing proves nothing."""
    if len(sheet.data) > LARGEST_SCAN:
        raise FileTooLarge(sheet.name, len(sheet.data), LARGEST_SCAN)
    file = keep_file(sheet.data, name=sheet.name, kind="release", at=at, accepts=RECEIPTS)
    if file.media_type == "application/pdf":
        check_pdf(sheet.data, name=sheet.name)
    else:
        check_picture(sheet.data, name=sheet.name)
    return file


def _record_witness(release: Release, *, document: str, signature: str, via: str, at: datetime) -> None:
    payload = {
        "document": document,
        "person": conceal(release.witness_name),
        "signature": conceal(signature) if signature else "",
        "via": via,
    }
    record_evidence("witness", subject=_subject(release), payload=payload, at=at)


def _move_to_signed(release: Release) -> None:
    answer = (
        "signed_at", "signer_name", "signer_email", "capacity", "signature_path", "typed_name", "signed_with",
        "minor_signed_at", "witness_name", "witness_signature_path", "paper",
    )  # fmt: skip
    move(
        release,
        ReleaseState.SIGNED,
        moves=RELEASE_MOVES,
        noun="release",
        **{name: getattr(release, name) for name in answer},
    )


def _close_signed(release: Release, at: datetime) -> None:
    """Both sides get their copy, the link is used up, the rooms above hear of it."""
    _send_copies(release, at)
    for link in links_for(_subject(release)):
        mark_used(link, at)
    tell_fact("release_signed", at=at, release=release.pk)


def _lacks_guardian(release: Release, *, signer_name: str, capacity: str) -> bool:
    """True where the capacity does not fit the release, or somebody under age signs with their own name."""
    if (capacity == Release.Capacity.GUARDIAN) != release.is_minor:
        return True
    name = signer_name.casefold().split()
    is_own = release.is_minor and release.person is not None and name == release.person.name.casefold().split()
    return is_own and name != release.guardian_name.casefold().split()


def _subject(release: Release) -> str:
    return f"release:{release.pk}"


def _must_wait_for_answer(release: Release) -> None:
    if release.state != ReleaseState.OFFERED:
        raise Refusal(
            "This release has its answer already.", "No link was sent.", "Make a new release if you need another."
        )


def _languages(release: Release) -> tuple[str, ...]:
    return tuple(language for language in (release.first_language, release.second_language) if language)


def _texts(release: Release, business: BusinessProfile, shoots: list[Shoot]) -> list[tuple[str, str, tuple[str, ...]]]:
    terms = _terms_in_words(release, business, shoots)
    return [
        (language, release_title(terms, language), release_paragraphs(terms, language))
        for language in _languages(release)
    ]


def _place_of(shoot: Shoot) -> str:
    return shoot.kitchen.address or shoot.kitchen.name if shoot.kitchen else ""


def _terms_in_words(release: Release, business: BusinessProfile, shoots: list[Shoot]) -> ReleaseTermsInWords:
    shoot = release.shoot
    return ReleaseTermsInWords(
        is_property=release.kind == Release.Kind.PROPERTY,
        signer=release.signer_name,
        thing=release.who_or_what,
        photographer=business.legal_name,
        contact=business.email or business.phone or business.legal_name,
        shoot=shoot.title,
        first_on=shoot.first_on,
        last_on=shoot.last_on,
        place=_place_of(shoot),
        reach=release.reach,
        shoots=tuple(ShootInWords(each.title, each.first_on, each.last_on, _place_of(each)) for each in shoots),
        reach_house=release.reach_house.name if release.reach_house else "",
        is_minor=release.is_minor,
        house=release.own_promotion_of.name if release.own_promotion_of else "",
        classes=frozenset(release.use_classes),
        media=frozenset(release.use_media),
        territories=frozenset(release.use_territories),
        use_from=release.use_from,
        use_until=release.use_until,
        includes_portfolio=release.includes_portfolio,
        pictures_promised=release.pictures_promised,
        languages=_languages(release),
        prevailing=release.prevailing_language,
    )


def _texts_shown(release: Release) -> tuple[TextShown, ...]:
    texts = release.snapshot["texts"]
    return tuple(TextShown(each["language"], each["title"], tuple(each["paragraphs"])) for each in texts)


def _signed_snapshot(release: Release, at: datetime) -> SignedRelease:
    business = current_business(today(at))
    seq, head = evidence_head()
    return SignedRelease(
        number=release.number,
        texts=_texts_shown(release),
        text_sha256=release.text_sha256,
        photographer=release.snapshot.get("photographer") or business.legal_name,
        address=business.address_lines,
        who_or_what=release.snapshot.get("who_or_what") or release.who_or_what,
        signer_name=release.signer_name,
        capacity=release.capacity,
        signature_path=release.signature_path,
        typed_name=release.typed_name,
        signed_at=at,
        time_zone=str(zone(at)),
        is_minor=release.is_minor,
        minor_signature_path=release.minor_signature_path,
        minor_typed_name=release.minor_typed_name,
        minor_signed_at=release.minor_signed_at,
        witness_name=release.witness_name,
        witness_signature_path=release.witness_signature_path,
        head_seq=seq,
        head_hash=head,
        logo=picture_uri(business.logo.read_bytes()) if business.logo else "",
        photographer_signature=picture_uri(business.signature.read_bytes()) if business.signature else "",
    )


def _send_copies(release: Release, at: datetime) -> None:
    business = current_business(today(at))
    if release.signer_email:
        _mail(release, "release_copy", at=at)
        payload = {"to": conceal(release.signer_email), "sha256": release.paper.sha256 if release.paper else ""}
        record_evidence("copy_sent", subject=_subject(release), payload=payload, at=at)
    if business.email:
        _mail(release, "release_signed", at=at, to=business.email, language=business.language)


def _mail(
    release: Release, template: str, *, at: datetime, link: PrivateLink | None = None, to: str = "", language: str = ""
) -> None:
    business = current_business(today(at))
    context: Mapping[str, Any] = {"release": release, "shoot": release.shoot, "business": business, "link": link}
    queue_mail(
        to=to or release.signer_email,
        to_name="" if to else release.signer_name,
        template=template,
        language=language or release.first_language,
        context=context,
        at=at,
        about=_subject(release),
        attachments=[release.paper] if release.paper else [],
    )
