from django.apps import AppConfig


class PaperworkConfig(AppConfig):
    name = "paperwork"
    verbose_name = "Papers"

    def ready(self) -> None:
        """Tells the jobs' side what papers are called and what is kept of them, since it never asks here."""
        from paperwork.kept import kept_of
        from paperwork.kinds import KINDS
        from projects import paper_registry

        paper_registry.read_kept_with(kept_of)
        for kind in KINDS.values():
            paper_registry.register(kind.key, kind.title, shows_design=kind.shows_design)
