import re
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from billing.estimates import actions
from billing.estimates.models import Estimate, EstimateLine, EstimateOption, LineKind, OptionItem
from billing.estimates.queries import estimate_in_full, missing_before_sending, option_shown
from billing.rates.card import card_data
from billing.rates.models import RateCard
from billing.rates.starting_card import STARTING_CARD
from shoots.brief.models import Shoot
from tests.factories.billing import AT, accepted, drafted, offer_link, option_of, sent, shoot_to_quote, with_menu
from tests.factories.licences import ALONE

pytestmark = pytest.mark.django_db


def fields_of(page) -> dict[str, list[str]]:
    """What a browser would send from the filled form of the edit page."""
    html = page.content.decode()
    form = html[html.index('id="draft"') : html.index('id="discard"')]
    sent_back: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name, kind = re.search(r'name="([^"]*)"', tag), re.search(r'type="([^"]*)"', tag)
        if name and (kind[1] not in ("checkbox", "radio") or " checked" in tag):
            value = re.search(r'value="([^"]*)"', tag)
            sent_back.setdefault(name[1], []).append(value[1] if value else "on" if kind[1] == "checkbox" else "")
    for name, inside in re.findall(r'<select name="([^"]*)"[^>]*>(.*?)</select>', form, re.DOTALL):
        chosen = re.findall(r'<option value="([^"]*)" selected', inside)
        sent_back[name] = chosen
    for name, inside in re.findall(r'<textarea name="([^"]*)"[^>]*>(.*?)</textarea>', form, re.DOTALL):
        sent_back[name] = [inside.strip()]
    return sent_back


def name_of(typed, ending, value):
    """The field whose value is ``value`` and whose name ends so."""
    return next(name for name, values in typed.items() if name.endswith(ending) and values == [value])


@pytest.fixture
def office(client_for, owner):
    return client_for(owner)


def test_new_estimate_on_the_shoot_makes_one_draft_however_often_it_is_pressed(office):
    address = reverse("new_estimate", args=[shoot_to_quote().pk])
    key = re.search(r'name="once" value="([^"]+)"', office.get(address).content.decode())[1]
    first = office.post(address, {"once": key})
    again = office.post(address, {"once": key})
    assert first["Location"] == again["Location"] == reverse("estimate", args=[Estimate.objects.get().pk])


def test_the_edit_page_saves_lines_terms_and_a_new_line(office):
    address = reverse("estimate", args=[drafted().pk])
    typed = fields_of(office.get(address))
    row = name_of(typed, "-what", "Getting ready").removesuffix("-what")
    new = name_of(typed, "-what", "").removesuffix("-what")
    typed |= {
        f"{row}-quantity": "5,5", f"{new}-what": "Groceries and props", f"{new}-unit_price": "1.234,50", f"{new}-is_at_most": "on", f"{new}-kind": "food_and_props",
        "t-valid_until": "24.12.2026", "t-deposit_percent": "50",
    }  # fmt: skip
    answer = office.post(address, typed)
    estimate = Estimate.objects.get()
    assert answer.status_code == 302
    assert EstimateLine.objects.get(kind="preparation").quantity == Decimal("5.5")
    assert EstimateLine.objects.get(kind="food_and_props").unit_price == Decimal("1234.50")
    assert (estimate.deposit_percent, estimate.valid_until.isoformat()) == (50, "2026-12-24")


def test_changing_the_use_shows_the_new_fee_and_how_it_came_about(office):
    address = reverse("estimate", args=[drafted(pictures=6).pk])
    typed = fields_of(office.get(address)) | {"A-use_months": "12"}
    office.post(address, typed)
    # 180 × 1.2 × 0.9 × 1 × 5.85 = 1,137.24, up to 1,140: by hand from the starting card
    assert "rounded up to €1,140.00" in EstimateLine.objects.get(kind="usage").working


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("-quantity", "four", "is not a number"),
        ("-quantity", "-1", "Enter a quantity of 0 or more"),
        ("-unit_price", "12345678901234567890", "too long"),
        ("-what", "", "This is missing. Fill it in."),
        ("t-valid_until", "31 Feb 2026", "is not a day of the calendar"),
        ("t-deposit_percent", "140", "Enter a percentage from 0 to 100."),
        ("A-discount_percent", "5", "Say what the discount is for."),
    ],
)
def test_bad_input_gets_a_sentence_and_keeps_what_was_typed(office, field, value, said):
    address = reverse("estimate", args=[drafted().pk])
    typed = fields_of(office.get(address))
    name = name_of(typed, "-what", "Getting ready").removesuffix("-what") + field if field.startswith("-") else field
    typed |= {name: value, "t-opening": "Dear Maro, kept"}
    answer = office.post(address, typed)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert said in page
    assert "Nothing is saved yet. What you typed is kept below." in page
    assert "Dear Maro, kept" in page
    assert not Estimate.objects.filter(opening="Dear Maro, kept").exists()


def test_a_total_beyond_ten_digits_is_refused_on_the_page(office):
    address = reverse("estimate", args=[drafted().pk])
    typed = fields_of(office.get(address))
    typed |= {name_of(typed, "-what", "Getting ready").removesuffix("-what") + "-quantity": "9999999999"}
    answer = office.post(address, typed)
    assert answer.status_code == 422
    assert "more than ten digits" in answer.content.decode()


def test_a_stale_page_is_told_and_keeps_what_was_typed(office):
    address = reverse("estimate", args=[drafted().pk])
    stale = fields_of(office.get(address)) | {"t-opening": "From the older tab"}
    office.post(address, fields_of(office.get(address)) | {"t-opening": "From the newer tab"})
    answer = office.post(address, stale)
    assert answer.status_code == 422
    assert "From the older tab" in answer.content.decode()
    assert Estimate.objects.get().opening == "From the newer tab"


def test_options_and_lines_are_copied_moved_and_removed_by_buttons_that_save_first(office):
    address = reverse("estimate", args=[drafted().pk])
    office.post(address, fields_of(office.get(address)) | {"do": "copy:A", "A-title": "Six pictures"})
    assert list(EstimateOption.objects.values_list("letter", "title")) == [("A", "Six pictures"), ("B", "Six pictures")]
    second = EstimateOption.objects.get(letter="A").lines.all()[1]
    office.post(address, fields_of(office.get(address)) | {"do": f"up:A-{second.pk}"})
    assert EstimateOption.objects.get(letter="A").lines.first() == second
    office.post(address, fields_of(office.get(address)) | {"do": "remove:B"})
    assert EstimateOption.objects.count() == 1


def test_three_options_are_drafted_by_one_press_and_two_more_beside_one(office):
    address = reverse("new_estimate", args=[shoot_to_quote().pk])
    key = re.search(r'name="once" value="([^"]+)"', office.get(address).content.decode())[1]
    page = office.get(office.post(address, {"once": key, "do": "three"})["Location"]).content.decode()
    assert all(
        words in page for words in ("A: Smaller: 3 pictures", "B: As asked: 6 pictures", "C: Larger: 9 pictures")
    )
    single = reverse("estimate", args=[drafted().pk])
    office.post(single, fields_of(office.get(single)) | {"do": "sizes:A", "A-title": "Six pictures"})
    titles = list(Estimate.objects.get(pk=single.strip("/").split("/")[-1]).options.values_list("letter", "title"))
    assert titles == [("A", "Six pictures"), ("B", "Smaller: 3 pictures"), ("C", "Larger: 9 pictures")]


def test_a_press_that_cannot_be_done_saves_what_was_typed_and_says_why(office):
    address = reverse("estimate", args=[drafted().pk])
    for _ in range(2):
        office.post(address, fields_of(office.get(address)) | {"do": "copy:A"})
    full = office.post(
        address, fields_of(office.get(address)) | {"do": "sizes:A", "A-title": "Six of them"}, follow=True
    )
    assert "three options at most" in full.content.decode()
    again = office.post(address, fields_of(full) | {"do": "save"}, follow=True)
    assert "The draft is saved." in again.content.decode()
    assert EstimateOption.objects.get(letter="A").title == "Six of them"


def test_three_options_and_earlier_jobs_are_offered_where_an_estimate_begins(office):
    shoot = shoot_to_quote().pk
    way = f'href="{reverse("new_estimate", args=[shoot])}"'
    for page in (reverse("choose_shoot"), reverse("shoot_estimates_panel", args=[shoot])):
        assert way in office.get(page).content.decode()


def test_the_licence_of_an_option_is_no_optional_line(office):
    address = reverse("estimate", args=[drafted().pk])
    typed = fields_of(office.get(address))
    row = name_of(typed, "-kind", "usage").removesuffix("-kind")
    refused = office.post(address, typed | {f"{row}-is_optional": "on"})
    said = "Name a use that the client may add under Further uses"
    assert (refused.status_code, said in refused.content.decode()) == (422, True)


def test_the_line_of_an_optional_use_stays_optional(office):
    estimate = drafted()
    actions.add_item(estimate, letter="A", use=ALONE | {"exclusivity": "none"}, is_optional=True)
    address = reverse("estimate", args=[estimate.pk])
    typed = fields_of(office.get(address))
    row = next(name for name, values in typed.items() if name.endswith("-is_optional")).removesuffix("-is_optional")
    plain = {name: values for name, values in typed.items() if name != f"{row}-is_optional"}
    refused = office.post(address, plain)
    assert (refused.status_code, "a use that the client may add" in refused.content.decode()) == (422, True)
    assert office.post(address, typed | {f"{row}-DELETE": "on"}).status_code == 302
    assert not estimate.options.get().further_items.exists()


def test_the_fee_of_an_optional_use_stays_shut_where_the_photographer_asks_another_fee_without_it():
    estimate = drafted(at=timezone.now())
    actions.add_item(estimate, letter="A", use=ALONE | {"exclusivity": "none"}, is_optional=True)
    EstimateLine.objects.filter(kind=LineKind.USAGE, item=None).update(unit_price=1234)
    option = estimate_in_full(estimate.pk).options.all()[0]
    shown = option_shown(option, estimate, licensor="")
    assert [line.fee for line in shown.lines if line.kind == "usage"] == [None, None]


def test_the_owner_opens_the_lines_and_fees_of_a_sent_and_of_an_accepted_estimate(office):
    estimate = sent(drafted(at=timezone.now()), at=timezone.now())
    address, opens = reverse("estimate", args=[estimate.pk]), "How this fee comes about"
    page = office.get(address).content.decode()
    assert (page.count("How option A adds up"), page.count(opens)) == (1, 1)
    accepted(estimate, at=timezone.now())
    assert office.get(address).content.decode().count(opens) == 1


def test_the_list_finds_by_state_and_word(office):
    sent(at=timezone.now())
    drafted(at=timezone.now(), title="Spring menu")
    assert "E-2026-001" in office.get(reverse("estimates"), {"state": "sent"}).content.decode()
    found = office.get(reverse("estimates"), {"q": "spring"}).content.decode()
    assert ("E-2026-002" in found, "E-2026-001" in found) == (True, False)


def test_no_estimate_and_no_shoot_is_out_of_reach_however_many_there_are(office):
    first = drafted(at=timezone.now())
    client = first.shoot.client
    Shoot.objects.bulk_create(
        Shoot(title=f"Menu {number}", client=client, billing_party=client, licensee=client, made_at=timezone.now())
        for number in range(55)
    )
    Estimate.objects.bulk_create(
        Estimate(number=f"E-{number}", shoot=first.shoot, made_at=timezone.now()) for number in range(55)
    )
    for address, row in ((reverse("estimates"), str(first)), (reverse("choose_shoot"), first.shoot.title)):
        pages = [office.get(address, {"page": page}).content.decode() for page in (1, 2)]
        assert row not in pages[0]
        assert row in pages[1]
        assert "page=2" in pages[0]


@pytest.mark.parametrize("medium", ["print.menu", "print", "all"])
def test_a_printed_use_without_its_copies_is_said_to_the_photographer_not_to_the_client(medium):
    estimate = drafted()
    option = estimate.options.get()
    option.lines.filter(kind="usage").update(unit_price=0)
    type(option).objects.filter(pk=option.pk).update(use_media=[medium], use_copies=None)
    told = missing_before_sending(estimate_in_full(estimate.pk), business=None, on=AT.date())
    assert (
        "Say in option A how many copies are printed, or that any number may be: a printed use is priced by its copies."
        in told
    )


def test_a_licence_that_shuts_out_a_trade_needs_a_trade():
    estimate = drafted()
    estimate.shoot.licensee.__class__.objects.filter(pk=estimate.shoot.licensee_id).update(trade="")
    estimate.options.update(exclusivity="trade")
    told = missing_before_sending(estimate_in_full(estimate.pk), business=None, on=AT.date())
    assert any("no trade is named" in sentence for sentence in told)


def test_an_estimate_stays_open_when_the_key_of_its_link_is_lost(client_for, owner, settings):
    estimate = sent()
    settings.SECRET_KEY = "the books were restored without their key"
    page = client_for(owner).get(reverse("estimate", args=[estimate.pk])).content.decode()
    assert "can no longer be shown" in page
    assert "To send a new address, make a new version." in page
    assert 'href=""' not in page


def test_a_corrected_card_does_not_reach_an_older_draft_until_it_is_asked_for(office):
    estimate = drafted(at=timezone.now())
    was = estimate.options.get().lines.get(kind="usage").unit_price
    usage = card_data(STARTING_CARD) | {"base": "360"}
    RateCard.objects.update(day_rate=Decimal(900), usage=usage)
    actions.save_estimate(
        estimate_in_full(estimate.pk), fields=[], version=estimate.version, at=timezone.now(),
        options=[actions.OptionEdit(changed_pictures(estimate, 7), [], list(estimate.options.get().lines.all()))],
    )  # fmt: skip
    seven = estimate.options.get().lines.get(kind="usage").unit_price
    assert was < seven < 2 * was  # one picture more by the frozen card, not twice the base
    page = office.get(reverse("estimate_card", args=[estimate.pk])).content.decode()
    assert "€780.00" in page
    assert "€900.00" in page
    assert office.post(reverse("estimate_card", args=[estimate.pk])).status_code == 302
    now = {line.kind: line.unit_price for line in estimate.options.get().lines.all()}
    assert now["shooting_day"] == 900
    assert 2 * seven - 5 <= now["usage"] <= 2 * seven  # twice the base, rounded up to 5 once
    estimate.refresh_from_db()
    assert (estimate.day_rate, estimate.card["day_rate"]) == (900, "900.00")
    assert (
        "the same by your rates of today" in office.get(reverse("estimate_card", args=[estimate.pk])).content.decode()
    )


def changed_pictures(estimate, count):
    option = estimate.options.get()
    option.pictures_count = count
    return option


def test_an_estimate_in_the_clients_money_names_rate_day_and_source_and_comes_back_to_the_cent(office, client_for):
    estimate = drafted(at=timezone.now())
    before = list(estimate.options.get().lines.values_list("pk", "unit_price"))
    terms = (estimate.day_rate, estimate.overtime_rate, estimate.further_round_rate)
    address = reverse("estimate_currency", args=[estimate.pk])
    day = timezone.localdate()
    typed = {"currency": "chf", "rate": "0.9412", "rate_on": day.isoformat(), "source": "European Central Bank"}
    assert office.post(address, typed).status_code == 302
    estimate.refresh_from_db()
    assert estimate.currency == "CHF"
    assert estimate.options.get().lines.get(kind="shooting_day").unit_price == Decimal("734.14")  # 780 at 0.9412
    sent(estimate, at=timezone.now())
    shown = client_for(None).get(offer_link(estimate) + "?option=A").content.decode()
    assert "CHF" in shown
    said = next(term["sentence"] for term in estimate_now(estimate).snapshot["terms"] if term["heading"] == "Currency")
    assert "1\u00a0EUR = 0.9412\u00a0CHF" in said
    assert "European Central Bank" in said
    fresh = actions.revise_estimate(estimate_now(estimate), at=timezone.now())
    assert office.post(reverse("estimate_currency", args=[fresh.pk]), {"currency": "EUR"}).status_code == 302
    fresh.refresh_from_db()
    assert [price for _pk, price in before] == list(fresh.options.get().lines.values_list("unit_price", flat=True))
    assert (fresh.day_rate, fresh.overtime_rate, fresh.further_round_rate) == terms
    assert (fresh.currency, fresh.currency_rate, fresh.own_terms) == ("EUR", None, {})


def estimate_now(estimate):
    return Estimate.objects.get(pk=estimate.pk)


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("currency", "XQX", "is no currency we know"), ("currency", "JPY", "has no cents"), ("rate", "0", "more than 0"), ("rate", "", "more than 0"),
        ("rate_on", "2999-01-01", "today at the latest"), ("source", "", "Say where the rate is from"),
    ],
)  # fmt: skip
def test_a_rate_that_is_none_is_refused_and_nothing_changes(office, field, value, said):
    estimate = drafted(at=timezone.now())
    typed = {"currency": "CHF", "rate": "0.9412", "rate_on": timezone.localdate().isoformat(), "source": "Our bank"} | {
        field: value
    }
    answer = office.post(reverse("estimate_currency", args=[estimate.pk]), typed)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert estimate_now(estimate).currency == "EUR"


def test_a_draft_like_an_earlier_job_has_its_lines_by_todays_card_and_its_typed_prices(office):
    source = drafted(at=timezone.now(), pictures=6)
    EstimateLine.objects.create(option=source.options.get(), what="Marble slab", unit_price=Decimal(85), order=60)
    sent(source, at=timezone.now())
    RateCard.objects.update(day_rate=Decimal(900))
    shoot = shoot_to_quote(pictures=3, client=source.shoot.client, title="Spring menu")
    page = office.get(reverse("draft_like", args=[shoot.pk])).content.decode()
    assert str(source) in page
    answer = office.post(reverse("draft_like", args=[shoot.pk]), {"source": source.pk})
    assert answer.status_code == 302
    fresh = Estimate.objects.get(shoot=shoot)
    lines = {line.what: line.unit_price for line in fresh.options.get().lines.all()}
    assert lines["Marble slab"] == 85
    assert fresh.options.get().lines.get(kind="shooting_day").unit_price == 900
    assert fresh.options.get().pictures.count() == 3
    assert fresh.number != source.number
    assert fresh.state == "draft"


def test_a_draft_like_nothing_is_not_found(office):
    shoot = shoot_to_quote()
    assert office.post(reverse("draft_like", args=[shoot.pk]), {"source": "9999"}).status_code == 404


def test_the_owner_sees_what_costs_no_more_and_takes_it_with_one_press(office):
    estimate = drafted(at=timezone.now())
    address = reverse("estimate", args=[estimate.pk])
    estimate.options.update(use_territories=["DE", "AT", "CH"])
    actions._reckon_anew(estimate.options.get(), estimate)
    page = office.get(address).content.decode()
    assert "Wider at the same fee" in page
    assert "Europe instead of Austria, Switzerland and Germany" in page
    assert "How the fee comes about" in page
    answer = office.post(address, fields_of(office.get(address)) | {"do": "wider:A-territories-0"})
    assert (answer.status_code, answer["Location"]) == (302, f"{address}#option-A")
    assert estimate.options.get().use_territories == ["europe"]
    assert "Wider at the same fee" not in office.get(address).content.decode()


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
