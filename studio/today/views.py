from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shared.access.doors import EVERYONE, door
from studio.today.queries import day_at_a_glance


@door(reads=EVERYONE)
def today(request: HttpRequest) -> HttpResponse:
    return render(request, "studio/today/today.html", day_at_a_glance(request.user, timezone.now()))
