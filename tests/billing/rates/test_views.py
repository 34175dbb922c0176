import html
import re
from fractions import Fraction

import pytest
from django.urls import reverse

from billing.rates.models import RateCard
from billing.rates.queries import usage_card
from tests.factories.billing import RateCardFactory
from tests.factories.shared import BusinessProfileFactory
from tests.reading import text as words

pytestmark = pytest.mark.django_db


def test_only_the_owner_reads_the_rates(client_for, owner, assistant, accountant):
    BusinessProfileFactory()
    RateCardFactory()
    page = client_for(owner).get(reverse("rates")).content.decode()
    assert "€780.00" in page
    assert "common practice, no source" in page
    assert client_for(assistant).get(reverse("rates")).status_code == 403
    assert client_for(accountant).get(reverse("rates")).status_code == 403


def test_a_wrong_rate_keeps_what_was_typed(client_for, owner):
    BusinessProfileFactory()
    answer = client_for(owner).post(reverse("new_rates"), {"valid_from": "1 Jul 2026", "day_rate": "abc"})
    assert answer.status_code == 422
    assert 'value="abc"' in answer.content.decode()
    assert not RateCard.objects.exists()


# Usage fees


def typed(page: str) -> dict[str, str]:
    """What a browser sends back of a form on a page."""
    form = re.search(
        r"<form method=\"post\" novalidate>.*?</form>",
        re.sub(r"<template>.*?</template>", "", page, flags=re.DOTALL),
        re.DOTALL,
    )[0]
    found = {}
    for tag in re.findall(r"<input [^>]*>", form):
        named = dict(re.findall(r'(name|value)="([^"]*)"', tag))
        found[named["name"]] = html.unescape(named.get("value", ""))
    for name, text in re.findall(r'<textarea name="([^"]*)"[^>]*>(.*?)</textarea>', form, re.DOTALL):
        found[name] = html.unescape(text).strip()
    return found


@pytest.fixture
def studio(client_for, owner):
    BusinessProfileFactory()
    return client_for(owner)


def test_only_the_owner_reads_and_sets_usage_fees(client_for, assistant, accountant):
    card = RateCardFactory()
    for person in (assistant, accountant):
        other = client_for(person)
        for path in (
            reverse("usage_fees"),
            reverse("new_usage_fees"),
            reverse("edit_usage_fees", args=[card.pk]),
            reverse("usage_example"),
        ):
            assert other.get(path).status_code == 403
            assert other.post(path).status_code == 403


def test_usage_fees_nobody_set_are_told_to_be_starting_values(studio):
    page = words(studio.get(reverse("usage_fees")))
    assert "You work by starting values: common practice, no source." in page
    assert "€113,400.00" in page
    assert "Usage fees" in words(studio.get(reverse("rates")))


def test_new_usage_fees_are_typed_saved_and_listed(studio):
    RateCardFactory()
    page = studio.get(reverse("new_usage_fees")).content.decode()
    answer = studio.post(
        reverse("new_usage_fees"), typed(page) | {"base": "200", "valid_from": "1 Feb 2026"}, follow=True
    )
    assert answer.redirect_chain[0][0] == reverse("usage_fees")
    said = words(answer)
    assert "Usage fees from 1 Feb 2026 are saved. Estimates drafted before keep theirs." in said
    assert "You work by the usage fees of 1 Feb 2026." in said
    assert "1 Jan 2026 to 31 Jan 2026 Starting values. Base fee €180.00" in said
    assert usage_card(RateCard.objects.last()).base == 200


def test_a_form_of_new_usage_fees_sent_twice_counts_once(studio):
    sent = typed(studio.get(reverse("new_usage_fees")).content.decode()) | {"base": "200"}
    for _ in range(2):
        assert studio.post(reverse("new_usage_fees"), sent).status_code == 302
    assert RateCard.objects.count() == 1


def test_a_wrong_usage_fee_keeps_everything_that_was_typed(studio):
    sent = typed(studio.get(reverse("new_usage_fees")).content.decode())
    answer = studio.post(
        reverse("new_usage_fees"), sent | {"base": "200", "term-4-factor": "1.9", "territories-0-limit": "Germny, US"}
    )
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "“Germny” is no country we know" in words(answer)
    kept = typed(page)
    assert (kept["base"], kept["term-4-factor"], kept["territories-0-limit"]) == ("200", "1.9", "Germny, US")
    assert not RateCard.objects.exists()


def test_a_refusal_of_new_usage_fees_stands_above_what_was_typed(studio):
    RateCardFactory()
    sent = typed(studio.get(reverse("new_usage_fees")).content.decode())
    answer = studio.post(reverse("new_usage_fees"), sent)
    assert answer.status_code == 422
    assert "These are the usage fees that count on" in words(answer)


def test_usage_fees_are_corrected_and_a_stale_page_is_told(studio):
    card = RateCardFactory()
    path = reverse("edit_usage_fees", args=[card.pk])
    sent = typed(studio.get(path).content.decode()) | {"media_print_menu": "0.5"}
    assert studio.post(path, sent).status_code == 302
    late = studio.post(path, sent | {"media_print_menu": "0.6"})
    assert late.status_code == 422
    assert "Someone changed this" in words(late)
    assert usage_card(RateCard.objects.get()).media.factor("print.menu") == Fraction("0.5")
    assert studio.post(path, typed(late.content.decode())).status_code == 302  # on top, as the sentence says
    assert usage_card(RateCard.objects.get()).media.factor("print.menu") == Fraction("0.6")


def test_the_example_is_priced_by_what_is_typed_beside_the_fee_now(studio):
    card = RateCardFactory()
    sent = typed(studio.get(reverse("edit_usage_fees", args=[card.pk])).content.decode())
    panel = words(studio.get(reverse("usage_example"), sent | {"card": str(card.pk), "base": "200"}))
    # 200 × 1.2 × .4 × 1 × 1 × .6 × 5.85 = 336.96
    assert "Menu card €340.00" in panel
    assert "= €336.96, rounded up. Until now €305.00." in panel
    assert "€90.00 €200.00" in panel
    odd = words(studio.get(reverse("usage_example"), sent | {"territories_europe": "0.5"}))
    assert "this factor is never used" in odd
    wrong = words(studio.get(reverse("usage_example"), sent | {"base": "", "card": "no number"}))
    assert "Not priced yet" in wrong
    assert "Base fee : This is missing. Fill it in." in wrong
    assert not RateCard.objects.exclude(usage={}).exists()
