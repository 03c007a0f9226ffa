"""Has this household asked before?"""

from __future__ import annotations

import re
import unicodedata

from django.db.models import Q, QuerySet

from projects.actions.contact import phone_digits
from projects.models import Job

_STREET = {
    "street": "st",
    "avenue": "ave",
    "road": "rd",
    "drive": "dr",
    "lane": "ln",
    "court": "ct",
    "place": "pl",
    "boulevard": "blvd",
    "highway": "hwy",
    "circle": "cir",
    "terrace": "ter",
    "trail": "trl",
    "north": "n",
    "south": "s",
    "east": "e",
    "west": "w",
}
_TITLES = frozenset({"mr", "mrs", "ms", "dr", "and"})


def duplicates_of(
    *, name: str = "", email: str = "", phone: str = "", street: str = "", zip_code: str = ""
) -> QuerySet[Job]:
    """Jobs of the same phone, e-mail or address, or of a similar name at the same ZIP; oldest first."""
    same = Q(pk__in=[])
    digits = phone_digits(phone)
    if len(digits) == 10:
        same |= Q(customer__phone_digits=digits)
    if email.strip():
        same |= Q(customer__email__iexact=email.strip())
    near = Job.objects.filter(site__zip_code__startswith=zip_code.strip()[:5]) if zip_code.strip() else None
    if near is not None:
        wanted_street, wanted_name = plain_street(street), plain_name(name)
        rows = near.values_list("pk", "site__street", "customer__name")
        alike = [
            pk
            for pk, other_street, other_name in rows
            if (wanted_street and plain_street(other_street) == wanted_street)
            or (wanted_name and similar(wanted_name, plain_name(other_name)))
        ]
        same |= Q(pk__in=alike)
    return Job.objects.filter(same).order_by("number")


def plain_street(street: str) -> str:
    """ "12 North Main Street, Apt. 3" and "12 N. Main St Apt 3" are the same."""
    return " ".join(_STREET.get(word, word) for word in _words(street))


def plain_name(name: str) -> tuple[str, ...]:
    return tuple(word for word in _words(name) if word not in _TITLES)


def similar(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    """The same words in any order, or the same last name with one first name beginning as the other ("J" and "Jo")."""
    if not one or not other:
        return False
    if sorted(one) == sorted(other):
        return True
    if len(one) < 2 or len(other) < 2 or one[-1] != other[-1]:
        return False
    return one[0].startswith(other[0]) or other[0].startswith(one[0])


def _words(text: str) -> list[str]:
    bare = unicodedata.normalize("NFKD", text.lower()).encode("ascii", "ignore").decode()
    return re.findall(r"[a-z0-9]+", bare)
