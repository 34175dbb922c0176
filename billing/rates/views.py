from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from billing.rates.actions import set_mileage_rate, set_rates
from billing.rates.forms import MileageRateForm, RateCardForm
from billing.rates.models import RateCard
from billing.rates.queries import mileage_rates, rate_card_on, rate_cards, starting_rates, usage_rows
from shared.access.doors import OWNER, door
from shared.access.once import once
from shared.business.queries import today
from shared.errors import Refusal


@door(reads=OWNER)
def rates(request: HttpRequest) -> HttpResponse:
    on = today(timezone.now())
    card = rate_card_on(on)
    context = {"card": card, "cards": rate_cards(), "usage": usage_rows(card), "mileage": mileage_rates(), "today": on}
    return render(request, "billing/rates/rates.html", context)


@door(reads=OWNER, writes=OWNER)
@once
def new_rates(request: HttpRequest) -> HttpResponse:
    on = today(timezone.now())
    start = rate_card_on(on) or starting_rates(on)
    start.pk, start.valid_from, start.version = None, on, 1
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
    return render(request, "billing/rates/edit.html", {"form": form}, status=422 if form.errors else 200)


@door(reads=OWNER, writes=OWNER)
def edit_rates(request: HttpRequest, pk: int) -> HttpResponse:
    card = get_object_or_404(RateCard, pk=pk)
    form = RateCardForm(request.POST or None, instance=card)
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
    return render(request, "billing/rates/edit.html", {"form": form, "card": card}, status=422 if form.errors else 200)


@door(reads=OWNER, writes=OWNER)
@once
def new_mileage_rate(request: HttpRequest) -> HttpResponse:
    form = MileageRateForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        rate = set_mileage_rate(form.cleaned_data)
        messages.info(request, f"The rate of {rate.name} from {rate.valid_from:%-d %b %Y} is saved.")
        return redirect("rates")
    return render(request, "billing/rates/mileage.html", {"form": form}, status=422 if form.errors else 200)
