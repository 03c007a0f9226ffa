"""What a customer reads of each stage: plain words, English and Spanish. No promise, no trade talk."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class StageWords:
    title: str
    now: str
    """What is going on."""


STAGES: dict[str, dict[str, StageWords]] = {
    "en": {
        "lead": StageWords(
            "First look",
            "We are looking at your house and your bills, and send you one page with what we found. It is free and "
            "binds you to nothing.",
        ),
        "site_assessment": StageWords(
            "Visit to your home",
            "We come and look at the roof, the electrical panel and what shades the roof. Someone who can open the "
            "panel room should be at home.",
        ),
        "engineering": StageWords(
            "Drawing up your system",
            "We draw the system for your house, and a licensed electrician and contractor check the drawings.",
        ),
        "permits": StageWords(
            "Permits",
            "The building department reviews the drawings. It sets its own pace; we answer its questions.",
        ),
        "installation": StageWords(
            "Installation",
            "The crew is preparing or doing the work. Please keep people and pets away from ladders and from below the "
            "roof edge, and leave every switch of the new system as it is.",
        ),
        "inspection": StageWords(
            "Inspection",
            "The inspector of your jurisdiction checks the work. Please leave the system off until it has passed.",
        ),
        "interconnection": StageWords(
            "Utility connection",
            "Your utility completes its side: agreement, meter and checks.",
        ),
        "operation": StageWords(
            "Permission to operate",
            "The last yes is close. The system stays off until we tell you that it may be switched on.",
        ),
        "in_service": StageWords(
            "In service",
            "Your system is on and your warranty runs. Keep the papers below where you would look in a storm.",
        ),
    },
    "es": {
        "lead": StageWords(
            "Primer vistazo",
            "Estamos viendo su casa y sus recibos, y le enviamos una página con lo que encontramos. Es gratis y no le "
            "obliga a nada.",
        ),
        "site_assessment": StageWords(
            "Visita a su casa",
            "Vamos a ver el techo, el tablero eléctrico y lo que da sombra al techo. Debe estar en casa alguien que "
            "pueda abrir donde está el tablero.",
        ),
        "engineering": StageWords(
            "Diseño de su sistema",
            "Dibujamos el sistema para su casa; un electricista y un contratista con licencia revisan los planos.",
        ),
        "permits": StageWords(
            "Permisos",
            "La oficina de permisos revisa los planos. Lleva su propio ritmo; nosotros respondemos sus preguntas.",
        ),
        "installation": StageWords(
            "Instalación",
            "El equipo prepara o hace el trabajo. Mantenga a personas y animales lejos de las escaleras y del borde "
            "del techo, y no toque ningún interruptor del sistema nuevo.",
        ),
        "inspection": StageWords(
            "Inspección",
            "El inspector revisa el trabajo. Por favor no encienda el sistema antes de que sea aprobado.",
        ),
        "interconnection": StageWords(
            "Conexión con la compañía eléctrica",
            "Su compañía eléctrica completa su parte: contrato, medidor y pruebas.",
        ),
        "operation": StageWords(
            "Permiso para operar",
            "Falta poco. El sistema queda apagado hasta que le avisemos que se puede encender.",
        ),
        "in_service": StageWords(
            "En servicio",
            "Su sistema está encendido y su garantía corre. Guarde los papeles de abajo donde los buscaría en una "
            "tormenta.",
        ),
    },
}

PERMITS: dict[str, dict[str, str]] = {
    "en": {
        "building": "Building permit",
        "electrical": "Electrical permit",
        "combined": "Permit",
        "fire": "Fire review",
    },
    "es": {
        "building": "Permiso de construcción",
        "electrical": "Permiso eléctrico",
        "combined": "Permiso",
        "fire": "Revisión de bomberos",
    },
}

FIRST_LOOK_SENT: dict[str, str] = {
    "en": "The first-look report is with you. Take your time; ask us whatever it leaves open.",
    "es": "El informe de primer vistazo ya es suyo. Tómese su tiempo y pregúntenos lo que quede abierto.",
}
READY_TO_OPERATE: dict[str, StageWords] = {
    "en": StageWords("Ready to operate", "The work is checked. We switch the system on with you."),
    "es": StageWords("Listo para operar", "El trabajo está revisado. Encendemos el sistema con usted."),
}
"""Off the grid nobody has to permit it."""


def stage_words(key: str, language: str, *, off_grid: bool) -> StageWords:
    return READY_TO_OPERATE[language] if off_grid and key == "operation" else STAGES[language][key]


CUSTOMER_STEPS: dict[str, dict[str, str]] = {
    "en": {
        "answers": "Tell us what must run in an outage and send us a recent electric bill.",
        "go_ahead": "Read the first-look report, and tell us whether you want to go ahead.",
        "contract": "Read and sign the contract.",
        "agreement": "Sign the utility's interconnection agreement.",
        "lender_asks_customer": "Hand in what your lender asks for; we tell you what it is.",
    },
    "es": {
        "answers": "Díganos qué debe funcionar en un apagón y envíenos un recibo de luz reciente.",
        "go_ahead": "Lea el informe de primer vistazo y díganos si quiere seguir adelante.",
        "contract": "Lea y firme el contrato.",
        "agreement": "Firme el contrato de interconexión de la compañía eléctrica.",
        "lender_asks_customer": "Entregue lo que pide su entidad de crédito; le decimos qué es.",
    },
}

WAITING: dict[str, dict[str, str]] = {
    "en": {
        "office": "We are working on it in the office.",
        "crew": "The crew has the next step.",
        "customer": "The next step is yours.",
        "engineer": "The structural engineer has the next step.",
        "contractor": "Our licensed contractor is checking the drawings.",
        "electrician": "Our licensed electrician has the next step.",
        "jurisdiction": "We are waiting for {name}.",
        "utility": "We are waiting for {name}.",
        "lender": "We are waiting for the lender.",
    },
    "es": {
        "office": "Estamos trabajando en ello en la oficina.",
        "crew": "El equipo de instalación tiene el siguiente paso.",
        "customer": "El siguiente paso es suyo.",
        "engineer": "El ingeniero estructural tiene el siguiente paso.",
        "contractor": "Nuestro contratista con licencia revisa los planos.",
        "electrician": "Nuestro electricista con licencia tiene el siguiente paso.",
        "jurisdiction": "Esperamos a {name}.",
        "utility": "Esperamos a {name}.",
        "lender": "Esperamos a la entidad de crédito.",
    },
}

PAGE: dict[str, dict[str, str]] = {
    "en": {
        "title": "Your project",
        "where": "Where it stands",
        "need": "What we need from you",
        "nothing": "Nothing at the moment. We'll tell you when there is.",
        "way": "The whole way",
        "papers": "Papers to keep",
        "no_papers": "Your papers appear here as soon as they are issued.",
        "call": "Questions? Call or write to us",
        "booked_visit": "Our visit is on {day}.",
        "booked_install": "The installation is planned for {day}. Weather and permits can move it.",
        "booked_inspection": "The inspection is booked for {day}.",
        "in_service": "In service",
        "closed": "This project is closed. If that surprises you, please call us.",
        "expired": "This link no longer works",
        "expired_more": "Links end after a while, so that nobody else can use them. Please ask us for a new one.",
        "hold": "For your safety: the system must stay off until inspection and utility have said yes.",
        "done": "done",
        "now": "now",
        "under_way": "under way",
        "later": "later",
        "issued": "issued {day}",
        "warranties": "Your warranties",
        "workmanship": "Our workmanship",
        "until": "until {day} {year}",
    },
    "es": {
        "title": "Su proyecto",
        "where": "En qué punto está",
        "need": "Lo que necesitamos de usted",
        "nothing": "Nada por ahora. Le avisaremos cuando haya algo.",
        "way": "Todo el camino",
        "papers": "Papeles para guardar",
        "no_papers": "Sus papeles aparecen aquí en cuanto se emiten.",
        "call": "¿Preguntas? Llámenos o escríbanos",
        "booked_visit": "Nuestra visita es el {day}.",
        "booked_install": "La instalación está prevista para el {day}. El tiempo y los permisos pueden cambiarla.",
        "booked_inspection": "La inspección está fijada para el {day}.",
        "in_service": "En servicio",
        "closed": "Este proyecto está cerrado. Si le sorprende, por favor llámenos.",
        "expired": "Este enlace ya no funciona",
        "expired_more": "Los enlaces terminan después de un tiempo, para que nadie más los use. Pídanos uno nuevo.",
        "hold": "Por su seguridad: el sistema debe quedar apagado hasta que la inspección y la compañía digan que sí.",
        "done": "hecho",
        "now": "ahora",
        "under_way": "en curso",
        "later": "después",
        "issued": "emitido el {day}",
        "warranties": "Sus garantías",
        "workmanship": "Nuestro trabajo",
        "until": "hasta el {day} de {year}",
    },
}

MONTHS_ES = ("ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic")
PAPER_NAMES = {
    "en": {
        "first_look": "First-look report",
        "single_line": "Single-line diagram",
        "checklist": "Your checklist",
        "handover": "Handover packet: outages, shutdown, warranties",
    },
    "es": {
        "first_look": "Informe de primer vistazo",
        "single_line": "Diagrama unifilar",
        "checklist": "Su lista",
        "handover": "Carpeta de entrega: apagones, apagado, garantías",
    },
}
