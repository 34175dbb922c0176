from django.urls import path

from billing.renewals import views

urlpatterns = [
    path("licences/ending/", views.renewals, name="renewals"),
    path("rates/try/hand-on/", views.hand_on_fee, name="hand_on_fee"),
    path("licences/<int:pk>/fee/panel/", views.licence_fee_panel, name="licence_fee_panel"),
    path("found/<int:pk>/fee/panel/", views.found_fee_panel, name="found_fee_panel"),
]
