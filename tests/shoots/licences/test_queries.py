from datetime import date, timedelta
from decimal import Decimal

import pytest

from shared.evidence.queries import evidence_about
from shared.papers.printing import kept_picture_uri
from shoots.licences import actions, queries
from shoots.licences.actions import NotCleared, accept_licence, place_licence
from shoots.licences.models import Licence
from shoots.licences.snapshot import Released
from shoots.life.actions import decline_licence, renew_licence, revoke_licence
from shoots.pictures.models import Assessment, Picture, PicturePerson
from shoots.releases.actions import withdraw_release
from tests.factories.licences import AT, FIRST, OWN, agreed, free_shoot, granted, kvernmoor, offered, picture_of, placed
from tests.factories.releases import shoot_with_cook, show_cook, signed_release
from tests.factories.shoots import ShootFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 20)


def ending(days, **also):
    """Granted in January, its last day so many days from today."""
    last = TODAY + timedelta(days=days)
    at = AT - timedelta(days=300)
    return granted(fee_net=Decimal(0), first_day=date(2026, 1, 1), last_day=last, at=at, **also)


def test_licences_end_soon_up_to_the_sixtieth_day():
    inside, _outside, _over = ending(60), ending(61), ending(-1)
    assert list(queries.licences_ending(TODAY)) == [inside]


def test_a_licence_with_a_renewal_on_its_way_does_not_ask_for_one():
    licence = ending(10)
    renewal = renew_licence(licence, months=12, fee_net=Decimal(90), at=AT)
    assert not queries.licences_ending(TODAY)
    decline_licence(renewal, at=AT)
    assert list(queries.licences_ending(TODAY)) == [licence]


def test_those_that_ended_in_a_span_are_found():
    over = ending(-1)
    assert list(queries.licences_ending_before(TODAY, after=TODAY - timedelta(days=7))) == [over]


def test_the_list_finds_by_word_state_and_client():
    picture = picture_of()
    licence = granted([picture])
    waiting, offer = agreed(), offered()
    assert set(queries.licences_listed(TODAY, text=f"kvernmoor {picture.number}")) == {licence}
    assert set(queries.licences_listed(TODAY, state="unplaced")) == {waiting}
    assert set(queries.licences_listed(TODAY, state="offered")) == {offer}
    assert set(queries.licences_listed(TODAY, client=waiting.licensee)) == {waiting}
    assert queries.counts_on(TODAY)["unplaced"] == 1


@pytest.mark.parametrize("state", ["ending", "running", "coming", "unplaced", "offered", "ended", "off"])
def test_every_state_of_the_filter_can_be_asked_for(state):
    assert list(queries.licences_listed(TODAY, state=state)) == []


def test_an_unplaced_licence_stands_on_every_picture_of_its_shoot():
    shoot = free_shoot()
    pictures = [picture_of(shoot), picture_of(shoot)]
    agreed(shoot)
    (holding,) = queries.holdings_on(pictures)
    assert holding.grant.pictures == {str(picture.pk) for picture in pictures}
    assert (holding.grant.is_placed, holding.grant.use_from) == (False, TODAY)


def test_what_stands_against_a_wish_is_said_before_anything_is_granted():
    picture = picture_of()
    found = queries.what_stands_against(
        licensee=kvernmoor(), pictures=[picture], use=OWN, first_day=FIRST, last_day=None
    )
    assert (found["last_day"], found["clashes"], found["is_for_sale"]) == (date(2028, 11, 30), [], True)


def test_an_agency_that_ordered_for_a_house_needs_its_yes_before_anything_is_granted_too():
    """The look before granting said for sale, and the offer was refused."""
    shoot = free_shoot()
    shoot.licensee, shoot.selling_on = kvernmoor(), "not_agreed"
    shoot.save()
    wish = {"pictures": [picture_of(shoot)], "use": OWN, "first_day": FIRST, "last_day": None}
    assert not queries.what_stands_against(licensee=shoot.client, **wish)["is_for_sale"]
    assert queries.what_stands_against(licensee=shoot.licensee, **wish)["is_for_sale"]


def test_pictures_of_two_shoots_need_the_yes_of_both_houses():
    closed = free_shoot()
    closed.selling_on = "not_agreed"
    closed.save()
    pictures = [picture_of(), picture_of(closed)]
    found = queries.what_stands_against(
        licensee=kvernmoor(), pictures=pictures, use=OWN, first_day=FIRST, last_day=None
    )
    assert (found["is_for_sale"], found["shoot"]) == (False, closed)


def test_chosen_pictures_are_suggested_up_to_the_number_agreed():
    shoot = free_shoot()
    pictures = [picture_of(shoot) for _ in range(3)]
    picture_of(shoot, state=Picture.State.NEW)
    assert queries.suggested_pictures(agreed(shoot)) == [picture.pk for picture in pictures]
    licence = agreed(shoot, pictures_agreed=2)
    assert len(queries.suggested_pictures(licence)) == 2
    assert queries.may_take_more(licence)


def test_words_of_an_offer_are_those_it_would_be_granted_with():
    assert "Kvernmoor Mill" in queries.sentences_of(offered())[0]
    assert queries.sentences_of(agreed())[0].startswith("Own promotion of Walnut Lantern")


def test_a_wish_begins_the_grant_form():
    assert queries.grant_start("magazine", TODAY)["use_media"] == ["print.editorial"]
    assert queries.grant_start("", TODAY) == {}
    assert Licence.objects.count() == 0


def test_the_address_is_that_of_who_orders_else_of_the_books():
    client = kvernmoor()
    client.invoice_email = "books@kvernmoor.example"
    assert queries.address_of(client) == ("books@kvernmoor.example", "Kvernmoor Mill")


def test_a_shoot_to_choose_from_stands_below_later_ones_and_the_clients_own_above_all():
    early, undated, late = (
        picture_of(ShootFactory(first_on=day)).shoot for day in (date(2026, 9, 1), None, date(2026, 11, 1))
    )
    assert list(queries.shoots_with_pictures()) == [late, early, undated]
    assert list(queries.shoots_with_pictures(early.client)) == [early, late, undated]


# The paper


def shown(licence, at=AT):
    return queries.licence_shown(queries.licence_for_paper(licence.pk).get(), version=1, at=at)


def test_the_paper_takes_its_words_from_the_acceptance_and_its_days_from_now():
    licence = placed(language="de")
    said = shown(licence)
    assert list(said.sentences) == licence.frozen["sentences"]
    assert said.sentences[0].startswith("Eigenwerbung von Walnut Lantern")
    assert "Monate ab Lieferung" in said.sentences[0].replace("\xa0", " ")
    assert (said.first_on, said.last_on, said.is_counted_anew) == (FIRST, date(2028, 11, 30), True)
    assert (said.media, said.territory, said.is_aimed) == ("Website und soziale Medien", "Deutschland", True)
    assert (said.fee, said.to[0], said.photographer) == (None, "Walnut Lantern", "Tindra Aldermoor")
    assert said.pictures[0].people is Released.NOBODY
    assert not said.is_offer


def test_an_offer_is_shown_in_the_words_it_would_be_agreed_in():
    offer = offered()
    offer.licensee.language = "de"
    offer.licensee.save()
    said = shown(offer)
    assert said.is_offer
    assert said.language == "de"
    assert said.sentences[0].startswith("Werbung durch Kvernmoor Mill")
    assert said.fee == Decimal(1080)


def test_exclusivity_ends_with_the_licence_at_the_latest():
    sole = {**OWN, "exclusivity": "picture", "exclusive_months": 12}
    licence = granted(use=sole, fee_net=Decimal(0))
    assert shown(licence).exclusive_last_on == date(2027, 11, 30)
    assert shown(licence).signed_by == "Tindra Aldermoor"
    revoke_licence(licence, cut_on=date(2027, 2, 1), reason="", at=AT)
    assert shown(licence).exclusive_last_on == date(2027, 1, 31)
    assert shown(granted()).signed_by == ""


def test_large_groups_stay_those_of_the_acceptance():
    from shoots.uses.territory_tree import GROUPS

    licence = agreed(terms={**OWN, "use_territories": sorted(GROUPS["EU"].members)})
    assert shown(licence).territory == "the European Union"
    world = agreed(terms={**OWN, "use_territories": ["world"]})
    assert shown(world).territory == ""


def test_the_cooks_release_is_told_without_a_name():
    shoot = shoot_with_cook()
    release = signed_release(shoot)
    picture = picture_of(shoot, people=Assessment.LISTED)
    PicturePerson.objects.create(picture=picture, person=release.person)
    said = shown(placed(shoot, on=[picture]))
    assert (said.pictures[0].people, said.pictures[0].things) == (Released.RELEASED, Released.NOBODY)
    assert "Maro Lantadze" not in str(said.pictures)


def test_frames_are_read_from_the_kept_files_and_a_lost_one_stays_out():
    shoot = free_shoot()
    here, lost = picture_of(shoot), picture_of(shoot)
    said = shown(placed(shoot, on=[here, lost]))
    lost.thumbnail.path.unlink()
    assert list(queries.frames_for(said, 12)) == [here.number]
    assert queries.frames_for(said, 12)[here.number].startswith("data:image/jpeg;base64,")
    assert queries.frames_for(said, 0) == {}
    assert kept_picture_uri(None) == ""


def test_in_force_is_what_was_agreed_and_still_has_a_day():
    assert queries.is_in_force(agreed())
    assert not queries.is_in_force(offered())
    paid = granted(fee_net=Decimal(0))
    revoke_licence(paid, cut_on=date(2026, 12, 2), reason="", at=AT)
    paid.refresh_from_db()
    assert queries.is_in_force(paid)
    never_begun = granted(fee_net=Decimal(0))
    revoke_licence(never_begun, cut_on=FIRST, reason="", at=AT)
    never_begun.refresh_from_db()
    assert not queries.is_in_force(never_begun)
    unplaced = agreed()
    actions.supersede_licence(unplaced, cut_on=TODAY, at=AT)
    unplaced.refresh_from_db()
    assert not queries.is_in_force(unplaced)


def test_the_page_knows_whether_the_client_holds_what_stands_now():
    shoot = free_shoot()
    licence = agreed(shoot)

    def facts():
        row = queries.licence_in_full(licence.pk).get()
        return queries.paper_facts(row, evidence_about(f"licence:{licence.pk}"))

    assert (facts()["papers"], facts()["was_sent"], facts()["is_sent"]) == ([], False, False)
    message = actions.send_licence(licence, to="maro@walnut-lantern.example", at=AT)
    assert (facts()["is_sent"], list(facts()["mails"])) == (True, [message])
    actions.place_licence(licence, pictures=[picture_of(shoot)], first_day=FIRST, at=AT)
    assert (facts()["was_sent"], facts()["is_sent"]) == (True, False)
    actions.keep_licence_paper(licence, at=AT)
    assert not facts()["is_sent"]  # printed, but the client still holds the one before
    actions.send_licence(licence, to="maro@walnut-lantern.example", at=AT)
    assert facts()["is_sent"]
    actions.begin_on_delivery(licence, delivered_on=date(2026, 12, 10), at=AT)
    assert not facts()["is_sent"]


def test_a_licence_can_be_renewed_once():
    licence = granted()
    assert queries.can_be_renewed(licence)
    renew_licence(licence, months=12, fee_net=Decimal(90), at=AT)
    assert not queries.can_be_renewed(licence)
    assert not queries.can_be_renewed(agreed())


def test_the_words_name_the_pictures_they_are_asked_for():
    licence = offered()
    picture = licence.pictures.get()
    words = queries.words_of(licence, [picture], on=TODAY)
    assert (words.picture_names, words.licensor) == ((picture.number,), "Tindra Aldermoor Food Photography")


def test_a_withdrawal_lets_no_offer_be_accepted_and_no_licence_be_placed():
    shoot = free_shoot()
    picture = picture_of(shoot)
    release = show_cook([picture])
    waiting, offer = agreed(shoot), offered([picture], licensee=shoot.licensee, use=OWN)
    withdraw_release(release, reason="Left the house", at=AT)
    with pytest.raises(NotCleared):
        place_licence(waiting, pictures=[picture], first_day=TODAY, at=AT)
    with pytest.raises(NotCleared):
        accept_licence(offer, accepted_by="Maro Lantadze", at=AT)
