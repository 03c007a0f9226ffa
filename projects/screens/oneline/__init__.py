"""A job's progress, drawn as an electrical one-line: the face of the product, on screens and on paper.

Only presentation attributes are used, so that the drawing looks the same inside a page, in print and in a PDF.
"""

from projects.screens.oneline.small import oneline_small
from projects.screens.oneline.tall import oneline_tall
from projects.screens.oneline.wide import oneline_wide

__all__ = ["oneline_small", "oneline_tall", "oneline_wide"]
