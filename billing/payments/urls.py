from django.urls import path

from billing.payments import views

urlpatterns = [
    path("payments/of-invoice/<int:pk>/", views.record_payment, name="record_payment"),
    path("payments/of-invoice/<int:pk>/panel/", views.invoice_payments_panel, name="invoice_payments_panel"),
    path("payments/of-invoice/<int:pk>/remind/", views.remind_of_invoice, name="remind_of_invoice"),
    path("payments/<int:pk>/undo/", views.undo_payment, name="undo_payment"),
]
