from django.urls import path

from shoots.light import views

urlpatterns = [
    path("shoots/<int:shoot_pk>/light/", views.shoot_light, name="shoot_light"),
    path("shoots/<int:shoot_pk>/light/set-up/", views.edit_light, name="edit_light"),
    path("shoots/<int:shoot_pk>/light/three-hours/", views.three_hours, name="three_hours"),
    path("shoots/<int:shoot_pk>/light/panel/", views.shoot_light_panel, name="shoot_light_panel"),
    path("shoots/<int:shoot_pk>/light/lens/", views.shoot_lens, name="shoot_lens"),
]
