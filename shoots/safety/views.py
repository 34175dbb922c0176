from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door
from shared.access.once import once
from shoots.brief.models import Dish, Shoot
from shoots.plan.allergens import CAUTION
from shoots.run.clocks import FOOD_CAUTION, NOT_FOR_EATING
from shoots.safety import actions, queries
from shoots.safety.allergen_table import NOT_IN_US, US_WHEAT
from shoots.safety.forms import TickForm
from shoots.safety.lists import FRAME, RIG
from shoots.safety.models import FoodOut, SafetyTick
from shoots.safety.papers import safety_pdf


@door(reads=STUDIO)
def shoot_safety(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    return _page(request, get_object_or_404(queries.shoot_for_safety(shoot_pk)))


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def tick_safety(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """Lines of one of the two lists, by one name: looked at, or not on this set."""
    shoot = get_object_or_404(queries.shoot_for_safety(shoot_pk))
    which = FRAME if request.POST.get("list") == FRAME else RIG
    form = TickForm(request.POST, lines=_open_lines(shoot, which), prefix=which)
    if not form.is_valid():
        return _page(request, shoot, status=422, **{which: form})
    typed, is_here = form.cleaned_data, request.POST.get("how") != "not_here"
    actions.tick_safety(shoot, items=typed["items"], name=typed["name"], at=timezone.now(), is_here=is_here)
    return _back(shoot_pk, which)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def take_back_tick(request: HttpRequest, pk: int) -> HttpResponse:
    tick = get_object_or_404(SafetyTick, pk=pk)
    actions.take_back_tick(tick, at=timezone.now(), by=request.user.get_username())
    return _back(tick.shoot_id, FRAME if tick.light else RIG)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def begin_light(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    light = actions.begin_light(shoot, by=_me(request), at=timezone.now())
    messages.success(request, f"Light {light} of the day. Its list is open; those before it are kept.")
    return _back(shoot_pk, FRAME)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def put_food_out(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish, pk=pk)
    actions.put_food_out(dish, at=timezone.now(), by=_me(request))
    return _back(dish.shoot_id, "food")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def take_back_food_out(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(FoodOut.objects.select_related("dish"), pk=pk)
    actions.take_back_food_out(row)
    return _back(row.dish.shoot_id, "food")


@door(reads=STUDIO)
def safety_paper(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(queries.shoot_for_safety(shoot_pk))
    language = request.GET.get("language", "")
    language = language if language in ("en", "de") else shoot.client.language
    data = safety_pdf(queries.safety_sheet_of(shoot, language=language, at=timezone.now()))
    headers = {"Content-Disposition": f'inline; filename="safety-{shoot.pk}.pdf"'}
    return HttpResponse(data, content_type="application/pdf", headers=headers)


@door(reads=STUDIO)
def shoot_safety_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(queries.shoot_for_safety(shoot_pk))
    tables, rig = list(queries.tables_of(shoot).values()), queries.rig_of(shoot)
    context = {
        "shoot": shoot,
        "unasked": [table.dish for table in tables if not table.told_by],
        "differing": [table.dish for table in tables if table.flags],
        "calls": queries.calls_of(shoot),
        "ticked": sum(each.tick is not None for each in rig),
        "of": len(rig),
    }
    return render(request, "shoots/safety/shoot_safety_panel.html", context)


def _page(request: HttpRequest, shoot: Shoot, *, status: int = 200, **bound: TickForm) -> HttpResponse:
    me = {"name": _me(request)}
    dishes = queries.dishes_of(shoot, now=timezone.now())
    lists: list[dict[str, Any]] = [
        {
            "key": RIG,
            "lines": queries.rig_of(shoot),
            "form": bound.get(RIG) or TickForm(lines=_open_lines(shoot, RIG), prefix=RIG, initial=me),
        },
        {
            "key": FRAME,
            "lines": queries.frame_of(shoot),
            "form": bound.get(FRAME) or TickForm(lines=_open_lines(shoot, FRAME), prefix=FRAME, initial=me),
        },
    ]
    for each in lists:
        each["done"] = [line for line in each["lines"] if line.tick]
    context = {
        "shoot": shoot,
        "dishes": dishes,
        "caution": CAUTION,
        "us_notes": (US_WHEAT, f"US list: {NOT_IN_US}."),
        "rig": lists[0],
        "frame": lists[1],
        "light": queries.light_now(shoot),
        "earlier": queries.lights_of(shoot),
        "hazards": queries.hazards_of_day(shoot),
        "room": queries.room_of(shoot),
        "calls": queries.calls_of(shoot),
        "not_for_eating": NOT_FOR_EATING,
        "food_caution": FOOD_CAUTION,
        "to_look_at": sum(len(each.table.flags) + (not each.table.told_by) for each in dishes),
        "open": len(lists[0]["lines"]) - len(lists[0]["done"]),
    }
    return render(request, "shoots/safety/shoot_safety.html", context, status=status)


def _open_lines(shoot: Shoot, which: str) -> list[Any]:
    return queries.open_in(queries.frame_of(shoot) if which == FRAME else queries.rig_of(shoot))


def _back(shoot_pk: int, where: str) -> HttpResponse:
    return redirect(f"{reverse('shoot_safety', args=[shoot_pk])}#h-{where}")


def _me(request: HttpRequest) -> str:
    return str(request.user.get_full_name() or request.user.get_username())
