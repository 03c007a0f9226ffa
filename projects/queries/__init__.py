"""Every read that is more than one lookup: lists, search, duplicates, the crew's day, the pipeline, the status link."""

from projects.queries.crew import CrewJob, crew_steps
from projects.queries.customer import customer_status
from projects.queries.desk import Desk, desk
from projects.queries.duplicates import duplicates_of
from projects.queries.jobs import job_list, search
from projects.queries.journal import journal_by_day
from projects.queries.page import JobPage, job_page
from projects.queries.pipeline import Pipeline, pipeline

__all__ = [
    "CrewJob",
    "Desk",
    "JobPage",
    "Pipeline",
    "crew_steps",
    "customer_status",
    "desk",
    "duplicates_of",
    "job_list",
    "job_page",
    "journal_by_day",
    "pipeline",
    "search",
]
