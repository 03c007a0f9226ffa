#!/usr/bin/env python3
"""Rafterbook's one command: ``demo``, ``test``, and whatever Django's own manage.py does."""

import os
import sys


# No annotations here: a Python too old for them must get as far as the sentence.
def main():
    if sys.version_info < (3, 11):  # noqa: UP036
        found = sys.version_info[:2]
        sys.exit("Rafterbook can't start: it needs Python 3.11 or newer, and this is Python %d.%d." % found)  # noqa: UP031

    from projects.config import bootstrap

    bootstrap.ready(sys.argv)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "projects.config.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
