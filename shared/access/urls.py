from django.urls import path

from shared.access import views

urlpatterns = [
    path("sign-in/", views.sign_in, name="sign_in"),
    path("sign-out/", views.sign_out, name="sign_out"),
    path("invited/<str:token>/", views.set_first_password, name="set_first_password"),
    path("settings/password/", views.change_own_password, name="change_own_password"),
    path("settings/people/", views.people_list, name="people_list"),
    path("settings/people/invite/", views.invite_someone, name="invite_someone"),
    path("settings/people/<int:pk>/invite/", views.invite_someone_again, name="invite_someone_again"),
    path("settings/people/<int:pk>/shut-out/", views.shut_out, name="shut_out"),
    path("settings/people/<int:pk>/let-in/", views.let_in, name="let_in"),
]
