"""Each requirement of the route as a customer reads it, English and Spanish. Several may share one sentence.

``{name}`` stands for the jurisdiction or the utility. A key of one permit branch is looked up without its branch.
"""

from __future__ import annotations

STEPS: dict[str, tuple[str, str]] = {
    "contact": ("We take down how to reach you", "Anotamos cómo comunicarnos con usted"),
    "answers": (
        "Tell us what must run in an outage, and send twelve months of electric bills or one yearly figure",
        "Díganos qué debe funcionar en un apagón y envíenos doce meses de recibos de luz, o el total del año",
    ),
    "system_type": ("We settle which kind of system fits", "Decidimos qué tipo de sistema conviene"),
    "first_look": ("We send you the first-look report", "Le enviamos el informe de primer vistazo"),
    "go_ahead": (
        "Read the first-look report and tell us whether to go on",
        "Lea el informe de primer vistazo y díganos si seguimos adelante",
    ),
    "visit_booked": ("We agree with you on a day for the visit", "Acordamos con usted un día para la visita"),
    "service": (
        "We measure and photograph panel, meter, roof and everything that casts shade",
        "Medimos y fotografiamos el tablero, el medidor, el techo y todo lo que da sombra",
    ),
    "design": ("We draw up your system and work it through", "Diseñamos su sistema y lo calculamos"),
    "single_line": (
        "We draw the electrical diagram for the permit office",
        "Dibujamos el diagrama eléctrico para la oficina de permisos",
    ),
    "electrician_review": (
        "A licensed electrician checks the design",
        "Un electricista con licencia revisa el diseño",
    ),
    "contractor_review": ("A licensed contractor checks the design", "Un contratista con licencia revisa el diseño"),
    "structural_letter": (
        "A structural engineer checks your roof and writes a letter",
        "Un ingeniero estructural revisa su techo y escribe una carta",
    ),
    "contract": (
        "Read the contract, ask what you want to ask, and sign it",
        "Lea el contrato, pregunte lo que quiera y fírmelo",
    ),
    "financing": ("The lender approves your loan", "La entidad de crédito aprueba su préstamo"),
    "permit_exemption": (
        "We confirm in writing that no permit is needed here",
        "Confirmamos por escrito que aquí no hace falta permiso",
    ),
    "permit_submitted": ("We hand the drawings in at {name}", "Entregamos los planos en {name}"),
    "permit_corrections": (
        "We answer what the plan reviewer asked for",
        "Respondemos lo que pidió el revisor de planos",
    ),
    "permit_issued": (
        "{name} reviews the drawings and issues the permit",
        "{name} revisa los planos y emite el permiso",
    ),
    "permit_renewal": ("We renew a permit that has run out", "Renovamos un permiso que venció"),
    "permits_match_design": (
        "The design has changed: we hand the new drawings in",
        "El diseño cambió: entregamos los planos nuevos",
    ),
    "permits_hold": (
        "All permits are issued before any work begins",
        "Todos los permisos están emitidos antes de empezar",
    ),
    "equipment_ordered": ("We order your equipment", "Pedimos su equipo"),
    "equipment_received": ("Your equipment arrives with us", "Nos llega su equipo"),
    "install_booked": (
        "We agree with you on the days of the installation",
        "Acordamos con usted los días de la instalación",
    ),
    "install_started": ("The crew begins", "El equipo de trabajo empieza"),
    "mounted": ("Attachments, racking and panels go up", "Se montan los anclajes, los rieles y los paneles"),
    "wired": (
        "The electrical work is done under the electrician's licence; the power is off for part of a day",
        "El trabajo eléctrico se hace bajo la licencia del electricista; la luz se corta parte de un día",
    ),
    "rough_in_booked": ("We book the inspection of the open wiring", "Pedimos la inspección del cableado abierto"),
    "rough_in": ("{name} inspects the wiring while it is open", "{name} inspecciona el cableado mientras está abierto"),
    "labels": ("Warning labels are put on", "Se colocan las etiquetas de advertencia"),
    "install_photos": ("We photograph the finished work", "Fotografiamos el trabajo terminado"),
    "commissioning_tests": (
        "The electrician tests the system and writes the results down",
        "El electricista prueba el sistema y anota los resultados",
    ),
    "corrections": ("The crew puts right what the inspector asked for", "El equipo corrige lo que pidió el inspector"),
    "final_booked": ("We book the final inspection", "Pedimos la inspección final"),
    "final_passed": ("{name} makes the final inspection", "{name} hace la inspección final"),
    "final_check": (
        "The licensed electrician makes the final check",
        "El electricista con licencia hace la revisión final",
    ),
    "application": ("We apply to {name} for the connection", "Pedimos la conexión a {name}"),
    "application_matches_design": (
        "The design has changed: we tell {name}",
        "El diseño cambió: avisamos a {name}",
    ),
    "application_complete": (
        "{name} looks whether the application is complete",
        "{name} mira si la solicitud está completa",
    ),
    "screens": (
        "{name} checks whether its lines can take your system",
        "{name} comprueba si sus líneas admiten su sistema",
    ),
    "grid_study": (
        "{name} studies what your system does to its lines",
        "{name} estudia qué efecto tiene su sistema en sus líneas",
    ),
    "meter_ordered": ("We ask {name} for the new meter", "Pedimos a {name} el medidor nuevo"),
    "utility_requests": ("We answer what {name} asked for", "Respondemos lo que pidió {name}"),
    "utility_approval": ("{name} reviews the application", "{name} revisa la solicitud"),
    "agreement": ("Sign {name}'s interconnection agreement", "Firme el contrato de interconexión de {name}"),
    "inspection_sent": ("We send the passed inspection to {name}", "Enviamos la inspección aprobada a {name}"),
    "meter": ("{name} sets the new meter", "{name} coloca el medidor nuevo"),
    "witness": ("{name} comes to see the system tested", "{name} viene a ver la prueba del sistema"),
    "lender_asks_customer": ("Hand in what your lender asks for", "Entregue lo que pide su entidad de crédito"),
    "lender_asks_office": (
        "We hand in what your lender asks of us",
        "Entregamos lo que su entidad de crédito nos pide",
    ),
    "lender_asks_lender": (
        "Your lender confirms what is still open",
        "Su entidad de crédito confirma lo que falta",
    ),
    "permission": ("{name} gives permission to operate", "{name} da el permiso para operar"),
    "switched_on": ("We switch the system on with you", "Encendemos el sistema con usted"),
    "handover": (
        "We show you how to live with it and how to shut it down",
        "Le enseñamos a usarlo y a apagarlo en una emergencia",
    ),
    "warranty": ("We register the warranties", "Registramos las garantías"),
    "claims_settled": (
        "We settle what you reported under the warranty",
        "Resolvemos lo que usted reclamó por la garantía",
    ),
    "service_visit": ("The crew comes to see to the system", "El equipo de trabajo viene a revisar el sistema"),
}
SAME_AS = {
    "roof": "service",
    "obstructions": "service",
    "site_photos": "service",
    "study": "design",
    "design_checks": "design",
    "rough_in_corrections": "corrections",
    "final_corrections": "corrections",
}
NAMES_UTILITY = frozenset(
    {
        "application",
        "application_matches_design",
        "application_complete",
        "screens",
        "grid_study",
        "meter_ordered",
        "utility_requests",
        "utility_approval",
        "agreement",
        "inspection_sent",
        "meter",
        "witness",
        "permission",
    }
)


def key_of(requirement: str) -> str:
    """The key under which the words stand: permit branches share theirs."""
    if requirement.startswith("permit_"):
        for branch in ("building", "electrical", "combined", "fire"):
            if requirement.startswith(f"permit_{branch}_"):
                return f"permit_{requirement.removeprefix(f'permit_{branch}_')}"
    return SAME_AS.get(requirement, requirement)


PARTIES: dict[str, tuple[str, str]] = {
    "office": ("our office", "nuestra oficina"),
    "crew": ("our crew", "nuestro equipo"),
    "customer": ("you", "usted"),
    "engineer": ("the structural engineer", "el ingeniero estructural"),
    "contractor": ("our licensed contractor", "nuestro contratista con licencia"),
    "electrician": ("our licensed electrician", "nuestro electricista con licencia"),
    "jurisdiction": ("{jurisdiction}", "{jurisdiction}"),
    "utility": ("{utility}", "{utility}"),
    "lender": ("the lender", "la entidad de crédito"),
}
