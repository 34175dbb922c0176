from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door
from shared.errors import Refusal
from shared.files.models import StoredFile
from shoots.brief.models import Shoot
from shoots.pictures import actions, queries
from shoots.pictures.forms import PersonShownForm, PictureFilter, PictureForm, PropertyShownForm, TickedForm, UploadForm
from shoots.pictures.models import Picture, PicturePerson, PictureProperty
from shoots.releases.models import Release

A_PAGE = 60
MOST_IN_PANEL = 24


@door(reads=STUDIO)
def pictures(request: HttpRequest) -> HttpResponse:
    form = PictureFilter(request.GET)
    found = queries.pictures_listed(**(form.cleaned_data if form.is_valid() else {}))
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "shoots/pictures/pictures.html",
        {"form": form, "page": page, "withdrawn": queries.withdrawn_in(page), "is_filtered": bool(request.GET)},
    )


@door(reads=STUDIO, writes=STUDIO)
def shoot_pictures(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot.objects.select_related("client", "kitchen"), pk=shoot_pk)
    form = UploadForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        _take_in_all(request, shoot, form.cleaned_data["files"])
        return redirect("shoot_pictures", shoot_pk)
    page = Paginator(queries.pictures_of(shoot), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "shoot": shoot,
        "form": form,
        "counts": queries.counts_of(shoot),
        "page": page,
        "withdrawn": queries.withdrawn_in(page),
        "people": queries.people_to_name(shoot),
    }
    return render(request, "shoots/pictures/shoot_pictures.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def take_in_picture(request: HttpRequest, shoot_pk: int) -> JsonResponse:
    """One file of several, sent by the page's script; the refusal is one sentence beside that file."""
    shoot = get_object_or_404(Shoot.objects.select_related("client"), pk=shoot_pk)
    file = request.FILES.get("file")
    if file is None:
        return JsonResponse({"say": "The file did not arrive. Nothing was kept. Choose it again."}, status=400)
    try:
        picture = actions.take_in_picture(shoot, data=file.read(), name=file.name, at=timezone.now())
    except Refusal as refusal:
        return JsonResponse({"say": str(refusal)}, status=refusal.status if refusal.status >= 400 else 409)
    return JsonResponse({"say": f"Taken in as {picture.number}.", "url": reverse("picture_page", args=[picture.pk])})


def _take_in_all(request: HttpRequest, shoot: Shoot, files: list[Any]) -> None:
    taken = 0
    for file in files:
        try:
            actions.take_in_picture(shoot, data=file.read(), name=file.name, at=timezone.now())
        except Refusal as refusal:
            messages.error(request, str(refusal))
        else:
            taken += 1
    if taken:
        messages.success(request, f"{taken} of {len(files)} taken in.")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def mark_pictures(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """One deed for all ticked pictures of a shoot."""
    shoot = get_object_or_404(Shoot.objects.select_related("kitchen"), pk=shoot_pk)
    form = TickedForm(request.POST, shoot=shoot)
    if not form.is_valid():
        messages.error(request, "Nothing was changed: no picture is ticked. Tick the pictures first.")
        return redirect("shoot_pictures", shoot_pk)
    ticked, deed = list(form.cleaned_data["pictures"]), form.cleaned_data["deed"]
    person = PersonShownForm(
        {**request.POST.dict(), "recognisable": request.POST.get("recognisable", "yes")}, shoot=shoot
    )
    deeds = {
        "choose": lambda: actions.choose_pictures(ticked, state=Picture.State.CHOSEN),
        "leave": lambda: actions.choose_pictures(ticked, state=Picture.State.LEFT),
        "nobody": lambda: actions.say_nobody_is_shown(ticked),
        "nothing": lambda: actions.say_nothing_is_shown(ticked),
        "check": lambda: actions.check_pictures(ticked),
        "person": lambda: actions.name_person(ticked, **person.answer()) if person.is_valid() else 0,
        "place": lambda: actions.name_property(ticked, kitchen=shoot.kitchen) if shoot.kitchen else 0,
    }
    messages.success(request, f"{deeds[deed]()} of {len(ticked)} pictures are marked.")
    return redirect("shoot_pictures", shoot_pk)


@door(reads=STUDIO, writes=STUDIO)
def picture_page(request: HttpRequest, pk: int) -> HttpResponse:
    picture = get_object_or_404(queries.picture_in_full(pk))
    form = PictureForm(request.POST or None, instance=picture)
    if form.is_valid():
        try:
            actions.describe_picture(
                picture,
                form.what_was_typed(),
                agreed=form.cleaned_data.get("agreed"),
                version=form.cleaned_data["version"],
            )
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"{picture.number} is saved.")
            return redirect("picture_page", pk)
    context = {
        "picture": picture,
        "form": form,
        "person_form": PersonShownForm(shoot=picture.shoot, prefix="person"),
        "property_form": PropertyShownForm(shoot=picture.shoot, prefix="property"),
        **queries.shown_with_releases(picture),
    }
    return render(request, "shoots/pictures/picture_page.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def assess_picture(request: HttpRequest, pk: int) -> HttpResponse:
    """Who and what is in it: one answer at a time, from the picture's own page."""
    picture = get_object_or_404(Picture.objects.select_related("shoot", "shoot__kitchen"), pk=pk)
    answer = request.POST.get("answer", "")
    person = PersonShownForm(request.POST, shoot=picture.shoot, prefix="person")
    thing = PropertyShownForm(request.POST, shoot=picture.shoot, prefix="property")
    if answer == "nobody":
        actions.say_nobody_is_shown([picture])
    elif answer == "nothing":
        actions.say_nothing_is_shown([picture])
    elif answer == "person" and person.is_valid():
        actions.name_person([picture], **person.answer())
    elif answer == "property" and thing.is_valid():
        actions.name_property([picture], **thing.chosen())
    elif answer == "person_out":
        actions.take_person_out(get_object_or_404(PicturePerson, pk=request.POST.get("shown"), picture=picture))
    elif answer == "property_out":
        actions.take_property_out(get_object_or_404(PictureProperty, pk=request.POST.get("shown"), picture=picture))
    else:
        messages.error(request, "Nothing was changed: the answer is not complete. Say who, or which thing.")
    return redirect("picture_page", pk)


@door(reads=STUDIO)
def picture_thumbnail(request: HttpRequest, pk: int) -> FileResponse:
    return _file(get_object_or_404(Picture.objects.select_related("thumbnail"), pk=pk).thumbnail)


@door(reads=STUDIO)
def picture_preview(request: HttpRequest, pk: int) -> FileResponse:
    return _file(get_object_or_404(Picture.objects.select_related("preview"), pk=pk).preview)


@door(reads=STUDIO)
def picture_original(request: HttpRequest, pk: int) -> FileResponse:
    picture = get_object_or_404(Picture.objects.select_related("original"), pk=pk)
    return _file(picture.original, as_attachment=True)


@door(reads=STUDIO)
def release_pictures_panel(request: HttpRequest, pk: int) -> HttpResponse:
    release = get_object_or_404(Release, pk=pk)
    found = queries.pictures_showing(release)
    context = {"release": release, "pictures": found[:MOST_IN_PANEL], "count": found.count()}
    return render(request, "shoots/pictures/release_pictures_panel.html", context)


@door(reads=STUDIO)
def shoot_pictures_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    context = {"shoot": shoot, "counts": queries.counts_of(shoot), "pictures": queries.pictures_of(shoot)[:8]}
    return render(request, "shoots/pictures/shoot_pictures_panel.html", context)


@door(reads=STUDIO)
def shoot_pictures_line(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """How many pictures of a shoot were taken in, in a sentence: for the end of the day."""
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    return render(request, "shoots/pictures/shoot_pictures_line.html", {"counts": queries.counts_of(shoot)})


def _file(stored: StoredFile, *, as_attachment: bool = False) -> FileResponse:
    response = FileResponse(
        stored.path.open("rb"), content_type=stored.media_type, filename=stored.name, as_attachment=as_attachment
    )
    response["Cache-Control"] = "private, max-age=31536000, immutable"
    return response
