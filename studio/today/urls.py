from django.urls import path

from studio.today import views

urlpatterns = [path("", views.today, name="today")]
