from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from billing.rates.actions import set_mileage_rate, set_rates, set_usage_card, start_usage_card
from billing.rates.card import Card, check_card
from billing.rates.examples import price_examples, warnings_in_words
from billing.rates.forms import MileageRateForm, RateCardForm, UsageFeesForm
from billing.rates.models import RateCard
from billing.rates.queries import (
    has_starting_rates,
    mileage_rates,
    rate_card_on,
    rate_cards,
    rates_in_force,
    starting_rates,
    usage_card,
    usage_history,
    usage_in_force,
    usage_kept,
    usage_money,
    usage_rows,
)
from shared.access.doors import OWNER, door
from shared.access.once import once
from shared.business.queries import business_on, today
from shared.errors import Refusal


@door(reads=OWNER)
def rates(request: HttpRequest) -> HttpResponse:
    on = today(timezone.now())
    card = rate_card_on(on)
    context = {"card": card, "cards": rate_cards(), "mileage": mileage_rates(), "today": on, "usage": usage_money(card)}
    context["currency"] = card.currency if card else starting_rates(on).currency
    context["has_starting_rates"] = card is not None and has_starting_rates(card)
    context["has_own_fees"] = usage_kept(card) != usage_kept(None)
    return render(request, "billing/rates/rates.html", context)


@door(reads=OWNER, writes=OWNER)
@once
def new_rates(request: HttpRequest) -> HttpResponse:
    on = today(timezone.now())
    start = rates_in_force(on)
    is_starting, start.pk, start.valid_from, start.version = has_starting_rates(start), None, on, 1
    form = RateCardForm(request.POST or None, instance=start)
    if request.method == "POST" and form.is_valid():
        try:
            card = set_rates(form.cleaned_data)
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.info(
                request, f"Rates from {card.valid_from:%-d %b %Y} are saved. Estimates drafted before keep theirs."
            )
            return redirect("rates")
    context = {"form": form, "is_starting": is_starting}
    return render(request, "billing/rates/edit.html", context, status=422 if form.errors else 200)


@door(reads=OWNER, writes=OWNER)
def edit_rates(request: HttpRequest, pk: int) -> HttpResponse:
    card = get_object_or_404(RateCard, pk=pk)
    is_starting, form = has_starting_rates(card), RateCardForm(request.POST or None, instance=card)
    if request.method == "POST" and form.is_valid():
        try:
            set_rates(form.cleaned_data, card=card, version=form.cleaned_data["version"])
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.info(
                request, f"Rates from {card.valid_from:%-d %b %Y} are saved. Estimates drafted before keep theirs."
            )
            return redirect("rates")
    context = {"form": form, "card": card, "is_starting": is_starting}
    return render(request, "billing/rates/edit.html", context, status=422 if form.errors else 200)


@door(reads=OWNER)
def usage_fees(request: HttpRequest) -> HttpResponse:
    on = today(timezone.now())
    history = usage_history()
    fees = usage_in_force(history, on)
    card = fees.card if fees else starting_rates(on)
    usage = usage_card(card)
    context = {
        "fees": fees,
        "card": card,
        "history": history,
        "money": usage_money(card),
        "sections": usage_rows(card),
        "examples": price_examples(usage, country=_country(on), currency=card.currency),
        "warnings": warnings_in_words(check_card(usage)),
        "today": on,
    }
    return render(request, "billing/rates/usage_fees.html", context)


@door(reads=OWNER, writes=OWNER)
@once
def new_usage_fees(request: HttpRequest) -> HttpResponse:
    on = today(timezone.now())
    start = rates_in_force(on)
    before, has_rates, start.pk = usage_card(start), start.pk is not None, None
    form = UsageFeesForm(request.POST or None, instance=start, starts_on=on)
    if request.method == "POST" and form.is_valid():
        try:
            card = start_usage_card(form.card, valid_from=form.cleaned_data["valid_from"])
        except Refusal as refusal:
            form.say(refusal)
        else:
            rest = (
                "Estimates drafted before keep theirs."
                if has_rates
                else "Your day rates are the starting values until you set them."
            )
            messages.info(request, f"Usage fees from {card.valid_from:%-d %b %Y} are saved. {rest}")
            return redirect("usage_fees")
    context = {"form": form, **_shown_example(form, before, on)}
    return render(request, "billing/rates/edit_usage.html", context, status=422 if form.errors else 200)


@door(reads=OWNER, writes=OWNER)
def edit_usage_fees(request: HttpRequest, pk: int) -> HttpResponse:
    card = get_object_or_404(RateCard, pk=pk)
    form, before = UsageFeesForm(request.POST or None, instance=card), usage_card(card)
    if request.method == "POST" and form.is_valid():
        try:
            set_usage_card(card, form.card, version=form.cleaned_data["version"])
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.info(
                request, f"Usage fees from {card.valid_from:%-d %b %Y} are saved. Estimates sent before keep theirs."
            )
            return redirect("usage_fees")
    context = {"form": form, "card": card, **_shown_example(form, before, today(timezone.now()))}
    return render(request, "billing/rates/edit_usage.html", context, status=422 if form.errors else 200)


@door(reads=OWNER)
def usage_example(request: HttpRequest) -> HttpResponse:
    on, key = today(timezone.now()), request.GET.get("card", "")
    known = RateCard.objects.filter(pk=int(key)).first() if key.isdecimal() else None
    start = known or rates_in_force(on)
    form = UsageFeesForm(request.GET if "base" in request.GET else None, instance=start)
    return render(
        request,
        "billing/rates/usage_example.html",
        {"form": form, "is_live": True, **_shown_example(form, usage_card(start), on)},
    )


def _shown_example(form: UsageFeesForm, before: Card, on: date) -> dict[str, Any]:
    """The examples by what is typed, beside the fees the page began with; none while a figure is wrong."""
    typed = form.card if form.is_bound and form.is_valid() else None if form.is_bound else before
    if typed is None:
        return {"examples": (), "warnings": ()}
    priced = price_examples(typed, country=_country(on), currency=form.instance.currency, before=before)
    return {"examples": priced, "warnings": warnings_in_words(check_card(typed))}


def _country(on: date) -> str:
    business = business_on(on)
    return business.country if business else "DE"


@door(reads=OWNER, writes=OWNER)
@once
def new_mileage_rate(request: HttpRequest) -> HttpResponse:
    form = MileageRateForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        rate = set_mileage_rate(form.cleaned_data)
        messages.info(request, f"The rate of {rate.name} from {rate.valid_from:%-d %b %Y} is saved.")
        return redirect("rates")
    return render(request, "billing/rates/mileage.html", {"form": form}, status=422 if form.errors else 200)
