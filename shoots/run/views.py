from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door, link_door
from shared.access.once import once
from shared.edits import EditedMeanwhile
from shared.links.queries import links_for, shown_url
from shoots.brief.forms import DAY_IS_AGREED
from shoots.brief.models import Dish, Shoot
from shoots.run import actions, forms, queries
from shoots.run.activities import Change
from shoots.run.clocks import FOOD_CAUTION
from shoots.run.models import Run
from shoots.run.papers import run_pdf
from shoots.run.sentences import clock_of, title_of


@door(reads=STUDIO)
def run_of_day(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    page = _page(shoot_pk, _day(request))
    feeds = [
        link for link in links_for(f"shoot:{shoot_pk}") if link.purpose == actions.RUN_FEED and not link.called_back_at
    ]
    context = {
        "page": page,
        "shoot": page.run_day.shoot,
        "run": page.run_day.run,
        "here": f"?day={page.run_day.number}" if page.run_day.days > 1 else "",
        "days": range(1, page.run_day.days + 1),
        "next_day": queries.next_day(page.run_day),
        "feeds": [(link, shown_url(link)) for link in feeds],
        "is_agreed": page.run_day.shoot.state in DAY_IS_AGREED,  # then its own page keeps its days as they are
        "food_caution": FOOD_CAUTION,
        **_undo(request, page),
    }  # fmt: skip
    return render(request, "shoots/run/run_of_day.html", context)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def improve_run(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    day = _day(request)
    plan, saved = actions.improve_run(get_object_or_404(Shoot, pk=shoot_pk), at=timezone.now(), day=day)
    if saved > 0:
        messages.success(request, "A better plan is found. It is kept.")  # better in minutes, light and waits together
    elif plan.finish <= plan.bound:
        messages.success(request, "The plan is kept. No plan can be done earlier.")
    else:
        messages.success(request, "No better plan was found. The one that stands is kept.")
    return _to_run(shoot_pk, day)


@door(reads=STUDIO, writes=STUDIO)
def edit_run_activity(request: HttpRequest, shoot_pk: int, key: str) -> HttpResponse:
    run_day = queries.run_day_of(get_object_or_404(queries.shoot_for_run(shoot_pk)), _day(request))
    drafted = run_day.drafted.get(key)
    if drafted is None:
        raise actions.NoSuchActivity
    change = run_day.changes.get(key, Change())
    window = change.window or (None, None)
    planned = clock_of(queries.plan_as_it_stands(run_day).starts[key], run_day.call)
    initial: dict[str, Any] = {
        "seen": queries.mark_of(change),
        "pinned": None if change.pinned is None else clock_of(change.pinned, run_day.call),
        "minutes": change.minutes,
        "hold": drafted.hold if change.hold is None else change.hold,
        "light": change.light,
        "light_from": None if window[0] is None else clock_of(window[0], run_day.call),
        "light_until": None if window[1] is None else clock_of(window[1], run_day.call),
    }
    form = forms.ActivityForm(
        request.POST or None, initial=initial, call=run_day.call, kind=drafted.kind, drafted_minutes=drafted.minutes, why=drafted.why, planned=planned
    )  # fmt: skip
    if form.is_valid():
        try:
            actions.change_activity(run_day.shoot, key, **form.changed_to(), at=timezone.now(), day=run_day.number)
        except actions.ChangedMeanwhile as refusal:
            form.say(refusal)
            form.data = form.data.copy()
            form.data["seen"] = initial["seen"]  # the next save goes on top
        else:
            messages.success(request, f"Saved. The rest of the day is planned round “{title_of(drafted)}”.")
            return _to_run(shoot_pk, run_day.number)
    here = f"?day={run_day.number}" if run_day.days > 1 else ""
    context = {"shoot": run_day.shoot, "drafted": drafted, "change": change, "form": form, "here": here}
    return render(request, "shoots/run/edit_run_activity.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def pin_run_activity(request: HttpRequest, shoot_pk: int, key: str) -> HttpResponse:
    shoot, day = get_object_or_404(Shoot, pk=shoot_pk), _day(request)
    form = forms.PinForm(request.POST)
    if not form.is_valid():
        messages.error(request, "This is no minute of the day. Nothing was moved. Type the time with “Change”.")
        return _to_run(shoot_pk, day)
    pinned = form.cleaned_data["minute"]
    actions.pin_activity(shoot, key, pinned=pinned, at=timezone.now(), day=day)
    return _to_run(shoot_pk, day, moved=key)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def undo_run_move(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    day = _day(request)
    actions.undo_move(get_object_or_404(Shoot, pk=shoot_pk), at=timezone.now(), day=day)
    messages.success(request, "Taken back. Every time is as it was before.")
    return _to_run(shoot_pk, day)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def unpin_run_activity(request: HttpRequest, shoot_pk: int, key: str) -> HttpResponse:
    day = _day(request)
    actions.unpin_activity(get_object_or_404(Shoot, pk=shoot_pk), key, at=timezone.now(), day=day)
    messages.success(request, "Its time is planned with the rest again.")
    return _to_run(shoot_pk, day)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def move_dish_to_day(request: HttpRequest, shoot_pk: int, dish_pk: int) -> HttpResponse:
    dish, day = get_object_or_404(Dish, pk=dish_pk, shoot=shoot_pk), _day(request, request.POST)
    actions.move_dish_to_day(dish, day=day)
    messages.success(request, f"{dish} is made on day {day} now.")
    return _to_run(shoot_pk, day)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def drop_nice_shots(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    day = _day(request)
    dropped = actions.drop_nice_shots(get_object_or_404(Shoot, pk=shoot_pk), day=day)
    return _to_run(shoot_pk, day, dropped=",".join(map(str, dropped)))


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def take_shots_back(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    count = actions.take_shots_back(get_object_or_404(Shoot, pk=shoot_pk), shots=_keys(request.POST.get("shots", "")))
    messages.success(request, f"{count} picture{'' if count == 1 else 's'} planned again.")
    return _to_run(shoot_pk, _day(request))


@door(reads=STUDIO, writes=STUDIO)
def edit_run(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot, day = get_object_or_404(queries.shoot_for_run(shoot_pk)), _day(request)
    run = Run.objects.filter(shoot=shoot, day=day).first() or queries.first_terms(shoot)
    form = forms.RunForm(request.POST or None, instance=run)
    if form.is_valid():
        try:
            values = {name: form.cleaned_data[name] for name in form.Meta.fields}
            actions.change_run(shoot, values, version=form.cleaned_data["version"], at=timezone.now(), day=day)
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, "Saved, and the day is planned with it.")
            return _to_run(shoot_pk, day)
    context = {"shoot": shoot, "form": form, "here": f"?day={day}" if day > 1 else ""}
    return render(request, "shoots/run/edit_run.html", context, status=422 if form.is_bound else 200)


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
    return _to_run(shoot_pk, _day(request))


@door(reads=STUDIO)
def run_paper(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    page = _page(shoot_pk, _day(request))
    pdf = run_pdf(queries.run_sheet_of(page, at=timezone.now()))
    name = f"run-{shoot_pk}{f'-day-{page.run_day.number}' if page.run_day.days > 1 else ''}.pdf"
    return HttpResponse(
        pdf, content_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'}
    )


@door(reads=STUDIO)
def run_calendar(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    return _calendar(shoot_pk, "attachment")


@link_door(actions.RUN_FEED)
def run_feed(request: HttpRequest, token: str) -> HttpResponse:
    return _calendar(int(request.link.subject.partition(":")[2]), "inline")  # type: ignore[attr-defined]


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def make_run_feed(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    actions.make_run_feed(get_object_or_404(Shoot, pk=shoot_pk), at=timezone.now())
    messages.success(
        request, "The address is made. A calendar that subscribes to it shows the run and keeps up with it."
    )
    return _to_run(shoot_pk, _day(request))


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def call_back_run_feed(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    actions.call_back_run_feed(get_object_or_404(Shoot, pk=shoot_pk), at=timezone.now())
    messages.success(request, "The address for calendars gives nothing now.")
    return _to_run(shoot_pk, _day(request))


def _calendar(shoot_pk: int, way: str) -> HttpResponse:
    stream = queries.calendar_of_shoot(get_object_or_404(queries.shoot_for_run(shoot_pk)), at=timezone.now())
    return HttpResponse(
        stream.encode(),
        content_type="text/calendar; charset=utf-8",
        headers={"Content-Disposition": f'{way}; filename="run-{shoot_pk}.ics"'},
    )


def _page(shoot_pk: int, day: int) -> queries.RunPage:
    return queries.page_of_day(get_object_or_404(queries.shoot_for_run(shoot_pk)), day)


def _day(request: HttpRequest, said: Any = None) -> int:
    """The day of the shoot that the address (or the form) names, the first where it names none."""
    named = (request.GET if said is None else said).get("day", "")
    return min(int(named), 1_000) if named.isdecimal() and len(named) < 5 else 1


def _keys(named: str) -> list[int]:
    return [int(each) for each in named.split(",") if each.isdecimal() and len(each) < 15]


def _to_run(shoot_pk: int, day: int, **said: Any) -> HttpResponse:
    asked = {**({"day": day} if day > 1 else {}), **said}
    return redirect(reverse("run_of_day", args=[shoot_pk]) + (f"?{urlencode(asked)}" if asked else ""))


def _undo(request: HttpRequest, page: queries.RunPage) -> dict[str, Any]:
    """What was just done from this page and can be taken back in one press."""
    drafted = page.run_day.drafted.get(request.GET.get("moved", ""))
    run = page.run_day.run
    before = run.before if run and run.before and run.before["key"] == request.GET.get("moved", "") else None
    dropped = [each for each in page.run_day.shoot.shots.all() if each.pk in _keys(request.GET.get("dropped", ""))]
    dropped = [each for each in dropped if each.state == "skipped"]
    return {
        "moved": drafted,
        "moved_to": clock_of(page.plan.starts[drafted.key], page.run_day.call) if drafted else None,
        "can_undo": before is not None and before["after"] == page.run_day.digest,
        "newly_said": [said for said in page.warnings if before and said not in before["said"]],
        "dropped": dropped,
        "dropped_keys": ",".join(str(each.pk) for each in dropped),
    }
