from django.urls import path

from shoots.day import views

urlpatterns = [
    path("shoots/<int:shoot_pk>/set/", views.on_set, name="on_set"),
    path("shoots/<int:shoot_pk>/set/worker.js", views.set_worker, name="set_worker"),
    path("shoots/<int:shoot_pk>/set/state/", views.set_state, name="set_state"),
    path("shoots/<int:shoot_pk>/set/marks/", views.send_marks, name="send_marks"),
    path("shoots/<int:shoot_pk>/set/mark/", views.write_mark, name="write_mark"),
    path("shoots/<int:shoot_pk>/set/log/", views.set_log, name="set_log"),
    path("shoots/<int:shoot_pk>/set/end/", views.end_of_day, name="end_of_day"),
    path("settings/hold-limits/", views.edit_hold_limits, name="edit_hold_limits"),
    path("shoots/shots/<int:pk>/press/", views.press_take, name="press_take"),
    path("shoots/takes/<int:pk>/undo/", views.undo_take, name="undo_take"),
    path("shoots/shots/<int:pk>/ok/", views.ok_shot, name="ok_shot"),
    path("shoots/shots/<int:pk>/ok/take-back/", views.take_back_ok, name="take_back_ok"),
]
