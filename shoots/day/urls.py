from django.urls import path

from shoots.day import views

urlpatterns = [
    path("shoots/<int:shoot_pk>/set/", views.on_set, name="on_set"),
    path("shoots/shots/<int:pk>/press/", views.press_take, name="press_take"),
    path("shoots/takes/<int:pk>/undo/", views.undo_take, name="undo_take"),
    path("shoots/shots/<int:pk>/ok/", views.ok_shot, name="ok_shot"),
    path("shoots/shots/<int:pk>/ok/take-back/", views.take_back_ok, name="take_back_ok"),
]
