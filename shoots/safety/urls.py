from django.urls import path

from shoots.safety import views

urlpatterns = [
    path("shoots/<int:shoot_pk>/safety/", views.shoot_safety, name="shoot_safety"),
    path("shoots/<int:shoot_pk>/safety/tick/", views.tick_safety, name="tick_safety"),
    path("shoots/<int:shoot_pk>/safety/light/", views.begin_light, name="begin_light"),
    path("shoots/<int:shoot_pk>/safety/paper/", views.safety_paper, name="safety_paper"),
    path("shoots/<int:shoot_pk>/safety/panel/", views.shoot_safety_panel, name="shoot_safety_panel"),
    path("shoots/safety/ticks/<int:pk>/take-back/", views.take_back_tick, name="take_back_tick"),
    path("shoots/dishes/<int:pk>/out/", views.put_food_out, name="put_food_out"),
    path("shoots/safety/out/<int:pk>/take-back/", views.take_back_food_out, name="take_back_food_out"),
]
