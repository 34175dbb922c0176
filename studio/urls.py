from django.urls import include, path

urlpatterns = [
    path("", include("shared.urls")),
    path("", include("clients.urls")),
    path("", include("shoots.urls")),
    path("", include("billing.urls")),
    path("", include("studio.pages")),
]

handler400 = "shared.access.views.not_understood"
handler404 = "shared.access.views.page_not_found"
handler500 = "shared.access.views.something_broke"
