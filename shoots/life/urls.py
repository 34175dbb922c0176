from django.urls import path

from shoots.life import views

urlpatterns = [
    path("licences/<int:pk>/decline/", views.decline_licence, name="decline_licence"),
    path("licences/<int:pk>/renew/", views.renew_licence, name="renew_licence"),
    path("licences/<int:pk>/change/", views.change_licence, name="change_licence"),
    path("licences/<int:pk>/revoke/", views.revoke_licence, name="revoke_licence"),
    path("licences/<int:pk>/copies/", views.report_copies, name="report_copies"),
]
