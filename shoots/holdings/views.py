from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from clients.models import Client
from shared.access.doors import STUDIO, door
from shared.business.queries import today
from shoots.brief.models import Shoot
from shoots.holdings import queries
from shoots.licences.queries import licence_rows, with_people
from shoots.pictures.models import Picture
from shoots.releases.models import Release


def _on() -> Any:
    return today(timezone.now())


@door(reads=STUDIO)
def client_licences(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    return render(
        request, "shoots/holdings/client_licences.html", {"client": client, **queries.client_answer(client, _on())}
    )


@door(reads=STUDIO)
def client_licences_panel(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    return render(
        request,
        "shoots/holdings/client_licences_panel.html",
        {"client": client, **queries.client_answer(client, _on())},
    )


@door(reads=STUDIO)
def picture_licences_panel(request: HttpRequest, pk: int) -> HttpResponse:
    pictures = with_people(Picture.objects.all()).select_related("shoot__licensee")
    picture = get_object_or_404(pictures, pk=pk)
    context = {"picture": picture, **queries.picture_answer(picture, _on())}
    return render(request, "shoots/holdings/picture_licences_panel.html", context)


@door(reads=STUDIO)
def release_licences_panel(request: HttpRequest, pk: int) -> HttpResponse:
    release, on = get_object_or_404(Release.objects.select_related("person", "kitchen"), pk=pk), _on()
    rows = licence_rows(queries.licences_touched_by(release, on), on)
    return render(request, "shoots/holdings/release_licences_panel.html", {"release": release, "rows": rows})


@door(reads=STUDIO)
def shoot_licences_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    rows = licence_rows(queries.licences_of(shoot), _on())
    context = {"shoot": shoot, "rows": rows, "has_pictures": shoot.pictures.exists()}
    return render(request, "shoots/holdings/shoot_licences_panel.html", context)


@door(reads=STUDIO)
def shoot_licences(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    context = {"shoot": shoot, **queries.shoot_answer(shoot, _on())}
    return render(request, "shoots/holdings/shoot_licences.html", context)
