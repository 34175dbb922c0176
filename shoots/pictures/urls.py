from django.urls import path

from shoots.pictures import views

urlpatterns = [
    path("pictures/", views.pictures, name="pictures"),
    path("pictures/<int:pk>/", views.picture_page, name="picture_page"),
    path("pictures/<int:pk>/assess/", views.assess_picture, name="assess_picture"),
    path("pictures/<int:pk>/thumbnail.jpg", views.picture_thumbnail, name="picture_thumbnail"),
    path("pictures/<int:pk>/preview.jpg", views.picture_preview, name="picture_preview"),
    path("pictures/<int:pk>/original/", views.picture_original, name="picture_original"),
    path("shoots/<int:shoot_pk>/pictures/", views.shoot_pictures, name="shoot_pictures"),
    path("shoots/<int:shoot_pk>/pictures/take-in/", views.take_in_picture, name="take_in_picture"),
    path("shoots/<int:shoot_pk>/pictures/mark/", views.mark_pictures, name="mark_pictures"),
    path("shoots/<int:shoot_pk>/pictures/line/", views.shoot_pictures_line, name="shoot_pictures_line"),
    path("releases/<int:pk>/pictures/panel/", views.release_pictures_panel, name="release_pictures_panel"),
    path("shoots/<int:shoot_pk>/pictures/panel/", views.shoot_pictures_panel, name="shoot_pictures_panel"),
]
