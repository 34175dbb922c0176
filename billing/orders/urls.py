from django.urls import path

from billing.orders import views

urlpatterns = [
    path("estimates/<int:pk>/send/", views.send_estimate, name="send_estimate"),
    path("estimates/<int:pk>/remind/", views.remind_client, name="remind_client"),
    path("estimates/<int:pk>/call-back/", views.call_back_estimate, name="call_back_estimate"),
    path("estimates/of-shoot/<int:shoot>/cancel/", views.estimate_cancel_shoot, name="estimate_cancel_shoot"),
    path("estimates/questions/<int:pk>/answered/", views.answer_question, name="answer_question"),
    path("offer/<str:token>/", views.offer, name="offer"),
    path("offer/<str:token>/sums/", views.offer_sums, name="offer_sums"),
    path("offer/<str:token>/terms/", views.offer_terms, name="offer_terms"),
    path("offer/<str:token>/paper/", views.offer_paper, name="offer_paper"),
]
