"""Addresses of the parts page; the names that the frame leads to are there, so that it looks as it does in the house."""

from django.urls import path

from tests.house.parts import views

urlpatterns = [
    path("parts", views.parts, name="parts"),
    path("parts/letter", views.letter, name="parts_letter"),
    path("parts/set", views.on_set, name="parts_set"),
    path("parts/file", views.take_file, name="parts_file"),
    path("parts/picture.svg", views.picture, name="parts_picture"),
    path("parts/total", views.total, name="parts_total"),
    path("today", views.parts, name="today"),
    path("search", views.parts, name="search"),
    path("preferences", views.parts, name="preferences"),
    path("sign-out", views.parts, name="sign_out"),
    path("sign-in", views.parts, name="sign_in"),
]
