from django.urls import path

from billing.rates import views

urlpatterns = [
    path("rates/", views.rates, name="rates"),
    path("rates/new/", views.new_rates, name="new_rates"),
    path("rates/<int:pk>/", views.edit_rates, name="edit_rates"),
    path("rates/usage/", views.usage_fees, name="usage_fees"),
    path("rates/usage/new/", views.new_usage_fees, name="new_usage_fees"),
    path("rates/usage/example/", views.usage_example, name="usage_example"),
    path("rates/usage/<int:pk>/", views.edit_usage_fees, name="edit_usage_fees"),
    path("rates/mileage/new/", views.new_mileage_rate, name="new_mileage_rate"),
]
