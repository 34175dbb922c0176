from django.urls import path

from shoots.delivery import views

urlpatterns = [
    path("shoots/<int:shoot_pk>/delivery/", views.shoot_delivery, name="shoot_delivery"),
    path("shoots/<int:shoot_pk>/delivery/panel/", views.shoot_delivery_panel, name="shoot_delivery_panel"),
    path(
        "shoots/<int:shoot_pk>/delivery/leave-out/<int:pk>/", views.leave_out_undelivered, name="leave_out_undelivered"
    ),
    path("releases/<int:pk>/deliveries/panel/", views.release_deliveries_panel, name="release_deliveries_panel"),
    path("deliveries/<int:pk>/", views.delivery_page, name="delivery_page"),
    path("deliveries/<int:pk>/link/", views.send_delivery_link, name="send_delivery_link"),
    path("deliveries/<int:pk>/call-back/", views.call_back_delivery, name="call_back_delivery"),
    path("pick-up/<str:token>/", views.receive_delivery, name="receive_delivery"),
    path("pick-up/<str:token>/all.zip", views.delivered_archive, name="delivered_archive"),
    path("pick-up/<str:token>/<int:pk>/", views.delivered_picture, name="delivered_picture"),
    path("pick-up/<str:token>/<int:pk>/thumbnail.jpg", views.delivered_thumbnail, name="delivered_thumbnail"),
]
