from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any

from django.db import transaction

from clients.models import Client, Kitchen, Person
from shared.business.models import BusinessProfile
from shared.business.queries import current_business, today, zone
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.evidence.queries import evidence_head
from shared.files.actions import keep_file
from shared.links.actions import call_back_links, make_link, mark_used
from shared.links.models import PrivateLink
from shared.links.queries import links_for
from shared.numbers.actions import take_number
from shared.outbox.actions import queue_mail, tell_fact
from shared.papers.printing import picture_uri
from shared.states import MoveRefused, move
from shoots.brief.models import Shoot
from shoots.releases.models import RELEASE_MOVES, Release, ReleaseState
from shoots.releases.papers import release_pdf
from shoots.releases.snapshot import SignedRelease, TextShown
from shoots.releases.wording import ReleaseTermsInWords, release_paragraphs, release_title, text_hash

PURPOSE = "release"
LINK_DAYS = 60


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
    is_minor: bool = False,
    guardian_name: str = "",
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

    ``reach``: this shoot alone, every shoot for its house, or every shoot. ``is_minor``: the person is under age on the day of the
    shoot; then ``guardian_name`` signs, for this shoot alone, and nothing is sent to the person themselves. ``use_until`` is half-open. Empty classes, media or territories are no limit; ``own_promotion_of`` limits to that house.
    """
    business = current_business(today(at))
    signer = signer or (None if is_minor else person)
    release = Release(
        number=take_number("release", on=today(at)),
        shoot=shoot,
        kind=kind,
        person=person,
        kitchen=kitchen,
        property_description=property_description,
        signer=signer,
        signer_name=guardian_name or (signer.name if signer else ""),
        signer_email=signer_email or (signer.email if signer else ""),
        reach=reach,
        reach_house=shoot.licensee if reach == Release.Reach.HOUSE else None,
        is_minor=is_minor,
        guardian_name=guardian_name,
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
    texts = _texts(release, business)
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
def sign_release(
    release: Release,
    *,
    text_sha256: str,
    signer_name: str,
    email: str = "",
    capacity: str,
    signature_path: str = "",
    typed_name: str = "",
    is_of_full_age: bool,
    via: str,
    at: datetime,
) -> Release:
    """Take the signature: nothing that was read may differ from what is kept, and what is signed never changes again.

    Writes consent and signature into the evidence chain, prints the paper, keeps its bytes and hash, and sends both sides a copy.
    For somebody under age ``capacity`` is ``guardian``. Raises ReleaseChanged, SignerUnderAge, GuardianMustSign, SignatureMissing, or MoveRefused when it was answered already.
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
    if release.state != ReleaseState.OFFERED:
        raise MoveRefused("release", release.get_state_display().lower(), ReleaseState.SIGNED)
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
    paper = release_pdf(_signed_snapshot(release, at))
    release.paper = keep_file(paper, name=f"release-{release.number}.pdf", kind="release", at=at)
    answer = ("signed_at", "signer_name", "signer_email", "capacity", "signature_path", "typed_name", "paper")
    move(
        release,
        ReleaseState.SIGNED,
        moves=RELEASE_MOVES,
        noun="release",
        **{name: getattr(release, name) for name in answer},
    )
    record_evidence("sealed", subject=subject, payload={"sha256": release.paper.sha256}, at=at)
    _send_copies(release, at)
    for link in links_for(subject):
        mark_used(link, at)
    tell_fact("release_signed", at=at, release=release.pk)
    return release


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


def _texts(release: Release, business: BusinessProfile) -> list[tuple[str, str, tuple[str, ...]]]:
    shoot = release.shoot
    terms = ReleaseTermsInWords(
        is_property=release.kind == Release.Kind.PROPERTY,
        signer=release.signer_name,
        thing=release.who_or_what,
        photographer=business.legal_name,
        contact=business.email or business.phone or business.legal_name,
        shoot=shoot.title,
        first_on=shoot.first_on,
        last_on=shoot.last_on,
        place=shoot.kitchen.address or shoot.kitchen.name if shoot.kitchen else "",
        reach=release.reach,
        reach_house=release.reach_house.name if release.reach_house else "",
        is_minor=release.is_minor,
        house=release.own_promotion_of.name if release.own_promotion_of else "",
        classes=frozenset(release.use_classes),
        media=frozenset(release.use_media),
        territories=frozenset(release.use_territories),
        use_until=release.use_until,
        includes_portfolio=release.includes_portfolio,
        pictures_promised=release.pictures_promised,
        languages=_languages(release),
        prevailing=release.prevailing_language,
    )
    return [
        (language, release_title(terms, language), release_paragraphs(terms, language))
        for language in _languages(release)
    ]


def _signed_snapshot(release: Release, at: datetime) -> SignedRelease:
    business = current_business(today(at))
    seq, head = evidence_head()
    texts = tuple(
        TextShown(each["language"], each["title"], tuple(each["paragraphs"])) for each in release.snapshot["texts"]
    )
    return SignedRelease(
        number=release.number,
        texts=texts,
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
