from datetime import date, timedelta
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from billing.estimates import actions
from billing.orders.actions import accept_estimate
from billing.rates.queries import rates_in_force
from billing.renewals.queries import by_client, endings_priced, fee_carriers, months_of
from shoots.licences.models import Licence
from shoots.licences.queries import licence_for_paper, licence_shown
from shoots.life.actions import give_up_part
from tests.factories import billing, licences
from tests.factories.billing import accepted, drafted, sent
from tests.factories.clients import ClientFactory
from tests.factories.licences import AT, OWN

pytestmark = pytest.mark.django_db
ON = date(2026, 11, 20)


@pytest.fixture(autouse=True)
def frozen():
    with time_machine.travel(AT, tick=False):
        yield


def ending(ticked=None, **also):
    also = {"first_day": date(2025, 12, 20), "last_day": date(2026, 12, 19), **also}
    return licences.granted(ticked, at=AT - timedelta(days=330), **also)


def priced(*rows):
    return endings_priced(rows, rates_in_force(ON))


def test_begun_months_count_whole():
    assert months_of(ending()) == 12
    assert months_of(ending(last_day=date(2026, 12, 20))) == 13


def test_what_took_the_place_of_another_goes_on_as_long_as_both_were_sold_for():
    licence = ending(fee_net=Decimal(0))
    part = give_up_part(
        licence, classes=licence.use_classes, media=licence.use_media, territories=licence.use_territories,
        pictures=list(licence.pictures.all()), last_day=date(2026, 12, 10), accepted_by="Runa Tallow", at=AT,
    )  # fmt: skip
    assert (part.use_from, months_of(part)) == (ON, 12)
    (row,) = priced(part)
    assert (row.began, row.months_before) == (date(2025, 12, 20), 12)


def test_print_without_a_number_of_copies_is_priced_as_any_number():
    menu = {**licences.ADVERTISING, "use_media": ["print.brochure"]}
    (row,) = priced(ending(use=menu))
    # 180 x 1.2 x .6 x 2.8 = 362.88
    assert row.choices[0].fee == 365


def test_a_clash_that_only_a_longer_term_meets_takes_that_term_away_from_the_picture():
    shoot = licences.free_shoot()
    both = [licences.picture_of(shoot), licences.picture_of(shoot)]
    licence = ending(both)
    licences.granted(both[1:], use=licences.ALONE, licensee=licences.oystercatcher(), first_day=date(2028, 1, 1))
    (row,) = priced(licence)
    assert not row.kept_out
    assert [(each.months, len(each.pictures), each.offered.instead is None) for each in row.choices] == [
        (12, 2, True), (24, 1, True), (None, 1, True),
    ]  # fmt: skip


def test_selling_on_that_is_not_agreed_keeps_a_picture_out():
    picture = licences.picture_of()
    licence = ending([picture])
    type(picture.shoot).objects.update(selling_on="not_agreed")
    (row,) = priced(licence)
    assert "selling on is not agreed" in row.kept_out[0][1][0]
    assert row.choices == ()


def test_licences_of_a_client_stand_together():
    shoot = licences.free_shoot()
    one = ending([licences.picture_of(shoot)])
    other = ending([licences.picture_of(shoot)], licensee=licences.oystercatcher())
    two = ending([licences.picture_of(shoot)], licensee=one.licensee)
    groups = by_client(priced(one, other, two))
    assert [[each.licence for each in rows] for _, rows in groups] == [[one, two], [other]]


def test_a_licence_priced_in_one_line_with_another_says_which_carries_its_fee(client, owner):
    estimate = drafted()
    again = {**OWN, "use_media": ["web.email"], "use_territories": ["DE"], "use_months": 24}
    actions.add_item(estimate, letter="A", use=again)
    estimate.refresh_from_db()
    accepted(sent(estimate))
    first, second = Licence.objects.order_by("pk")
    assert (first.fee_net > 0, second.fee_net) == (True, Decimal(0))
    assert fee_carriers([first, second]) == {second.pk: first}
    said = f"The fee is part of the one for licence {first.number}, billed with the shoot."
    assert (said in second.frozen["sentences"], said in first.frozen["sentences"]) == (True, False)
    assert said in licence_shown(licence_for_paper(second.pk).get(), version=1, at=AT).sentences
    client.force_login(owner)
    assert f"In the fee of {first.number}" in client.get(reverse("licence_page", args=[second.pk])).content.decode()


def test_the_carrier_is_found_beside_an_optional_use_that_was_taken():
    estimate = drafted()
    menu = {**OWN, "use_media": ["print.menu"], "use_territories": ["DE"], "use_months": 1, "use_copies": 900}
    actions.add_item(estimate, letter="A", use=menu)
    actions.add_item(estimate, letter="A", use=menu)
    actions.add_item(estimate, letter="A", use={**menu, "use_media": ["print.packaging"]}, is_optional=True)
    estimate.refresh_from_db()
    line = estimate.options.get().lines.get(is_optional=True)
    sent_ = sent(estimate)
    accept_estimate(
        sent_, letter="A", keys=[str(line.pk)], name="Maro Lantadze", role="Owner", order_number="", at=billing.AT
    )
    rows = list(Licence.objects.order_by("pk"))
    assert [bool(each.fee_net) for each in rows] == [True, True, False, True]
    assert fee_carriers(rows) == {rows[2].pk: rows[1]}
    assert rows[2].frozen["fee_with"] == rows[1].number


def test_uses_priced_in_lines_of_their_own_each_carry_their_fee():
    estimate = drafted()
    menu = {**OWN, "use_media": ["print.menu"], "use_territories": ["DE"], "use_months": 1, "use_copies": 900}
    actions.add_item(estimate, letter="A", use=menu)
    estimate.refresh_from_db()
    accepted(sent(estimate))
    rows = list(Licence.objects.order_by("pk"))
    assert all(each.fee_net for each in rows)
    assert fee_carriers(rows) == {}


def test_a_licence_goes_on_in_the_trade_it_was_granted_for_not_in_the_clients():
    """What the renewal is drafted and accepted as: otherwise a price is shown for what is refused afterwards."""
    shoot = licences.free_shoot()
    picture = licences.picture_of(shoot)
    licence = ending([picture], trade="dairy")
    assert licence.licensee.trade != "dairy"
    rival = ClientFactory(name="Alder Dairy", trade="dairy")
    alone = {**licences.ADVERTISING, "exclusivity": "trade"}
    licences.granted([picture], use=alone, licensee=rival, first_day=date(2026, 12, 20))
    (row,) = priced(licence)
    assert row.choices == ()
    assert [each for each, _why in row.kept_out] == [picture]


def test_selling_on_is_asked_for_the_trade_of_the_licence():
    picture = licences.picture_of()
    licence = ending([picture], trade="dairy")
    type(picture.shoot).objects.update(selling_on="not_to", selling_on_not_to=["dairy"])
    (row,) = priced(licence)
    assert row.choices == ()
