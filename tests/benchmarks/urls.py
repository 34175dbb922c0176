"""The addresses of the house and one more: a page with the frame of every page and nothing in it."""

from django.http import HttpRequest, HttpResponse
from django.template import engines
from django.urls import include, path

from shared.access.doors import EVERYONE, door

EMPTY = engines["django"].from_string('{% extends "base.html" %}')


@door(reads=EVERYONE)
def empty_page(request: HttpRequest) -> HttpResponse:
    return HttpResponse(EMPTY.render({}, request))


urlpatterns = [path("", include("studio.urls")), path("empty/", empty_page, name="empty_page")]

handler404 = "shared.access.views.page_not_found"
