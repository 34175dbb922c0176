from django.urls import path

from billing.cards import views

urlpatterns = [
    path("rates/history/", views.rate_history, name="rate_history"),
    path("rates/export/", views.export_rates, name="export_rates"),
    path("rates/import/", views.import_rates, name="import_rates"),
    path("rates/try/", views.try_fee, name="try_fee"),
]
