from django.urls import path

from shoots.licences import views

urlpatterns = [
    path("licences/", views.licences, name="licences"),
    path("licences/grant/", views.grant_licence, name="grant_licence"),
    path("licences/grant/check/", views.grant_check, name="grant_check"),
    path("licences/<int:pk>/", views.licence_page, name="licence_page"),
    path("licences/<int:pk>/place/", views.place_licence, name="place_licence"),
    path("licences/<int:pk>/accept/", views.accept_licence, name="accept_licence"),
    path("licences/<int:pk>/offer/", views.offer_draft, name="offer_draft"),
    path("licences/<int:pk>/discard/", views.discard_draft, name="discard_draft"),
    path("licences/<int:pk>/paper/", views.licence_paper, name="licence_paper"),
    path("licences/<int:pk>/paper/<int:version>/", views.kept_licence_paper, name="kept_licence_paper"),
    path("licences/<int:pk>/odrl/", views.licence_odrl, name="licence_odrl"),
    path("licences/<int:pk>/send/", views.send_licence, name="send_licence"),
    path("terms/licence/", views.licence_terms, name="licence_terms"),
    path("terms/licence/<path:term>", views.licence_term, name="licence_term"),
]
