"""Gathers the pages of the studio's rooms."""

from django.urls import URLPattern, URLResolver

from studio.preferences.urls import urlpatterns as preferences
from studio.search.urls import urlpatterns as search
from studio.today.urls import urlpatterns as today
from studio.upkeep.urls import urlpatterns as upkeep

urlpatterns: list[URLPattern | URLResolver] = [*today, *search, *preferences, *upkeep]
