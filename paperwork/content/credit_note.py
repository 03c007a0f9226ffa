"""The credit note in the customer's words, from frozen facts."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from paperwork.content.invoice import dollars
from paperwork.spanish import milestone
from paperwork.words import day

CREDIT_WORDS: dict[str, dict[str, str]] = {
    "en": {
        "heading": "Credit note",
        "takes": "Takes back {amount} of invoice {number} of {day} ({title})",
        "why": "Why",
        "means": "What it means for you",
        "void": "Invoice {number} is void: please pay nothing on it.",
        "left": "Of invoice {number} {left} remain; {open} of that is still to be paid.",
        "credit": "{credit} that you have paid are yours: we set them against the next invoice, or send them back.",
        "call": "Questions? Call {phone}.",
        "job": "job",
        "number": "credit note",
        "issued": "issued",
        "for": "invoice",
    },
    "es": {
        "heading": "Nota de crédito",
        "takes": "Retira {amount} de la factura {number} del {day} ({title})",
        "why": "Por qué",
        "means": "Qué significa para usted",
        "void": "La factura {number} queda anulada: por favor no pague nada por ella.",
        "left": "De la factura {number} quedan {left}; de eso falta pagar {open}.",
        "credit": "{credit} que usted pagó son suyos: los descontamos de la próxima factura o se los devolvemos.",
        "call": "¿Preguntas? Llame al {phone}.",
        "job": "proyecto",
        "number": "nota de crédito",
        "issued": "emitida",
        "for": "factura",
    },
}


def credit_note(facts: Mapping[str, Any]) -> dict[str, Any]:
    language = facts["customer"]["language"]
    w, note, row, firm = CREDIT_WORDS[language], facts["note"], facts["invoice"], facts["firm"]
    left = Decimal(row["left_usd"])
    means = [
        w["left"].format(number=row["number"], left=dollars(left), open=dollars(row["open_usd"]))
        if left
        else w["void"].format(number=row["number"])
    ]
    if Decimal(facts["credit_usd"]):
        means.append(w["credit"].format(credit=dollars(facts["credit_usd"])))
    return {
        "facts": facts,
        "w": w,
        "head": f"{w['heading']} {note['number']}",
        "amount": dollars(note["amount_usd"]),
        "takes": w["takes"].format(
            amount=dollars(note["amount_usd"]),
            number=row["number"],
            day=day(row["issued_on"], language),
            title=milestone(row["title"], language),
        ),
        "reason": note["reason"],
        "means": means,
        "call": w["call"].format(phone=firm["phone"] or firm["email"]),
        "issued": day(note["issued_on"], language),
    }
