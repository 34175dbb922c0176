from django.urls import path

from clients import views

urlpatterns = [
    path("clients/", views.clients, name="clients"),
    path("clients/new/", views.new_client, name="new_client"),
    path("clients/<int:pk>/", views.client_page, name="client_page"),
    path("clients/<int:pk>/edit/", views.edit_client, name="edit_client"),
    path("clients/<int:pk>/archive/", views.archive_client, name="archive_client"),
    path("clients/<int:pk>/bring-back/", views.bring_back_client, name="bring_back_client"),
    path("clients/<int:pk>/persons/", views.add_client_person, name="add_client_person"),
    path("clients/<int:pk>/persons/<int:person_pk>/leave/", views.leave_client, name="leave_client"),
    path("persons/", views.persons, name="persons"),
    path("persons/new/", views.new_person, name="new_person"),
    path("persons/<int:pk>/", views.person_page, name="person_page"),
    path("persons/<int:pk>/edit/", views.edit_person, name="edit_person"),
    path("kitchens/", views.kitchens, name="kitchens"),
    path("kitchens/new/", views.new_kitchen, name="new_kitchen"),
    path("kitchens/<int:pk>/", views.kitchen_page, name="kitchen_page"),
    path("kitchens/<int:pk>/edit/", views.edit_kitchen, name="edit_kitchen"),
    path("kitchens/<int:pk>/archive/", views.archive_kitchen, name="archive_kitchen"),
    path("kitchens/<int:pk>/bring-back/", views.bring_back_kitchen, name="bring_back_kitchen"),
]
