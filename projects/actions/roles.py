"""Who may do what: an action names the roles it is open to and everybody else is refused."""

from __future__ import annotations

from projects.actions.problems import NotAllowed
from projects.models import Person, Role

OFFICE = frozenset({Role.OFFICE, Role.OWNER})
FIELD = frozenset({Role.CREW, Role.OFFICE, Role.OWNER})
OWNER = frozenset({Role.OWNER})


def require(actor: Person | None, allowed: frozenset[str]) -> None:
    """Raises NotAllowed unless the actor is active and has one of the roles."""
    if actor is None or not actor.is_active:
        raise NotAllowed("Sign in first.")
    if actor.role not in allowed:
        names = " or ".join(sorted(Role(role).label.lower() for role in allowed))
        raise NotAllowed(f"Only {names} may do that.")
