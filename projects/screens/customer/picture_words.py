"""What the customer's page says of pictures that are asked for, in English and Spanish."""

from __future__ import annotations

KINDS: dict[str, dict[str, str]] = {
    "en": {
        "panel": "A photo of the electrical panel, its door open",
        "meter": "A photo of the electric meter",
        "roof": "A photo of the roof, taken from the ground",
        "attic": "A photo of the rafters in the attic",
        "array": "A photo of the solar modules, taken from the ground",
        "inverter": "A photo of the inverter and its display",
        "battery": "A photo of the battery",
        "labels": "A photo of the labels",
        "bill": "A photo of a recent electric bill, every page with figures",
        "other": "A photo",
    },
    "es": {
        "panel": "Una foto del tablero eléctrico con la puerta abierta",
        "meter": "Una foto del medidor de luz",
        "roof": "Una foto del techo, tomada desde el suelo",
        "attic": "Una foto de las vigas en el ático",
        "array": "Una foto de los módulos solares, tomada desde el suelo",
        "inverter": "Una foto del inversor y su pantalla",
        "battery": "Una foto de la batería",
        "labels": "Una foto de las etiquetas",
        "bill": "Una foto de un recibo de luz reciente, todas las páginas con cifras",
        "other": "Una foto",
    },
}

PAGE: dict[str, dict[str, str]] = {
    "en": {
        "choose": "Choose a photo (JPEG or PNG)",
        "send": "Send it",
        "waiting": "Thank you, it is with us. We look at it and tell you if we need another.",
        "refused": "The last one was not usable:",
        "caution": "Please stay on the ground, open only doors that open without tools, and touch nothing inside.",
        "none": "Choose a photo first.",
        "unreadable": "We could not read this file. Please send a photo as JPEG or PNG, at most 20 MB.",
        "full": "Enough photos are with us for now; we look at them first.",
        "too_many": "Those were many photos in a short time. Please try again in an hour.",
    },
    "es": {
        "choose": "Elija una foto (JPEG o PNG)",
        "send": "Enviar",
        "waiting": "Gracias, ya la tenemos. La revisamos y le avisamos si hace falta otra.",
        "refused": "La última no nos sirvió:",
        "caution": "Quédese en el suelo, abra solo puertas que se abren sin herramientas y no toque nada adentro.",
        "none": "Elija primero una foto.",
        "unreadable": "No pudimos leer este archivo. Envíe una foto en JPEG o PNG, de 20 MB como máximo.",
        "full": "Ya tenemos bastantes fotos; primero las revisamos.",
        "too_many": "Fueron muchas fotos en poco tiempo. Inténtelo de nuevo en una hora.",
    },
}
PAUSED: dict[str, str] = {
    "en": "Your project is paused. We look at it again on {day}.",
    "es": "Su proyecto está en pausa. Lo vemos de nuevo el {day}.",
}
