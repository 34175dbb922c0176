from django.urls import path

from billing.earnings import views

urlpatterns = [
    path("costs/<int:year>/earned/", views.cost_earned, name="cost_earned"),
    path("shoots/<int:shoot_pk>/earned/panel/", views.shoot_earned_panel, name="shoot_earned_panel"),
    path("shoots/<int:shoot_pk>/worked/", views.worked_days, name="worked_days"),
]
