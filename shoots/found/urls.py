from django.urls import path

from shoots.found import views

urlpatterns = [
    path("found/", views.found_uses, name="found_uses"),
    path("found/record/", views.record_found, name="record_found"),
    path("found/<int:pk>/", views.found_page, name="found_page"),
    path("found/<int:pk>/change/", views.change_found, name="change_found"),
    path("found/<int:pk>/pictures/", views.found_pictures, name="found_pictures"),
    path("found/<int:pk>/screenshots/", views.add_screenshots, name="add_screenshots"),
    path("found/<int:pk>/screenshots/<int:shot_pk>/", views.found_shot, name="found_shot"),
    path("found/<int:pk>/screenshots/<int:shot_pk>/shown.jpg", views.found_shot_shown, name="found_shot_shown"),
    path("found/<int:pk>/outcome/", views.record_outcome, name="record_outcome"),
    path("found/<int:pk>/offer/", views.offer_for_found, name="offer_for_found"),
    path("found/<int:pk>/letter/", views.write_letter, name="write_letter"),
    path("found/<int:pk>/letter/<int:version>/", views.found_letter, name="found_letter"),
    path("found/<int:pk>/letter/send/", views.send_found_letter, name="send_found_letter"),
    path("found/<int:pk>/question.json", views.found_question, name="found_question"),
    path("pictures/<int:pk>/found/panel/", views.picture_found_panel, name="picture_found_panel"),
    path("clients/<int:pk>/found/panel/", views.client_found_panel, name="client_found_panel"),
    path("licences/<int:pk>/found/panel/", views.licence_found_panel, name="licence_found_panel"),
]
