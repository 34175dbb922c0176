import json
import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door
from shared.access.once import once
from shared.business.queries import today
from shared.errors import Refusal
from shoots.brief.models import Shoot
from shoots.day import actions, queries
from shoots.day.forms import HoldLimitsForm, MarkForm, OkForm, PressForm, TickForm
from shoots.day.models import Take
from shoots.day.sending import MOST_AT_ONCE, Sent, Unreadable, clock_off, phone_time, read_mark
from shoots.plan.models import Shot


class MarksUnreadable(Refusal):
    """What a phone sent is no list of marks."""

    status = 400

    def __init__(self) -> None:
        super().__init__(
            "What this phone sent could not be read.",
            "Nothing was saved here; the phone keeps its marks.",
            "Load the page again. The marks are sent once more.",
        )


@door(reads=STUDIO)
def on_set(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """One shot at a time. ``?shot=`` shows that shot, ``?after=`` the next open one after it."""
    shoot, at = get_object_or_404(queries.set_shoot(shoot_pk)), timezone.now()
    screen = queries.set_screen(shoot, at=at, wanted=request.GET.get("shot", ""), after=request.GET.get("after", ""))
    with timezone.override(queries.set_zone(shoot, at)):
        return render(request, "shoots/day/on_set.html", {**screen, "today": today(at)})


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
        actions.ok_shot(shot, name=form.cleaned_data["name"], at=timezone.now(), by=request.user.get_username())
    else:
        messages.error(request, "No OK was written down: the name is missing. Enter who says it will do.")
    return _to(shot, "shot")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def take_back_ok(request: HttpRequest, pk: int) -> HttpResponse:
    shot = get_object_or_404(Shot, pk=pk)
    actions.take_back_ok(shot, at=timezone.now(), by=request.user.get_username())
    return _to(shot, "shot")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def write_mark(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """A note, an unplanned shot or a clock from the page as plain forms."""
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    form = MarkForm(request.POST)
    back = f"{reverse('on_set', args=[shoot.pk])}?shot={request.POST.get('shot', '')}"
    if not form.is_valid():
        messages.error(request, "Nothing was written down: what was sent could not be read. Press again.")
        return redirect(back)
    typed = form.cleaned_data
    limit = next((each for each in queries.hold_limits() if each.key == typed["clock"]), None)
    if typed["kind"] == "note" and not typed["note"]:
        messages.error(request, "No note was kept: it has no words. Write it, then press once more.")
        return redirect(back)
    now = timezone.now()
    sent = Sent(
        key=uuid.uuid4(),
        kind=typed["kind"],
        pressed_at=now,
        shot=typed["shot"],
        words=limit.words if limit else typed["note"],
        minutes=limit.minutes if limit else None,
        about=typed["about"],
    )
    actions.hold_mark(shoot, sent, at=now, by=request.user.get_username())
    return redirect(back)


# What a phone keeps and sends


@door(reads=STUDIO)
def set_worker(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """The program that keeps this shoot's page on the phone. Its address is inside the page's, so it reaches no other."""
    program, digest, files = queries.worker_parts()
    page = reverse("on_set", args=[shoot_pk])
    known = {
        "shoot": shoot_pk,
        "digest": digest,
        "page": page,
        "files": files,
        "also": [reverse("end_of_day", args=[shoot_pk])],
    }
    return HttpResponse(f"const KEPT = {json.dumps(known)};\n{program}", content_type="text/javascript; charset=utf-8")


@door(reads=STUDIO)
def set_state(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """The day as it stands, the server's clock, and a fresh token for what is sent next."""
    shoot, at = get_object_or_404(Shoot, pk=shoot_pk), timezone.now()
    return JsonResponse({"token": get_token(request), "now": at.isoformat(), "day": queries.day_now(shoot, at)})


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def send_marks(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """Marks of a phone: answers which are held, which could not be read and why, and the day as it stands after them."""
    shoot, at = get_object_or_404(Shoot, pk=shoot_pk), timezone.now()
    sent, refused, phone_now = _marks_in(request.body)
    actions.hold_marks(shoot, sent, off=clock_off(phone_now, at), at=at, by=request.user.get_username())
    held = queries.held_of(shoot, [each.key for each in sent])
    return JsonResponse({"held": held, "refused": refused, "day": queries.day_now(shoot, timezone.now())})


def _marks_in(body: bytes) -> tuple[list[Sent], list[dict[str, Any]], Any]:
    try:
        said = json.loads(body)
        raw = said["marks"]
    except (ValueError, TypeError, KeyError, RecursionError):
        raise MarksUnreadable from None
    if not isinstance(raw, list) or len(raw) > MOST_AT_ONCE:
        raise MarksUnreadable
    sent, refused = [], []
    for each in raw:
        try:
            sent.append(read_mark(each))
        except Unreadable as why:
            refused.append({"key": each.get("key") if isinstance(each, dict) else None, "why": str(why)})
    return sent, refused, phone_time(said.get("now"))


# Pages of the day


@door(reads=STUDIO)
def set_log(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """Everything pressed on the day, with its time."""
    shoot, at = get_object_or_404(queries.set_shoot(shoot_pk)), timezone.now()
    with timezone.override(queries.set_zone(shoot, at)):
        return render(request, "shoots/day/set_log.html", {"shoot": shoot, "marks": list(queries.log_of(shoot))})


@door(reads=STUDIO, writes=STUDIO)
def end_of_day(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """What is looked at before anybody leaves, ticked by name and time."""
    shoot, at = get_object_or_404(queries.set_shoot(shoot_pk)), timezone.now()
    form = TickForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        kind = "undo" if typed["about"] else "tick"
        sent = Sent(
            key=uuid.uuid4(), kind=kind, pressed_at=at, words=typed["name"], item=typed["item"], about=typed["about"]
        )
        actions.hold_mark(shoot, sent, at=at, by=request.user.get_username())
        return redirect(f"{request.path}#{typed['item']}")
    context = queries.end_page(shoot) | {"form": form, "today": today(at), "tried": request.POST.get("item", "")}
    context["me"] = request.user.get_full_name() or request.user.get_username()
    with timezone.override(queries.set_zone(shoot, at)):
        return render(request, "shoots/day/end_of_day.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO, writes=STUDIO)
def edit_hold_limits(request: HttpRequest) -> HttpResponse:
    """The studio's own minutes for what does not wait on the plate."""
    form = HoldLimitsForm(request.POST or None, limits=queries.hold_limits())
    if request.method == "POST" and form.is_valid():
        actions.set_hold_limits(form.cleaned_data)
        messages.success(request, "The minutes are saved. The set shows them from the next load.")
        return redirect("edit_hold_limits")
    return render(request, "shoots/day/edit_hold_limits.html", {"form": form}, status=422 if form.errors else 200)


def _to(shot: Shot, how: str) -> HttpResponse:
    return redirect(f"{reverse('on_set', args=[shot.shoot_id])}?{how}={shot.pk}")
