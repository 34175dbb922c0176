from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from billing.costs.models import CostYear
from billing.costs.queries import living_of, living_rate
from billing.earnings.actions import DAY_FIELDS, forget_worked_days, set_worked_days
from billing.earnings.earned import days_shown
from billing.earnings.forms import WorkedDaysForm
from billing.earnings.models import WorkedDays
from billing.earnings.queries import earned_by, earned_in, worked_days_of
from shared.access.doors import OWNER, STUDIO, door
from shared.access.models import Role
from shared.errors import Refusal
from shoots.brief.models import Shoot


@door(reads=OWNER)
def cost_earned(request: HttpRequest, year: int) -> HttpResponse:
    row = get_object_or_404(CostYear.objects.prefetch_related("lines"), year=year)
    living, found = living_of(row), earned_in(year)
    context = {
        "row": row,
        "living": living,
        "found": found,
        "years": [(each, days_shown(each.days)) for each in found.years],
        "shoots": [(each, days_shown(each.worked.days), each.below(living.day, row.currency)) for each in found.shoots],
    }
    return render(request, "billing/earnings/cost_earned.html", context)


@door(reads=STUDIO)
def shoot_earned_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    if request.user.role != Role.OWNER:  # type: ignore[union-attr]
        return HttpResponse("")
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    return render(request, "billing/earnings/panel.html", _shown(shoot))


@door(reads=OWNER, writes=OWNER)
def worked_days(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot, at = get_object_or_404(Shoot, pk=shoot_pk), timezone.now()
    if request.method == "POST" and "forget" in request.POST:
        forget_worked_days(shoot, by=str(request.user), at=at)
        messages.info(request, "The days of the accepted lines count again.")
        return redirect("shoot_page", shoot.pk)
    form = _form(shoot, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            set_worked_days(shoot, typed, version=typed["version"], by=str(request.user), at=at)
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.info(request, "The days worked are kept with the shoot.")
            return redirect("shoot_page", shoot.pk)
    context = _shown(shoot, form=form)
    return render(request, "billing/earnings/worked_days.html", context, status=422 if form.errors else 200)


def _form(shoot: Shoot, data: Any) -> WorkedDaysForm:
    row = worked_days_of(shoot)
    if row is None:
        _rows, worked = earned_by(shoot)
        start = {name: days_shown(getattr(worked, name)) for name in DAY_FIELDS}
        row = WorkedDays(shoot=shoot, version=0, **start)
    return WorkedDaysForm(data, instance=row)


def _shown(shoot: Shoot, *, form: WorkedDaysForm | None = None) -> dict[str, Any]:
    rows, worked = earned_by(shoot)
    living = living_rate(shoot.shot_on or shoot.first_on or shoot.made_at.date())
    below = [(each, each.below(living.day, living.currency) if living else None) for each in rows]
    days = {name: days_shown(getattr(worked, name)) for name in (*DAY_FIELDS, "days")}
    return {"shoot": shoot, "rows": below, "worked": worked, "days": days, "living": living, "form": form}
