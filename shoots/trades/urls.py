from django.urls import path

from shoots.trades import views

urlpatterns = [
    path("licences/trades/", views.trades, name="trades"),
    path("licences/trades/<int:pk>/", views.edit_trade, name="edit_trade"),
    path("licences/trades/<int:pk>/join/", views.join_trade, name="join_trade"),
    path("licences/trades/<int:pk>/out/", views.remove_trade, name="remove_trade"),
]
