from django.urls import path

from billing.expenses import views

urlpatterns = [
    path("expenses/", views.expenses, name="expenses"),
    path("expenses/new/", views.new_expense, name="new_expense"),
    path("expenses/<int:pk>/", views.expense_page, name="expense_page"),
    path("expenses/<int:pk>/remove/", views.remove_expense, name="remove_expense"),
    path("expenses/<int:pk>/receipt/", views.receipt, name="receipt"),
    path("expenses/journeys/new/", views.new_journey, name="new_journey"),
    path("expenses/journeys/<int:pk>/remove/", views.remove_journey, name="remove_journey"),
    path("expenses/lines/<int:line_pk>/ask/", views.ask_for_more, name="ask_for_more"),
    path("agree/<str:token>/", views.answer_for_more, name="answer_for_more"),
    path("shoots/<int:shoot_pk>/costs/line/", views.shoot_costs_line, name="shoot_costs_line"),
    path("shoots/<int:shoot_pk>/costs/panel/", views.shoot_costs_panel, name="shoot_costs_panel"),
]
