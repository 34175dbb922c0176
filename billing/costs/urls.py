from django.urls import path

from billing.costs import views

urlpatterns = [
    path("costs/", views.cost_list, name="cost_list"),
    path("costs/<int:year>/", views.cost_year, name="cost_year"),
    path("costs/<int:year>/sums/", views.cost_sums, name="cost_sums"),
    path("costs/<int:year>/rates/", views.cost_rates, name="cost_rates"),
]
