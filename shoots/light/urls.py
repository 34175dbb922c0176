from django.urls import path

from shoots.light import views

urlpatterns = [
    path("shoots/<int:shoot_pk>/light/", views.shoot_light, name="shoot_light"),
    path("shoots/<int:shoot_pk>/light/set-up/", views.edit_light, name="edit_light"),
    path("shoots/<int:shoot_pk>/light/three-hours/", views.three_hours, name="three_hours"),
    path("shoots/<int:shoot_pk>/light/panel/", views.shoot_light_panel, name="shoot_light_panel"),
    path("shoots/<int:shoot_pk>/light/lens/", views.shoot_lens, name="shoot_lens"),
    path("shoots/<int:shoot_pk>/light/lens/shots/", views.shots_lens, name="shots_lens"),
    path("shoots/<int:shoot_pk>/light/lens/shots/panel/", views.shots_lens_panel, name="shots_lens_panel"),
    path("shoots/<int:shoot_pk>/light/grey-cards/", views.add_cards_for_lights, name="add_cards_for_lights"),
    path("shoots/shots/<int:pk>/lens/", views.shot_lens_panel, name="shot_lens_panel"),
    path("shoots/kit/", views.kit, name="kit"),
    path("shoots/kit/cameras/", views.add_camera, name="add_camera"),
    path("shoots/kit/cameras/<int:pk>/", views.edit_camera, name="edit_camera"),
    path("shoots/kit/cameras/<int:pk>/remove/", views.remove_camera, name="remove_camera"),
    path("shoots/kit/lenses/", views.add_lens, name="add_lens"),
    path("shoots/kit/lenses/<int:pk>/", views.edit_lens, name="edit_lens"),
    path("shoots/kit/lenses/<int:pk>/remove/", views.remove_lens, name="remove_lens"),
]
