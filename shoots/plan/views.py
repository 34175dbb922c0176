from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door, link_door
from shared.access.once import once
from shared.edits import EditedMeanwhile
from shared.links.queries import links_for, shown_url
from shoots.brief.models import Shoot
from shoots.plan import actions, forms, queries
from shoots.plan.models import Shot
from shoots.plan.papers import call_sheet_pdf, cook_sheet_length, cook_sheet_parts, cook_sheet_pdf, cook_sheet_words

# The shot list


@door(reads=STUDIO)
def shot_list(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    return _list_page(request, shoot_pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def make_shot_list(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    made = actions.make_shot_list(get_object_or_404(Shoot, pk=shoot_pk))
    messages.success(
        request,
        f"{len(made)} shot{' is' if len(made) == 1 else 's are'} drafted. Change, order and take out what you like."
        if made
        else "The list has them all. Nothing was added.",
    )
    return redirect("shot_list", shoot_pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def add_shots(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    form = forms.AddShotsForm(request.POST, shoot=shoot, prefix="s")
    if not form.is_valid():
        return _list_page(request, shoot_pk, status=422, add_form=form)
    actions.add_shots(shoot, **form.cleaned_data)
    return redirect("shot_list", shoot_pk)


@door(reads=STUDIO, writes=STUDIO)
def edit_shot(request: HttpRequest, pk: int) -> HttpResponse:
    shot = get_object_or_404(Shot.objects.select_related("shoot", "dish", "moment"), pk=pk)
    form = forms.ShotForm(request.POST or None, instance=shot)
    if form.is_valid():
        try:
            actions.change_shot(
                shot,
                fields=form.Meta.fields,
                version=form.cleaned_data["version"],
                pictures=form.cleaned_data.get("agreed_pictures"),
            )
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            return redirect("shot_list", shot.shoot_id)
    return render(
        request, "shoots/plan/edit_shot.html", {"shot": shot, "form": form}, status=422 if form.is_bound else 200
    )


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def mark_in_list(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """A press in a row of the list: the name of the button says what, its value which shot. One form holds them all, so the page stays light."""
    form = forms.MarkForm(request.POST)
    if form.is_valid():
        shot = get_object_or_404(Shot, pk=form.cleaned_data["shot"], shoot=shoot_pk)
        press = form.cleaned_data["press"]
        if press in ("up", "down"):
            actions.move_shot(shot, places=-1 if press == "up" else 1)
        elif press == "all_real":
            actions.say_nothing_substituted(shot)
        else:
            actions.set_shot_state(shot, state=press)
    return redirect("shot_list", shoot_pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def leave_unasked_shots(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    left = actions.leave_unasked_shots(get_object_or_404(Shoot, pk=shoot_pk))
    messages.success(
        request, f"{left} shot{'' if left == 1 else 's'} left for want of time. One press takes them up again."
    )
    return redirect("shot_list", shoot_pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def take_up_shots(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    taken_up = actions.take_up_shots(get_object_or_404(Shoot, pk=shoot_pk))
    messages.success(request, f"{taken_up} shot{' is' if taken_up == 1 else 's are'} planned again.")
    return redirect("shot_list", shoot_pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_shot(request: HttpRequest, pk: int) -> HttpResponse:
    shot = get_object_or_404(Shot, pk=pk)
    actions.remove_shot(shot)
    messages.success(request, f"“{shot}” is off the list.")
    return redirect("shot_list", shot.shoot_id)


@door(reads=STUDIO)
def shoot_plan_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot.objects.prefetch_related("dishes"), pk=shoot_pk)
    shots = list(queries.shots_of(shoot))
    context = {
        "shoot": shoot,
        "counts": queries.counts_of(shots),
        **queries.bench_of(shots, shoot.dishes.all()),
        "unserved": [*queries.promised_without_a_shot(shoot), *queries.promised_and_skipped(shots)] if shots else [],
    }
    return render(request, "shoots/plan/shoot_plan_panel.html", context)


def _list_page(request: HttpRequest, shoot_pk: int, *, status: int = 200, add_form: Any = None) -> HttpResponse:
    shoot = get_object_or_404(queries.shoot_with_people(shoot_pk))
    shots, unserved = list(queries.shots_of(shoot)), queries.promised_without_a_shot(shoot)
    dishes, skipped = list(queries.dishes_with_recipes(shoot)), queries.promised_and_skipped(shots)
    context = {
        "shoot": shoot,
        "lines": queries.lines_of(shots),
        "counts": queries.counts_of(shots),
        "bench": queries.bench_of(shots, dishes),
        "to_come": len(queries.shots_to_come(shoot, shots, unserved=unserved, dishes=dishes)),
        "unserved": [*unserved, *skipped],
        "skipped": skipped,
        "time": queries.time_left(shoot, shots),
        "unanswered": queries.without_substitution_answer(shoot, shots),
        "dishes": queries.moment_counts(dishes),
        "add_form": add_form or forms.AddShotsForm(shoot=shoot, prefix="s"),
    }
    return render(request, "shoots/plan/shot_list.html", context, status=status)


# Cook's sheet and call sheet


@door(reads=STUDIO)
def day_sheets(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    return _sheets_page(request, shoot_pk)


@door(reads=STUDIO)
def cook_sheet_paper(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    return _cook_sheet(get_object_or_404(queries.shoot_for_sheets(shoot_pk)), part=request.GET.get("part", ""))


@door(reads=STUDIO)
def call_sheet_paper(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(queries.shoot_for_sheets(shoot_pk))
    language = request.GET.get("language", "")
    sheet = queries.call_sheet_of(
        shoot, language=language if language in ("en", "de") else shoot.client.language, at=timezone.now()
    )
    return _pdf(call_sheet_pdf(sheet), f"call-sheet-{shoot.pk}.pdf")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def send_cook_sheet(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(queries.shoot_for_sheets(shoot_pk))
    form = forms.CookSheetForm(request.POST, prefix="cook")
    if not form.is_valid():
        return _sheets_page(request, shoot_pk, status=422, cook_form=form)
    actions.send_cook_sheet(shoot, email=form.cleaned_data["email"], at=timezone.now())
    messages.success(
        request,
        f"The cook’s sheet is written to {form.cleaned_data['email']}, with a private link. An earlier link opens nothing now.",
    )
    return redirect("day_sheets", shoot_pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def make_cook_sheet_link(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    actions.make_cook_sheet_link(get_object_or_404(queries.shoot_for_sheets(shoot_pk)), at=timezone.now())
    messages.success(request, "The link is made. It opens the cook’s sheet on a phone, without log-in.")
    return redirect("day_sheets", shoot_pk)


@door(reads=STUDIO)
def cook_sheet_length_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """How many pages the cook's sheet is, measured in print, and what makes it too long."""
    shoot, at = get_object_or_404(queries.shoot_for_sheets(shoot_pk)), timezone.now()
    sheet = queries.cook_sheet_of(shoot, at=at)
    printed = cook_sheet_length(sheet)
    context = {
        "shoot": shoot,
        "printed": printed,
        "parts": cook_sheet_parts(sheet) if printed.is_too_long else (),
        "is_musts_only": queries.musts_only(shoot),
        "nice": queries.only_nice(shoot),
    }
    return render(request, "shoots/plan/cook_sheet_length_panel.html", context)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def choose_cook_sheet(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    is_musts_only = request.POST.get("show") == "musts"
    actions.choose_cook_sheet(get_object_or_404(Shoot, pk=shoot_pk), is_musts_only=is_musts_only)
    messages.success(
        request,
        "The cook’s sheet shows the must-haves only, on paper and behind the link."
        if is_musts_only
        else "The cook’s sheet shows all moments again.",
    )
    return redirect("day_sheets", shoot_pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def call_back_cook_sheet(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    actions.call_back_cook_sheet(get_object_or_404(Shoot, pk=shoot_pk), at=timezone.now())
    messages.success(request, "The link to the cook’s sheet opens nothing now.")
    return redirect("day_sheets", shoot_pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def send_call_sheet(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(queries.shoot_for_sheets(shoot_pk))
    form = forms.CallSheetForm(request.POST, shoot=shoot, prefix="call")
    if not form.is_valid():
        return _sheets_page(request, shoot_pk, status=422, call_form=form)
    sent = actions.send_call_sheet(shoot, people=form.cleaned_data["people"], at=timezone.now())
    messages.success(
        request, f"The call sheet is written to {sent} {'person' if sent == 1 else 'people'}, each in their language."
    )
    return redirect("day_sheets", shoot_pk)


@link_door("cook_sheet", lands=True)
def read_cook_sheet(request: HttpRequest, token: str) -> HttpResponse:
    sheet = queries.cook_sheet_of(_linked(request), at=timezone.now())
    return render(request, "shoots/plan/read_cook_sheet.html", {**cook_sheet_words(sheet), "token": token})


@link_door("cook_sheet")
def read_cook_sheet_paper(request: HttpRequest, token: str) -> HttpResponse:
    return _cook_sheet(_linked(request))


def _sheets_page(
    request: HttpRequest, shoot_pk: int, *, status: int = 200, cook_form: Any = None, call_form: Any = None
) -> HttpResponse:
    shoot = get_object_or_404(queries.shoot_for_sheets(shoot_pk))
    cook = queries.cook_of(shoot)
    links = [
        link
        for link in links_for(f"shoot:{shoot_pk}")
        if link.purpose == actions.COOK_SHEET and not link.called_back_at
    ]
    context = {
        "shoot": shoot,
        "cook": cook,
        "missing": queries.missing_from_sheets(shoot),
        "sheet": cook_sheet_words(queries.cook_sheet_of(shoot, at=timezone.now())),
        "links": [(link, shown_url(link)) for link in links],
        "cook_form": cook_form or forms.CookSheetForm(prefix="cook", initial={"email": cook.email if cook else ""}),
        "call_form": call_form or forms.CallSheetForm(shoot=shoot, prefix="call"),
    }
    return render(request, "shoots/plan/day_sheets.html", context, status=status)


def _linked(request: HttpRequest) -> Shoot:
    return get_object_or_404(queries.shoot_for_sheets(int(request.link.subject.partition(":")[2])))  # type: ignore[attr-defined]


def _cook_sheet(shoot: Shoot, *, part: str = "") -> HttpResponse:
    """The whole sheet, or one of the parts of a long day; a part it does not have is the whole."""
    sheet = queries.cook_sheet_of(shoot, at=timezone.now())
    parts = cook_sheet_parts(sheet) if part else ()
    if part.isdecimal() and len(part) < 4 and 1 <= int(part) <= len(parts):
        return _pdf(cook_sheet_pdf(parts[int(part) - 1]), f"cooks-sheet-{shoot.pk}-{part}.pdf")
    return _pdf(cook_sheet_pdf(sheet), f"cooks-sheet-{shoot.pk}.pdf")


def _pdf(data: bytes, name: str) -> HttpResponse:
    return HttpResponse(
        data, content_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'}
    )


def _places(request: HttpRequest) -> int:
    return -1 if request.POST.get("way") == "up" else 1
