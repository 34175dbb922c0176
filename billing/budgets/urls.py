from django.urls import path

from billing.budgets import views

urlpatterns = [
    path("estimates/<int:pk>/budget/", views.estimate_budget, name="estimate_budget"),
    path("estimates/<int:pk>/margin/", views.estimate_margin_panel, name="estimate_margin_panel"),
]
