from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shared.access.doors import EVERYONE, door
from shared.business.queries import today
from studio.search.queries import find_everywhere


@door(reads=EVERYONE)
def search(request: HttpRequest) -> HttpResponse:
    text = request.GET.get("text", "")[:80]
    found = find_everywhere(text, role=request.user.role, on=today(timezone.now()))
    return render(request, "studio/search/search.html", {"text": text, "found": found})
