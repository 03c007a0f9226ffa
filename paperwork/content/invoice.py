"""The invoice in the customer's words, from frozen facts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from paperwork.spanish import milestone
from paperwork.words import day

MOST_LINES = 4
"""Of change orders and of open invoices, one by one."""

INVOICE_WORDS: dict[str, dict[str, str]] = {
    "en": {
        "heading": "Invoice",
        "for": "for",
        "to_pay": "To pay",
        "by": "by {day}",
        "nothing_to_pay": "Nothing to pay: your credit covers it",
        "why": "This part of the price is due because {fact}{on}.",
        "why_on": " ({day})",
        "beside": "This is the rest of the price after the changes that you approved.",
        "this": "This invoice",
        "share": "{percent} % of the price",
        "amount": "Amount",
        "from_credit": "Paid already, or from your credit",
        "price": "The whole price",
        "contract": "Price by the contract",
        "change": "Change order {number}, approved {day}",
        "changes": "Change orders {first} to {last}",
        "total": "Price today",
        "parts": "How it is paid, part by part",
        "part": "Part",
        "due_when": "Is due when",
        "state": "Stands",
        "paid": "paid, {number}",
        "invoiced": "invoiced, {number}",
        "now": "this invoice",
        "due": "due, invoice follows",
        "waiting": "later",
        "nothing": "nothing left",
        "received": "Received so far",
        "earlier": "Still open from before",
        "earlier_line": "{number}, due {day}",
        "earlier_all": "{count} invoices, the first due {day}",
        "how": "How to pay",
        "check": "By check to {firm}{address}. Please write the number of this invoice on it: {number}.",
        "other": "To pay in another way, or when something is not as agreed, please call before you pay: {phone}.",
        "fraud": "We never send new bank details by e-mail. If you get any, call the number above that you know.",
        "job": "job",
        "number": "invoice",
        "issued": "issued",
        "until": "to pay by",
    },
    "es": {
        "heading": "Factura",
        "for": "para",
        "to_pay": "A pagar",
        "by": "hasta el {day}",
        "nothing_to_pay": "Nada que pagar: su saldo a favor la cubre",
        "why": "Esta parte del precio se paga ahora porque {fact}{on}.",
        "why_on": " ({day})",
        "beside": "Es el resto del precio después de los cambios que usted aprobó.",
        "this": "Esta factura",
        "share": "{percent} % del precio",
        "amount": "Importe",
        "from_credit": "Ya pagado, o de su saldo a favor",
        "price": "El precio completo",
        "contract": "Precio del contrato",
        "change": "Orden de cambio {number}, aprobada el {day}",
        "changes": "Órdenes de cambio {first} a {last}",
        "total": "Precio de hoy",
        "parts": "Cómo se paga, parte por parte",
        "part": "Parte",
        "due_when": "Se paga cuando",
        "state": "Estado",
        "paid": "pagada, {number}",
        "invoiced": "facturada, {number}",
        "now": "esta factura",
        "due": "se paga ya, sigue factura",
        "waiting": "después",
        "nothing": "no queda nada",
        "received": "Recibido hasta hoy",
        "earlier": "Pendiente de antes",
        "earlier_line": "{number}, vencía el {day}",
        "earlier_all": "{count} facturas, la primera vencía el {day}",
        "how": "Cómo pagar",
        "check": "Con cheque a nombre de {firm}{address}. Escriba en él el número de esta factura: {number}.",
        "other": "Para pagar de otra forma, o si algo no es como lo acordado, llámenos antes de pagar: {phone}.",
        "fraud": "Nunca enviamos datos bancarios nuevos por correo. Si los recibe, llame al número que ya conoce.",
        "job": "proyecto",
        "number": "factura",
        "issued": "emitida",
        "until": "a pagar hasta",
    },
}

FACT_WORDS: dict[str, dict[str, str]] = {
    "en": {
        "contract": "the contract is signed",
        "permits": "all permits are issued",
        "equipment": "the equipment has arrived",
        "started": "the installation has begun",
        "installed": "the installation is complete",
        "inspected": "the final inspection has passed",
        "permission": "the system may operate",
        "handover": "the system is handed over to you",
    },
    "es": {
        "contract": "el contrato está firmado",
        "permits": "todos los permisos están emitidos",
        "equipment": "el equipo ha llegado",
        "started": "la instalación ha comenzado",
        "installed": "la instalación está terminada",
        "inspected": "la inspección final está aprobada",
        "permission": "el sistema puede operar",
        "handover": "el sistema le ha sido entregado",
    },
}


def dollars(amount: str | Decimal) -> str:
    """ "$15,368.00", "−$20.00": always with cents."""
    value = Decimal(amount)
    return f"−${-value:,.2f}" if value < 0 else f"${value:,.2f}"


def plain_percent(percent: str) -> str:
    """ "10.00" -> "10", "33.34" stays."""
    return percent.rstrip("0").rstrip(".") if "." in percent else percent


def invoice(facts: Mapping[str, Any]) -> dict[str, Any]:
    """What the template shows: words of the customer's language with the frozen figures."""
    language = facts["customer"]["language"]
    w, told, row, firm = INVOICE_WORDS[language], FACT_WORDS[language], facts["invoice"], facts["firm"]
    this = next((part for part in facts["parts"] if part["state"] == "this"), None)
    to_pay = Decimal(row["to_pay_usd"])
    return {
        "facts": facts,
        "w": w,
        "head": f"{w['heading']} {row['number']}",
        "title": milestone(row["title"], language),
        "to_pay": dollars(to_pay),
        "pays": to_pay > 0,
        "by": w["by"].format(day=day(row["due_on"], language)),
        "why": _why(w, told, this, language),
        "share": w["share"].format(percent=plain_percent(this["percent"])) if this and this["percent"] else "",
        "amount": dollars(row["amount_usd"]),
        "from_credit": dollars(row["from_credit_usd"]) if Decimal(row["from_credit_usd"]) else "",
        "price_rows": _price_rows(facts["price"], w, language),
        "total": dollars(facts["price"]["total_usd"]),
        "parts": [_part(part, w, told, language) for part in facts["parts"]],
        "received": dollars(facts["received_usd"]),
        "earlier": _earlier(facts["earlier"], w, language),
        "how": w["check"].format(
            firm=firm["name"], address=f", {firm['address']}" if firm["address"] else "", number=row["number"]
        ),
        "other": w["other"].format(phone=firm["phone"] or firm["email"]),
        "issued": day(row["issued_on"], language),
        "until": day(row["due_on"], language),
    }


def _why(w: Mapping[str, str], told: Mapping[str, str], this: Mapping[str, Any] | None, language: str) -> str:
    if this is None or not this["fact_key"]:
        return w["beside"]
    on = w["why_on"].format(day=day(this["reached_on"], language)) if this["reached_on"] else ""
    return w["why"].format(fact=told[this["fact_key"]], on=on)


def _price_rows(price: Mapping[str, Any], w: Mapping[str, str], language: str) -> list[tuple[str, str]]:
    rows = [(w["contract"], dollars(price["contract_usd"]))] if price["changes"] else []
    if len(price["changes"]) > MOST_LINES:
        numbers = [change["number"] for change in price["changes"]]
        total = sum(Decimal(change["amount_usd"]) for change in price["changes"])
        return [*rows, (w["changes"].format(first=numbers[0], last=numbers[-1]), _signed(total))]
    for change in price["changes"]:
        said = w["change"].format(number=change["number"], day=day(change["approved_on"], language))
        rows.append((said, _signed(change["amount_usd"])))
    return rows


def _signed(amount: str | Decimal) -> str:
    said = dollars(amount)
    return said if said.startswith("−") else f"+{said}"


def _earlier(lines: Sequence[Mapping[str, Any]], w: Mapping[str, str], language: str) -> list[tuple[str, str]]:
    """One line each, or one for all where they are many: the paper stays one page."""
    if len(lines) > MOST_LINES:
        first = min(line["due_on"] for line in lines)
        total = sum(Decimal(line["open_usd"]) for line in lines)
        return [(w["earlier_all"].format(count=len(lines), day=day(first, language)), dollars(total))]
    return [
        (w["earlier_line"].format(number=line["number"], day=day(line["due_on"], language)), dollars(line["open_usd"]))
        for line in lines
    ]


def _part(part: Mapping[str, Any], w: Mapping[str, str], told: Mapping[str, str], language: str) -> dict[str, str]:
    state = w["now"] if part["state"] == "this" else w[part["state"]].format(number=part["number"])
    return {
        "title": milestone(part["title"], language),
        "share": f"{plain_percent(part['percent'])} %" if part["percent"] else "",
        "when": told.get(part["fact_key"], ""),
        "amount": dollars(part["amount_usd"]),
        "state": state,
        "now": "now" if part["state"] == "this" else "",
    }
