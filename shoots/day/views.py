from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door
from shared.access.once import once
from shared.business.queries import today
from shoots.day import actions, queries
from shoots.day.forms import OkForm, PressForm
from shoots.day.models import Take
from shoots.plan.models import Shot
from shoots.plan.queries import shoot_for_sheets


@door(reads=STUDIO)
def on_set(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """One shot at a time. ``?shot=`` shows that shot, ``?after=`` the next open one after it."""
    shoot, at = get_object_or_404(shoot_for_sheets(shoot_pk)), timezone.now()
    screen = queries.set_screen(shoot, at=at, wanted=request.GET.get("shot", ""), after=request.GET.get("after", ""))
    template = "shoots/day/on_set.html" if screen["shot"] else "shoots/day/end_of_day.html"
    return render(request, template, {**screen, "today": today(at), "press_form": PressForm()})


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def press_take(request: HttpRequest, pk: int) -> HttpResponse:
    shot = get_object_or_404(Shot, pk=pk)
    form = PressForm(request.POST)
    if not form.is_valid():
        return _to(shot, "shot")
    outcome = form.cleaned_data["outcome"]
    actions.press_take(
        shot, outcome=outcome, at=timezone.now(), by=request.user.get_username(), note=form.cleaned_data["note"]
    )
    return _to(shot, "shot" if outcome == Take.Outcome.AGAIN else "after")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def undo_take(request: HttpRequest, pk: int) -> HttpResponse:
    take = get_object_or_404(Take.objects.select_related("shot"), pk=pk)
    actions.undo_take(take, at=timezone.now(), by=request.user.get_username())
    return _to(take.shot, "shot")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def ok_shot(request: HttpRequest, pk: int) -> HttpResponse:
    shot = get_object_or_404(Shot, pk=pk)
    form = OkForm(request.POST)
    if form.is_valid():
        actions.ok_shot(shot, name=form.cleaned_data["name"], at=timezone.now())
    else:
        messages.error(request, "No OK was written down: the name is missing. Enter who says it will do.")
    return _to(shot, "shot")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def take_back_ok(request: HttpRequest, pk: int) -> HttpResponse:
    shot = get_object_or_404(Shot, pk=pk)
    actions.take_back_ok(shot, at=timezone.now())
    return _to(shot, "shot")


def _to(shot: Shot, how: str) -> HttpResponse:
    return redirect(f"{reverse('on_set', args=[shot.shoot_id])}?{how}={shot.pk}")
