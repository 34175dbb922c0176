import threading
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, connection, transaction

from clients.models import Trade
from shared.business.queries import today
from shared.evidence.queries import evidence_about, first_broken_link
from shared.outbox.models import Message
from shared.states import MoveRefused
from shared.words.formats import plain_spaces
from shoots.brief.actions import agree_selling_on
from shoots.brief.models import SellingOn
from shoots.licences import actions, queries
from shoots.licences.conflicts import find_clashes
from shoots.licences.models import Licence
from shoots.licences.queries import licence_for_paper, licence_shown
from shoots.pictures.models import Assessment, PicturePerson
from shoots.trades.actions import rename_trade
from shoots.uses.intended import ANY_NUMBER, InvalidUse
from tests.factories.clients import ClientFactory, ClientPersonFactory, PersonFactory
from tests.factories.licences import (
    ADVERTISING,
    ALONE,
    AT,
    FIRST,
    OWN,
    agreed,
    free_shoot,
    granted,
    kvernmoor,
    offered,
    oystercatcher,
    picture_of,
    placed,
    terms,
)
from tests.factories.releases import shoot_with_cook, signed_release

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def kinds(licence):
    return [row.kind for row in evidence_about(f"licence:{licence.pk}")]


# Agreed and placed


def test_a_licence_agreed_with_an_estimate_waits_for_its_pictures():
    licence = agreed()
    assert (licence.state, licence.is_placed, licence.use_from) == ("accepted", False, None)
    assert licence.number == "L-2026-001"
    assert licence.boxes.count() == 0
    assert "Walnut Lantern" in licence.frozen["sentences"][0]
    assert licence.frozen["codes"]["use_media"] == ["web.own", "web.social"]
    assert kinds(licence) == ["accepted"]


def test_words_are_kept_in_the_clients_language_and_in_english():
    licence = agreed(language="de")
    assert licence.frozen["sentences"][0].startswith("Eigenwerbung von Walnut Lantern")
    assert licence.frozen["english"][0].startswith("Own promotion of Walnut Lantern")


def test_a_large_group_of_countries_is_kept_by_name_and_day():
    from shoots.uses.territory_tree import GROUPS

    licence = agreed(terms={**OWN, "use_territories": sorted(GROUPS["EU"].members)})
    assert licence.frozen["groups"][0]["name"] == "EU"
    assert "“European Union” means the 27 countries that belonged to it on 20 Nov 2026" in plain_spaces(
        " ".join(licence.frozen["english"])
    )


def test_placing_gives_a_licence_its_days_both_printed_inclusive():
    licence = placed()
    assert (licence.use_from, licence.use_until) == (date(2026, 12, 1), date(2028, 12, 1))
    assert licence.last_day == date(2028, 11, 30)
    assert licence.boxes.count() == 2
    assert kinds(licence) == ["accepted", "placed"]


def test_pictures_may_join_later_up_to_the_number_agreed():
    shoot = free_shoot()
    licence = placed(shoot, pictures_agreed=2)
    actions.place_licence(licence, pictures=[picture_of(shoot)], first_day=date(2027, 5, 1), at=AT)
    licence.refresh_from_db()
    assert (licence.pictures.count(), licence.use_from) == (2, FIRST)
    with pytest.raises(actions.NoCell, match="agreed to 2 pictures, 3 are ticked"):
        actions.place_licence(licence, pictures=[picture_of(shoot)], first_day=FIRST, at=AT)


def test_a_licence_on_no_picture_is_refused():
    with pytest.raises(actions.NoCell, match="No picture is ticked"):
        actions.place_licence(agreed(), pictures=[], first_day=FIRST, at=AT)


def test_a_licence_is_not_placed_on_another_shoots_pictures():
    with pytest.raises(actions.NoCell, match="another shoot"):
        actions.place_licence(agreed(), pictures=[picture_of()], first_day=FIRST, at=AT)


def test_an_offer_is_not_placed():
    licence = offered()
    with pytest.raises(MoveRefused):
        actions.place_licence(licence, pictures=[picture_of(licence.shoot)], first_day=FIRST, at=AT)


# Granted


def test_granting_freezes_words_days_and_pictures():
    picture = picture_of()
    licence = granted([picture])
    assert (licence.state, licence.is_billed_with_shoot) == ("accepted", False)
    assert licence.frozen["pictures"] == [picture.number]
    assert (licence.frozen["use_from"], licence.frozen["use_until"]) == ("2026-12-01", "2027-12-01")
    assert "from 1 Dec 2026 to 30 Nov 2027 (last day)" in plain_spaces(licence.frozen["sentences"][0])
    assert kinds(licence) == ["offered", "granted"]
    assert first_broken_link() is None


def test_a_licence_may_end_on_a_day_that_is_no_whole_month():
    licence = granted(last_day=date(2027, 3, 14))
    assert (licence.use_until, licence.last_day) == (date(2027, 3, 15), date(2027, 3, 14))
    with pytest.raises(actions.NoCell, match="before the first"):
        granted(last_day=date(2026, 11, 30))


def test_a_licence_without_a_fee_needs_no_payment():
    assert granted(fee_net=Decimal(0)).state == "paid"


def test_a_term_past_the_calendar_is_refused():
    with pytest.raises(actions.NoCell, match="9999"):
        offered(first_day=date(9999, 1, 1))


def test_unknown_codes_make_no_licence():
    with pytest.raises(InvalidUse):
        offered(use={**ADVERTISING, "use_media": ["carrier.pigeon"]})
    assert not Licence.objects.exists()


def test_an_exclusive_licence_needs_the_photographers_signature():
    with pytest.raises(actions.LicenceUnsigned):
        granted(use=ALONE, signed_by="")
    assert granted(use=ALONE, signed_by="Tindra Aldermoor").signed_by == "Tindra Aldermoor"


def test_client_and_offer_are_written_to_where_there_is_an_address():
    client = kvernmoor()
    ClientPersonFactory(client=client, person=PersonFactory(name="Runa Tallow", email="runa@kvernmoor.example"))
    offer = offered(licensee=client, write_to_client=True)
    actions.accept_licence(offer, accepted_by="Runa Tallow", write_to_client=True, at=AT)
    first, last = Message.objects.order_by("written_at", "subject")
    assert {first.to, last.to} == {"runa@kvernmoor.example"}
    assert any("Nothing is granted by this offer" in each.body for each in (first, last))
    assert any(each.subject == f"Licence {offer.number} for one picture" for each in (first, last))


# Refused


def test_a_rival_of_an_exclusive_licence_is_refused_with_number_cells_and_free_day():
    picture = picture_of()
    held = granted([picture], use=ALONE)
    with pytest.raises(actions.LicenceConflict) as refused:
        granted([picture], licensee=oystercatcher())
    said = refused.value
    assert held.number in said.what_happened
    cells = "until 30 Nov 2027: advertising, paid social media and online advertising, in Germany"
    assert cells in plain_spaces(said.what_happened)
    assert said.what_is_kept == "Nothing was granted."
    assert "free from 1 Dec 2027" in plain_spaces(said.what_to_do)
    assert "Kvernmoor" not in str(said)
    assert Licence.objects.count() == 1


def test_the_free_day_is_free():
    picture = picture_of()
    granted([picture], use=ALONE)
    assert granted([picture], licensee=oystercatcher(), first_day=date(2027, 12, 1)).state == "accepted"


def test_nobody_gets_alone_what_another_holds():
    picture = picture_of()
    granted([picture])
    with pytest.raises(actions.LicenceConflict, match="so nobody can have it alone before"):
        granted([picture], licensee=oystercatcher(), use=ALONE)


def test_trade_exclusivity_lets_other_trades_in():
    picture = picture_of()
    trade = {**ADVERTISING, "exclusivity": "trade"}
    granted([picture], use=trade)
    granted([picture], licensee=oystercatcher())
    with pytest.raises(actions.LicenceConflict):
        granted([picture], licensee=ClientFactory(name="Lindhafen 7 Bakehouse", trade="bakery"))


def test_an_unplaced_exclusive_licence_holds_every_picture_of_its_shoot():
    shoot = free_shoot()
    agreed(shoot, terms={**OWN, "exclusivity": "picture"})
    with pytest.raises(actions.LicenceConflict, match="never free"):
        granted([picture_of(shoot)], use={**OWN, "is_own_promotion": False})


def test_no_exclusive_licence_is_agreed_over_one_that_stands():
    shoot = free_shoot()
    granted([picture_of(shoot)], use={**OWN, "is_own_promotion": False})
    with pytest.raises(actions.LicenceConflict):
        agreed(shoot, terms={**OWN, "exclusivity": "picture"})


def test_of_two_unplaced_exclusive_licences_on_a_shoot_without_pictures_the_later_is_refused():
    shoot = free_shoot()
    agreed(shoot, terms=ALONE, signed_by="Tindra Aldermoor")
    with pytest.raises(actions.LicenceConflict):
        agreed(shoot, terms=ALONE, signed_by="Tindra Aldermoor", licensee=kvernmoor(), origin="estimate:2")
    assert agreed(free_shoot(), terms=ALONE, licensee=oystercatcher(), origin="estimate:3").state == "accepted"


def test_an_offer_whose_last_day_is_over_is_not_accepted():
    offer = offered()
    late = AT + timedelta(days=376)
    assert (offer.last_day, today(late)) == (date(2027, 11, 30), date(2027, 12, 1))
    with pytest.raises(actions.NoCell, match=r"The last day of use, 30\sNov\s2027, is over"):
        actions.accept_licence(offer, accepted_by="Runa Tallow", at=late)
    assert actions.accept_licence(offer, accepted_by="Runa Tallow", at=late - timedelta(days=1)).state == "accepted"


def test_no_picture_joins_a_licence_that_ended():
    shoot = free_shoot()
    licence = placed(shoot)
    with pytest.raises(actions.NoCell, match="is over"):
        actions.place_licence(licence, pictures=[picture_of(shoot)], first_day=FIRST, at=AT + timedelta(days=800))
    assert licence.pictures.count() == 1


def test_the_agency_that_orders_for_another_house_needs_its_yes_too():
    shoot = free_shoot()
    shoot.licensee, shoot.selling_on = ClientFactory(name="Lindhafen 7 Bakehouse"), SellingOn.NOT_AGREED
    shoot.save()
    picture = picture_of(shoot)
    with pytest.raises(actions.NotForSale, match="Lindhafen 7 Bakehouse ordered"):
        granted([picture], licensee=shoot.client)
    assert granted([picture], licensee=shoot.licensee).state == "accepted"


def test_pictures_are_not_sold_on_before_the_client_has_agreed():
    shoot = free_shoot()
    shoot.selling_on = SellingOn.NOT_AGREED
    shoot.save()
    with pytest.raises(actions.NotForSale, match="selling on is not agreed for this client"):
        granted([picture_of(shoot)])
    assert placed(shoot).state == "accepted"


def test_a_trade_renamed_meanwhile_is_not_sold_to_by_its_old_name():
    """An estimate holds its client as read when the page was opened: by the old name the shoot was not closed to it."""
    shoot, client = free_shoot(), ClientFactory(name="Rook Roastery", trade="coffee")
    agree_selling_on(shoot, selling_on=SellingOn.NOT_TO, not_to=["coffee"], at=AT)
    row = Trade.objects.get(name="coffee")
    rename_trade(row, name="roastery", names=row.names, version=row.version, by="Tindra Aldermoor", at=AT)
    assert client.trade == "coffee"
    with pytest.raises(actions.NotForSale):
        agreed(shoot, licensee=client, billing_party=client)
    assert not Licence.objects.exists()


def test_selling_on_after_a_date_begins_the_day_after():
    shoot = free_shoot()
    shoot.selling_on, shoot.selling_on_after = SellingOn.AFTER, date(2027, 2, 28)
    shoot.save()
    picture = picture_of(shoot)
    with pytest.raises(actions.NotForSale, match=r"before 1\sMar\s2027"):
        granted([picture], first_day=date(2027, 2, 28))
    assert granted([picture], first_day=date(2027, 3, 1)).state == "accepted"


def test_a_picture_nobody_has_assessed_is_not_granted():
    with pytest.raises(actions.NotCleared, match="Nobody has looked who can be recognised"):
        granted([picture_of(people=Assessment.NOT_ASSESSED)])


def test_the_cooks_release_for_the_house_clears_own_promotion_and_nothing_else():
    shoot = shoot_with_cook(selling_on=SellingOn.FREE)
    picture = picture_of(shoot, people=Assessment.LISTED)
    cook = shoot.people.get().person
    PicturePerson.objects.create(picture=picture, person=cook)
    licence = agreed(shoot)
    with pytest.raises(actions.NotCleared, match="Maro Lantadze: no release is signed"):
        actions.place_licence(licence, pictures=[picture], first_day=FIRST, at=AT)
    signed_release(shoot)
    actions.place_licence(licence, pictures=[picture], first_day=FIRST, at=AT)
    with pytest.raises(actions.NotCleared, match="the release does not reach this use"):
        granted([picture])


@pytest.mark.django_db(transaction=True)
def test_of_two_rivals_accepted_at_once_exactly_one_wins():
    picture = picture_of()
    rivals = [offered([picture], use=ALONE), offered([picture], use=ALONE, licensee=oystercatcher())]
    assert at_once(*map(yes, rivals)) == ["granted", "refused"]
    assert sorted(Licence.objects.values_list("state", flat=True)) == ["accepted", "offered"]


def test_any_number_of_copies_asked_for_is_a_licence_without_a_limit():
    printed = {**ADVERTISING, "use_media": ["print.ad"], "use_copies": ANY_NUMBER}
    for held in (granted([picture_of()], use=printed), agreed(terms=printed)):
        held.refresh_from_db()
        assert held.use_copies is None
        assert "The number of copies is not limited." in held.frozen["english"]


# Two at once


def at_once(*deeds):
    """Each in a thread and a connection of its own, begun together: how many went through, and how many a rival stopped."""
    start, told = threading.Barrier(len(deeds)), []

    def hand(deed):
        try:
            start.wait(timeout=10)
            deed()
            told.append("granted")
        except actions.LicenceConflict:
            told.append("refused")
        finally:
            connection.close()

    hands = [threading.Thread(target=hand, args=(deed,)) for deed in deeds]
    [each.start() for each in hands]
    [each.join() for each in hands]
    return sorted(told)


def yes(licence):
    return lambda: actions.accept_licence(licence, accepted_by="A. Client", signed_by="Tindra Aldermoor", at=AT)


def rivals_that_stand():
    """Pairs of licences that stand and clash; none may ever be."""
    standing = [
        (licence, queries.grant_of(licence, [str(key) for key in licence.pictures.values_list("pk", flat=True)]))
        for licence in Licence.objects.filter(state__in=actions.STATES_THAT_BLOCK)
    ]
    return [
        (one.number, other.number)
        for one, wanted in standing
        for other, grant in standing
        if one.pk < other.pk and find_clashes(wanted, [grant])
    ]


@pytest.mark.django_db(transaction=True)
def test_placing_and_accepting_at_once_leave_one_of_two_rivals():
    shoot = free_shoot()
    picture = picture_of(shoot)
    licence = agreed(shoot, terms=ADVERTISING, begins="on_date", begins_on=FIRST)
    rival = offered([picture], licensee=oystercatcher(), use=ALONE)
    # Not exclusive, an agreed licence holds nothing before it is placed: it may be the one that comes too late.
    told = at_once(lambda: actions.place_licence(licence, pictures=[picture], first_day=FIRST, at=AT), yes(rival))
    assert "granted" in told
    assert rivals_that_stand() == []


@pytest.mark.django_db(transaction=True)
def test_agreeing_and_accepting_at_once_leave_one_of_two_rivals():
    shoot = free_shoot()
    rival = offered([picture_of(shoot)], licensee=oystercatcher())
    told = at_once(lambda: agreed(shoot, terms=ALONE, signed_by="Tindra Aldermoor"), yes(rival))
    assert told == ["granted", "refused"]


@pytest.mark.django_db(transaction=True)
def test_a_term_that_counts_later_and_a_rival_after_it_never_both_get_the_days():
    shoot = free_shoot()
    picture = picture_of(shoot)
    licence = placed(shoot, on=[picture], terms={**ADVERTISING, "use_months": 12}, begins="on_payment")
    rival = offered([picture], licensee=oystercatcher(), use=ALONE, first_day=date(2027, 12, 1))
    later = datetime(2027, 1, 8, 9, tzinfo=UTC)
    told = at_once(
        lambda: actions.start_licence(licence, paid_on=date(2027, 1, 8), at=later),
        yes(rival),
    )
    assert "granted" in told
    assert rivals_that_stand() == []


# What becomes of it


def test_payment_starts_a_licence_once():
    licence = granted()
    actions.start_licence(licence, paid_on=date(2026, 12, 9), at=AT)
    assert (licence.state, licence.paid_on, licence.use_from) == ("paid", date(2026, 12, 9), FIRST)
    with pytest.raises(MoveRefused):
        actions.start_licence(licence, paid_on=date(2026, 12, 9), at=AT)


def test_months_agreed_from_payment_count_from_payment():
    licence = placed(begins="on_payment")
    actions.start_licence(licence, paid_on=date(2026, 12, 9), at=AT)
    licence.refresh_from_db()
    assert (licence.use_from, licence.last_day) == (date(2026, 12, 9), date(2028, 12, 8))
    assert {box.day_from for box in licence.boxes.all()} == {date(2026, 12, 9)}


def test_months_agreed_from_delivery_count_from_delivery_and_only_once():
    licence = placed()
    licence = actions.begin_on_delivery(licence, delivered_on=date(2026, 12, 4), at=AT)
    licence = actions.begin_on_delivery(licence, delivered_on=date(2026, 12, 24), at=AT)
    assert (licence.delivered_on, licence.use_from) == (date(2026, 12, 4), date(2026, 12, 4))


def test_a_term_is_not_moved_onto_another_clients_days():
    shoot = free_shoot()
    picture = picture_of(shoot)
    use = {**ADVERTISING, "use_months": 12}
    licence = placed(shoot, on=[picture], terms={**use, "is_own_promotion": False})
    granted([picture], use=ALONE, first_day=date(2027, 12, 1))
    licence = actions.begin_on_delivery(licence, delivered_on=date(2026, 12, 4), at=AT)
    assert (licence.use_from, licence.use_until) == (FIRST, date(2027, 12, 1))


def test_a_superseded_licence_keeps_what_it_was():
    licence = placed()
    actions.supersede_licence(licence, cut_on=date(2027, 1, 1), at=AT, by=placed(licence.shoot))
    assert (licence.state, licence.left, licence.cut_on) == ("superseded", "accepted", date(2027, 1, 1))
    assert kinds(licence)[-1] == "superseded"


# Kept as agreed


def test_the_database_itself_keeps_agreed_terms():
    licence = agreed()
    for change in ({"fee_net": 1}, {"use_media": ["all"]}, {"frozen": {}}, {"exclusivity": "picture"}):
        with pytest.raises(IntegrityError), transaction.atomic():
            Licence.objects.filter(pk=licence.pk).update(**change)
    with pytest.raises(IntegrityError), transaction.atomic():
        Licence.objects.filter(pk=licence.pk).delete()


def test_a_licence_cut_short_has_its_day():
    licence = granted(fee_net=Decimal(0))
    with pytest.raises(IntegrityError), transaction.atomic():
        Licence.objects.filter(pk=licence.pk).update(state="revoked")


def test_a_number_is_taken_on_the_business_day():
    assert today(AT) == date(2026, 11, 20)
    assert terms([picture_of()])["first_day"] == FIRST


# The paper


def kept(licence):
    return [(paper.version, paper.file.sha256) for paper in licence.papers.order_by("version")]


def test_the_paper_of_an_agreed_licence_is_kept_and_given_again():
    licence = agreed()
    paper = actions.keep_licence_paper(licence, at=AT)
    assert (paper.version, paper.file.name, paper.file.kind) == (1, "licence-L-2026-001-1.pdf", "licence")
    assert paper.file.read_bytes().startswith(b"%PDF")
    assert paper.snapshot["sentences"] == licence.frozen["sentences"]
    later = AT + timedelta(days=9)
    assert actions.keep_licence_paper(licence, at=later) == paper
    assert kinds(licence) == ["accepted", "issued"]
    payload = evidence_about(f"licence:{licence.pk}").last().payload
    assert payload == {"number": "L-2026-001", "version": 1, "paper": paper.file.sha256, "words": licence.frozen_sha256}


def test_pictures_that_join_make_a_new_version_and_the_earlier_ones_stay():
    shoot = free_shoot()
    licence = placed(shoot, pictures_agreed=2)
    first = actions.keep_licence_paper(licence, at=AT)
    actions.place_licence(licence, pictures=[picture_of(shoot)], first_day=FIRST, at=AT)
    second = actions.keep_licence_paper(licence, at=AT)
    assert [version for version, _ in kept(licence)] == [1, 2]
    assert len({sha256 for _, sha256 in kept(licence)}) == 2
    assert (len(first.snapshot["pictures"]), len(second.snapshot["pictures"])) == (1, 2)
    first.refresh_from_db()
    assert first.file.read_bytes() != second.file.read_bytes()


def test_days_counted_from_delivery_make_a_new_version():
    licence = placed()
    assert actions.keep_licence_paper(licence, at=AT).snapshot["first_on"] == "2026-12-01"
    actions.begin_on_delivery(licence, delivered_on=date(2026, 12, 10), at=AT)
    paper = actions.keep_licence_paper(licence, at=AT)
    assert (paper.version, paper.snapshot["first_on"], paper.snapshot["last_on"]) == (2, "2026-12-10", "2028-12-09")


def test_an_offer_has_no_kept_paper():
    offer = offered()
    with pytest.raises(actions.NotInForce, match="is offered: it grants nothing"):
        actions.keep_licence_paper(offer, at=AT)
    with pytest.raises(actions.NotInForce, match="once the client has agreed"):
        actions.send_licence(offer, to="runa@kvernmoor.example", at=AT)
    assert not Message.objects.exists()


def test_an_offer_is_printed_and_nothing_is_kept():
    offer = offered()
    shown = licence_shown(licence_for_paper(offer.pk).get(), version=1, at=AT)
    assert actions.print_licence(shown, at=AT).startswith(b"%PDF")
    assert kept(offer) == []


def test_the_database_itself_keeps_what_was_printed():
    paper = actions.keep_licence_paper(agreed(), at=AT)
    paper.snapshot = {}
    with pytest.raises(IntegrityError), transaction.atomic():
        paper.save()
    with pytest.raises(IntegrityError), transaction.atomic():
        paper.delete()


def test_a_licence_is_sent_with_the_very_paper_that_is_kept():
    licence = agreed(language="de")
    message = actions.send_licence(licence, to="maro@walnut-lantern.example", at=AT)
    paper = licence.papers.get()
    assert list(message.attachments.all()) == [paper.file]
    assert (message.to, message.language, message.about) == (
        "maro@walnut-lantern.example",
        "de",
        f"licence:{licence.pk}",
    )
    assert message.subject == "Lizenz L-2026-001: Winter menu"
    assert "anbei die Lizenz L-2026-001 als PDF" in message.body
    assert kinds(licence) == ["accepted", "issued", "sent"]
    payload = evidence_about(f"licence:{licence.pk}").last().payload
    assert (payload["version"], payload["paper"]) == (1, paper.file.sha256)
    assert "maro" not in str(payload)
    assert first_broken_link() is None


def test_what_is_sent_anew_says_that_it_takes_the_earlier_ones_place():
    shoot = free_shoot()
    licence = agreed(shoot)
    newer = "It takes the place of the one I sent before."
    assert newer not in actions.send_licence(licence, to="maro@walnut-lantern.example", at=AT).body
    assert newer not in actions.send_licence(licence, to="maro@walnut-lantern.example", at=AT).body
    actions.place_licence(licence, pictures=[picture_of(shoot)], first_day=FIRST, at=AT)
    body = plain_spaces(actions.send_licence(licence, to="maro@walnut-lantern.example", at=AT).body)
    assert newer in body
    assert "The first day of use is 1 Dec 2026, the last is 30 Nov 2028." in body
    assert licence.papers.count() == 2


def test_the_yes_is_answered_with_the_paper():
    client = kvernmoor()
    ClientPersonFactory(client=client, person=PersonFactory(name="Runa Tallow", email="runa@kvernmoor.example"))
    licence = granted(licensee=client, write_to_client=True)
    message = Message.objects.get()
    assert [file.name for file in message.attachments.all()] == ["licence-L-2026-001-1.pdf"]
    assert "The licence is attached as a PDF." in message.body
    assert kinds(licence) == ["offered", "granted", "issued", "sent"]


def test_a_licence_agreed_with_a_signed_estimate_bears_that_signature():
    licence = agreed(terms=ALONE, signed_by="Tindra Aldermoor")
    assert actions.keep_licence_paper(licence, at=AT).snapshot["signed_by"] == "Tindra Aldermoor"


# Input that cannot be


def test_the_same_use_of_the_same_pictures_is_sold_to_one_client_once():
    picture = picture_of()
    held = granted([picture])
    with pytest.raises(actions.HeldAlready, match=held.number):
        offered([picture], first_day=date(2027, 11, 30))
    assert Licence.objects.count() == 1
    assert offered([picture], first_day=date(2027, 12, 1)), "the day after the last day is free"
    assert offered([picture], use={**ADVERTISING, "use_territories": ["AT"]})
    assert offered([picture_of(picture.shoot)])
    assert offered([picture], licensee=oystercatcher())


def test_an_embargo_past_the_last_day_leaves_nothing_to_use():
    picture = picture_of()
    for day in (date(2027, 12, 1), date.max):
        with pytest.raises(actions.NoCell, match="may not be shown before"):
            offered([picture], embargo_until=day)
    assert not Licence.objects.exists()
    assert offered([picture], embargo_until=date(2027, 11, 30)), "its last day is one day of use"


# In the place of another


def covers(licence, day):
    licence.refresh_from_db()
    return queries.grant_of(licence, ["p"]).is_running(day)


@pytest.mark.parametrize("begins", ["on_payment", "on_delivery"])
def test_a_client_who_changes_a_licence_is_never_without_a_right(begins):
    """The new version is agreed on 20 December, placed from 5 January, and covers once it is paid or delivered on the 10th."""
    old = placed(begins="on_date", begins_on=FIRST)
    then = datetime(2026, 12, 20, 9, 0, tzinfo=UTC)
    new = agreed(old.shoot, supersedes=old, begins=begins, at=then)
    old.refresh_from_db()
    assert old.state == "superseded"
    assert all(covers(old, day) for day in (date(2026, 12, 19), date(2026, 12, 20), date(2027, 1, 4)))
    new = actions.place_licence(new, pictures=old.pictures.all(), first_day=date(2027, 1, 5), at=then)
    assert (covers(old, date(2027, 1, 9)), covers(new, date(2027, 1, 9))) == (True, False)
    at, day = datetime(2027, 1, 10, 9, 0, tzinfo=UTC), date(2027, 1, 10)
    if begins == "on_payment":
        actions.start_licence(new, paid_on=day, at=at)
    else:
        actions.begin_on_delivery(new, delivered_on=day, at=at)
    assert (covers(old, date(2027, 1, 9)), covers(old, day), covers(new, day)) == (True, False, True)
    assert (old.cut_on, old.last_day) == (day, date(2027, 1, 9))
    assert kinds(old)[-1] == "taken_over"


def test_a_licence_without_end_is_changed_likewise():
    old = placed(begins="on_date", begins_on=FIRST, terms={**OWN, "use_months": None})
    new = agreed(old.shoot, supersedes=old, begins="on_date", begins_on=date(2027, 1, 5))
    assert covers(old, date(2027, 1, 4))
    actions.place_licence(new, pictures=old.pictures.all(), first_day=date(2027, 1, 5), at=AT)
    assert covers(old, date(2027, 1, 4))
    assert not covers(old, date(2027, 1, 5))


def test_one_not_placed_yet_ends_with_the_day_of_the_change():
    old = agreed()
    agreed(old.shoot, supersedes=old)
    old.refresh_from_db()
    assert (old.state, old.cut_on) == ("superseded", date(2026, 11, 20))


def test_a_client_s_licences_may_have_their_own_language_and_what_was_accepted_prevails():
    shoot = free_shoot()
    shoot.licensee.licence_language = "fr"
    shoot.licensee.save()
    licence = agreed(shoot, language="de")
    assert licence.frozen["language"] == "fr"
    assert licence.frozen["sentences"][0].startswith("Promotion propre (")
    assert licence.frozen["prevails"]["language"] == "de"
    assert licence.frozen["prevails"]["sentences"][0].startswith("Eigenwerbung von ")
    assert licence.frozen["english"][0].startswith("Own promotion of ")
    assert "prevails" not in agreed(language="de").frozen


def test_a_changed_licence_without_end_prints_no_last_day_of_the_calendar():
    old = placed(begins="on_date", begins_on=FIRST, terms={**OWN, "use_months": None})
    agreed(old.shoot, supersedes=old)
    old.refresh_from_db()
    assert (old.state, old.last_day) == ("superseded", None)
    assert queries.licence_row(old, FIRST)["shown"].words == "Until the new licence begins"
    shown = licence_shown(licence_for_paper(old.pk).get(), version=1, at=AT)
    assert (shown.last_on, shown.is_cut_short) == (None, False)


# What the room above uses too


def test_pictures_are_locked_with_their_shoots_and_given_by_number():
    shoot = free_shoot()
    first, second = picture_of(shoot), picture_of(shoot)
    assert actions.lock_pictures([second, first]) == [first, second]
    assert actions.lock_pictures([], shoots=[shoot.pk]) == []


def test_a_trade_is_called_as_the_list_calls_it():
    ClientFactory(trade="coffee")
    row = Trade.objects.get(name="coffee")
    rename_trade(row, name="roastery", names=row.names, version=row.version, by="Tindra Aldermoor", at=AT)
    assert [actions.keep_trade(name) for name in ("coffee", "roastery", "")] == ["roastery", "roastery", ""]


def test_a_yes_freezes_the_words_and_is_said_once():
    offer = offered()
    said = {"accepted_by": "Runa Tallow", "signed_by": "", "at": AT, "also_kept": {"reason": "Asked on the phone."}}
    actions.say_yes(offer, list(offer.pictures.all()), **said)
    assert (offer.state, offer.frozen["reason"], offer.boxes.count()) == ("accepted", "Asked on the phone.", 1)
    with pytest.raises(MoveRefused):
        actions.say_yes(offer, list(offer.pictures.all()), **said)


def test_boxes_are_written_anew():
    licence = granted()
    licence.boxes.first().delete()
    actions.write_boxes(licence)
    assert queries.licences_with_other_boxes() == []


def test_who_has_no_address_is_not_written_to():
    licence = granted()
    actions.mail_client(licence, "licence_granted", at=AT)
    assert (Message.objects.count(), licence.papers.count()) == (0, 0)


# The derived boxes, and what the database keeps


def test_boxes_that_differ_from_the_codes_are_found_and_written_anew():
    licence, other = granted(fee_net=Decimal(0)), granted()
    agreed(other.shoot, supersedes=placed(other.shoot))
    offered()
    assert queries.licences_with_other_boxes() == []
    licence.boxes.update(medium_hi=999)
    other.boxes.first().delete()
    assert queries.licences_with_other_boxes() == [licence, other]
    assert actions.rebuild_boxes() == 2
    assert (queries.licences_with_other_boxes(), actions.rebuild_boxes()) == ([], 0)


@pytest.mark.parametrize(
    "wrong",
    [
        {"use_classes": []},
        {"use_media": []},
        {"use_territories": []},
        {"use_copies": 0},
        {"embargo_until": date(2027, 12, 1)},
    ],
    ids=str,
)
def test_the_database_keeps_no_licence_that_cannot_be(wrong):
    licence = offered()
    with pytest.raises(IntegrityError), transaction.atomic():
        Licence.objects.filter(pk=licence.pk).update(**wrong)
    Licence.objects.filter(pk=licence.pk).update(embargo_until=date(2027, 11, 30), use_copies=1)


def test_agreed_terms_are_still_kept_by_the_database():
    licence = granted()
    with pytest.raises(IntegrityError), transaction.atomic():
        Licence.objects.filter(pk=licence.pk).update(fee_net=Decimal(1))


# Two licences agreed before there are pictures, on one shoot


def test_a_plain_licence_is_not_agreed_where_another_client_holds_the_shoot_alone():
    shoot = free_shoot()
    held = agreed(shoot, terms=ALONE, signed_by="Tindra Aldermoor")
    plain = {"licensee": kvernmoor(), "origin": "estimate:2"}
    with pytest.raises(actions.LicenceConflict) as refused:
        agreed(
            shoot,
            terms={**ADVERTISING, "use_territories": ["DE", "AT"], "use_media": ["web.display", "web.own"]},
            **plain,
        )
    said = refused.value
    assert held.number in said.what_happened
    assert "Free at once is the same without Germany or without online advertising." in said.what_to_do
    assert "Walnut" not in str(said)
    assert Licence.objects.count() == 1
    assert agreed(shoot, terms={**ADVERTISING, "use_territories": ["AT"]}, **plain).state == "accepted", (
        "what is left is free"
    )


def test_nobody_gets_a_shoot_alone_that_is_agreed_to_another_client_and_not_placed_yet():
    shoot = free_shoot()
    held = agreed(shoot, terms=ADVERTISING)
    with pytest.raises(actions.LicenceConflict, match=held.number):
        agreed(shoot, terms=ALONE, signed_by="Tindra Aldermoor", licensee=kvernmoor(), origin="estimate:2")
    assert agreed(shoot, terms=ADVERTISING, licensee=oystercatcher(), origin="estimate:3").state == "accepted", (
        "two plain ones"
    )


def test_a_plain_licence_is_agreed_beside_a_single_picture_held_alone():
    """Placing decides: other pictures of the shoot may be left for it."""
    shoot = free_shoot()
    picture, other = picture_of(shoot), picture_of(shoot)
    granted([picture], use=ALONE)
    plain = agreed(shoot, terms=ADVERTISING)
    with pytest.raises(actions.LicenceConflict):
        actions.place_licence(plain, pictures=[picture], first_day=FIRST, at=AT)
    assert actions.place_licence(plain, pictures=[other], first_day=FIRST, at=AT).is_placed


@pytest.mark.django_db(transaction=True)
def test_agreeing_alone_and_plain_at_once_leave_one_of_the_two():
    shoot, mill, pantry = free_shoot(), kvernmoor(), oystercatcher()
    told = at_once(
        lambda: agreed(shoot, terms=ALONE, signed_by="Tindra Aldermoor", licensee=mill),
        lambda: agreed(shoot, terms=ADVERTISING, licensee=pantry, origin="estimate:2"),
    )
    assert told == ["granted", "refused"]
    assert Licence.objects.count() == 1


# Drafts


def test_a_draft_is_offered_or_deleted_and_holds_nothing():
    picture = picture_of()
    draft = actions.draft_licence(**terms([picture], use=ALONE), at=AT)
    assert (draft.state, kinds(draft)) == ("draft", ["drafted"])
    assert granted([picture], licensee=oystercatcher()).state == "accepted"
    with pytest.raises(MoveRefused):
        actions.accept_licence(draft, accepted_by="Runa Tallow", signed_by="Tindra Aldermoor", at=AT)
    offer = actions.offer_draft(draft, at=AT)
    assert (offer.state, kinds(offer)) == ("offered", ["drafted", "offered"])
    with pytest.raises(MoveRefused):
        actions.offer_draft(draft, at=AT)
    with pytest.raises(MoveRefused):
        actions.discard_draft(draft, at=AT)
    other = actions.draft_licence(**terms([picture]), at=AT)
    actions.discard_draft(other, at=AT)
    assert not Licence.objects.filter(number=other.number).exists()
    assert first_broken_link() is None


def test_a_draft_whose_days_are_over_or_that_is_sold_twice_is_not_offered():
    picture = picture_of()
    draft = actions.draft_licence(**terms([picture]), at=AT)
    with pytest.raises(actions.NoCell, match="is over"):
        actions.offer_draft(draft, at=AT + timedelta(days=400))
    offered([picture])
    with pytest.raises(actions.HeldAlready):
        actions.offer_draft(draft, at=AT)
    draft.refresh_from_db()
    assert draft.state == "draft"
