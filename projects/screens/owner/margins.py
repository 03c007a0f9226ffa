"""What is left of each job's price, the thinnest first: the owner's alone."""

from __future__ import annotations

from decimal import Decimal

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from projects.queries.margins import margin_list
from projects.screens.access import owner_only


@owner_only
@require_safe
def margins(request: HttpRequest) -> HttpResponse:
    rows = margin_list()
    price = sum((row.margin.price_usd or Decimal(0) for row in rows), Decimal(0))
    left = sum((row.margin.margin_usd or Decimal(0) for row in rows), Decimal(0))
    context = {
        "nav": "pipeline",
        "rows": rows,
        "price": price,
        "left": left,
        "percent": (left / price * 100).quantize(Decimal("0.1")) if price else None,
        "guessed": sum(1 for row in rows if row.margin.labor_missing),
    }
    return render(request, "owner/margins.html", context)
