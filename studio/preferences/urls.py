from django.urls import path, re_path

from studio.preferences import views

urlpatterns = [
    path("settings/", views.preferences, name="preferences"),
    path("settings/business/", views.business_profile, name="business_profile"),
    re_path(
        r"^settings/business/(?P<pk>\d+)/(?P<which>logo|signature)/$", views.business_picture, name="business_picture"
    ),
    path("welcome/<str:token>/", views.welcome, name="welcome"),
]
