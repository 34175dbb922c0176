from django.urls import path

from shoots.run import views

urlpatterns = [
    path("shoots/<int:shoot_pk>/run/", views.run_of_day, name="run_of_day"),
    path("shoots/<int:shoot_pk>/run/improve/", views.improve_run, name="improve_run"),
    path("shoots/<int:shoot_pk>/run/settings/", views.edit_run, name="edit_run"),
    path("shoots/<int:shoot_pk>/run/times/", views.write_run_times, name="write_run_times"),
    path("shoots/<int:shoot_pk>/run/paper/", views.run_paper, name="run_paper"),
    path("shoots/<int:shoot_pk>/run/calendar/", views.run_calendar, name="run_calendar"),
    path("shoots/<int:shoot_pk>/run/feed/", views.make_run_feed, name="make_run_feed"),
    path("shoots/<int:shoot_pk>/run/feed/call-back/", views.call_back_run_feed, name="call_back_run_feed"),
    path("shoots/<int:shoot_pk>/run/undo/", views.undo_run_move, name="undo_run_move"),
    path("shoots/<int:shoot_pk>/run/drop/", views.drop_nice_shots, name="drop_nice_shots"),
    path("shoots/<int:shoot_pk>/run/take-back/", views.take_shots_back, name="take_shots_back"),
    path("shoots/<int:shoot_pk>/run/dishes/<int:dish_pk>/", views.move_dish_to_day, name="move_dish_to_day"),
    path("calendar/<str:token>/run.ics", views.run_feed, name="run_feed"),
    path("shoots/<int:shoot_pk>/run/of/<str:key>/pin/", views.pin_run_activity, name="pin_run_activity"),
    path("shoots/<int:shoot_pk>/run/of/<str:key>/", views.edit_run_activity, name="edit_run_activity"),
    path("shoots/<int:shoot_pk>/run/of/<str:key>/unpin/", views.unpin_run_activity, name="unpin_run_activity"),
]
