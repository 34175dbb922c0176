from django.urls import path

from studio.upkeep import views

urlpatterns = [
    path("settings/keep-safe/", views.keep_safe, name="keep_safe"),
    path("settings/keep-safe/backup/", views.download_backup, name="download_backup"),
    path("settings/keep-safe/export/", views.download_export, name="download_export"),
]
