"""Gathers the pages of the studio's rooms."""

from django.urls import URLPattern, URLResolver

from studio.preferences.urls import urlpatterns as preferences
from studio.upkeep.urls import urlpatterns as upkeep

urlpatterns: list[URLPattern | URLResolver] = [*preferences, *upkeep]
