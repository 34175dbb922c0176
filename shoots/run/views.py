from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door
from shared.edits import EditedMeanwhile
from shoots.brief.models import Shoot
from shoots.run import actions, forms, queries
from shoots.run.activities import Change
from shoots.run.clocks import FOOD_CAUTION
from shoots.run.icalendar import calendar_of
from shoots.run.models import Run
from shoots.run.papers import run_pdf
from shoots.run.sentences import clock_of, span, title_of


@door(reads=STUDIO)
def run_of_day(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    page = _page(shoot_pk)
    context = {"page": page, "shoot": page.run_day.shoot, "run": page.run_day.run, "food_caution": FOOD_CAUTION}
    return render(request, "shoots/run/run_of_day.html", context)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def improve_run(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    plan, saved = actions.improve_run(get_object_or_404(Shoot, pk=shoot_pk), at=timezone.now())
    if saved > 0:
        messages.success(request, f"A better plan is found: {span(saved)} better. It is kept.")
    elif plan.finish <= plan.bound:
        messages.success(request, "The plan is kept. No plan can be done earlier.")
    else:
        messages.success(request, "No better plan was found. The one that stands is kept.")
    return redirect("run_of_day", shoot_pk)


@door(reads=STUDIO, writes=STUDIO)
def edit_run_activity(request: HttpRequest, shoot_pk: int, key: str) -> HttpResponse:
    run_day = queries.run_day_of(get_object_or_404(queries.shoot_for_run(shoot_pk)))
    drafted = run_day.drafted.get(key)
    if drafted is None:
        raise actions.NoSuchActivity
    change = run_day.changes.get(key, Change())
    window = change.window or (None, None)
    planned = clock_of(queries.plan_as_it_stands(run_day).starts[key], run_day.call)
    initial: dict[str, Any] = {
        "pinned": None if change.pinned is None else clock_of(change.pinned, run_day.call),
        "minutes": change.minutes,
        "hold": drafted.hold if change.hold is None else change.hold,
        "light_from": None if window[0] is None else clock_of(window[0], run_day.call),
        "light_until": None if window[1] is None else clock_of(window[1], run_day.call),
    }
    form = forms.ActivityForm(
        request.POST or None, initial=initial, call=run_day.call, has_hold=drafted.kind == "step", drafted_minutes=drafted.minutes, why=drafted.why, planned=planned
    )  # fmt: skip
    if form.is_valid():
        actions.change_activity(run_day.shoot, key, **form.changed_to(), at=timezone.now())
        messages.success(request, f"Saved. The rest of the day is planned round “{title_of(drafted)}”.")
        return redirect("run_of_day", shoot_pk)
    context = {"shoot": run_day.shoot, "drafted": drafted, "change": change, "form": form}
    return render(request, "shoots/run/edit_run_activity.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def unpin_run_activity(request: HttpRequest, shoot_pk: int, key: str) -> HttpResponse:
    actions.unpin_activity(get_object_or_404(Shoot, pk=shoot_pk), key, at=timezone.now())
    messages.success(request, "Its time is planned with the rest again.")
    return redirect("run_of_day", shoot_pk)


@door(reads=STUDIO, writes=STUDIO)
def edit_run(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    run = Run.objects.filter(shoot=shoot).first() or Run(shoot=shoot)
    form = forms.RunForm(request.POST or None, instance=run)
    if form.is_valid():
        try:
            values = {name: form.cleaned_data[name] for name in form.Meta.fields}
            actions.change_run(shoot, values, version=form.cleaned_data["version"], at=timezone.now())
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, "Saved, and the day is planned with it.")
            return redirect("run_of_day", shoot_pk)
    return render(
        request, "shoots/run/edit_run.html", {"shoot": shoot, "form": form}, status=422 if form.is_bound else 200
    )


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def write_run_times(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    changed = actions.write_run_times(get_object_or_404(Shoot, pk=shoot_pk), at=timezone.now())
    messages.success(
        request,
        f"{changed} shot{'' if changed == 1 else 's'} got a new time. Shot list, call sheet and cook’s sheet show them."
        if changed
        else "The shots have these times already.",
    )
    return redirect("run_of_day", shoot_pk)


@door(reads=STUDIO)
def run_paper(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    pdf = run_pdf(queries.run_sheet_of(_page(shoot_pk), at=timezone.now()))
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="run-{shoot_pk}.pdf"'},
    )


@door(reads=STUDIO)
def run_calendar(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    page = _page(shoot_pk)
    run = page.run_day.run
    stream = calendar_of(
        queries.run_events(page),
        name=page.run_day.shoot.title,
        made_at=run.planned_at if run and run.planned_at else timezone.now(),
        revision=run.version + run.searches if run else 0,
    )
    return HttpResponse(
        stream.encode(),
        content_type="text/calendar; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="run-{shoot_pk}.ics"'},
    )


def _page(shoot_pk: int) -> queries.RunPage:
    run_day = queries.run_day_of(get_object_or_404(queries.shoot_for_run(shoot_pk)))
    return queries.run_page_of(run_day, queries.plan_as_it_stands(run_day))
