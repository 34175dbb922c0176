from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from billing.costs.actions import save_cost_year, take_as_rates
from billing.costs.forms import CostSheet, TakeRatesForm
from billing.costs.living import days_in, days_needed, days_working, rounded_up
from billing.costs.models import CostYear
from billing.costs.queries import (
    FIRST_YEAR,
    LAST_YEAR,
    cost_year_of,
    cost_years,
    costs_of,
    days_off,
    living_of,
    start_of_year,
)
from billing.rates.queries import rates_in_force
from shared.access.doors import OWNER, door
from shared.access.once import once
from shared.business.queries import today
from shared.errors import Refusal


@door(reads=OWNER)
def cost_list(request: HttpRequest) -> HttpResponse:
    on = today(timezone.now())
    rows = [(row, living_of(row)) for row in cost_years()]
    known = {row.year for row, _living in rows}
    begin = [year for year in (on.year, on.year + 1) if year not in known]
    return render(request, "billing/costs/cost_list.html", {"rows": rows, "begin": begin, "year": on.year})


@door(reads=OWNER, writes=OWNER)
@once
def cost_year(request: HttpRequest, year: int) -> HttpResponse:
    at = timezone.now()
    sheet, row, copied_from = _sheet(year, request.POST if request.method == "POST" else None)
    living = None
    if request.method == "POST" and sheet.is_valid():
        living = sheet.living()
        typed = sheet.form.cleaned_data
        try:
            save_cost_year(
                typed, sheet.costs(), year=year, row=row, version=typed["version"], by=str(request.user), at=at
            )
        except Refusal as refusal:
            sheet.form.say(refusal)
        else:
            messages.info(request, f"The costs of {year} are saved.")
            return redirect("cost_year", year)
    elif request.method != "POST":
        living = living_of(row) if row else None
    context = _shown(sheet, year, living) | {"row": row, "copied_from": copied_from}
    return render(request, "billing/costs/cost_year.html", context, status=422 if request.method == "POST" else 200)


@door(reads=OWNER)
def cost_sums(request: HttpRequest, year: int) -> HttpResponse:
    sheet, _row, _copied = _sheet(year, request.GET if "income" in request.GET else None)
    living = sheet.living() if sheet.form.is_bound and sheet.is_valid() else None
    return render(request, "billing/costs/sums.html", _shown(sheet, year, living) | {"is_live": True})


@door(reads=OWNER, writes=OWNER)
@once
def cost_rates(request: HttpRequest, year: int) -> HttpResponse:
    row, on = get_object_or_404(CostYear.objects.prefetch_related("lines"), year=year), today(timezone.now())
    form = TakeRatesForm(request.POST or None, on=on)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            card = take_as_rates(row, valid_from=typed["valid_from"], step=typed["step"])
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.info(
                request, f"Rates from {card.valid_from:%-d %b %Y} are saved. Estimates drafted before keep theirs."
            )
            return redirect("rates")
    living = living_of(row)
    card = rates_in_force(on)
    context = {
        "form": form,
        "row": row,
        "living": living,
        "card": card,
        "days_needed": days_needed(living, card.day_rate) if card.currency == row.currency else None,
        "roundings": [
            (words, rounded_up(living.day, step), rounded_up(living.half_day, step)) for step, words in form.steps()
        ],
    }
    return render(request, "billing/costs/take.html", context, status=422 if form.errors else 200)


def _sheet(year: int, data: Any) -> tuple[CostSheet, CostYear | None, int | None]:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise Http404
    row = cost_year_of(year)
    if row is not None:
        return CostSheet(data, row=row, costs=costs_of(row.lines.all())), row, None
    start, costs, copied_from = start_of_year(year)
    return CostSheet(data, row=start, costs=costs), None, copied_from


def _shown(sheet: CostSheet, year: int, living: Any) -> dict[str, Any]:
    return {
        "sheet": sheet,
        "form": sheet.form,
        "year": year,
        "days": days_in(year),
        "living": living,
        "days_working": days_working(year, days_off(sheet.form.instance)) if living else "",
        "currency": sheet.form.instance.currency,
        "mistakes": sheet.mistakes() if sheet.form.is_bound else [],
    }
