from django.apps import AppConfig


class ProjectsConfig(AppConfig):
    name = "projects"
    verbose_name = "Rafterbook"

    def ready(self) -> None:
        from projects.actions import outbox
        from projects.mail.sending import send_soon

        outbox.on_waiting(send_soon)
