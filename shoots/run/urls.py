from django.urls import path

from shoots.run import views

urlpatterns = [
    path("shoots/<int:shoot_pk>/run/", views.run_of_day, name="run_of_day"),
    path("shoots/<int:shoot_pk>/run/improve/", views.improve_run, name="improve_run"),
    path("shoots/<int:shoot_pk>/run/settings/", views.edit_run, name="edit_run"),
    path("shoots/<int:shoot_pk>/run/times/", views.write_run_times, name="write_run_times"),
    path("shoots/<int:shoot_pk>/run/paper/", views.run_paper, name="run_paper"),
    path("shoots/<int:shoot_pk>/run/calendar/", views.run_calendar, name="run_calendar"),
    path("shoots/<int:shoot_pk>/run/of/<str:key>/", views.edit_run_activity, name="edit_run_activity"),
    path("shoots/<int:shoot_pk>/run/of/<str:key>/unpin/", views.unpin_run_activity, name="unpin_run_activity"),
]
