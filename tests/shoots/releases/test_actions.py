import hashlib
from datetime import date, timedelta
from threading import Barrier, Thread

import pytest
from django.db import IntegrityError, connection, transaction

from shared.errors import Refusal
from shared.evidence.queries import evidence_about, first_broken_link, revealed
from shared.files.models import StoredFile
from shared.files.refusals import FileEmpty, FileTooLarge, FileTypeRefused, PictureRefused
from shared.links.models import PrivateLink
from shared.outbox.models import Message
from shared.states import MoveRefused
from shoots.releases.actions import (
    LARGEST_SCAN,
    DayImpossible,
    GuardianMustSign,
    NoScan,
    NotTheirsToSign,
    NotWithdrawn,
    ReleaseChanged,
    Sheet,
    ShootsNotNamed,
    SignatureMissing,
    SignerUnderAge,
    TooManySheets,
    WitnessMissing,
    call_back_release,
    decide_withdrawal,
    offer_release,
    print_to_sign,
    record_foreign_paper,
    record_signed_print,
    refuse_release,
    send_release_link,
    show_release,
    sign_beside_guardian,
    sign_release,
    withdraw_release,
)
from shoots.releases.clearance import that_stand
from shoots.releases.models import Release, ReleaseScan
from shoots.releases.queries import terms_of
from tests.factories.releases import AT, SIGNATURE, offered_release, scan, shoot_with_cook, signed_release
from tests.factories.shoots import ShootFactory

FAR = date(2099, 1, 1)
YES = {"signer_name": "Maro Lantadze", "capacity": "self", "is_of_full_age": True, "via": "private link", "at": AT}


@pytest.fixture
def release(db):
    return offered_release()


def kinds(release):
    return [row.kind for row in evidence_about(f"release:{release.pk}")]


def test_an_offered_release_keeps_its_text_in_both_languages_and_writes_to_the_signer(release):
    assert [each["language"] for each in release.snapshot["texts"]] == ["de", "en"]
    mail = Message.objects.get(about=f"release:{release.pk}")
    assert (mail.to, mail.language) == ("maro@walnut-lantern.example", "de")
    assert PrivateLink.objects.get(subject=f"release:{release.pk}").purpose == "release"


def test_signing_keeps_the_paper_its_hash_and_each_step(release):
    show_release(release, language="de,en", at=AT)
    signed = sign_release(release, text_sha256=release.text_sha256, signature_path=SIGNATURE, **YES)
    assert signed.state == "signed"
    assert kinds(signed) == ["offered", "shown", "consent", "signed", "sealed", "copy_sent"]
    assert hashlib.sha256(signed.paper.read_bytes()).hexdigest() == signed.paper.sha256
    sealed = evidence_about(f"release:{signed.pk}").get(kind="sealed")
    assert sealed.payload == {"sha256": signed.paper.sha256}
    assert first_broken_link() is None


def test_both_sides_get_the_paper(release):
    signed = sign_release(release, text_sha256=release.text_sha256, signature_path=SIGNATURE, **YES)
    copies = {
        mail.to: list(mail.attachments.all())
        for mail in Message.objects.filter(about=f"release:{signed.pk}").exclude(attachments=None)
    }
    assert copies == {"maro@walnut-lantern.example": [signed.paper], "tindra@aldermoor.example": [signed.paper]}


def test_the_chain_holds_no_name_in_plain(release):
    signed = sign_release(release, text_sha256=release.text_sha256, typed_name="Maro Lantadze", **YES)
    row = evidence_about(f"release:{signed.pk}").get(kind="signed")
    assert "Maro" not in str(row.payload)
    assert revealed(row.payload["person"]) == "Maro Lantadze"


@pytest.mark.parametrize(
    ("change", "error"),
    [
        ({"text_sha256": "0" * 64}, ReleaseChanged),
        ({"is_of_full_age": False}, SignerUnderAge),
        ({"signature_path": "", "typed_name": ""}, SignatureMissing),
    ],
)
def test_a_signature_that_cannot_count_changes_nothing(release, change, error):
    with pytest.raises(error):
        sign_release(release, **{**YES, "text_sha256": release.text_sha256, "signature_path": SIGNATURE, **change})
    release.refresh_from_db()
    assert (release.state, release.paper, kinds(release)) == ("offered", None, ["offered"])


def test_a_refusal_is_recorded_and_a_refused_release_cannot_be_signed(release):
    refused = refuse_release(release, reason="Not in advertising", via="private link", at=AT)
    assert (refused.state, refused.refused_reason, kinds(refused)[-1]) == ("refused", "Not in advertising", "refused")
    with pytest.raises(MoveRefused):
        sign_release(release, text_sha256=release.text_sha256, signature_path=SIGNATURE, **YES)


def test_a_withdrawal_keeps_the_paper(db):
    signed = signed_release()
    withdrawn = withdraw_release(signed, reason="No longer works there", at=AT + timedelta(days=90))
    assert (withdrawn.state, withdrawn.paper, kinds(withdrawn)[-1]) == ("withdrawn", signed.paper, "withdrawn")


def test_a_release_called_back_closes_its_link(release):
    call_back_release(release, at=AT)
    assert PrivateLink.objects.get(subject=f"release:{release.pk}").called_back_at == AT


def test_a_new_link_closes_the_earlier_one(release):
    send_release_link(release, email="maro@lantern-kitchen.example", at=AT)
    open_links = PrivateLink.objects.filter(subject=f"release:{release.pk}", called_back_at=None)
    assert open_links.count() == 1
    release.refresh_from_db()
    assert release.signer_email == "maro@lantern-kitchen.example"


def test_an_answered_release_sends_no_more_links(db):
    with pytest.raises(Refusal):
        send_release_link(signed_release(), email="maro@walnut-lantern.example", at=AT)


def test_a_place_can_be_released_by_who_may_sign_for_its_owner(db):
    shoot = shoot_with_cook()
    cook = shoot.people.get().person
    release = offer_release(shoot, kind="property", kitchen=shoot.kitchen, signer=cook, first_language="en", at=AT)
    signed = sign_release(
        release, text_sha256=release.text_sha256, signature_path=SIGNATURE, **{**YES, "capacity": "for_owner"}
    )
    assert (signed.capacity, signed.who_or_what) == ("for_owner", shoot.kitchen.name)


@pytest.mark.both
@pytest.mark.django_db
@pytest.mark.parametrize(
    "change",
    [{"signer_name": "Somebody else"}, {"typed_name": "x"}, {"snapshot": {}}, {"paper": None}, {"reach": "all"}],
)
def test_the_database_refuses_to_change_what_was_signed(change):
    signed = signed_release()
    with pytest.raises(IntegrityError), transaction.atomic():
        Release.objects.filter(pk=signed.pk).update(**change)


@pytest.mark.both
@pytest.mark.django_db
@pytest.mark.parametrize(
    "change", [{"snapshot": {"texts": []}}, {"text_sha256": "0" * 64}, {"use_until": FAR}, {"reach": "all"}]
)
def test_the_database_refuses_to_change_what_somebody_was_asked_to_sign(change):
    asked = offered_release()
    with pytest.raises(IntegrityError), transaction.atomic():
        Release.objects.filter(pk=asked.pk).update(**change)
    Release.objects.filter(pk=asked.pk).update(signer_email="maro@elsewhere.example")


@pytest.mark.both
@pytest.mark.django_db
@pytest.mark.parametrize(
    "change",
    [
        {"reach": "house"},
        {"kind": "property", "person": None, "property_description": "Plates", "reach": "all"},
        {"is_minor": True},
        {"guardian_name": "Ilo Lantadze"},
        {"is_minor": True, "guardian_name": "Ilo Lantadze", "reach": "all"},
        {"is_minor": True, "guardian_name": "Ilo Lantadze", "kind": "property", "property_description": "Plates"},
    ],
)
def test_the_database_keeps_no_release_that_says_half_of_it(change):
    draft = Release(
        **{"number": "R-1", "shoot": (shoot := shoot_with_cook()), "kind": "model", "person": shoot.people.get().person}
        | {"made_at": AT}
        | change
    )
    with pytest.raises(IntegrityError), transaction.atomic():
        draft.save()


@pytest.mark.both
@pytest.mark.django_db
def test_the_database_takes_back_no_answer_and_no_withdrawal():
    signed = signed_release()
    refused = refuse_release(offered_release(), via="private link", at=AT)

    def stays(release):
        for state in {"draft", "offered", "signed", "refused"} - {release.state}:
            with pytest.raises(IntegrityError), transaction.atomic():
                Release.objects.filter(pk=release.pk).update(state=state)

    stays(refused)
    stays(signed)
    withdrawn = withdraw_release(signed, reason="Left the house", at=AT)
    stays(withdrawn)
    with pytest.raises(IntegrityError), transaction.atomic():
        Release.objects.filter(pk=withdrawn.pk).update(withdrawn_at=None)


def test_a_link_is_not_sent_from_a_page_that_was_open_before_the_answer(release):
    read_before = Release.objects.get(pk=release.pk)
    sign_release(release, text_sha256=release.text_sha256, signature_path=SIGNATURE, **YES)
    with pytest.raises(Refusal):
        send_release_link(read_before, email="maro@elsewhere.example", at=AT)


@pytest.mark.both
@pytest.mark.django_db
def test_the_database_refuses_to_delete_a_signed_release():
    signed = signed_release()
    with pytest.raises(IntegrityError), transaction.atomic():
        Release.objects.filter(pk=signed.pk).delete()


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_yes_and_no_pressed_at_once_leave_one_answer():
    release = offered_release()
    ready, answers = Barrier(2), []

    def press(act):
        ready.wait()
        try:
            answers.append(act().state)
        except MoveRefused:
            answers.append("too late")
        finally:
            connection.close()

    yes = Thread(
        target=press,
        args=(lambda: sign_release(release, text_sha256=release.text_sha256, signature_path=SIGNATURE, **YES),),
    )
    no = Thread(target=press, args=(lambda: refuse_release(release, via="private link", at=AT),))
    for thread in (yes, no):
        thread.start()
    for thread in (yes, no):
        thread.join()
    assert len(answers) == 2
    assert "too late" in answers


# Somebody under age


GUARDIAN = {**YES, "signer_name": "Ilo Lantadze", "capacity": "guardian"}


@pytest.fixture
def for_guardian(db):
    return offered_release(is_minor=True, guardian_name="Ilo Lantadze", signer_email="ilo@walnut-lantern.example")


def test_a_guardian_is_asked_and_the_person_under_age_gets_no_mail(for_guardian):
    (mail,) = Message.objects.filter(about=f"release:{for_guardian.pk}")
    assert (mail.to, for_guardian.signer_name, for_guardian.signer) == (
        "ilo@walnut-lantern.example", "Ilo Lantadze", None,
    )  # fmt: skip
    silent = offered_release(for_guardian.shoot, is_minor=True, guardian_name="Ilo Lantadze")
    assert silent.signer_email == ""
    assert not Message.objects.filter(about=f"release:{silent.pk}").exists()


def test_a_guardian_s_signature_is_named_in_the_log(for_guardian):
    signed = sign_release(for_guardian, text_sha256=for_guardian.text_sha256, signature_path=SIGNATURE, **GUARDIAN)
    assert (signed.is_signed_by_guardian, signed.signed_by_another) == (True, False)
    assert kinds(signed) == ["offered", "consent", "signed", "guardian", "sealed", "copy_sent"]
    assert "Lantadze" not in str([row.payload for row in evidence_about(f"release:{signed.pk}")])


@pytest.mark.parametrize(
    "change",
    [
        {"capacity": "self"},
        {"signer_name": "Maro  lantadze"},  # the person under age
    ],
)
def test_nobody_but_the_guardian_signs_for_somebody_under_age(for_guardian, change):
    with pytest.raises(GuardianMustSign):
        sign_release(
            for_guardian, text_sha256=for_guardian.text_sha256, signature_path=SIGNATURE, **{**GUARDIAN, **change}
        )
    for_guardian.refresh_from_db()
    assert (for_guardian.state, kinds(for_guardian)) == ("offered", ["offered"])


def test_nobody_signs_as_guardian_for_somebody_of_full_age(release):
    with pytest.raises(GuardianMustSign):
        sign_release(release, text_sha256=release.text_sha256, signature_path=SIGNATURE, **GUARDIAN)


def test_a_guardian_of_the_same_name_may_sign(db):
    release = offered_release(is_minor=True, guardian_name="Maro Lantadze")
    named = {**GUARDIAN, "signer_name": "Maro Lantadze"}
    assert sign_release(
        release, text_sha256=release.text_sha256, signature_path=SIGNATURE, **named
    ).is_signed_by_guardian


# What was decided about a withdrawal


def test_a_decision_is_kept_and_the_log_keeps_every_one(db):
    withdrawn = withdraw_release(signed_release(), reason="Left the house", at=AT)
    decide_withdrawal(withdrawn, decision="keep", words="Asked a lawyer first", at=AT)
    decided = decide_withdrawal(withdrawn, decision="stop", at=AT + timedelta(days=1))
    assert (decided.decision, decided.decision_words, decided.state) == ("stop", "", "withdrawn")
    rows = evidence_about(f"release:{decided.pk}").filter(kind="decided")
    assert [row.payload["decision"] for row in rows] == ["keep", "stop"]
    assert "lawyer" not in str([row.payload for row in rows])
    assert first_broken_link() is None


def test_nothing_is_decided_about_a_release_that_stands(db):
    with pytest.raises(NotWithdrawn):
        decide_withdrawal(signed_release(), decision="keep", at=AT)


# Signed with a pen


def sheets(*kinds):
    return [Sheet(scan(kind=kind), f"sheet-{n}.{kind.lower()}") for n, kind in enumerate(kinds or ("PDF",), start=1)]


PEN = {"signed_on": AT.date(), "signer_name": "Maro Lantadze", "capacity": "self", "at": AT + timedelta(days=3)}


def test_a_print_signed_with_a_pen_counts_with_its_scan_kept_as_it_came(release):
    given = sheets("JPEG", "PNG", "PDF")
    signed = record_signed_print(release, sheets=given, witness_name="Oda Fenwick", **PEN)
    kept = [signed.paper, *(each.file for each in signed.scans.all())]
    assert [file.read_bytes() for file in kept] == [sheet.data for sheet in given]
    assert [each.position for each in signed.scans.all()] == [2, 3]
    assert kinds(signed) == ["offered", "paper_kept", "signed", "witness", "copy_sent"]
    row = evidence_about(f"release:{signed.pk}").get(kind="paper_kept")
    assert row.payload == {"sha256": [hashlib.sha256(sheet.data).hexdigest() for sheet in given]}
    said = evidence_about(f"release:{signed.pk}").get(kind="signed").payload
    assert (said["way"], said["on"], said["document"]) == ("pen", "2026-11-14", release.text_sha256)
    assert (signed.state, signed.signed_with, signed.witness_name) == ("signed", "pen", "Oda Fenwick")
    assert first_broken_link() is None
    cleared = terms_of(signed)
    assert (cleared.is_signed, cleared.signed_at.isoformat()) == (True, "2026-11-13T23:00:00+00:00")


@pytest.mark.parametrize(
    ("change", "error"),
    [
        ({"sheets": []}, NoScan),
        ({"sheets": sheets(*["PNG"] * 13)}, TooManySheets),
        ({"sheets": [Sheet(b"Maro says yes", "paper.pdf")]}, FileTypeRefused),
        ({"sheets": [Sheet(b"%PDF-1.7\nno paper", "paper.pdf")]}, PictureRefused),
        ({"sheets": [Sheet(scan(kind="JPEG")[:-200], "paper.jpg")]}, PictureRefused),
        ({"sheets": [Sheet(b"", "paper.pdf")]}, FileEmpty),
        ({"sheets": [Sheet(b"%PDF-" + b" " * LARGEST_SCAN, "paper.pdf")]}, FileTooLarge),
        ({"signed_on": AT.date() + timedelta(days=4)}, DayImpossible),  # still to come
        ({"signed_on": AT.date() - timedelta(days=1)}, DayImpossible),  # before the text was made
        ({"signed_on": date(9999, 12, 31)}, DayImpossible),
        ({"capacity": "guardian"}, GuardianMustSign),
    ],
)  # fmt: skip
def test_a_paper_that_cannot_count_leaves_the_release_waiting(release, change, error):
    with pytest.raises(error) as refused:
        record_signed_print(release, **{"sheets": sheets(), **PEN, **change})
    assert refused.value.what_to_do
    release.refresh_from_db()
    assert (release.state, release.paper, kinds(release)) == ("offered", None, ["offered"])
    assert not terms_of(release).is_signed


def test_of_several_sheets_one_bad_one_keeps_none(release):
    with pytest.raises(FileTypeRefused):
        record_signed_print(release, sheets=[*sheets("PNG", "PDF"), Sheet(b"GIF89a", "third.gif")], **PEN)
    assert not StoredFile.objects.filter(kind="release").exists()


def test_a_signed_paper_is_recorded_once(release):
    record_signed_print(release, sheets=sheets(), **PEN)
    with pytest.raises(MoveRefused):
        record_signed_print(release, sheets=sheets(), **PEN)


def test_a_paper_signed_on_the_day_of_a_withdrawal_stays_below_it(release):
    shoot = release.shoot
    withdraw_release(signed_release(shoot), reason="Left", at=AT + timedelta(hours=2))
    record_signed_print(release, sheets=sheets(), **PEN)
    assert that_stand(terms_of(each) for each in Release.objects.filter(shoot=shoot)) == ()


@pytest.mark.both
@pytest.mark.django_db
def test_the_database_counts_no_paper_without_its_scan_and_keeps_every_sheet():
    release = offered_release()
    with pytest.raises(IntegrityError), transaction.atomic():
        Release.objects.filter(pk=release.pk).update(state="signed", signed_with="pen", signed_at=AT)
    signed = record_signed_print(release, sheets=sheets("PNG", "PNG"), **PEN)
    sheet = signed.scans.get()
    for change in (sheet.delete, lambda: ReleaseScan.objects.update(position=9)):
        with pytest.raises(IntegrityError), transaction.atomic():
            change()


FOREIGN = {
    "paper_wording": "Picture consent of the house, edition of March 2025", "signed_on": date(2025, 3, 9),
    "signer_name": "Maro Lantadze", "capacity": "self", "kind": "model", "use_classes": frozenset({"stock"}),
    "use_media": frozenset({"print"}), "use_from": date(2025, 4, 1), "use_until": date(2030, 1, 1), "at": AT,
}  # fmt: skip


def test_the_log_says_which_foreign_paper_a_witness_signed(db):
    shoot = shoot_with_cook()
    signed = record_foreign_paper(
        shoot, person=shoot.people.get().person, sheets=sheets("JPEG"), witness_name="Oda Fenwick", **FOREIGN
    )
    rows = evidence_about(f"release:{signed.pk}").filter(kind__in=("signed", "witness"))
    assert {row.payload["document"] for row in rows} == {signed.paper.sha256}


def test_a_paper_with_words_of_its_own_counts_with_the_limits_typed_from_it(db):
    shoot = shoot_with_cook()
    signed = record_foreign_paper(shoot, person=shoot.people.get().person, sheets=sheets("JPEG"), **FOREIGN)
    assert (signed.state, signed.has_own_wording, signed.text_sha256) == ("signed", True, "")
    said = " ".join(signed.snapshot["limits"]).replace("\u00a0", " ")
    for words in (
        "For: stock",
        "From 1 Apr 2025 on.",
        "Until 31 Dec 2029 (last day)",
        "Not for anything that is not named",
    ):
        assert words in said
    terms = terms_of(signed)
    assert (terms.classes, terms.media, terms.use_from, terms.use_until) == (
        {"stock"},
        {"print"},
        date(2025, 4, 1),
        date(2030, 1, 1),
    )
    assert kinds(signed) == ["limits_typed", "paper_kept", "signed"]
    said = evidence_about(f"release:{signed.pk}").get(kind="signed").payload
    assert said["document"] == signed.paper.sha256
    assert "Maro" not in str([row.payload for row in evidence_about(f"release:{signed.pk}")])


def test_a_foreign_paper_without_its_scan_leaves_nothing(db):
    shoot = shoot_with_cook()
    with pytest.raises(NoScan):
        record_foreign_paper(shoot, person=shoot.people.get().person, sheets=[], **FOREIGN)
    assert not Release.objects.exists()


def test_a_foreign_paper_for_somebody_under_age_needs_the_guardian(db):
    shoot = shoot_with_cook()
    young = {"person": shoot.people.get().person, "is_minor": True, "guardian_name": "Ilo Lantadze", "sheets": sheets()}
    with pytest.raises(GuardianMustSign):
        record_foreign_paper(shoot, **{**FOREIGN, **young})
    both = {**young, "signer_name": "Ilo Lantadze", "capacity": "guardian", "minor_signed": True}
    signed = record_foreign_paper(shoot, **{**FOREIGN, **both})
    assert (signed.is_signed_by_guardian, signed.minor_signed_at) == (True, signed.signed_at)
    assert kinds(signed) == ["limits_typed", "paper_kept", "signed", "guardian", "minor_signed"]


def test_what_waits_is_printed_and_what_is_answered_is_not(release):
    assert print_to_sign(release).startswith(b"%PDF")
    assert print_to_sign(release) == print_to_sign(release)
    sign_release(release, text_sha256=release.text_sha256, signature_path=SIGNATURE, **YES)
    release.refresh_from_db()
    with pytest.raises(Refusal):
        print_to_sign(release)


# Beside the guardian


@pytest.fixture
def for_both(db):
    return offered_release(
        is_minor=True, guardian_name="Ilo Lantadze", minor_signs=True, signer_email="ilo@walnut-lantern.example"
    )


BESIDE = {"signature_path": SIGNATURE, "via": "private link", "at": AT}


def test_the_one_under_age_signs_then_the_guardian_and_both_are_in_the_log(for_both):
    waiting = sign_beside_guardian(for_both, text_sha256=for_both.text_sha256, **BESIDE)
    assert (waiting.state, terms_of(waiting).is_signed, terms_of(waiting).has_guardian_signed) == (
        "offered",
        False,
        False,
    )
    signed = sign_release(for_both, text_sha256=for_both.text_sha256, signature_path=SIGNATURE, **GUARDIAN)
    assert (signed.is_signed_by_guardian, signed.minor_signed_at) == (True, AT)
    assert kinds(signed) == ["offered", "minor_signed", "consent", "signed", "guardian", "sealed", "copy_sent"]
    assert "Lantadze" not in str([row.payload for row in evidence_about(f"release:{signed.pk}")])


def test_the_guardian_alone_is_enough(for_both):
    signed = sign_release(for_both, text_sha256=for_both.text_sha256, signature_path=SIGNATURE, **GUARDIAN)
    assert (signed.is_signed_by_guardian, signed.minor_signed_at) == (True, None)


@pytest.mark.parametrize(
    ("change", "error"),
    [
        ({"text_sha256": "0" * 64}, ReleaseChanged),
        ({"signature_path": ""}, SignatureMissing),
    ],
)
def test_a_signature_beside_the_guardian_that_cannot_count_changes_nothing(for_both, change, error):
    with pytest.raises(error):
        sign_beside_guardian(for_both, **{"text_sha256": for_both.text_sha256, **BESIDE, **change})
    assert kinds(for_both) == ["offered"]


def test_nobody_signs_beside_the_guardian_twice_or_unasked_or_after_the_answer(for_both, for_guardian):
    with pytest.raises(NotTheirsToSign):
        sign_beside_guardian(for_guardian, text_sha256=for_guardian.text_sha256, **BESIDE)
    sign_beside_guardian(for_both, text_sha256=for_both.text_sha256, **BESIDE)
    with pytest.raises(NotTheirsToSign):
        sign_beside_guardian(for_both, text_sha256=for_both.text_sha256, **BESIDE)
    refuse_release(for_both, via="private link", at=AT)
    with pytest.raises(MoveRefused):
        sign_beside_guardian(for_both, text_sha256=for_both.text_sha256, **BESIDE)


@pytest.mark.both
@pytest.mark.django_db
def test_the_database_keeps_what_the_one_under_age_signed():
    release = offered_release(is_minor=True, guardian_name="Ilo Lantadze", minor_signs=True)
    sign_beside_guardian(release, text_sha256=release.text_sha256, **BESIDE)
    for change in ({"minor_signed_at": None}, {"minor_signature_path": "M0 0L9 9"}, {"minor_typed_name": "x"}):
        with pytest.raises(IntegrityError), transaction.atomic():
            Release.objects.filter(pk=release.pk).update(**change)


# A witness


def test_where_a_witness_is_asked_for_none_signs_without_one(db):
    release = offered_release(asks_witness=True)
    with pytest.raises(WitnessMissing):
        sign_release(release, text_sha256=release.text_sha256, signature_path=SIGNATURE, **YES)
    signed = sign_release(
        release, text_sha256=release.text_sha256, signature_path=SIGNATURE, witness_name="Oda Fenwick",
        witness_signature_path=SIGNATURE, **YES,
    )  # fmt: skip
    assert signed.witness_name == "Oda Fenwick"
    assert "witness" in kinds(signed)
    assert "Fenwick" not in str([row.payload for row in evidence_about(f"release:{signed.pk}")])


# Several shoots by name


def test_one_signature_for_several_shoots_names_each_with_its_day(db):
    shoot = shoot_with_cook()
    other = ShootFactory(client=shoot.client, licensee=shoot.licensee, title="Spring menu", first_on=date(2026, 3, 2))
    elsewhere = ShootFactory(client=shoot.client, licensee=shoot.licensee, title="Kept apart")
    release = signed_release(shoot, reach="named", also_for=[other])
    said = release.snapshot["texts"][1]["paragraphs"][0].replace("\u00a0", " ")
    assert "“Spring menu” (2 Mar 2026" in said
    assert "“Winter menu”" in said
    assert release.named_shoots == sorted([shoot.pk, other.pk])
    house = shoot.licensee_id
    assert [release.reaches(each.pk, house) for each in (shoot, other, elsewhere)] == [True, True, False]


def test_several_shoots_are_two_at_least_and_a_thing_stays_in_its_house(db):
    shoot = shoot_with_cook()
    with pytest.raises(ShootsNotNamed):
        offered_release(shoot, reach="named", also_for=[shoot])
    plates = {"kind": "property", "person": None, "property_description": "Plates", "reach": "named"}
    with pytest.raises(ShootsNotNamed):
        offered_release(shoot, **plates, also_for=[ShootFactory()])
    assert not Release.objects.exists()


@pytest.mark.both
@pytest.mark.django_db
def test_the_database_adds_no_shoot_to_what_was_offered():
    shoot = shoot_with_cook()
    release = offered_release(shoot, reach="named", also_for=[ShootFactory(licensee=shoot.licensee)])
    for change in ({"named_shoots": [*release.named_shoots, 99]}, {"reach": "shoot"}, {"named_shoots": []}):
        with pytest.raises(IntegrityError), transaction.atomic():
            Release.objects.filter(pk=release.pk).update(**change)
