from django.urls import path

from shared.outbox import views

urlpatterns = [
    path("messages/", views.message_list, name="message_list"),
    path("messages/<uuid:pk>/", views.message_page, name="message_page"),
    path("messages/<uuid:pk>/papers/<uuid:file>/", views.message_paper, name="message_paper"),
    path("messages/<uuid:pk>/send/", views.send_message_again, name="send_message_again"),
    path("messages/<uuid:pk>/sent-by-hand/", views.mark_message_sent, name="mark_message_sent"),
    path("messages/jobs/<uuid:pk>/try/", views.take_up_job, name="take_up_job"),
]
