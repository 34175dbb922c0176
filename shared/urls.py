"""Gathers the pages of this app's rooms."""

from django.urls import URLPattern, URLResolver

from shared.access.urls import urlpatterns as access
from shared.outbox.urls import urlpatterns as outbox

urlpatterns: list[URLPattern | URLResolver] = [*access, *outbox]
