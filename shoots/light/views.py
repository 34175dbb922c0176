from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door
from shared.access.once import once
from shared.addresses import row_named
from shared.edits import EditedMeanwhile
from shoots.brief.models import Shoot
from shoots.light import actions, forms, lens_answers, queries
from shoots.light.models import Camera, OwnLens
from shoots.plan.models import Shot


@door(reads=STUDIO)
def shoot_light(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """The light of one day. ``?day=`` is another day of the shoot, ``?minute=`` another minute of that day."""
    shoot, day = _shoot_and_day(request, shoot_pk)
    light = queries.day_of_light(shoot, day)
    slider = queries.slider_of(light, shoot, request.GET.get("minute", ""))
    context = {
        "shoot": shoot,
        "day": day,
        "days": queries.days_of(shoot),
        "light": light,
        "slider": slider,
        "frame": queries.frame_of(light, shoot, slider.minute if slider else None),
        "stretches": queries.stretch_lines(light),
        "best": queries.best_span(light),
        "groups": queries.shot_groups(light, shoot),
    }
    return render(request, "shoots/light/shoot_light.html", context)


@door(reads=STUDIO)
def three_hours(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """Three hours of the day side by side, for the wall."""
    shoot, day = _shoot_and_day(request, shoot_pk)
    light = queries.day_of_light(shoot, day)
    context = {
        "shoot": shoot,
        "day": day,
        "days": queries.days_of(shoot),
        "light": light,
        "frames": queries.three_frames(light, shoot),
        "stretches": queries.stretch_lines(light),
        "groups": queries.shot_groups(light, shoot),
    }
    return render(request, "shoots/light/three_hours.html", context)


@door(reads=STUDIO)
def shoot_light_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot, day = _shoot_and_day(request, shoot_pk)
    context = {"shoot": shoot, "light": queries.day_of_light(shoot, day)}
    return render(request, "shoots/light/shoot_light_panel.html", context)


@door(reads=STUDIO, writes=STUDIO)
def edit_light(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(queries.light_shoot(shoot_pk))
    form = forms.LightPlanForm(request.POST or None, instance=queries.plan_of(shoot), shoot=shoot)
    if form.is_valid():
        try:
            actions.set_light(
                shoot, values=form.typed_values(), windows=form.typed_windows(), version=form.cleaned_data["version"]
            )
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, "The set-up is saved. Hours and places are reckoned from it.")
            return redirect("shoot_light", shoot_pk)
    return render(
        request,
        "shoots/light/edit_light.html",
        {"shoot": shoot, "form": form},
        status=422 if form.is_bound else 200,
    )


@door(reads=STUDIO)
def shoot_lens(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """What a lens does in this room. The question is the address; ``?distance=`` begins with a subject of that size, ``?shot=`` with a shot."""
    shoot = get_object_or_404(queries.light_shoot(shoot_pk))
    plan, cameras, shot = queries.plan_of(shoot), list(Camera.objects.all()), _shot_asked(request, shoot)
    begins = (
        forms.shot_defaults(plan, shot, queries.own_kit(), cameras)
        if shot
        else forms.lens_defaults(plan, distance=request.GET.get("distance", ""))
    )
    asked = {name: request.GET.get(name, value) for name, value in begins.items()}
    form = forms.LensForm(asked, cameras=cameras)
    context: dict[str, Any] = {"shoot": shoot, "form": form, "shot": shot}
    if form.is_valid():
        question = form.question()
        found = lens_answers.reach_of(question)
        context |= {
            "question": question,
            "fits": lens_answers.fits_words(found, question.room),
            "is_too_long": found.fits == lens_answers.TOO_LONG,
            "parts": (
                ("Distance and size", lens_answers.distance_answers(question)),
                ("Depth", lens_answers.depth_answers(question)),
                ("Movement", lens_answers.motion_answers(question)),
                ("Print", lens_answers.print_answers(question)),
            ),
            "others": lens_answers.other_lines(question),
        }
    return render(request, "shoots/light/shoot_lens.html", context, status=200 if form.is_valid() else 422)


def _shoot_and_day(request: HttpRequest, shoot_pk: int) -> tuple[Shoot, date | None]:
    shoot = get_object_or_404(queries.light_shoot(shoot_pk))
    days = queries.days_of(shoot)
    wanted = request.GET.get("day", "")
    return shoot, next((each for each in days if each.isoformat() == wanted), days[0] if days else None)


def _shot_asked(request: HttpRequest, shoot: Shoot) -> Shot | None:
    return row_named(request.GET, "shot", shoot.shots.select_related("moment"))


# The lens of each shot, and a grey card at each new light


@door(reads=STUDIO)
def shots_lens(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """Every planned shot: which lens fits the room, what is sharp, what the shutter has to do."""
    shoot = get_object_or_404(queries.light_shoot(shoot_pk))
    kit = queries.own_kit()
    groups = queries.lens_groups(shoot, queries.planned_shots(shoot), kit)
    context = {
        "shoot": shoot,
        "kit": kit,
        "plan": queries.plan_of(shoot),
        "groups": groups,
        "out_of_reach": queries.out_of_reach(groups),
    }
    return render(request, "shoots/light/shots_lens.html", context)


@door(reads=STUDIO)
def shots_lens_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot, day = _shoot_and_day(request, shoot_pk)
    kit, shots = queries.own_kit(), queries.planned_shots(shoot)
    context = {
        "shoot": shoot,
        "kit": kit,
        "out_of_reach": queries.out_of_reach(queries.lens_groups(shoot, shots, kit)),
        "cards": queries.new_lights(queries.day_of_light(shoot, day), shots),
    }
    return render(request, "shoots/light/shots_lens_panel.html", context)


@door(reads=STUDIO)
def shot_lens_panel(request: HttpRequest, pk: int) -> HttpResponse:
    """One shot's lens, for its page."""
    shot = get_object_or_404(Shot.objects.select_related("moment", "dish"), pk=pk)
    shoot = get_object_or_404(queries.light_shoot(shot.shoot_id))
    kit = queries.own_kit()
    context = {"shoot": shoot, "shot": shot, "kit": kit, "lens": queries.lens_of(shot, queries.plan_of(shoot), kit)}
    return render(request, "shoots/light/shot_lens_panel.html", context)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def add_cards_for_lights(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot, day = _shoot_and_day(request, shoot_pk)
    made = actions.add_cards_for_lights(shoot, day=day)
    said = ", ".join(card.title for card in made)
    messages.success(request, f"On the list: {said}." if made else "Every light has its grey card.")
    return redirect("shot_list", shoot_pk)


# What the studio shoots with


@door(reads=STUDIO)
def kit(request: HttpRequest) -> HttpResponse:
    return _kit_page(request)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def add_camera(request: HttpRequest) -> HttpResponse:
    form = forms.CameraForm(request.POST, prefix="c")
    if not form.is_valid():
        return _kit_page(request, status=422, camera_form=form)
    actions.add_camera(**{name: form.cleaned_data[name] for name in form.Meta.fields})
    return redirect("kit")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def add_lens(request: HttpRequest) -> HttpResponse:
    form = forms.OwnLensForm(request.POST, prefix="l")
    if not form.is_valid():
        return _kit_page(request, status=422, lens_form=form)
    actions.add_lens(**{name: form.cleaned_data[name] for name in form.Meta.fields})
    return redirect("kit")


@door(reads=STUDIO, writes=STUDIO)
def edit_camera(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(Camera, pk=pk)
    return _edit_kit(request, row, forms.CameraForm(request.POST or None, instance=row), remove="remove_camera")


@door(reads=STUDIO, writes=STUDIO)
def edit_lens(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(OwnLens, pk=pk)
    return _edit_kit(request, row, forms.OwnLensForm(request.POST or None, instance=row), remove="remove_lens")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_camera(request: HttpRequest, pk: int) -> HttpResponse:
    return _remove_from_kit(request, get_object_or_404(Camera, pk=pk))


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_lens(request: HttpRequest, pk: int) -> HttpResponse:
    return _remove_from_kit(request, get_object_or_404(OwnLens, pk=pk))


def _edit_kit(request: HttpRequest, row: Camera | OwnLens, form: Any, *, remove: str) -> HttpResponse:
    if form.is_valid():
        try:
            actions.change_kit(row, fields=form.Meta.fields, version=form.cleaned_data["version"])
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            return redirect("kit")
    context = {"row": row, "form": form, "remove_url": reverse(remove, args=[row.pk])}
    return render(request, "shoots/light/edit_kit.html", context, status=422 if form.is_bound else 200)


def _remove_from_kit(request: HttpRequest, row: Camera | OwnLens) -> HttpResponse:
    actions.remove_from_kit(row)
    messages.success(request, f"“{row}” is out of the list.")
    return redirect("kit")


def _kit_page(
    request: HttpRequest, *, status: int = 200, camera_form: Any = None, lens_form: Any = None
) -> HttpResponse:
    context = {
        "cameras": Camera.objects.all(),
        "lenses": OwnLens.objects.all(),
        "camera_form": camera_form or forms.CameraForm(prefix="c", initial={"long_mm": 36, "short_mm": 24}),
        "lens_form": lens_form or forms.OwnLensForm(prefix="l"),
    }
    return render(request, "shoots/light/kit.html", context, status=status)
