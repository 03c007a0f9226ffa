"""What a stage's words say otherwise where the usual ones would be untrue: no battery, no utility, no permit.

Each usual sentence beside the one that takes its place (empty: left out), English and Spanish.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from paperwork.content.checklist_stages import STAGE_SHORT, STAGE_WORDS, StageWords
from paperwork.content.checklist_steps import STEPS

Otherwise = dict[str, str]

NO_BATTERY: Otherwise = {
    "A place for inverter and battery that you can live with: dry, shaded, out of bedrooms": (
        "A place for the inverter that you can live with: dry, shaded, out of bedrooms"
    ),
    "Un lugar para el inversor y la batería que le convenga: seco, con sombra, fuera de los dormitorios": (
        "Un lugar para el inversor que le convenga: seco, con sombra, fuera de los dormitorios"
    ),
    "Keep the place for inverter and battery free": "Keep the place for the inverter free",
    "Mantenga libre el lugar para el inversor y la batería": "Mantenga libre el lugar para el inversor",
    "A clear way to the electrical panel, the attic and the place for inverter and battery": (
        "A clear way to the electrical panel, the attic and the place for the inverter"
    ),
    "Paso libre hasta el tablero, el ático y el lugar del inversor y la batería": (
        "Paso libre hasta el tablero, el ático y el lugar del inversor"
    ),
    "Before a storm: let the battery fill, charge telephones, write down what may stay on": (
        "Before a storm: charge telephones; the system goes dark together with the grid"
    ),
    "Antes de una tormenta: deje que la batería se llene, cargue los teléfonos, anote qué puede quedar encendido": (
        "Antes de una tormenta: cargue los teléfonos; el sistema se apaga junto con la red"
    ),
    "Keep space and air around inverter and battery": "Keep space and air around the inverter",
    "Deje espacio y aire alrededor del inversor y la batería": "Deje espacio y aire alrededor del inversor",
    "Don't climb onto the roof to clean panels, and never open inverter or battery.": (
        "Don't climb onto the roof to clean panels, and never open the inverter."
    ),
    "No suba al techo a limpiar los paneles y nunca abra el inversor ni la batería.": (
        "No suba al techo a limpiar los paneles y nunca abra el inversor."
    ),
    "In a fire or flood: leave the house, keep away from the equipment, call 911 and say that there are solar "
    "panels and a battery.": (
        "In a fire or flood: leave the house, keep away from the equipment, call 911 and say that there are solar "
        "panels."
    ),
    "En un incendio o una inundación: salga de la casa, no se acerque al equipo, llame al 911 y diga que hay "
    "paneles solares y una batería.": (
        "En un incendio o una inundación: salga de la casa, no se acerque al equipo, llame al 911 y diga que hay "
        "paneles solares."
    ),
}
NO_UTILITY: Otherwise = {
    "We look at your house and your bills from our desk and send you one page with what we found. It is free and "
    "binds you to nothing.": (
        "We look at your house and at what it has to run from our desk and send you one page with what we found. It is "
        "free and binds you to nothing."
    ),
    "Vemos su casa y sus recibos desde la oficina y le enviamos una página con lo que encontramos. Es gratis y no "
    "le obliga a nada.": (
        "Vemos su casa y lo que debe funcionar en ella desde la oficina y le enviamos una página con lo que "
        "encontramos. Es gratis y no le obliga a nada."
    ),
    "Twelve months of electric bills, or the kilowatt-hours of a year": (
        "A list of everything that will use electricity, and for how many hours a day"
    ),
    "Doce meses de recibos de luz, o los kilovatios-hora de un año": (
        "Una lista de todo lo que usará electricidad y cuántas horas al día"
    ),
    "A list of what must run in an outage: well pump, refrigerator, medical devices, heat or air": (
        "What must run even in a dark week: well pump, refrigerator, medical devices, heat or air"
    ),
    "Una lista de lo que debe funcionar en un apagón: bomba de pozo, refrigerador, aparatos médicos, "
    "calefacción o aire": (
        "Lo que debe funcionar aun en una semana sin sol: bomba de pozo, refrigerador, aparatos médicos, "
        "calefacción o aire"
    ),
    "If somebody at home depends on a medical device, tell us first. Ask your utility for its list as well.": (
        "If somebody at home depends on a medical device, tell us first, and plan a second source and a place to go."
    ),
    "Si alguien en casa depende de un aparato médico, díganoslo primero. Pida también a su compañía "
    "eléctrica que lo anote en su lista.": (
        "Si alguien en casa depende de un aparato médico, díganoslo primero, y prevea otra fuente y un lugar adonde ir."
    ),
    "A clear way to the electrical panel and the meter, one metre (three feet) free in front of them": (
        "A clear way to the electrical panel, one metre (three feet) free in front of it"
    ),
    "Paso libre hasta el tablero eléctrico y el medidor, con un metro (tres pies) despejado delante": (
        "Paso libre hasta el tablero eléctrico, con un metro (tres pies) despejado delante"
    ),
    "Next comes the permission to switch it on.": "Then we switch it on with you.",
    "Luego viene el permiso para encenderlo.": "Después lo encendemos con usted.",
    "When the last permission is there, we switch the system on with you and show you how to live with it.": (
        "We switch the system on with you and show you how to live with it."
    ),
    "Cuando llegue el último permiso, encendemos el sistema con usted y le enseñamos a usarlo.": (
        "Encendemos el sistema con usted y le enseñamos a usarlo."
    ),
}
NO_PERMIT: Otherwise = {
    "With the contract signed we hand the drawings in at the permit office.": (
        "With the contract signed we have it confirmed in writing that no permit is asked for here."
    ),
    "Con el contrato firmado entregamos los planos en la oficina de permisos.": (
        "Con el contrato firmado pedimos que nos confirmen por escrito que aquí no hace falta permiso."
    ),
    "Permits": "No permit asked for",
    "Permisos": "Sin permiso que pedir",
    "The permit office reads the drawings. It often asks for changes; that is ordinary, and answering is our "
    "work. Nothing is built before the permits are issued.": (
        "A local rule asks for no permit for a system that stands alone. We have that confirmed before anything is "
        "built; the electrical code holds all the same, and licensed people check the work."
    ),
    "La oficina de permisos lee los planos. Muchas veces pide cambios; es normal, y responder es "
    "trabajo nuestro. No se construye nada antes de que se emitan los permisos.": (
        "Una regla local no pide permiso para un sistema que funciona solo. Pedimos que nos lo confirmen antes de "
        "construir; el código eléctrico rige igual, y personas con licencia revisan el trabajo."
    ),
    "Forward to us any letter or call from the permit office": "Forward to us any letter or call about building here",
    "Envíenos cualquier carta o llamada de la oficina de permisos": (
        "Envíenos cualquier carta o llamada sobre la construcción"
    ),
    "Sign what the office wants to have from the owner, if it asks": "",
    "Firme lo que la oficina pida al propietario, si lo pide": "",
    "With the permits in hand we order the equipment and agree on days for the installation.": (
        "With that confirmed we order the equipment and agree on days for the installation."
    ),
    "Con los permisos en la mano pedimos el equipo y acordamos los días de la instalación.": (
        "Con eso confirmado pedimos el equipo y acordamos los días de la instalación."
    ),
    "Don't switch anything on. The system stays off until it has been inspected and allowed.": (
        "Don't switch anything on. The system stays off until the licensed electrician has checked it."
    ),
    "No encienda nada. El sistema queda apagado hasta que esté inspeccionado y permitido.": (
        "No encienda nada. El sistema queda apagado hasta que lo revise el electricista con licencia."
    ),
    "Then the inspector looks at the work.": "Then the licensed electrician makes the final check.",
    "Después el inspector revisa el trabajo.": "Después el electricista con licencia hace la revisión final.",
    "Inspection": "Final check",
    "Inspección": "Revisión final",
    "The inspector compares the work with the approved drawings. Sometimes something has to be put right and "
    "looked at again; that costs you nothing.": (
        "No inspector comes where no permit is asked for: the licensed electrician compares the work with the "
        "drawings. What has to be put right costs you nothing."
    ),
    "El inspector compara el trabajo con los planos aprobados. A veces hay que corregir algo y volver a revisarlo; "
    "a usted no le cuesta nada.": (
        "No viene inspector donde no se pide permiso: el electricista con licencia compara el trabajo con los planos. "
        "Lo que haya que corregir no le cuesta nada."
    ),
    "The permit card where we put it": "",
    "La tarjeta del permiso donde la dejamos": "",
    "The system stays off until the inspection has passed and you hear from us.": (
        "The system stays off until the check has passed and you hear from us."
    ),
    "El sistema queda apagado hasta que pase la inspección y le avisemos.": (
        "El sistema queda apagado hasta que pase la revisión y le avisemos."
    ),
}
STEPS_NO_UTILITY: dict[str, tuple[str, str]] = {
    "answers": (
        "Tell us everything that will use electricity, for how many hours a day, and what must run even in a dark week",
        "Díganos todo lo que usará electricidad, cuántas horas al día, y qué debe funcionar aun en una semana sin sol",
    ),
}
STEPS_NO_PERMIT: dict[str, tuple[str, str]] = {
    "single_line": ("We draw the electrical diagram", "Dibujamos el diagrama eléctrico"),
    "permits_hold": (
        "It is confirmed that no permit is asked for before any work begins",
        "Queda confirmado que no se pide permiso antes de empezar",
    ),
}
"""Requirements in other words; the usual ones are in ``checklist_steps.py``."""
SHORT_NO_UTILITY: Otherwise = {"Permission": "Switch-on", "Permiso": "Encendido"}
SHORT_NO_PERMIT: Otherwise = {
    "Permits": "No permit",
    "Permisos": "Sin permiso",
    "Inspection": "Check",
    "Inspección": "Revisión",
}
DATES: dict[str, tuple[str, str]] = {
    "off_grid": (
        "Dates are what the rules and our planning give today; permit office and weather can move them.",
        "Las fechas son las que dan hoy las reglas y nuestro plan; la oficina de permisos y el tiempo pueden "
        "cambiarlas.",
    ),
    "exempt": (
        "Dates are what our planning gives today; deliveries and weather can move them.",
        "Las fechas son las que da hoy nuestro plan; las entregas y el tiempo pueden cambiarlas.",
    ),
}


def _said_otherwise(facts: Mapping[str, Any]) -> Otherwise:
    found: Otherwise = {}
    if facts["system_kind"] == "grid_tied":
        found |= NO_BATTERY
    if facts["system_kind"] == "off_grid":
        found |= NO_UTILITY
    if facts.get("exempt"):
        found |= NO_PERMIT
    return found


def stage_words(facts: Mapping[str, Any]) -> StageWords:
    """The words of the job's stage as they are true for this job, in the customer's language."""
    usual = STAGE_WORDS[facts["standing"]["stage"]][facts["customer"]["language"]]
    other = _said_otherwise(facts)

    def each(lines: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(said for line in lines if (said := other.get(line, line)))

    return replace(
        usual,
        title=other.get(usual.title, usual.title),
        happens=other.get(usual.happens, usual.happens),
        ready=each(usual.ready),
        careful=each(usual.careful),
        then=other.get(usual.then, usual.then),
    )


def stage_short(stage: str, facts: Mapping[str, Any]) -> str:
    """The stage's name on the line of stages."""
    usual = STAGE_SHORT[stage][1 if facts["customer"]["language"] == "es" else 0]
    off_grid = SHORT_NO_UTILITY if facts["system_kind"] == "off_grid" else {}
    exempt = SHORT_NO_PERMIT if facts.get("exempt") else {}
    return {**off_grid, **exempt}.get(usual, usual)


def step_words(key: str, facts: Mapping[str, Any]) -> tuple[str, str]:
    """A requirement in English and Spanish, as it is true for this job."""
    if facts.get("exempt") and key in STEPS_NO_PERMIT:
        return STEPS_NO_PERMIT[key]
    if facts["system_kind"] == "off_grid" and key in STEPS_NO_UTILITY:
        return STEPS_NO_UTILITY[key]
    return STEPS[key]


def dates_note(facts: Mapping[str, Any], usual: str) -> str:
    key = "exempt" if facts.get("exempt") else facts["system_kind"]
    return DATES[key][1 if facts["customer"]["language"] == "es" else 0] if key in DATES else usual
