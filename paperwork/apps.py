from django.apps import AppConfig


class PaperworkConfig(AppConfig):
    name = "paperwork"
    verbose_name = "Papers"

    def ready(self) -> None:
        """Tells the jobs' side what the kinds of paper are called, since it never asks here."""
        from paperwork.kinds import KINDS
        from projects import paper_registry

        for kind in KINDS.values():
            paper_registry.register(kind.key, kind.title, shows_design=kind.shows_design)
