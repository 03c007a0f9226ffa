"""Two jobs at one site (a second roof, a battery added later, a shop beside the house): a link that both show.

Each job keeps its own records of the place. What was measured for one may be years old when the other begins, and a
shared row would change a design that is submitted already.
"""

from __future__ import annotations

from django.db.models import Q, QuerySet

from projects.actions.recording import recording
from projects.actions.roles import OFFICE
from projects.models import Job, Person


def at_the_same_site(job: Job) -> QuerySet[Job]:
    """The other jobs linked as standing at this job's site."""
    first = job.same_site_as_id or job.pk
    return (
        Job.objects.filter(Q(pk=first) | Q(same_site_as=first))
        .exclude(pk=job.pk)
        .select_related("customer", "site")
        .order_by("number")
    )


def share_site(*, job: Job, with_job: Job | None, actor: Person) -> Job:
    """Links two jobs, and with them those that either is linked with already. Closed jobs may be named."""
    with recording(job, actor, OFFICE) as book:
        if with_job is None:
            book.findings.add("number", "There is no job with this number.")
        elif with_job.pk == job.pk:
            book.findings.add("number", "That is this job itself.")
        elif with_job.site.state != job.site.state or with_job.site.zip_code[:3] != job.site.zip_code[:3]:
            book.findings.add("number", f"Job {with_job.label} stands elsewhere: {with_job.site.address}.")
        elif at_the_same_site(job).filter(pk=with_job.pk).exists():
            book.findings.add("number", f"Linked with job {with_job.label} already.")
        book.findings.refuse()
        assert with_job is not None
        Job.objects.select_for_update().get(pk=with_job.pk)
        whole = {job.pk, with_job.pk, *_linked(job), *_linked(with_job)}
        first = Job.objects.filter(pk__in=whole).order_by("number").values_list("pk", flat=True)[0]
        Job.objects.filter(pk__in=whole - {first}).update(same_site_as=first)
        Job.objects.filter(pk=first).update(same_site_as=None)
        job.refresh_from_db()
        book.write("site_shared", of=with_job.label)
    return job


def unshare_site(*, job: Job, actor: Person) -> Job:
    """Takes this job out of the link; the others stay together."""
    with recording(job, actor, OFFICE) as book:
        others = list(at_the_same_site(job))
        if not others:
            book.findings.add("", "This job isn't linked with another.")
        book.findings.refuse()
        if job.same_site_as_id is None:
            # It was the first: the next one takes its place.
            heir, *rest = others
            Job.objects.filter(pk__in=[other.pk for other in rest]).update(same_site_as=heir)
            Job.objects.filter(pk=heir.pk).update(same_site_as=None)
        Job.objects.filter(pk=job.pk).update(same_site_as=None)
        job.refresh_from_db()
        book.write("site_unshared", of=", ".join(other.label for other in others))
    return job


def _linked(job: Job) -> set[int]:
    return set(at_the_same_site(job).values_list("pk", flat=True))
