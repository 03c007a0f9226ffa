"""Journal entries about money, which the crew doesn't read."""

from __future__ import annotations

MONEY_KINDS: dict[str, str] = {
    "schedule_set": "Payment schedule set: {parts} parts",
    "change_proposed": "Change order {number} proposed: {amount}",
    "change_approved": "Change order {number} approved by the customer: {amount}, the price is now {price}",
    "change_dropped": "Change order {number} dropped",
    "invoiced": "Invoice {number} written: {amount} for {title}",
    "credited": "Credit note {number} written: {amount} of invoice {invoice}{void}",
    "payment_received": "Payment received: {amount}, {method}",
    "payment_refunded": "Refunded: {amount}, {method}",
    "payment_withdrawn": "Payment of {day} taken back: {amount}",
    "financing_submitted": "Loan of {amount} applied for with {lender}",
    "financing_decided": "Loan with {lender}: {decision}",
    "condition_asked": "The lender asks for something; the turn is {party}'s",
    "condition_met": "A lender's condition is met ({open} left)",
    "cost_recorded": "Cost recorded: {cost}, {amount}",
    "cost_withdrawn": "Cost taken back: {amount}",
}
