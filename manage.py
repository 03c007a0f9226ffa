#!/usr/bin/env python3
"""Rafterbook's one command: ``demo``, ``test``, and whatever Django's own manage.py does."""

import os
import sys


def main() -> None:
    from projects.config import bootstrap

    bootstrap.ready(sys.argv)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "projects.config.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
