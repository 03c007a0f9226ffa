"""The words of a customer's letter, in English and Spanish, beside those of the customer's page."""

from __future__ import annotations

SUBJECTS: dict[str, dict[str, str]] = {
    "en": {
        "appointment": "{what} on {day}",
        "appointment_moved": "{what}: the new day is {day}",
        "appointment_off": "{what} of {day} is called off",
        "permission": "Your utility has given permission to operate",
        "stage": "Your project: {stage}",
        "need": "We need something from you",
        "asked": "Please send us a picture",
    },
    "es": {
        "appointment": "{what}: {day}",
        "appointment_moved": "{what}: la nueva fecha es el {day}",
        "appointment_off": "{what} del {day}: cancelada",
        "permission": "Su compañía eléctrica dio el permiso para operar",
        "stage": "Su proyecto: {stage}",
        "need": "Necesitamos algo de usted",
        "asked": "Por favor envíenos una foto",
    },
}

APPOINTMENTS: dict[str, dict[str, str]] = {
    "en": {
        "site_visit": "Our visit to your home",
        "installation": "The installation",
        "rough_in": "The rough-in inspection",
        "final": "The final inspection",
    },
    "es": {
        "site_visit": "Nuestra visita a su casa",
        "installation": "La instalación",
        "rough_in": "La inspección preliminar",
        "final": "La inspección final",
    },
}

LETTER: dict[str, dict[str, str]] = {
    "en": {
        "hello": "Hello {name},",
        "booked": "{what} is booked for {day}.",
        "booked_at": "{what} is booked for {day} at {at}.",
        "moved": "It was planned for {was} before.",
        "off": "{what} of {day} will not take place. We will write to you about a new day.",
        "days": "The work takes about {days} working days.",
        "site_visit": "Somebody who can open the room of the electrical panel should be at home.",
        "installation": "Weather and permits can move it. Please keep people and pets away from ladders and from below "
        "the roof edge.",
        "rough_in": "The inspector of your building department looks at the wiring before it is covered.",
        "final": "The inspector of your building department checks the work. Please leave the system off.",
        "permission": "Your utility has given permission to operate. Please don't switch anything on yourself: we do "
        "it with you, and show you how to live with the system and how to shut it down.",
        "asked": "On your page we ask you for a picture ({photo}). You can send it from your phone. Take it from where "
        "you stand safely: don't open a panel and don't climb on a ladder or a roof.",
        "where": "Where it stands: {stage}.",
        "need": "What we need from you",
        "page": "Your page, whose address we gave you, always shows where it stands.",
        "call": "Questions? Answer this e-mail or call us.",
        "stop": "No more e-mail about this project:",
        "stop_by_hand": "If you want no more e-mail about this project, answer this one and say so.",
        "why": "You get this because we are working on a project at your home (job {job}).",
    },
    "es": {
        "hello": "Buenos días, {name}:",
        "booked": "{what} está fijada para el {day}.",
        "booked_at": "{what} está fijada para el {day} a las {at}.",
        "moved": "Antes estaba prevista para el {was}.",
        "off": "{what} del {day} no tendrá lugar. Le escribiremos sobre una nueva fecha.",
        "days": "El trabajo dura unos {days} días hábiles.",
        "site_visit": "Debe estar en casa alguien que pueda abrir donde está el tablero eléctrico.",
        "installation": "El tiempo y los permisos pueden cambiarla. Mantenga a personas y animales lejos de las "
        "escaleras y del borde del techo.",
        "rough_in": "El inspector de la oficina de permisos ve el cableado antes de que se cubra.",
        "final": "El inspector de la oficina de permisos revisa el trabajo. Por favor no encienda el sistema.",
        "permission": "Su compañía eléctrica dio el permiso para operar. Por favor no encienda nada por su cuenta: lo "
        "hacemos con usted, y le mostramos cómo vivir con el sistema y cómo apagarlo.",
        "asked": "En su página le pedimos una foto ({photo}). Puede enviarla desde su teléfono. Tómela desde un lugar "
        "seguro: no abra ningún tablero y no suba a escaleras ni al techo.",
        "where": "En qué punto está: {stage}.",
        "need": "Lo que necesitamos de usted",
        "page": "Su página, cuya dirección le dimos, siempre muestra en qué punto está.",
        "call": "¿Preguntas? Conteste este correo o llámenos.",
        "stop": "No recibir más correos sobre este proyecto:",
        "stop_by_hand": "Si no quiere más correos sobre este proyecto, conteste este y díganoslo.",
        "why": "Recibe esto porque trabajamos en un proyecto en su casa (trabajo {job}).",
    },
}

STOP_PAGE: dict[str, dict[str, str]] = {
    "en": {
        "title": "E-mail about your project",
        "ask": "Shall we stop writing to you when your project moves? Your page stays, and we still call.",
        "button": "Stop the e-mail",
        "done": "We won't write to you about this project any more.",
        "wrong": "This address isn't complete. Please answer one of our e-mails instead.",
    },
    "es": {
        "title": "Correos sobre su proyecto",
        "ask": "¿Dejamos de escribirle cuando avance su proyecto? Su página queda, y seguimos llamando.",
        "button": "No más correos",
        "done": "Ya no le escribiremos sobre este proyecto.",
        "wrong": "Esta dirección no está completa. Por favor conteste uno de nuestros correos.",
    },
}

PHOTOS_ES: dict[str, str] = {
    "panel": "el tablero eléctrico",
    "meter": "el medidor",
    "roof": "el techo",
    "bill": "un recibo de luz",
}
WEEKDAYS_ES = ("lunes", "martes", "miércoles", "jueves", "viernes", "sábado", "domingo")
MONTHS_ES = (
    "enero", "febrero", "marzo", "abril", "mayo", "junio",
    "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre",
)  # fmt: skip
