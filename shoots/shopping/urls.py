from django.urls import path

from shoots.shopping import views

urlpatterns = [
    path("shoots/<int:shoot_pk>/shopping/", views.shoot_shopping, name="shoot_shopping"),
    path("shoots/<int:shoot_pk>/shopping/panel/", views.shoot_shopping_panel, name="shoot_shopping_panel"),
    path("shoots/<int:shoot_pk>/shopping/write/", views.write_shopping, name="write_shopping"),
    path("shoots/<int:shoot_pk>/shopping/list/", views.buying_list, name="buying_list"),
    path("shoots/<int:shoot_pk>/shopping/list/add/", views.add_purchases, name="add_purchases"),
    path("shoots/<int:shoot_pk>/shopping/list/<int:pk>/remove/", views.remove_purchase, name="remove_purchase"),
    path("shoots/<int:shoot_pk>/shopping/list.pdf", views.shopping_paper, name="shopping_paper"),
    path("shoots/<int:shoot_pk>/shopping/list.csv", views.shopping_csv, name="shopping_csv"),
    path("dishes/<int:pk>/portions/", views.edit_dish_shopping, name="edit_dish_shopping"),
    path("moments/<int:pk>/takes/", views.edit_takes, name="edit_takes"),
    path("shoots/<int:shoot_pk>/props/", views.shoot_props, name="shoot_props"),
    path("shoots/<int:shoot_pk>/props/make/", views.make_props, name="make_props"),
    path("shoots/<int:shoot_pk>/props/out/", views.count_props_out, name="count_props_out"),
    path("shoots/<int:shoot_pk>/props/back/", views.count_props_back, name="count_props_back"),
    path("shoots/<int:shoot_pk>/props/list.pdf", views.props_paper, name="props_paper"),
    path("shoots/<int:shoot_pk>/props/list.csv", views.props_csv, name="props_csv"),
    path("props/<int:pk>/", views.edit_prop, name="edit_prop"),
    path("props/<int:pk>/remove/", views.remove_prop, name="remove_prop"),
]
