from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from shared.access.doors import STUDIO, door
from shared.edits import EditedMeanwhile
from shoots.brief.models import Shoot
from shoots.light import actions, forms, lens_answers, queries


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
    """What a lens does in this room. The question is the address; ``?distance=`` begins with a subject of that size."""
    shoot = get_object_or_404(queries.light_shoot(shoot_pk))
    begins = forms.lens_defaults(queries.plan_of(shoot), distance=request.GET.get("distance", ""))
    asked = {name: request.GET.get(name, value) for name, value in begins.items()}
    form = forms.LensForm(asked)
    context: dict[str, Any] = {"shoot": shoot, "form": form}
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
