from django.urls import path

from billing.estimates import views

urlpatterns = [
    path("estimates/", views.estimates, name="estimates"),
    path("estimates/new/", views.choose_shoot, name="choose_shoot"),
    path("estimates/new/<int:shoot>/", views.new_estimate, name="new_estimate"),
    path("estimates/new/<int:shoot>/like/", views.draft_like, name="draft_like"),
    path("estimates/<int:pk>/", views.estimate, name="estimate"),
    path("estimates/<int:pk>/rates/", views.estimate_card, name="estimate_card"),
    path("estimates/<int:pk>/currency/", views.estimate_currency, name="estimate_currency"),
    path("estimates/<int:pk>/uses/<str:letter>/", views.option_uses, name="option_uses"),
    path("estimates/<int:pk>/preview/", views.estimate_preview, name="estimate_preview"),
    path("estimates/<int:pk>/paper/", views.estimate_paper, name="estimate_paper"),
    path("estimates/<int:pk>/revise/", views.revise_estimate, name="revise_estimate"),
    path("estimates/<int:pk>/discard/", views.discard_estimate, name="discard_estimate"),
    path("estimates/of-shoot/<int:shoot>/", views.shoot_estimates_panel, name="shoot_estimates_panel"),
]
