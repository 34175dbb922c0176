from django.urls import path

from shoots.releases import views

urlpatterns = [
    path("releases/", views.releases, name="releases"),
    path("shoots/<int:shoot_pk>/releases/new/", views.new_release, name="new_release"),
    path("shoots/<int:shoot_pk>/releases/panel/", views.shoot_releases_panel, name="shoot_releases_panel"),
    path("shoots/<int:shoot_pk>/releases/line/", views.shoot_releases_line, name="shoot_releases_line"),
    path("persons/<int:pk>/releases/panel/", views.person_releases_panel, name="person_releases_panel"),
    path("kitchens/<int:pk>/releases/panel/", views.kitchen_releases_panel, name="kitchen_releases_panel"),
    path("releases/<int:pk>/", views.release_page, name="release_page"),
    path("releases/<int:pk>/sign/", views.sign_release_here, name="sign_release_here"),
    path("releases/<int:pk>/paper/", views.release_paper, name="release_paper"),
    path("releases/<int:pk>/sheets/<int:position>/", views.release_sheet, name="release_sheet"),
    path("releases/<int:pk>/print/", views.print_release, name="print_release"),
    path("releases/<int:pk>/record/", views.record_signed_print, name="record_signed_print"),
    path("shoots/<int:shoot_pk>/releases/paper/", views.record_foreign_paper, name="record_foreign_paper"),
    path("releases/<int:pk>/link/", views.send_release_link, name="send_release_link"),
    path("releases/<int:pk>/call-back/", views.call_back_release, name="call_back_release"),
    path("releases/<int:pk>/withdraw/", views.withdraw_release, name="withdraw_release"),
    path("releases/<int:pk>/decide/", views.decide_withdrawal, name="decide_withdrawal"),
    path("sign/<str:token>/", views.sign_release, name="sign_release"),
    path("sign/<str:token>/print/", views.print_release_by_link, name="print_release_by_link"),
    path("sign/<str:token>/paper/", views.release_paper_by_link, name="release_paper_by_link"),
]
