"""Options of several uses: licensing.md §8 worked as options, the fee shared out, licences agreed and replaced, cards frozen."""

import re
import subprocess
import threading
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from django.db import connection, transaction
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from billing.estimates import actions
from billing.estimates.items import carriers, shares
from billing.estimates.models import Estimate, EstimateOption, OptionItem
from billing.estimates.queries import card_of, estimate_in_full, estimate_shown, items_of, missing_before_sending
from billing.estimates.snapshot import accepted_from_json, estimate_from_json
from billing.months.actions import bill_job
from billing.rates.fees import MOST_ITEMS
from billing.rates.models import RateCard
from billing.rates.queries import usage_card, usage_kept
from billing.rates.starting_card import STARTING_CARD
from clients.actions import keep_trades
from clients.models import Client
from shared.business.models import BusinessProfile
from shared.errors import Refusal
from shared.evidence.actions import record_evidence
from shared.numbers.actions import take_number
from shared.papers.kept import as_json
from shoots.brief.models import Shoot
from shoots.licences.actions import LicenceConflict
from shoots.licences.models import Licence, LicenceState
from shoots.uses.intended import ANY_NUMBER
from tests.factories.at_once import held_by_somebody_else
from tests.factories.billing import AT, accepted, drafted, offer_link, sent, shoot_to_quote
from tests.factories.clients import ClientFactory
from tests.factories.invoices import DAY, MONTH_END, done
from tests.factories.licences import ALONE, agreed

D = Decimal
WEB = {
    "is_own_promotion": False, "use_classes": ["advertising"], "use_media": ["web.own", "web.social"], "use_territories": ["DE"], "use_months": 12,
    "exclusivity": "none", "exclusive_months": None, "use_copies": None,
}  # fmt: skip
MENU = {**WEB, "use_media": ["print.menu"], "use_copies": 900}


def option_of(estimate: Estimate, **use: object) -> EstimateOption:
    """The draft's option with this use as its first."""
    option = estimate.options.get()
    EstimateOption.objects.filter(pk=option.pk).update(**{**WEB, **use})
    return estimate.options.get()


def with_menu() -> Estimate:
    estimate = drafted(pictures=6)
    option_of(estimate)
    actions.add_item(estimate, letter="A", use=MENU)
    return estimate


def test_each_item_is_billed_at_the_first_of_its_line():
    assert carriers([([2, 0], Fraction(5)), ([1], Fraction(3))], 3) == (0, 1, 0)
    assert carriers([], 2) == (0, 0)


@pytest.mark.django_db
def test_website_and_menu_are_two_lines() -> None:
    # licensing.md §8: two lines 1,137.24 + 303.264 (one line 1,642.68), 1,440.504, fee 1,445
    estimate = with_menu()
    line = estimate.options.get().lines.get(kind="usage")
    assert line.unit_price == D(1445)
    assert line.figures["total"] == "1440.5040"
    assert [(each["items"], each["sum"]) for each in line.figures["lines"]] == [([0], "1137.24"), ([1], "303.264")]


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
        actions.add_item(estimate, letter="A", use=MENU)
    with pytest.raises(actions.SixUsesAtMost):
        actions.add_item(estimate, letter="A", use=MENU)
    accepted(sent(estimate))
    licences = Licence.objects.filter(origin=f"estimate:{estimate.pk}")
    assert licences.count() == MOST_ITEMS
    assert sum(each.fee_net for each in licences) == estimate.options.get().lines.get(kind="usage").unit_price


@pytest.mark.django_db
def test_a_use_taken_off_is_reckoned_anew() -> None:
    estimate = with_menu()
    item = OptionItem.objects.get()
    actions.remove_item(estimate, item=item.pk)
    actions.remove_item(estimate, item=item.pk)  # from a second tab: no fault
    assert estimate.options.get().lines.get(kind="usage").unit_price == D(1140)  # 1,137.24 up to the step of 5
    sent(estimate)
    with pytest.raises(actions.EstimateNotDraft):
        actions.add_item(estimate, letter="A", use=MENU)


@pytest.mark.django_db
def test_options_and_versions_keep_their_uses() -> None:
    estimate = with_menu()
    assert actions.add_option(estimate, copied_from="A").further_items.get().use_copies == 900
    fresh = actions.revise_estimate(accepted(sent(estimate)), at=AT)
    assert fresh.options.get(letter="A").further_items.get().use_copies == 900
    assert (fresh.card, fresh.card_sha256) == (estimate.card, estimate.card_sha256)


@pytest.mark.django_db
def test_a_changed_estimate_replaces_every_licence_of_the_one_before() -> None:
    first = accepted(sent(with_menu()))
    fresh = actions.revise_estimate(first, at=AT)
    actions.remove_item(fresh, item=fresh.options.get().further_items.get().pk)
    second = accepted(sent(fresh))
    old = Licence.objects.filter(origin=f"estimate:{first.pk}")
    assert [each.state for each in old] == [LicenceState.SUPERSEDED] * 2
    assert Licence.objects.get(origin=f"estimate:{second.pk}").supersedes_id == old.order_by("pk")[0].pk


@pytest.mark.django_db
def test_the_card_is_frozen_when_the_draft_is_made() -> None:
    estimate = drafted(pictures=6)
    option_of(estimate)
    dearer = {**usage_kept(None), "base": "360"}
    RateCard.objects.update(usage=dearer)
    actions.add_item(estimate, letter="A", use=MENU)
    assert estimate.options.get().lines.get(kind="usage").unit_price == D(1445)
    assert len(estimate.card_sha256) == 64
    assert usage_card(card_of(estimate)) == STARTING_CARD


@pytest.mark.django_db
def test_everything_in_print_without_copies_is_said_before_sending() -> None:
    estimate = drafted(pictures=6)
    option_of(estimate)
    actions.add_item(estimate, letter="A", use={**MENU, "use_media": ["all"], "use_copies": None})
    said = missing_before_sending(
        estimate_in_full(estimate.pk), business=BusinessProfile.objects.get(), on=AT.date() + timedelta(days=1)
    )
    assert any("how many copies are printed" in sentence for sentence in said)


@pytest.mark.django_db
def test_copies_that_nobody_said_are_asked_for_beside_a_typed_fee_too() -> None:
    """What the client reads says nothing of copies, and the licence granted would not limit them."""
    estimate = drafted(pictures=6)
    option = option_of(estimate, **{**MENU, "use_copies": None})
    option.lines.filter(kind="usage").update(unit_price=300)
    known = {"business": BusinessProfile.objects.get(), "on": AT.date()}
    assert any("copies are printed" in each for each in missing_before_sending(estimate_in_full(estimate.pk), **known))
    EstimateOption.objects.update(use_copies=ANY_NUMBER)
    assert not any("printed" in each for each in missing_before_sending(estimate_in_full(estimate.pk), **known))


@pytest.mark.django_db
def test_a_snapshot_older_than_several_uses_is_read() -> None:
    estimate = estimate_in_full(drafted(pictures=6).pk)
    assert len(items_of(estimate.options.all()[0])) == 1
    kept = as_json(estimate_shown(estimate, business=BusinessProfile.objects.get(), on=AT.date()))
    for option in kept["options"]:
        del option["further_uses"]
    assert estimate_from_json(kept).options[0].further_uses == ()


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


@pytest.mark.django_db
def test_uses_are_added_and_taken_off_on_their_page(client_for: Any, owner: Any) -> None:
    estimate = drafted(pictures=6)
    option_of(estimate)
    office = client_for(owner)
    path = reverse("option_uses", args=[estimate.pk, "A"])
    typed = {
        "use_kind": "own_promotion", "use_media": ["print.menu"], "use_places": ["DE"], "use_months": "12", "use_copies": "900", "exclusivity": "none",
    }  # fmt: skip
    assert office.post(path, {**typed, "use_places": []}).status_code == 422
    assert office.post(path, typed).status_code == 302
    assert OptionItem.objects.get().use_copies == 900
    assert "303.264" in office.get(path).content.decode()
    assert office.post(path, {"remove": OptionItem.objects.get().pk}).status_code == 302
    assert not OptionItem.objects.exists()


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
        actions.add_item(estimate, letter="A", use=use)
    if not uses[1:]:
        actions._reckon_anew(option_of(estimate, **uses[0]), estimate)
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
    actions._reckon_anew(option_of(estimate), estimate)
    actions.add_item(estimate, letter="A", use=MENU, is_optional=True)
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
    fresh = actions.revise_estimate(estimate, at=AT)
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
    actions._reckon_anew(option_of(estimate, **small), estimate)
    actions.add_item(estimate, letter="A", use={**small, "use_media": ["web.social"]}, is_optional=True)
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


@pytest.mark.django_db
def test_one_use_of_an_option_is_optional_and_goes_with_its_line() -> None:
    estimate = drafted(pictures=6)
    actions._reckon_anew(option_of(estimate), estimate)
    item = actions.add_item(estimate, letter="A", use=MENU, is_optional=True)
    second = actions.add_item(estimate, letter="A", use=MENU)
    for again in (
        lambda: actions.add_item(estimate, letter="A", use=MENU, is_optional=True),
        lambda: actions.change_item(estimate, item=second.pk, use=MENU, is_optional=True),
    ):
        with pytest.raises(actions.OneOptionalUse):
            again()
    # The menu is in the option now, so the same menu adds nothing but what the step rounds up
    row = estimate_in_full(estimate.pk)
    option = row.options.all()[0]
    line = next(each for each in option.lines.all() if each.item_id == item.pk)
    edit = actions.OptionEdit(
        option, list(option.pictures.all()), [each for each in option.lines.all() if each != line], [line.pk]
    )
    actions.save_estimate(row, fields=["opening"], version=row.version, options=[edit], at=AT)
    assert list(OptionItem.objects.all()) == [second]


@pytest.mark.django_db
def test_a_use_is_changed_where_it_stands() -> None:
    estimate = with_menu()
    first, second = OptionItem.objects.get(), actions.add_item(estimate, letter="A", use={**MENU, "use_copies": 50_000})
    actions.change_item(estimate, item=first.pk, use={**MENU, "use_copies": 5_000}, is_optional=False)
    assert [each.use_copies for each in estimate.options.get().further_items.all()] == [5_000, 50_000]
    actions.remove_item(estimate, item=second.pk)
    # 180 × 1.2 × .4 × 1 × 1 × .75 × 5.85 = 379.08; with 1,137.24 it is 1,516.32, up to 1,520
    assert estimate.options.get().lines.get(kind="usage").unit_price == D(1520)
    actions.change_item(estimate, item=first.pk, use=MENU, is_optional=True)
    assert [each.unit_price for each in estimate.options.get().lines.filter(kind="usage").order_by("order")] == [
        1140,
        305,
    ]
    actions.change_item(estimate, item=first.pk, use=MENU, is_optional=False)
    assert estimate.options.get().lines.get(kind="usage").unit_price == D(1445)
    with pytest.raises(actions.UseGone):
        actions.change_item(estimate, item=second.pk, use=MENU, is_optional=False)
    sent(estimate)
    with pytest.raises(actions.EstimateNotDraft):
        actions.change_item(estimate, item=first.pk, use=MENU, is_optional=False)


@pytest.mark.django_db
def test_a_use_is_changed_on_its_page(client_for: Any, owner: Any) -> None:
    estimate = with_menu()
    item, office = OptionItem.objects.get(), client_for(owner)
    path = reverse("option_uses", args=[estimate.pk, "A"]) + f"?change={item.pk}"
    assert 'value="900"' in office.get(path).content.decode()
    typed = {
        "use_kind": "advertising", "use_media": ["print.menu"], "use_places": ["DE"], "use_months": "12", "use_copies": "5000", "exclusivity": "none",
        "is_optional": "on",
    }  # fmt: skip
    assert office.post(path, typed).status_code == 302
    item.refresh_from_db()
    assert (item.use_copies, item.is_optional) == (5000, True)
    actions.remove_item(estimate, item=item.pk)
    gone = office.post(path, typed)
    assert (gone.status_code, "taken off meanwhile" in gone.content.decode()) == (422, True)


def rival_of(estimate: Estimate) -> Any:
    """Another client, and the shoot, whose pictures may be sold on."""
    Shoot.objects.filter(pk=estimate.shoot_id).update(selling_on="free")
    return ClientFactory(name="Spoon & Lamp"), estimate.shoot


def two_exclusive_uses() -> Estimate:
    """Two uses of Walnut Lantern, the second alone on its pictures."""
    estimate = drafted(pictures=6)
    option_of(estimate)
    actions.add_item(estimate, letter="A", use={**ALONE, "use_media": ["web.paid_social"]})
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
    actions._reckon_anew(option_of(estimate), estimate)
    actions.add_item(estimate, letter="A", use=MENU)
    actions.add_item(
        estimate, letter="A", use={**MENU, "use_media": ["print.brochure"], "use_copies": 2_000}, is_optional=True
    )
    actions.offer_in_currency(estimate, currency="CHF", rate=D("0.9412"), rate_on=AT.date(), source="from memory")
    source = sent(Estimate.objects.get())
    fresh = actions.draft_like(shoot_to_quote(pictures=6, client=source.shoot.client), source, at=AT)
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
