from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
import time_machine

from billing.cards.trying import Asked, Case, try_fee
from billing.rates.fees import UseItem
from billing.rates.queries import rates_in_force, usage_card, usage_kept
from billing.renewals.actions import FeeMoved, NothingTicked, Renewal, RenewedAlready, draft_renewals, hand_on_fee
from billing.renewals.models import PricedFee
from clients.actions import keep_trades
from shared.evidence.queries import evidence_about
from shared.numbers.actions import take_number
from shoots.licences.models import Licence
from tests.factories import found, licences
from tests.factories.at_once import held_by_somebody_else
from tests.factories.billing import RateCardFactory

pytestmark = pytest.mark.django_db
LAST = date(2026, 12, 19)


@pytest.fixture(autouse=True)
def frozen():
    with time_machine.travel(licences.AT, tick=False):
        yield


def ending(ticked=None, **also):
    also = {"first_day": date(2025, 12, 20), "last_day": LAST, **also}
    return licences.granted(ticked, at=licences.AT - timedelta(days=330), **also)


def test_a_renewal_is_drafted_at_the_fee_that_was_shown_and_recorded():
    licence = ending()
    (renewal,) = draft_renewals([Renewal(licence.pk, 12, Decimal(305))], at=licences.AT)
    assert (renewal.renews, renewal.fee_net, renewal.use_from) == (licence, 305, licence.use_until)
    kinds = [row.kind for row in evidence_about(f"licence:{renewal.pk}")]
    assert kinds == ["offered", "priced"]


def test_a_renewal_without_end_is_drafted():
    licence = ending()
    (renewal,) = draft_renewals([Renewal(licence.pk, None, Decimal(1515))], at=licences.AT)
    assert (renewal.use_from, renewal.use_until) == (date(2026, 12, 20), None)


def test_nothing_is_drafted_without_a_tick_at_another_fee_or_twice():
    licence = ending()
    with pytest.raises(NothingTicked):
        draft_renewals([], at=licences.AT)
    with pytest.raises(FeeMoved, match=r"12.months 305.00, 24.months 455.00"):
        draft_renewals([Renewal(licence.pk, 12, Decimal(300))], at=licences.AT)
    assert Licence.objects.count() == 1
    draft_renewals([Renewal(licence.pk, 12, Decimal(305))], at=licences.AT)
    with pytest.raises(RenewedAlready, match="is being renewed already"):
        draft_renewals([Renewal(licence.pk, 24, Decimal(455))], at=licences.AT)
    assert (Licence.objects.count(), PricedFee.objects.count()) == (2, 1)


def test_new_rates_since_the_page_was_shown_stop_the_draft():
    licence = ending()
    RateCardFactory(valid_from=date(2026, 11, 1), usage={})
    draft_renewals([Renewal(licence.pk, 12, Decimal(305))], at=licences.AT)  # other day rates, the same usage fees
    other = ending([licences.picture_of(licence.shoot)], licensee=licences.oystercatcher())
    card = rates_in_force(date(2026, 11, 20))
    card.usage = {**usage_kept(card), "base": "200"}
    card.save()
    with pytest.raises(FeeMoved):
        draft_renewals([Renewal(other.pk, 12, Decimal(305))], at=licences.AT)


def test_a_fee_handed_on_is_kept_for_the_use_found_it_was_tried_for():
    use, card = found.recorded(), rates_in_force(date(2026, 11, 20))
    item = UseItem(frozenset({"advertising"}), frozenset({"web.display"}), frozenset({"DE"}), date(2026, 11, 18), 12)
    asked = Asked(Case.FOUND, 1, item, late_factor=Fraction(2))
    kept = hand_on_fee(asked, try_fee(usage_card(card), asked), card, found=use, at=licences.AT)
    # 194.40 -> 195, twice 390, handling 40
    assert (kept.fee, kept.parts, kept.months) == (430, {"fee": "195.00", "late_factor": "2"}, 12)
    assert kept.working["lines"][0]["sum"] == "194.4"
    assert [row.kind for row in evidence_about(f"found:{use.pk}")][-1] == "priced"


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_renewals_of_two_trades_and_a_licence_of_one_at_once_wait_for_each_other_in_turn():
    """Trades come before numbers for everybody: one after the other they made two people wait for each other for good."""
    shoot = licences.free_shoot()
    first = ending([licences.picture_of(shoot)], trade="bakery")
    second = ending([licences.picture_of(shoot)], licensee=licences.oystercatcher(), trade="dairy")
    wanted = [Renewal(each.pk, 12, Decimal(305)) for each in (first, second)]
    with held_by_somebody_else(lambda: keep_trades(["dairy"]), lambda: take_number("licence", on=LAST)):
        assert len(draft_renewals(wanted, at=licences.AT)) == 2
