"""Gathers the pages of this app's rooms."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("shoots.brief.urls")),
    path("", include("shoots.plan.urls")),
    path("", include("shoots.recipes.urls")),
    path("", include("shoots.shopping.urls")),
    path("", include("shoots.light.urls")),
    path("", include("shoots.run.urls")),
    path("", include("shoots.safety.urls")),
    path("", include("shoots.day.urls")),
    path("", include("shoots.releases.urls")),
    path("", include("shoots.pictures.urls")),
    path("", include("shoots.licences.urls")),
    path("", include("shoots.holdings.urls")),
    path("", include("shoots.life.urls")),
    path("", include("shoots.scopes.urls")),
    path("", include("shoots.trades.urls")),
    path("", include("shoots.asking.urls")),
    path("", include("shoots.found.urls")),
    path("", include("shoots.delivery.urls")),
]
