from django.urls import path

from shoots.scopes import views

urlpatterns = [
    path("licences/media-and-places/", views.media_and_places, name="media_and_places"),
    path("licences/media-and-places/media/", views.add_medium, name="add_medium"),
    path("licences/media-and-places/regions/", views.add_region, name="add_region"),
    path("licences/media-and-places/<str:kind>/<str:code>/", views.rename_code, name="rename_code"),
    path("licences/media-and-places/<str:kind>/<str:code>/out/", views.remove_code, name="remove_code"),
]
