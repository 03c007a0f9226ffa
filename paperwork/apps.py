from django.apps import AppConfig


class PaperworkConfig(AppConfig):
    name = "paperwork"
    verbose_name = "Papers"
