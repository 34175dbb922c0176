from django.urls import path

from shoots.holdings import views

urlpatterns = [
    path("clients/<int:pk>/licences/", views.client_licences, name="client_licences"),
    path("clients/<int:pk>/licences/panel/", views.client_licences_panel, name="client_licences_panel"),
    path("pictures/<int:pk>/licences/panel/", views.picture_licences_panel, name="picture_licences_panel"),
    path("releases/<int:pk>/licences/panel/", views.release_licences_panel, name="release_licences_panel"),
    path("shoots/<int:shoot_pk>/licences/", views.shoot_licences, name="shoot_licences"),
    path("shoots/<int:shoot_pk>/licences/panel/", views.shoot_licences_panel, name="shoot_licences_panel"),
]
