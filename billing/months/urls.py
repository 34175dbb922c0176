from django.urls import path

from billing.months import views

urlpatterns = [
    path("money/", views.money, name="money"),
    path("months/bill/", views.bill_job, name="bill_job"),
    path("months/<str:month>/", views.month_end, name="month_end"),
    path("months/<str:month>/sums/", views.month_sums, name="month_sums"),
    path("months/<str:month>/drafts/", views.month_drafts, name="month_drafts"),
    path("months/<str:month>/draft/", views.month_draft_paper, name="month_draft_paper"),
    path("months/<str:month>/order-number/", views.enter_order_number, name="enter_order_number"),
    path("months/<str:month>/send/", views.send_month, name="send_month"),
    path("months/<str:month>/accounts.csv", views.invoices_csv, name="invoices_csv"),
    path("shoots/<int:shoot_pk>/invoices/panel/", views.shoot_invoices_panel, name="shoot_invoices_panel"),
]
