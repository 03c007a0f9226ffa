"""Addresses of this audience."""

urlpatterns: list = []
