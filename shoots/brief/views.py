from datetime import date
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from clients import actions as client_actions
from clients.models import Client, Kitchen, Person
from shared.access.doors import STUDIO, door
from shared.access.once import once
from shared.addresses import row_named
from shared.business.queries import business_or_none, today
from shared.edits import EditedMeanwhile
from shoots.brief import actions, queries, wording
from shoots.brief import forms as sheets
from shoots.brief.models import AgreedPicture, Dish, Shoot, ShootPerson
from shoots.brief.steps import job_steps
from shoots.uses.forms import use_words

A_PAGE = 50


def _by(request: HttpRequest) -> str:
    return request.user.get_full_name() or request.user.get_username()


def _back(shoot_pk: int, place: str = "") -> HttpResponse:
    answer = redirect("shoot_page", shoot_pk)
    answer["Location"] += f"#{place}" if place else ""
    return answer


def _clash(first_on: date | None, last_on: date | None, shoot: Shoot | None = None) -> str:
    others = queries.shoots_clashing(first_on, last_on, apart_from=shoot) if first_on else []
    return wording.clash_in_words([(other.title, other.get_state_display(), other.first_on) for other in others])


# Lists


@door(reads=STUDIO)
def shoots(request: HttpRequest) -> HttpResponse:
    form = sheets.ShootFilter(request.GET)
    on = today(timezone.now())
    typed = form.cleaned_data if form.is_valid() else {}
    page = Paginator(queries.shoots_listed(on, **typed), A_PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "shoots/brief/shoots.html",
        {
            "form": form,
            "page": page,
            "today": on,
            "is_filtered": bool(request.GET),
            "next": queries.shoots_coming(on).first(),
        },
    )


def _shoots_panel(request: HttpRequest, rows: Any, heading: str, **more: Any) -> HttpResponse:
    context = {"shoots": rows[:12], "count": rows.count(), "heading": heading, "today": today(timezone.now()), **more}
    return render(request, "shoots/brief/shoots_panel.html", context)


@door(reads=STUDIO)
def client_shoots_panel(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    return _shoots_panel(request, queries.shoots_of_client(client), "Shoots", client=client)


@door(reads=STUDIO)
def kitchen_shoots_panel(request: HttpRequest, pk: int) -> HttpResponse:
    return _shoots_panel(request, queries.shoots_in_kitchen(get_object_or_404(Kitchen, pk=pk)), "Shoots here")


@door(reads=STUDIO)
def person_shoots_panel(request: HttpRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(Person, pk=pk)
    return render(
        request, "shoots/brief/person_shoots_panel.html", {"parts": queries.parts_of_person(person), "person": person}
    )


# The shoot


@door(reads=STUDIO)
def use_preview(request: HttpRequest) -> HttpResponse:
    form = sheets.UsePreviewForm(request.GET, prefix=request.GET.get("prefix") or None)
    sentence = form.use_in_words(request.GET.get("licensee") or "the client") if form.is_valid() else ""
    return render(request, "shoots/brief/use_preview.html", {"sentence": sentence, "errors": form.errors})


@door(reads=STUDIO, writes=STUDIO)
@once
def new_shoot(request: HttpRequest) -> HttpResponse:
    client = row_named(request.GET, "client", Client.objects.all())
    profile = business_or_none(timezone.now())
    market = client.country if client else profile.country if profile else "DE"
    form = sheets.ShootForm(
        request.POST or None, client=client, use={"use_territories": [market]}, use_on=today(timezone.now())
    )
    if form.is_valid():
        values = form.shoot_values()
        shoot = actions.open_shoot(
            values.pop("client"), **values, use=form.use_values(), at=timezone.now(), by=_by(request),
            dishes=form.cleaned_data["dishes"], pictures=form.cleaned_data["pictures"],
        )  # fmt: skip
        messages.success(request, f"{shoot} is opened as an enquiry. {_clash(shoot.first_on, shoot.last_on, shoot)}")
        return redirect("shoot_page", shoot.pk)
    context = {"form": form, "client": client, "has_clients": Client.objects.exists()}
    return render(request, "shoots/brief/new_shoot.html", context, status=422 if form.is_bound else 200)


def _hub(request: HttpRequest, pk: int, status: int = 200, **bound: Any) -> HttpResponse:
    shoot = get_object_or_404(queries.shoot_in_full(pk))
    on = today(timezone.now())
    last_day = shoot.last_on or shoot.first_on
    context = {
        "shoot": shoot,
        "today": on,
        "steps": job_steps(shoot.state),
        "when": wording.when_in_words(shoot.first_on, shoot.last_on, shoot.from_time, shoot.until_time),
        "place": wording.place_in_words(shoot.kitchen.name, shoot.kitchen.address) if shoot.kitchen else "",
        "clash": _clash(shoot.first_on, shoot.last_on, shoot) if shoot.state in queries.COMING else "",
        "selling": wording.selling_on_in_words(
            shoot.selling_on, shoot.selling_on_after, shoot.selling_on_not_to, str(shoot.licensee)
        ),
        "use": use_words(queries.use_of(shoot), str(shoot.licensee)),
        "dish_form": sheets.AddDishForm(),
        "pictures_form": sheets.WantedPicturesForm(shoot=shoot, prefix="w"),
        "part_form": sheets.PartForm(prefix="p"),
        "hold_form": sheets.HoldForm(prefix="h", today=on),
        "shot_form": sheets.ShotForm(prefix="s", today=on, initial={"shot_on": min(last_day, on) if last_day else on}),
        **bound,
    }
    return render(request, "shoots/brief/shoot_page.html", context, status=status)


@door(reads=STUDIO)
def shoot_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _hub(request, pk)


@door(reads=STUDIO, writes=STUDIO)
def edit_shoot(request: HttpRequest, pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot, pk=pk)
    form = sheets.ShootForm(request.POST or None, instance=shoot, use_on=today(timezone.now()))
    if form.is_valid():
        use = form.use_values()
        for name, value in use.items():
            setattr(shoot, name, value)
        fields = [*sheets.SHOOT_FIELDS, *use]
        try:
            actions.change_shoot(
                shoot, fields=fields, version=form.cleaned_data["version"], at=timezone.now(), by=_by(request)
            )
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"{shoot} is saved. {_clash(shoot.first_on, shoot.last_on, shoot)}")
            return redirect("shoot_page", pk)
    return render(
        request, "shoots/brief/edit_shoot.html", {"form": form, "shoot": shoot}, status=422 if form.is_bound else 200
    )


# State and dates


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def pencil_shoot(request: HttpRequest, pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot, pk=pk)
    form = sheets.HoldForm(request.POST, prefix="h", today=today(timezone.now()))
    if not form.is_valid():
        return _hub(request, pk, status=422, hold_form=form)
    actions.pencil_shoot(shoot, held_until=form.cleaned_data["held_until"], at=timezone.now(), by=_by(request))
    messages.success(request, f"The day is pencilled. {_clash(shoot.first_on, shoot.last_on, shoot)}")
    return _back(pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def release_hold(request: HttpRequest, pk: int) -> HttpResponse:
    actions.release_hold(get_object_or_404(Shoot, pk=pk), at=timezone.now(), by=_by(request))
    messages.success(request, "The day is free again. The enquiry stays.")
    return _back(pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def confirm_shoot(request: HttpRequest, pk: int) -> HttpResponse:
    shoot = actions.confirm_shoot(get_object_or_404(Shoot, pk=pk), at=timezone.now(), by=_by(request))
    messages.success(request, f"The shoot is confirmed. {_clash(shoot.first_on, shoot.last_on, shoot)}")
    return _back(pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def mark_shot(request: HttpRequest, pk: int) -> HttpResponse:
    form = sheets.ShotForm(request.POST, prefix="s", today=today(timezone.now()))
    if not form.is_valid():
        return _hub(request, pk, status=422, shot_form=form)
    actions.mark_shot(
        get_object_or_404(Shoot, pk=pk), shot_on=form.cleaned_data["shot_on"], at=timezone.now(), by=_by(request)
    )
    messages.success(request, "The shoot is marked as shot. Choosing and finishing come next.")
    return _back(pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def take_back_shot(request: HttpRequest, pk: int) -> HttpResponse:
    actions.take_back_shot(
        get_object_or_404(Shoot, pk=pk), at=timezone.now(), by=_by(request), reason="Marked by mistake"
    )
    messages.success(request, "The mark is taken back. The shoot is confirmed again.")
    return _back(pk)


@door(reads=STUDIO, writes=STUDIO)
def cancel_shoot(request: HttpRequest, pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot.objects.select_related("client"), pk=pk)
    form = sheets.CancelForm(request.POST or None)
    if form.is_valid():
        actions.cancel_shoot(shoot, reason=form.cleaned_data["reason"], by=_by(request), at=timezone.now())
        messages.success(request, f"{shoot} is cancelled. Papers and history stay.")
        return redirect("shoot_page", pk)
    return render(
        request, "shoots/brief/cancel_shoot.html", {"shoot": shoot, "form": form}, status=422 if form.is_bound else 200
    )


@door(reads=STUDIO, writes=STUDIO)
def postpone_shoot(request: HttpRequest, pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot.objects.select_related("client"), pk=pk)
    form = sheets.PostponeForm(request.POST or None)
    if form.is_valid():
        actions.postpone_shoot(shoot, **form.cleaned_data, by=_by(request), at=timezone.now())
        messages.success(request, f"{shoot} is postponed. {_clash(shoot.first_on, shoot.last_on, shoot)}")
        return redirect("shoot_page", pk)
    return render(
        request,
        "shoots/brief/postpone_shoot.html",
        {"shoot": shoot, "form": form},
        status=422 if form.is_bound else 200,
    )


@door(reads=STUDIO, writes=STUDIO)
def selling_on(request: HttpRequest, pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot.objects.select_related("licensee"), pk=pk)
    known = {
        "selling_on": shoot.selling_on,
        "after": shoot.selling_on_after,
        "not_to": shoot.selling_on_not_to,
    }
    form = sheets.SellingOnForm(request.POST or None, initial=known)
    if form.is_valid():
        actions.agree_selling_on(shoot, **form.cleaned_data, by=_by(request), at=timezone.now())
        messages.success(request, "What the client said is written down, with who said it.")
        return redirect("shoot_page", pk)
    return render(
        request, "shoots/brief/selling_on.html", {"shoot": shoot, "form": form}, status=422 if form.is_bound else 200
    )


@door(reads=STUDIO, writes=STUDIO)
@require_POST
@once
def use_correction_round(request: HttpRequest, pk: int) -> HttpResponse:
    shoot = actions.use_correction_round(get_object_or_404(Shoot, pk=pk), at=timezone.now(), by=_by(request))
    messages.success(request, f"{shoot.corrections_used} of {shoot.corrections_included} included rounds are used.")
    return _back(pk)


# Dishes


@door(reads=STUDIO, writes=STUDIO)
@require_POST
@once
def add_dish(request: HttpRequest, pk: int) -> HttpResponse:
    form = sheets.AddDishForm(request.POST)
    if not form.is_valid():
        return _hub(request, pk, status=422, dish_form=form)
    actions.add_dishes(get_object_or_404(Shoot, pk=pk), names=form.cleaned_data["names"])
    return _back(pk, "dishes")


@door(reads=STUDIO, writes=STUDIO)
def edit_dish(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish.objects.select_related("shoot"), pk=pk)
    form = sheets.DishForm(request.POST or None, instance=dish)
    if form.is_valid():
        dish.allergens = form.cleaned_data["allergens"]
        try:
            actions.change_dish(dish, fields=[*form.Meta.fields, "allergens"], version=form.cleaned_data["version"])
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            return _back(dish.shoot_id, "dishes")
    return render(
        request, "shoots/brief/edit_dish.html", {"dish": dish, "form": form}, status=422 if form.is_bound else 200
    )


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def move_dish(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish, pk=pk)
    actions.move_dish(dish, places=-1 if request.POST.get("way") == "up" else 1)
    return _back(dish.shoot_id, "dishes")


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def remove_dish(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish, pk=pk)
    actions.remove_dish(dish)
    messages.success(request, f"{dish} is off the list. Its pictures stay, without a dish.")
    return _back(dish.shoot_id, "dishes")


# Pictures wanted and agreed


@door(reads=STUDIO, writes=STUDIO)
@require_POST
@once
def want_pictures(request: HttpRequest, pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot, pk=pk)
    form = sheets.WantedPicturesForm(request.POST, shoot=shoot, prefix="w")
    if not form.is_valid():
        return _hub(request, pk, status=422, pictures_form=form)
    actions.want_pictures(shoot, **form.cleaned_data)
    return _back(pk, "wanted")


@door(reads=STUDIO, writes=STUDIO)
def edit_agreed_picture(request: HttpRequest, pk: int) -> HttpResponse:
    picture = get_object_or_404(AgreedPicture.objects.select_related("shoot"), pk=pk)
    form = sheets.AgreedPictureForm(request.POST or None, instance=picture)
    if form.is_valid():
        try:
            actions.change_agreed_picture(picture, fields=form.Meta.fields, version=form.cleaned_data["version"])
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            return _back(picture.shoot_id, "wanted")
    return render(
        request,
        "shoots/brief/edit_agreed_picture.html",
        {"picture": picture, "form": form},
        status=422 if form.is_bound else 200,
    )


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def move_agreed_picture(request: HttpRequest, pk: int) -> HttpResponse:
    picture = get_object_or_404(AgreedPicture, pk=pk)
    actions.move_agreed_picture(picture, places=-1 if request.POST.get("way") == "up" else 1)
    return _back(picture.shoot_id, "wanted")


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def leave_out_picture(request: HttpRequest, pk: int) -> HttpResponse:
    picture = get_object_or_404(AgreedPicture, pk=pk)
    actions.leave_out_picture(picture)
    return _back(picture.shoot_id, "wanted")


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def take_up_picture(request: HttpRequest, pk: int) -> HttpResponse:
    picture = get_object_or_404(AgreedPicture, pk=pk)
    actions.take_up_picture(picture)
    return _back(picture.shoot_id, "wanted")


# People


@door(reads=STUDIO, writes=STUDIO)
@require_POST
@once
def give_part(request: HttpRequest, pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot.objects.select_related("client"), pk=pk)
    form = sheets.PartForm(request.POST, prefix="p")
    if not form.is_valid():
        return _hub(request, pk, status=422, part_form=form)
    typed = form.cleaned_data
    person = typed["person"] or client_actions.add_person(
        name=typed["name"], phone=typed["phone"], email=typed["email"], language=shoot.client.language
    )
    actions.give_part(
        shoot, person=person, **{name: typed[name] for name in ("part", "from_time", "until_time", "brings")}
    )
    return _back(pk, "people")


@door(reads=STUDIO, writes=STUDIO)
def edit_part(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(ShootPerson.objects.select_related("shoot", "person"), pk=pk)
    form = sheets.EditPartForm(request.POST or None, instance=row)
    if form.is_valid():
        try:
            actions.change_part(row, fields=form.Meta.fields)
        except actions.PartTaken as refusal:
            form.say(refusal)
        else:
            return _back(row.shoot_id, "people")
    return render(
        request, "shoots/brief/edit_part.html", {"row": row, "form": form}, status=422 if form.is_bound else 200
    )


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def take_part_away(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(ShootPerson.objects.select_related("person"), pk=pk)
    actions.take_part_away(row)
    messages.success(request, f"{row.person} is off this shoot. The person stays in your list.")
    return _back(row.shoot_id, "people")
