from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from shared.states import MoveRefused
from shared.words.formats import plain_spaces
from shoots.licences.actions import (
    CannotChange,
    LicenceConflict,
    NotInForce,
    accept_licence,
    begin_on_delivery,
    keep_licence_paper,
    place_licence,
    send_licence,
    start_licence,
)
from shoots.licences.models import Licence, LicenceBox
from shoots.licences.queries import (
    can_be_changed,
    grant_of,
    licence_for_paper,
    licence_shown,
    licences_with_other_boxes,
)
from shoots.life import actions, queries
from tests.factories.at_once import held_by_somebody_else
from tests.factories.licences import (
    ADVERTISING,
    ALONE,
    AT,
    FIRST,
    OWN,
    agreed,
    granted,
    offered,
    oystercatcher,
    picture_of,
    placed,
)
from tests.shoots.licences.test_actions import at_once, covers, kept, kinds, rivals_that_stand, yes

pytestmark = [pytest.mark.both, pytest.mark.django_db]

NOW = datetime(2026, 12, 10, 9, 0, tzinfo=UTC)
TODAY = date(2026, 12, 10)
WIDER = {**ADVERTISING, "use_territories": ["AT", "DE"]}


def paid(pictures=None, **also):
    return granted(pictures or [picture_of()], fee_net=Decimal(0), **also)


def changed(licence, **also):
    terms = {
        "use": WIDER,
        "pictures": licence.pictures.all(),
        "last_day": licence.last_day,
        "fee_net": Decimal(300),
        "accepted_by": "Runa Tallow",
        "signed_by": "Tindra Aldermoor",
    }
    return actions.change_licence(licence, **{**terms, **also}, at=NOW)


def part(licence, **also):
    kept = {
        "classes": licence.use_classes,
        "media": licence.use_media,
        "territories": licence.use_territories,
        "pictures": licence.pictures.all(),
        "last_day": licence.last_day,
        "accepted_by": "Runa Tallow",
    }
    return actions.give_up_part(licence, **{**kept, **also}, at=NOW)


# Another on top, or in its place


def test_a_renewal_is_a_new_offer_from_the_day_after_the_last():
    licence = granted(fee_net=Decimal(0))
    renewal = actions.renew_licence(licence, months=12, fee_net=Decimal(540), at=AT)
    assert (renewal.state, renewal.renews, renewal.use_from) == ("offered", licence, licence.use_until)
    assert list(renewal.pictures.all()) == list(licence.pictures.all())
    licence.refresh_from_db()
    assert licence.state == "paid"
    accept_licence(renewal, accepted_by="Runa Tallow", at=AT)


def test_a_licence_without_end_is_not_renewed():
    with pytest.raises(actions.CannotRenew):
        actions.renew_licence(granted(use={**ADVERTISING, "use_months": None}), months=12, fee_net=Decimal(1), at=AT)


def test_a_change_covers_every_day_under_the_old_licence_until_it_is_paid():
    old = paid()
    new = changed(old)
    assert (old.state, new.state, new.supersedes, new.origin) == ("superseded", "accepted", old, "change")
    assert (new.use_from, new.last_day, new.fee_net) == (TODAY, old.last_day, Decimal(300))
    assert (covers(old, date(2027, 3, 1)), covers(new, date(2027, 3, 1))) == (True, False)
    start_licence(new, paid_on=date(2027, 1, 8), at=datetime(2027, 1, 8, 9, tzinfo=UTC))
    days = [FIRST, TODAY, date(2027, 1, 7), date(2027, 1, 8), date(2027, 11, 30)]
    assert all(covers(old, day) or covers(new, day) for day in days)
    assert (covers(old, date(2027, 1, 7)), covers(old, date(2027, 1, 8))) == (True, False)
    assert kinds(old)[-2:] == ["superseded", "taken_over"]


def test_a_change_without_a_fee_takes_over_the_same_day_on_other_pictures_too():
    picture = picture_of()
    old = paid([picture])
    new = changed(old, fee_net=Decimal(0), pictures=[picture, picture_of(picture.shoot)])
    assert (new.state, new.pictures.count()) == ("paid", 2)
    assert (covers(old, date(2026, 12, 9)), covers(old, TODAY), covers(new, TODAY)) == (True, False, True)


def test_a_change_against_a_rival_is_refused_and_the_old_licence_stays():
    picture = picture_of()
    old = paid([picture])
    rival = granted([picture], licensee=oystercatcher(), use={**ALONE, "use_territories": ["AT"]})
    with pytest.raises(LicenceConflict, match=rival.number):
        changed(old)
    old.refresh_from_db()
    assert (old.state, old.cut_on, Licence.objects.count()) == ("paid", None, 2)


def test_an_exclusive_change_stays_exclusive_to_the_same_day():
    old = paid(use={**ALONE, "exclusive_months": 6})
    new = changed(old, use={**ALONE, "use_territories": ["AT", "DE"]})
    assert (new.exclusivity, new.exclusive_until) == (old.exclusivity, date(2027, 6, 1))


def test_what_is_not_paid_not_placed_or_over_is_not_changed():
    with pytest.raises(CannotChange, match="not paid yet"):
        changed(granted())
    with pytest.raises(CannotChange, match="is offered"):
        changed(offered([picture_of()]))
    over = paid(first_day=date(2026, 11, 20), last_day=date(2026, 12, 9))
    with pytest.raises(CannotChange, match="is over"):
        changed(over, last_day=date(2027, 1, 1))
    old = paid()
    changed(old)
    with pytest.raises(CannotChange, match="is superseded"):
        changed(old)


def test_a_part_given_up_leaves_the_rest_paid_and_frees_the_part():
    picture = picture_of()
    old = paid([picture], use=ALONE)
    new = part(old, media=["web.display"])
    assert (new.state, new.fee_net, new.use_media, new.origin) == ("paid", 0, ["web.display"], "part_given_up")
    assert new.signed_by == "Tindra Aldermoor"
    assert (covers(old, TODAY), covers(new, TODAY)) == (False, True)
    free = {**ADVERTISING, "use_media": ["web.paid_social"]}
    assert granted([picture], licensee=oystercatcher(), use=free, first_day=TODAY, at=NOW).state == "accepted"


def test_days_and_pictures_may_be_given_up():
    picture = picture_of()
    old = paid([picture, picture_of(picture.shoot)])
    new = part(old, pictures=[picture], last_day=date(2027, 3, 31))
    assert (new.last_day, list(new.pictures.all())) == (date(2027, 3, 31), [picture])


def test_a_part_is_never_wider_nor_the_whole():
    old = paid()
    with pytest.raises(CannotChange, match="Nothing is given up"):
        part(old)
    for wider, noun in (
        ({"territories": ["DE", "AT"]}, "a territory"),
        ({"media": ["web.display", "web.own"]}, "a medium"),
        ({"classes": ["advertising", "editorial"]}, "a class of use"),
        ({"last_day": None}, "days"),
        ({"pictures": [picture_of()]}, "a picture"),
    ):
        with pytest.raises(CannotChange, match=noun):
            part(old, **wider)
    old.refresh_from_db()
    assert old.state == "paid"


def test_a_top_up_adds_copies_and_counts_those_reported_on():
    old = paid(use={**ADVERTISING, "use_copies": 5000})
    actions.report_copies(old, copies=4200, at=AT)
    new = actions.top_up_copies(old, copies=3000, fee_net=Decimal(90), accepted_by="Runa Tallow", at=NOW)
    assert (new.use_copies, new.copies_used, new.fee_net, new.origin) == (8000, 0, Decimal(90), "top_up")
    actions.report_copies(old, copies=300, at=NOW)
    new = start_licence(new, paid_on=TODAY, at=NOW)
    assert (new.copies_used, grant_of(new, ["p"]).copies_left) == (4500, 3500)
    with pytest.raises(CannotChange, match="at least one copy"):
        actions.top_up_copies(new, copies=0, fee_net=Decimal(0), accepted_by="Runa Tallow", at=NOW)
    with pytest.raises(CannotChange, match="any number"):
        actions.top_up_copies(paid(), copies=5, fee_net=Decimal(0), accepted_by="Runa Tallow", at=NOW)


@pytest.mark.django_db(transaction=True)
def test_changing_and_accepting_at_once_leave_one_of_two_rivals():
    picture = picture_of()
    old = paid([picture])
    rival = offered([picture], licensee=oystercatcher(), use={**ALONE, "use_territories": ["AT"]})
    assert at_once(lambda: changed(old), yes(rival)) == ["granted", "refused"]
    assert rivals_that_stand() == []
    assert Licence.objects.filter(state__in=("paid", "superseded"), licensee=old.licensee).exists()


@pytest.mark.django_db(transaction=True)
def test_a_change_and_a_licence_granted_beside_it_at_once_wait_for_each_other_in_turn():
    licence = paid()
    log = {"subject": "licence:0", "payload": {}, "at": AT}
    with held_by_somebody_else(
        lambda: actions.take_number("licence", on=AT.date()), lambda: actions.record_evidence("granted", **log)
    ):
        assert changed(licence).state == "accepted"


# Lapsing, taken off


def test_an_unpaid_licence_lapses_after_the_days_agreed():
    licence = actions.set_lapse(placed(lapse_days=14), due_on=date(2026, 12, 15), at=AT)
    assert licence.lapses_on == date(2026, 12, 30)
    assert actions.set_lapse(granted(), due_on=date(2026, 12, 15), at=AT).lapses_on is None


def test_an_invoice_taken_back_takes_back_the_day_a_licence_lapses():
    licence = actions.set_lapse(placed(lapse_days=14), due_on=date(2026, 12, 15), at=AT)
    assert actions.clear_lapse(licence, at=AT).lapses_on is None
    licence.refresh_from_db()
    assert licence.lapses_on is None
    logged = kinds(licence)
    assert logged.count("lapse_cleared") == 1
    actions.clear_lapse(licence, at=AT)
    assert kinds(licence) == logged


def test_an_offer_blocks_nobody_and_may_be_declined():
    picture = picture_of()
    offer = offered([picture], use=ALONE)
    granted([picture], licensee=oystercatcher())
    actions.decline_licence(offer, reason="Too dear", at=AT)
    assert (offer.state, offer.end_reason) == ("declined", "Too dear")
    with pytest.raises(MoveRefused):
        accept_licence(offer, accepted_by="Runa Tallow", at=AT)


def test_a_refunded_licence_blocks_nobody():
    picture = picture_of()
    licence = granted([picture], use=ALONE, fee_net=Decimal(0))
    actions.refund_licence(licence, reason="Not used", at=AT)
    assert granted([picture], licensee=oystercatcher()).state == "accepted"
    assert not LicenceBox.objects.filter(licence=licence).exists()


def test_of_a_refunded_licence_the_last_paper_is_given_and_none_is_sent():
    licence = granted(fee_net=Decimal(0))
    paper = keep_licence_paper(licence, at=AT)
    actions.refund_licence(licence, at=AT)
    assert keep_licence_paper(licence, at=AT) == paper
    with pytest.raises(NotInForce, match="Papers made before are on its page"):
        send_licence(licence, to="runa@kvernmoor.example", at=AT)
    assert kept(licence) == [(1, paper.file.sha256)]


def test_a_revoked_licence_blocks_until_it_is_cut():
    picture = picture_of()
    licence = granted([picture], use=ALONE, fee_net=Decimal(0))
    actions.revoke_licence(licence, cut_on=date(2027, 2, 1), reason="Used in another country", at=AT)
    assert licence.last_day == date(2027, 1, 31)
    with pytest.raises(LicenceConflict):
        granted([picture], licensee=oystercatcher())
    assert granted([picture], licensee=oystercatcher(), first_day=date(2027, 2, 1))


def test_a_revoked_licence_is_printed_with_its_last_day():
    licence = granted(fee_net=Decimal(0))
    actions.revoke_licence(licence, cut_on=date(2027, 1, 1), reason="A new owner", at=AT)
    paper = keep_licence_paper(licence, at=AT)
    assert (paper.snapshot["last_on"], paper.snapshot["is_cut_short"]) == ("2026-12-31", True)


# Days given back


def test_use_that_began_by_mistake_begins_with_the_next_delivery():
    licence = begin_on_delivery(placed(), delivered_on=FIRST, at=AT)
    actions.take_back_begin(licence, at=AT)
    assert licence.delivered_on is None


def test_a_delivery_called_back_gives_the_old_licence_its_days_back():
    old = placed(begins="on_date", begins_on=FIRST, terms={**OWN, "use_months": None})
    new = agreed(old.shoot, supersedes=old)
    place_licence(new, pictures=old.pictures.all(), first_day=FIRST, at=AT)
    then = datetime(2026, 12, 10, 9, 0, tzinfo=UTC)
    new = begin_on_delivery(new, delivered_on=date(2026, 12, 10), at=then)
    assert (covers(old, date(2026, 12, 20)), covers(new, date(2026, 12, 20))) == (False, True)
    actions.take_back_begin(new, at=then)
    assert (covers(old, date(2026, 12, 20)), covers(new, date(2026, 12, 20))) == (True, False)
    assert kinds(old)[-1] == "given_back"
    begin_on_delivery(new, delivered_on=date(2026, 12, 15), at=datetime(2026, 12, 15, 9, tzinfo=UTC))
    assert (covers(old, date(2026, 12, 14)), covers(old, date(2026, 12, 15))) == (True, False)


# A changed licence that comes to nothing


def test_a_change_that_stays_unpaid_and_is_declined_leaves_the_old_licence_as_it_was():
    old = paid()
    new = changed(old)
    actions.decline_licence(new, reason="Not paid", at=NOW)
    old.refresh_from_db()
    assert (old.state, old.left, old.cut_on, old.last_day) == ("paid", "", None, date(2027, 11, 30))
    assert all(covers(old, day) for day in (FIRST, TODAY, date(2027, 11, 30)))
    assert kinds(old)[-2:] == ["superseded", "given_back"]
    assert queries.after_declining(new) == f"{old.number} stands again as it did before; no day is lost."
    assert licences_with_other_boxes() == []
    assert can_be_changed(old, TODAY)
    assert licence_shown(licence_for_paper(old.pk).get(), version=1, at=NOW).replaced_by == ""
    assert changed(old).state == "accepted", "and it may be changed again"


def test_a_paid_licence_not_placed_yet_comes_back_and_can_be_placed():
    old = agreed()
    start_licence(old, paid_on=date(2026, 11, 20), at=AT)
    new = agreed(old.shoot, supersedes=old, origin="estimate:2")
    actions.decline_licence(new, at=NOW)
    old.refresh_from_db()
    assert (old.state, old.cut_on) == ("paid", None)
    assert place_licence(old, pictures=[picture_of(old.shoot)], first_day=TODAY, at=NOW).is_placed


def test_days_taken_over_before_payment_come_back_when_it_is_declined():
    """Agreed anew, use began with the delivery, the fee never came: the paid licence before it goes on without a day between."""
    old = placed(begins="on_date", begins_on=FIRST)
    start_licence(old, paid_on=FIRST, at=AT)
    new = agreed(old.shoot, supersedes=old, origin="estimate:2")
    place_licence(new, pictures=old.pictures.all(), first_day=TODAY, at=NOW)
    begin_on_delivery(new, delivered_on=TODAY, at=NOW)
    assert not covers(old, TODAY)
    new.refresh_from_db()
    actions.decline_licence(new, at=datetime(2027, 3, 1, 9, tzinfo=UTC))
    assert all(covers(old, day) for day in (FIRST, TODAY, date(2027, 3, 1), date(2028, 11, 30)))


def test_what_was_never_paid_does_not_come_back_and_the_one_paid_before_it_does():
    first = placed(begins="on_date", begins_on=FIRST)
    start_licence(first, paid_on=FIRST, at=AT)
    second = agreed(first.shoot, supersedes=first, origin="estimate:2")
    third = agreed(first.shoot, supersedes=second, origin="estimate:3")
    actions.decline_licence(third, at=NOW)
    first.refresh_from_db(), second.refresh_from_db()
    assert (first.state, second.state) == ("paid", "superseded")
    assert kinds(second)[-1] == "not_given_back"
    assert "it was not paid either" in queries.after_declining(third)
    assert f"{first.number} stands again" in queries.after_declining(third)


def test_an_old_licence_never_comes_back_against_one_agreed_meanwhile():
    """The change gave Germany up and began on its date; Germany was sold alone to another before the change was declined."""
    old = placed(begins="on_date", begins_on=FIRST, terms={**ADVERTISING, "use_months": 24})
    start_licence(old, paid_on=FIRST, at=AT)
    smaller = {**ADVERTISING, "use_territories": ["AT"]}
    new = agreed(old.shoot, supersedes=old, origin="estimate:2", terms=smaller, begins="on_date", begins_on=TODAY)
    new = place_licence(new, pictures=old.pictures.all(), first_day=TODAY, at=NOW)
    rival = granted(list(old.pictures.all()), licensee=oystercatcher(), use=ALONE, first_day=TODAY, at=NOW)
    actions.decline_licence(new, at=NOW)
    old.refresh_from_db()
    assert (old.state, old.cut_on) == ("superseded", TODAY)
    assert rivals_that_stand() == []
    said = plain_spaces(queries.after_declining(new))
    assert (
        f"{old.number} does not come back, because {rival.number} was agreed meanwhile: its last day is 9 Dec 2026."
        in said
    )
    assert old.licensee.name in said


@pytest.mark.django_db(transaction=True)
def test_declining_a_change_and_selling_its_days_at_once_leave_no_two_rivals():
    old = placed(begins="on_date", begins_on=FIRST, terms={**ADVERTISING, "use_months": 24})
    start_licence(old, paid_on=FIRST, at=AT)
    smaller = {**ADVERTISING, "use_territories": ["AT"]}
    new = agreed(old.shoot, supersedes=old, origin="estimate:2", terms=smaller, begins="on_date", begins_on=TODAY)
    new = place_licence(new, pictures=old.pictures.all(), first_day=TODAY, at=NOW)
    rival = offered(list(old.pictures.all()), licensee=oystercatcher(), use=ALONE, first_day=TODAY, at=NOW)
    told = at_once(
        lambda: actions.decline_licence(new, at=NOW),
        lambda: accept_licence(rival, accepted_by="A. Client", signed_by="Tindra Aldermoor", at=NOW),
    )
    assert "granted" in told
    assert rivals_that_stand() == []


def test_the_fee_of_a_change_paid_back_brings_the_old_licence_back_with_the_copies_made_since():
    old = paid(use={**ADVERTISING, "use_copies": 5000})
    new = actions.top_up_copies(old, copies=3000, fee_net=Decimal(90), accepted_by="Runa Tallow", at=NOW)
    new = start_licence(new, paid_on=TODAY, at=NOW)
    actions.report_copies(new, copies=700, at=NOW)
    new.refresh_from_db()
    actions.refund_licence(new, at=NOW)
    old.refresh_from_db()
    assert (old.state, old.copies_used, covers(old, TODAY)) == ("paid", 700, True)


def test_a_change_that_is_revoked_brings_nothing_back():
    old = paid()
    new = start_licence(changed(old), paid_on=TODAY, at=NOW)
    actions.revoke_licence(new, cut_on=date(2027, 2, 1), reason="Sold on to others", at=NOW)
    assert (covers(old, date(2027, 3, 1)), covers(new, date(2027, 1, 31)), covers(new, date(2027, 2, 1))) == (
        False,
        True,
        False,
    )


# Copies


def test_copies_reported_add_up():
    licence = granted(use={**ADVERTISING, "use_media": ["print.ad"], "use_copies": 1000})
    actions.report_copies(licence, copies=400, at=AT)
    assert actions.report_copies(licence, copies=700, at=AT).copies_used == 1100


def test_nobody_reports_copies_of_what_is_not_agreed():
    counted = {**ADVERTISING, "use_media": ["print.ad"], "use_copies": 1000}
    licence = offered(use=counted)
    with pytest.raises(actions.NothingToReport, match="is offered, not agreed"):
        actions.report_copies(licence, copies=400, at=AT)
    licence.refresh_from_db()
    assert licence.copies_used == 0


@pytest.mark.parametrize("copies", [0, -5])
def test_fewer_copies_than_one_are_no_report(copies):
    licence = granted(fee_net=Decimal(0))
    actions.report_copies(licence, copies=900, at=AT)
    with pytest.raises(actions.NoCopies):
        actions.report_copies(licence, copies=copies, at=AT)
    licence.refresh_from_db()
    assert licence.copies_used == 900
