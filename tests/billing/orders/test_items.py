"""Options of several uses: licensing.md §8 worked as options, the fee shared out, licences agreed and replaced."""

import re
import subprocess
import threading
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from django.db import connection, transaction
from hypothesis import given
from hypothesis import strategies as st

from billing.estimates import actions as drafting
from billing.estimates.models import Estimate
from billing.estimates.snapshot import accepted_from_json, estimate_from_json
from billing.months.actions import bill_job
from billing.orders import actions
from billing.orders.items import carriers, shares
from billing.rates.fees import MOST_ITEMS
from clients.actions import keep_trades
from clients.models import Client
from shared.errors import Refusal
from shared.evidence.actions import record_evidence
from shared.numbers.actions import take_number
from shoots.brief.models import Shoot
from shoots.licences.actions import LicenceConflict
from shoots.licences.models import Licence, LicenceState
from tests.factories.at_once import held_by_somebody_else
from tests.factories.billing import (
    AT,
    MENU,
    WEB,
    accepted,
    drafted,
    offer_link,
    option_of,
    sent,
    shoot_to_quote,
    with_menu,
)
from tests.factories.clients import ClientFactory
from tests.factories.invoices import DAY, MONTH_END, done
from tests.factories.licences import ALONE, agreed

D = Decimal


def test_each_item_is_billed_at_the_first_of_its_line():
    assert carriers([([2, 0], Fraction(5)), ([1], Fraction(3))], 3) == (0, 1, 0)
    assert carriers([], 2) == (0, 0)


@pytest.mark.django_db
def test_each_use_becomes_a_licence_and_the_fees_sum_up() -> None:
    estimate = accepted(sent(with_menu()))
    web, menu = Licence.objects.filter(origin=f"estimate:{estimate.pk}").order_by("pk")
    assert (web.use_media, web.use_copies) == (WEB["use_media"], None)
    assert (menu.use_media, menu.use_copies) == (["print.menu"], 900)
    assert web.fee_net + menu.fee_net == D(1445)
    assert menu.fee_net == D("304.21")  # 1,445 × 303.264 / 1,440.504 = 304.2105…, cut to the cent
    shown = estimate_from_json(estimate.snapshot)
    assert [use.copies for use in shown.options[0].further_uses] == [900]


@pytest.mark.django_db
def test_six_uses_and_no_more() -> None:
    estimate = drafted(pictures=1)
    option_of(estimate)
    for _ in range(MOST_ITEMS - 1):
        drafting.add_item(estimate, letter="A", use=MENU)
    with pytest.raises(drafting.SixUsesAtMost):
        drafting.add_item(estimate, letter="A", use=MENU)
    accepted(sent(estimate))
    licences = Licence.objects.filter(origin=f"estimate:{estimate.pk}")
    assert licences.count() == MOST_ITEMS
    assert sum(each.fee_net for each in licences) == estimate.options.get().lines.get(kind="usage").unit_price


@pytest.mark.django_db
def test_a_changed_estimate_replaces_every_licence_of_the_one_before() -> None:
    first = accepted(sent(with_menu()))
    fresh = drafting.revise_estimate(first, at=AT)
    drafting.remove_item(fresh, item=fresh.options.get().further_items.get().pk)
    second = accepted(sent(fresh))
    old = Licence.objects.filter(origin=f"estimate:{first.pk}")
    assert [each.state for each in old] == [LicenceState.SUPERSEDED] * 2
    assert Licence.objects.get(origin=f"estimate:{second.pk}").supersedes_id == old.order_by("pk")[0].pk


@given(
    agreed=st.decimals(0, 100_000, places=2),
    weights=st.lists(st.fractions(0, 10_000), min_size=1, max_size=6),
)
def test_shares_sum_to_what_was_agreed(agreed: Decimal, weights: list[Fraction]) -> None:
    parts = shares(agreed, [((index,), weight) for index, weight in enumerate(weights)], len(weights))
    assert sum(parts) == agreed
    assert all(part >= 0 for part in parts)
    assert all(part == part.quantize(D("0.01")) for part in parts)


def test_a_line_of_several_uses_stands_at_its_first() -> None:
    assert shares(D(100), [((0, 2), Fraction(3)), ((1,), Fraction(1))], 3) == (D(75), D(25), D(0))
    assert shares(D(100), [], 3) == (D(100), D(0), D(0))


PACKAGING = {
    **WEB, "use_classes": ["stock"], "use_media": ["print.packaging"], "use_months": 24, "exclusivity": "trade", "use_copies": 100_000,
}  # fmt: skip
EVERYTHING = {
    **WEB, "use_classes": ["advertising", "editorial", "stock"], "use_media": ["all"], "use_territories": ["world"], "use_months": None,
    "exclusivity": "picture", "use_copies": 1_000_000_000,
}  # fmt: skip


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("pictures", "uses", "fees"),
    [
        # licensing.md §8, worked: the printed fee; of two lines, what each is billed for. "Unlimited" copies are more than the last band.
        (12, [PACKAGING], ["6730"]),
        (12, [{**PACKAGING, "use_copies": 100_001}], ["8285"]),
        (12, [{**PACKAGING, "use_classes": ["advertising"]}], ["8075"]),
        (12, [{**PACKAGING, "exclusive_months": 12}], ["5985"]),
        (6, [WEB, MENU], ["1140.79", "304.21"]),
        (5, [{**WEB, "use_media": ["web.own"], "use_territories": ["DE", "AT", "CH"]}], ["1080"]),
        (1, [{**WEB, "use_classes": ["stock"], "use_media": ["web.own"], "use_months": 18}], ["115"]),
        (1, [{**WEB, "use_classes": ["editorial"], "use_media": ["print.editorial"], "use_territories": ["AT"], "use_months": 1, "use_copies": 500}], ["90"]),
        (1, [EVERYTHING], ["113400"]),
        (1, [{**WEB, "use_media": ["print.ad"], "use_months": 60, "exclusivity": "picture", "use_copies": 1_000_000}], ["2970"]),
    ],
)  # fmt: skip
def test_worked_rows_go_from_the_estimate_to_the_invoice_with_the_printed_fee(
    quick_papers: None, pictures: int, uses: list[dict[str, Any]], fees: list[str]
) -> None:
    estimate = drafted(pictures=pictures, client=ClientFactory(name="Walnut Lantern", trade="restaurant"))
    Estimate.objects.update(deposit_percent=0)
    option_of(estimate, **uses[0])
    for use in uses[1:]:
        drafting.add_item(estimate, letter="A", use=use)
    if not uses[1:]:
        drafting._reckon_anew(option_of(estimate, **uses[0]), estimate)
    estimate = accepted(sent(Estimate.objects.get(), signed_by="Tindra Aldermoor"))
    licences = Licence.objects.filter(origin=f"estimate:{estimate.pk}").order_by("pk")
    assert [each.fee_net for each in licences] == [D(fee) for fee in fees]
    invoice = bill_job(f"estimate:{done(estimate).number}", issued_on=DAY, at=MONTH_END)
    assert [each.net for each in invoice.lines.all() if each.what == "Licence"] == [sum(D(fee) for fee in fees)]


def take(estimate: Estimate, *keys: str) -> Estimate:
    return actions.accept_estimate(
        estimate, letter="A", keys=keys, name="Maro Lantadze", role="Owner", order_number="", at=AT
    )


def menu_may_be_added() -> Estimate:
    estimate = drafted(pictures=6)
    Estimate.objects.update(deposit_percent=0)
    drafting._reckon_anew(option_of(estimate), estimate)
    drafting.add_item(estimate, letter="A", use=MENU, is_optional=True)
    return sent(Estimate.objects.get())


def key_of(estimate: Estimate) -> str:
    return str(estimate.options.get().lines.get(item__isnull=False).pk)


@pytest.mark.django_db
def test_an_optional_use_that_is_taken_becomes_a_licence_with_what_it_adds() -> None:
    # licensing.md §8: apart 1,140 and 305, together 1,445
    estimate = menu_may_be_added()
    own, added = estimate.options.get().lines.filter(kind="usage").order_by("order")
    assert (own.unit_price, added.unit_price, added.what) == (D(1140), D(305), "Licence, also for menu")
    taken = take(estimate, key_of(estimate))
    web, menu = Licence.objects.filter(origin=f"estimate:{estimate.pk}").order_by("pk")
    assert (web.fee_net, menu.fee_net) == (D(1140), D(305))
    assert (menu.use_media, menu.use_copies, menu.state) == (["print.menu"], 900, LicenceState.ACCEPTED)
    shown = accepted_from_json(taken.accepted_snapshot)
    assert [use.media for use in shown.option.further_uses] == [("print.menu",)]
    assert sum(line.amount for line in shown.taken if line.kind == "usage") == D(1445)


@pytest.mark.django_db
def test_an_optional_use_that_is_not_taken_grants_nothing() -> None:
    estimate = take(menu_may_be_added())
    assert Licence.objects.get(origin=f"estimate:{estimate.pk}").use_media == WEB["use_media"]
    assert accepted_from_json(estimate.accepted_snapshot).option.further_uses == ()
    fresh = drafting.revise_estimate(estimate, at=AT)
    line = fresh.options.get().lines.get(item__isnull=False)
    assert line.item.option.estimate == fresh  # of this version, not of the one before
    take(sent(fresh), str(line.pk))
    assert [each.fee_net for each in Licence.objects.filter(origin=f"estimate:{fresh.pk}").order_by("pk")] == [
        1140,
        305,
    ]


@pytest.mark.django_db
def test_an_optional_use_that_costs_nothing_more_can_be_offered_and_taken() -> None:
    estimate = drafted(pictures=1)
    small = {**WEB, "use_classes": ["editorial"], "use_media": ["web.email"], "use_months": 1}
    drafting._reckon_anew(option_of(estimate, **small), estimate)
    drafting.add_item(estimate, letter="A", use={**small, "use_media": ["web.social"]}, is_optional=True)
    assert estimate.options.get().lines.get(item__isnull=False).unit_price == 0  # both under the minimum of 90
    take(sent(estimate), key_of(estimate))
    assert [each.fee_net for each in Licence.objects.order_by("pk")] == [90, 0]


@pytest.mark.django_db
def test_page_paper_yes_and_invoice_agree_with_the_optional_use(client_for: Any) -> None:
    estimate = menu_may_be_added()
    page, key = offer_link(estimate), key_of(estimate)
    plain = client_for(None).get(page + "sums/", {"option": "A"}).content.decode()
    added = client_for(None).get(page + "sums/", {"option": "A", "lines": [key]}).content.decode()
    # By hand: 260 + 780 + 150 + 1,140 = 2,330.00, with VAT 2,772.70; with 305 more 2,635.00, with VAT 3,135.65
    assert "€2,772.70" in plain
    assert "€3,135.65" in added
    use = "Up to 900 copies may be made"
    about = added[added.index("What you may do with the pictures") :]
    held, if_added = plain[plain.index("What you may do with the pictures") :].split("If you add it:")
    assert (use in about, use in held, use in if_added, "If you add it:" in about) == (True, False, True, False), about
    paper = subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=estimate.paper.read_bytes(), capture_output=True, check=True
    )
    assert "If you add it: Own promotion of Walnut Lantern: menu" in " ".join(paper.stdout.decode().split())
    assert re.search(r"Licence, also for menu.*305\.00", paper.stdout.decode().replace("\n", " "))
    taken = take(estimate, key)
    assert accepted_from_json(taken.accepted_snapshot).sums.gross == D("3135.65")
    invoice = bill_job(f"estimate:{done(taken).number}", issued_on=DAY, at=MONTH_END)
    assert invoice.gross == D("3135.65")


def rival_of(estimate: Estimate) -> Any:
    """Another client, and the shoot, whose pictures may be sold on."""
    Shoot.objects.filter(pk=estimate.shoot_id).update(selling_on="free")
    return ClientFactory(name="Spoon & Lamp"), estimate.shoot


def two_exclusive_uses() -> Estimate:
    """Two uses of Walnut Lantern, the second alone on its pictures."""
    estimate = drafted(pictures=6)
    option_of(estimate)
    drafting.add_item(estimate, letter="A", use={**ALONE, "use_media": ["web.paid_social"]})
    return sent(Estimate.objects.get(), signed_by="Tindra Aldermoor")


@pytest.mark.django_db
def test_a_rival_to_the_second_use_stops_the_whole_yes(client_for: Any) -> None:
    estimate = two_exclusive_uses()
    rival, shoot = rival_of(estimate)
    agreed(shoot, licensee=rival, billing_party=rival, terms=ALONE | {"use_media": ["web.paid_social"]}, at=AT)
    with pytest.raises(LicenceConflict):
        take(estimate)
    estimate.refresh_from_db()
    shoot.refresh_from_db()
    assert (estimate.state, estimate.accepted_snapshot, shoot.state) == ("sent", {}, "pencilled")
    assert [each.licensee for each in Licence.objects.all()] == [rival]


def at_once(*deeds: Any) -> list[str]:
    """What became of deeds done in the same moment: *done*, or the name of the refusal."""
    start, told = threading.Barrier(len(deeds)), []

    def run(deed: Any) -> None:
        start.wait()
        try:
            deed()
            told.append("done")
        except Refusal as refusal:
            told.append(type(refusal).__name__)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(deed,)) for deed in deeds]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sorted(told)


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_of_two_rivals_with_several_uses_in_the_same_moment_one_gets_all_and_the_other_nothing() -> None:
    estimate = two_exclusive_uses()
    rival, shoot = rival_of(estimate)

    @transaction.atomic
    def other() -> None:
        for medium in ("web.display", "web.paid_social"):
            agreed(shoot, licensee=rival, billing_party=rival, terms=ALONE | {"use_media": [medium]}, at=AT)

    assert at_once(lambda: take(Estimate.objects.get()), other) == ["LicenceConflict", "done"]
    assert Licence.objects.count() == 2
    assert Licence.objects.values("licensee").distinct().count() == 1


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_an_option_of_several_uses_accepted_twice_in_the_same_moment_is_granted_once() -> None:
    estimate = menu_may_be_added()
    key = key_of(estimate)
    assert at_once(*[lambda: take(Estimate.objects.get(), key)] * 2) == ["EstimateDecided", "done"]
    assert [each.fee_net for each in Licence.objects.order_by("pk")] == [1140, 305]


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("first", [lambda: keep_trades(["restaurant"]), lambda: take_number("licence", on=AT.date())])
def test_a_yes_and_a_licence_granted_beside_it_at_once_wait_for_each_other_in_turn(first: Any) -> None:
    """Whoever writes a licence takes its trade and its number before the log: taken after it, both waited for good."""
    estimate = with_menu()
    Client.objects.filter(pk=estimate.shoot.licensee_id).update(trade="restaurant")
    estimate = sent(estimate)
    log = {"subject": "licence:0", "payload": {}, "at": AT}
    with held_by_somebody_else(first, lambda: record_evidence("granted", **log)):
        take(Estimate.objects.get())
    assert Licence.objects.count() == 2


@pytest.mark.django_db
def test_a_draft_like_an_earlier_one_has_its_uses_and_its_money() -> None:
    estimate = drafted(pictures=6)
    drafting._reckon_anew(option_of(estimate), estimate)
    drafting.add_item(estimate, letter="A", use=MENU)
    drafting.add_item(
        estimate, letter="A", use={**MENU, "use_media": ["print.brochure"], "use_copies": 2_000}, is_optional=True
    )
    drafting.offer_in_currency(estimate, currency="CHF", rate=D("0.9412"), rate_on=AT.date(), source="from memory")
    source = sent(Estimate.objects.get())
    fresh = drafting.draft_like(shoot_to_quote(pictures=6, client=source.shoot.client), source, at=AT)
    option = fresh.options.get()
    assert [(each.use_media, each.is_optional) for each in option.further_items.all()] == [
        (["print.menu"], False),
        (["print.brochure"], True),
    ]
    own, added = option.lines.filter(kind="usage").order_by("order")
    # With the brochure: 180 × 1.2 × .6 × .75 × 5.85 = 568.62 more than 1,440.504, as one line with the menu 180 × 1.2 × 1 × .75 × 5.85 = 947.70:
    # 1,137.24 + 303.264 + 568.62 = 2,009.124, up to 2,010, so 565 more than 1,445. × 0.9412 it is 1,360.034 and 531.778.
    assert [(line.own_price, line.unit_price) for line in (own, added)] == [(1445, D("1360.03")), (565, D("531.78"))]
    assert added.item.option == option
    taken = actions.accept_estimate(
        sent(fresh), letter="A", keys=[str(added.pk)], name="Maro Lantadze", role="Owner", order_number="", at=AT
    )
    fees = [each.fee_net for each in Licence.objects.filter(origin=f"estimate:{taken.pk}").order_by("pk")]
    assert (fees[2], sum(fees)) == (D("531.78"), D("1891.81"))
