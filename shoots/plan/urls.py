from django.urls import path

from shoots.plan import views

urlpatterns = [
    path("shoots/<int:shoot_pk>/shots/", views.shot_list, name="shot_list"),
    path("shoots/<int:shoot_pk>/shots/make/", views.make_shot_list, name="make_shot_list"),
    path("shoots/<int:shoot_pk>/shots/add/", views.add_shots, name="add_shots"),
    path("shoots/<int:shoot_pk>/shots/mark/", views.mark_in_list, name="mark_in_list"),
    path("shoots/<int:shoot_pk>/shots/leave/", views.leave_unasked_shots, name="leave_unasked_shots"),
    path("shoots/<int:shoot_pk>/shots/take-up/", views.take_up_shots, name="take_up_shots"),
    path("shoots/<int:shoot_pk>/shots/panel/", views.shoot_plan_panel, name="shoot_plan_panel"),
    path("shoots/shots/<int:pk>/", views.edit_shot, name="edit_shot"),
    path("shoots/shots/<int:pk>/remove/", views.remove_shot, name="remove_shot"),
    path("shoots/<int:shoot_pk>/sheets/", views.day_sheets, name="day_sheets"),
    path("shoots/<int:shoot_pk>/sheets/cook/", views.cook_sheet_paper, name="cook_sheet_paper"),
    path("shoots/<int:shoot_pk>/sheets/cook/send/", views.send_cook_sheet, name="send_cook_sheet"),
    path("shoots/<int:shoot_pk>/sheets/cook/link/", views.make_cook_sheet_link, name="make_cook_sheet_link"),
    path("shoots/<int:shoot_pk>/sheets/cook/length/", views.cook_sheet_length_panel, name="cook_sheet_length_panel"),
    path("shoots/<int:shoot_pk>/sheets/cook/choose/", views.choose_cook_sheet, name="choose_cook_sheet"),
    path("shoots/<int:shoot_pk>/sheets/cook/call-back/", views.call_back_cook_sheet, name="call_back_cook_sheet"),
    path("shoots/<int:shoot_pk>/sheets/call/", views.call_sheet_paper, name="call_sheet_paper"),
    path("shoots/<int:shoot_pk>/sheets/call/send/", views.send_call_sheet, name="send_call_sheet"),
    path("cook/<str:token>/", views.read_cook_sheet, name="read_cook_sheet"),
    path("cook/<str:token>/paper/", views.read_cook_sheet_paper, name="read_cook_sheet_paper"),
]
