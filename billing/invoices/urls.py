from django.urls import path

from billing.invoices import views

urlpatterns = [
    path("invoices/", views.invoices, name="invoices"),
    path("clients/<int:pk>/invoices/panel/", views.client_invoices_panel, name="client_invoices_panel"),
    path("invoices/<int:pk>/", views.invoice_page, name="invoice_page"),
    path("invoices/<int:pk>/paper/", views.invoice_paper, name="invoice_paper"),
    path("invoices/<int:pk>/send/", views.send_invoice, name="send_invoice"),
    path("invoices/<int:pk>/cancel/", views.cancel_by_credit_note, name="cancel_by_credit_note"),
    path("invoices/deposit/<int:estimate_pk>/", views.bill_deposit, name="bill_deposit"),
]
