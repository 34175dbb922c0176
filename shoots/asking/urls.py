from django.urls import path

from shoots.asking import views

urlpatterns = [
    path("pictures/can-i-sell/", views.can_i_sell, name="can_i_sell"),
    path("pictures/can-i-sell/table/", views.can_i_sell_table, name="can_i_sell_table"),
]
