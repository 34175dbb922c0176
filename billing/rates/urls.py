from django.urls import path

from billing.rates import views

urlpatterns = [
    path("rates/", views.rates, name="rates"),
    path("rates/new/", views.new_rates, name="new_rates"),
    path("rates/<int:pk>/", views.edit_rates, name="edit_rates"),
    path("rates/mileage/new/", views.new_mileage_rate, name="new_mileage_rate"),
]
