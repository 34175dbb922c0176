from datetime import timedelta

import pytest

from billing.estimates import queries
from billing.estimates.actions import add_item, revise_estimate
from billing.estimates.models import EstimateOption, OptionItem
from billing.invoices.actions import cancel_by_credit_note
from billing.months.actions import bill_job
from billing.orders.actions import ask_question
from billing.rates.queries import rates_in_force, usage_card
from shared.business.models import BusinessProfile
from shoots.uses.intended import ANY_NUMBER
from shoots.uses.sentences import licence_sentences
from tests.factories.billing import AT, MENU, accepted, drafted, option_of, sent
from tests.factories.invoices import DAY, MONTH_END, done

pytestmark = pytest.mark.django_db


def test_the_shoot_runs_by_the_terms_of_its_accepted_estimate():
    estimate = accepted()
    assert queries.accepted_estimate_of(estimate.shoot) == estimate


def test_the_newest_estimate_stands_first_with_its_open_questions():
    first, second = sent(), sent()
    ask_question(first, name="Maro", text="Sunday?", at=AT)
    assert [(each, each.open_questions) for each in queries.estimates_listed()] == [(second, 0), (first, 1)]


def test_a_job_is_billed_by_the_invoice_that_stands_whatever_the_version(quick_papers):
    first = done()
    assert queries.billed_by(first) == ""
    invoice = bill_job(f"estimate:{first.number}", issued_on=DAY, at=MONTH_END)
    second = revise_estimate(first, at=MONTH_END)
    assert queries.billed_by(first) == queries.billed_by(second) == invoice.number
    cancel_by_credit_note(invoice, reason="", at=MONTH_END)
    assert queries.billed_by(first) == ""


def test_a_client_reads_what_was_sent_and_a_draft_as_it_would_go_out_today():
    draft = queries.estimate_in_full(drafted().pk)
    BusinessProfile.objects.update(tax_percent=7)
    assert queries.estimate_as_read(draft, at=AT).tax_percent == 7
    frozen = sent(draft)
    BusinessProfile.objects.update(tax_percent=19)
    assert queries.estimate_as_read(frozen, at=AT).tax_percent == 7


def test_any_number_of_copies_is_priced_and_said_and_nothing_said_is_not():
    estimate = drafted()
    option = estimate.options.get()
    option.use_media, option.use_copies = ["print.menu"], ANY_NUMBER
    words = queries.licence_words(option, estimate)
    assert "The number of copies is not limited." in licence_sentences(words, "en")
    usage = usage_card(rates_in_force(DAY))
    assert queries.licence_fee(option, usage, estimate).fee > 0
    option.use_copies = None
    assert queries.licence_fee(option, usage, estimate) is None


def test_an_estimate_names_the_trade_in_its_language_with_one_question(django_assert_num_queries):
    estimate = drafted()
    option = estimate.options.get()
    option.exclusivity = "trade"
    assert estimate.shoot.licensee.trade == "restaurant"
    with django_assert_num_queries(1):
        said = [licence_sentences(queries.licence_words(option, estimate), "sv") for _ in range(3)]
    assert "(restaurang)" in " ".join(said[-1])


def alpine(**of_option):
    """A draft aimed at Germany, Austria and Switzerland, which by the starting card costs what Europe costs."""
    estimate = drafted()
    estimate.options.update(use_territories=["DE", "AT", "CH"], **of_option)
    option = estimate.options.get()
    fee = queries.licence_line(option, queries.card_of(estimate), estimate)
    option.lines.filter(kind="usage").update(**{name: fee[name] for name in ("unit_price", "own_price", "figures")})
    return estimate


def test_europe_costs_what_three_of_its_countries_cost_and_is_named():
    estimate = alpine()
    offer = queries.wider_uses(estimate.options.get(), estimate)[0]
    assert (offer.of, offer.codes, offer.items, offer.key) == ("territories", ("europe",), (0,), "territories-0")
    assert (offer.name, offer.instead) == ("Europe", "Austria, Switzerland and Germany")


def test_nothing_wider_is_offered_for_one_country_or_where_another_price_is_asked():
    assert queries.wider_uses(drafted().options.get(), drafted()) == ()
    estimate = alpine()
    estimate.options.get().lines.filter(kind="usage").update(unit_price=999)
    assert queries.wider_uses(estimate.options.get(), estimate) == ()


def test_what_an_optional_use_costs_is_not_taken_for_the_price_of_the_licence():
    """The widened licence would lose the price that was typed for it."""
    estimate = alpine()
    option = estimate.options.get()
    line = option.lines.get(kind="usage")
    item = OptionItem.objects.create(option=option, is_optional=True)
    option.lines.create(kind="usage", what="More", unit_price=line.unit_price, item=item, is_optional=True)
    option.lines.filter(pk=line.pk).update(unit_price=999)
    assert queries.wider_uses(estimate.options.get(), estimate) == ()


def test_everything_in_print_without_copies_is_said_before_sending() -> None:
    estimate = drafted(pictures=6)
    option_of(estimate)
    add_item(estimate, letter="A", use={**MENU, "use_media": ["all"], "use_copies": None})
    said = queries.missing_before_sending(
        queries.estimate_in_full(estimate.pk), business=BusinessProfile.objects.get(), on=AT.date() + timedelta(days=1)
    )
    assert any("how many copies are printed" in sentence for sentence in said)


def test_copies_that_nobody_said_are_asked_for_beside_a_typed_fee_too() -> None:
    """What the client reads says nothing of copies, and the licence granted would not limit them."""
    estimate = drafted(pictures=6)
    option = option_of(estimate, **{**MENU, "use_copies": None})
    option.lines.filter(kind="usage").update(unit_price=300)
    known = {"business": BusinessProfile.objects.get(), "on": AT.date()}
    assert any(
        "copies are printed" in each
        for each in queries.missing_before_sending(queries.estimate_in_full(estimate.pk), **known)
    )
    EstimateOption.objects.update(use_copies=ANY_NUMBER)
    assert not any(
        "printed" in each for each in queries.missing_before_sending(queries.estimate_in_full(estimate.pk), **known)
    )
