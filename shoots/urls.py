"""Gathers the pages of this app's rooms."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("shoots.releases.urls")),
]
