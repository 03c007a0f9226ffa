"""What the studies' money stands on: the office's rules, a utility's prices, a job's incentives."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from projects import studies
from projects.actions import money_rules, prices
from projects.actions.problems import Problem, Problems
from projects.models import MoneyRules, Utility
from projects.screens import meanwhile
from projects.screens.access import job_or_404, office_only
from projects.screens.office.forms_economics import IncentiveForm, MoneyRulesForm, PricesForm
from projects.screens.problems import add_problems


@office_only
@require_http_methods(["GET", "POST"])
def rules(request: HttpRequest) -> HttpResponse:
    row = MoneyRules.current()
    with meanwhile.alone_with(request, row):
        form = MoneyRulesForm(request.POST or None, row=row)
        if meanwhile.saved(form, request, money_rules.save_money_rules, actor=request.user):
            messages.success(request, "The money rules are saved; studies run before say that they no longer hold.")
            return redirect("office")
    context = {"nav": "office", "form": form, "opened_with": meanwhile.opened_with(form)}
    return render(request, "office/money_rules.html", context, status=422 if form.errors else 200)


@office_only
@require_http_methods(["GET", "POST"])
def utility_prices(request: HttpRequest, pk: int) -> HttpResponse:
    utility = get_object_or_404(Utility, pk=pk)
    with meanwhile.alone_with(request, utility):
        form = PricesForm(request.POST or None, utility=utility)
        if request.method == "POST" and meanwhile.fits(form, request):
            given, blocks, periods = form.prices()
            try:
                prices.save_prices(actor=request.user, utility=utility, **given)
            except Problems as problems:
                add_problems(form, [_in_its_row(problem, blocks, periods) for problem in problems])
            else:
                messages.success(request, f"The prices of {utility} are saved.")
                return redirect("office-edit", noun="utilities", pk=pk)
    context = {"nav": "office", "form": form, "utility": utility, "opened_with": meanwhile.opened_with(form)}
    return render(request, "office/prices.html", context, status=422 if form.errors else 200)


def _in_its_row(problem: Problem, blocks: list[int], periods: list[int]) -> Problem:
    """The action counts rows that were filled in; the form also has empty ones between them."""
    kind, _, rest = problem.field.partition("_")
    number, _, key = rest.partition("_")
    if kind not in ("block", "period") or not number.isdecimal():
        return problem
    row = (blocks if kind == "block" else periods)[int(number)]
    return Problem(f"{kind}_{row}_{key}", problem.message)


@office_only
@require_http_methods(["GET", "POST"])
def incentives(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    form = IncentiveForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            money_rules.enter_incentive(job=job, actor=request.user, **form.cleaned_data)
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, "Entered. Run the study again to count with it.")
            return redirect("job-incentives", number=job.number)
    rows = list(job.incentives.select_related("entered_by"))
    context = {
        "nav": "jobs",
        "job": job,
        "form": form,
        "counted": [(row, studies.still_open(row, job)) for row in rows if row.withdrawn_at is None],
        "withdrawn": [row for row in rows if row.withdrawn_at is not None],
        "rules": MoneyRules.current(),
    }
    return render(request, "office/incentives.html", context, status=422 if form.errors else 200)


@office_only
@require_POST
def withdraw_incentive(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    job = job_or_404(request, number)
    try:
        money_rules.withdraw_incentive(job=job, actor=request.user, incentive_id=pk)
    except Problems as problems:
        for problem in problems:
            messages.error(request, problem.message)
    else:
        messages.success(request, "It no longer counts.")
    return redirect("job-incentives", number=job.number)
