"""What a customer should know in each stage: what happens, what to have ready, what to keep away from.

English and Spanish side by side, so that a change of one is seen beside the other.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class StageWords:
    title: str
    happens: str
    ready: tuple[str, ...]
    """What to have ready or to do; boxes to tick."""
    careful: tuple[str, ...] = ()
    then: str = ""
    """What the next stage brings."""


STAGE_WORDS: dict[str, dict[str, StageWords]] = {
    "lead": {
        "en": StageWords(
            "First look",
            "We look at your house and your bills from our desk and send you one page with what we found. It is "
            "free and "
            "binds you to nothing.",
            (
                "Twelve months of electric bills, or the kilowatt-hours of a year",
                "A list of what must run in an outage: well pump, refrigerator, medical devices, heat or air",
                "Who owns the house, and who has to agree",
                "Questions you want answered before anybody comes",
            ),
            ("If somebody at home depends on a medical device, tell us first. Ask your utility for its list as well.",),
            "If you want to go on, we visit and measure.",
        ),
        "es": StageWords(
            "Primer vistazo",
            "Vemos su casa y sus recibos desde la oficina y le enviamos una página con lo que encontramos. Es "
            "gratis y no "
            "le obliga a nada.",
            (
                "Doce meses de recibos de luz, o los kilovatios-hora de un año",
                "Una lista de lo que debe funcionar en un apagón: bomba de pozo, refrigerador, aparatos médicos, "
                "calefacción o aire",
                "De quién es la casa y quién tiene que estar de acuerdo",
                "Las preguntas que quiere aclarar antes de que vaya alguien",
            ),
            (
                "Si alguien en casa depende de un aparato médico, díganoslo primero. Pida también a su compañía "
                "eléctrica que lo anote en su lista.",
            ),
            "Si quiere seguir, vamos a visitarle y medir.",
        ),
    },
    "site_assessment": {
        "en": StageWords(
            "Visit to your home",
            "We look at the roof, the attic, the electrical panel and everything that casts shade. It takes one to two "
            "hours. Somebody grown up should be at home.",
            (
                "A clear way to the electrical panel and the meter, one metre (three feet) free in front of them",
                "A clear way to the attic hatch",
                "Dogs indoors, gates unlocked",
                "The age of the roof, and any leak you know of",
                "Papers of earlier electrical or roof work, if you have them",
                "A word on trees that will come down or buildings that will go up",
            ),
            (
                "Please don't take the panel's cover off for us and don't climb onto the roof: we do both, with the "
                "right gear.",
            ),
            "From our measurements we draw up your system and a firm price.",
        ),
        "es": StageWords(
            "Visita a su casa",
            "Revisamos el techo, el ático, el tablero eléctrico y todo lo que da sombra. Tarda de una a dos "
            "horas. Debe "
            "estar en casa una persona adulta.",
            (
                "Paso libre hasta el tablero eléctrico y el medidor, con un metro (tres pies) despejado delante",
                "Paso libre hasta la entrada del ático",
                "Perros adentro, portones sin llave",
                "La edad del techo y cualquier gotera que conozca",
                "Papeles de trabajos eléctricos o de techo anteriores, si los tiene",
                "Avísenos de árboles que se van a cortar o construcciones que se van a levantar",
            ),
            (
                "Por favor no quite la tapa del tablero ni suba al techo por nosotros: lo hacemos con el equipo "
                "adecuado.",
            ),
            "Con nuestras medidas diseñamos su sistema y un precio firme.",
        ),
    },
    "engineering": {
        "en": StageWords(
            "Drawing up your system",
            "We draw the system for your house. A licensed electrician and a licensed contractor check the "
            "drawings. You "
            "get the firm price and the contract.",
            (
                "Read the contract at leisure: price, dates, warranties, what happens if plans change",
                "For a loan: what the lender asks for, and compare its payment with the saving we worked out",
                "A place for inverter and battery that you can live with: dry, shaded, out of bedrooms",
                "Approval of the homeowners' association, if you have one",
            ),
            (),
            "With the contract signed we hand the drawings in at the permit office.",
        ),
        "es": StageWords(
            "Diseño de su sistema",
            "Diseñamos el sistema para su casa. Un electricista y un contratista con licencia revisan los "
            "planos. Usted "
            "recibe el precio firme y el contrato.",
            (
                "Lea el contrato con calma: precio, fechas, garantías, qué pasa si cambian los planes",
                "Para un préstamo: lo que pide la entidad, y compare la cuota con el ahorro que calculamos",
                "Un lugar para el inversor y la batería que le convenga: seco, con sombra, fuera de los dormitorios",
                "La aprobación de la asociación de propietarios, si la hay",
            ),
            (),
            "Con el contrato firmado entregamos los planos en la oficina de permisos.",
        ),
    },
    "permits": {
        "en": StageWords(
            "Permits",
            "The permit office reads the drawings. It often asks for changes; that is ordinary, and answering is our "
            "work. Nothing is built before the permits are issued.",
            (
                "Forward to us any letter or call from the permit office",
                "Sign what the office wants to have from the owner, if it asks",
                "Keep the place for inverter and battery free",
                "Tell us of holidays or guests, so that we plan the installation around them",
            ),
            (),
            "With the permits in hand we order the equipment and agree on days for the installation.",
        ),
        "es": StageWords(
            "Permisos",
            "La oficina de permisos lee los planos. Muchas veces pide cambios; es normal, y responder es "
            "trabajo nuestro. "
            "No se construye nada antes de que se emitan los permisos.",
            (
                "Envíenos cualquier carta o llamada de la oficina de permisos",
                "Firme lo que la oficina pida al propietario, si lo pide",
                "Mantenga libre el lugar para el inversor y la batería",
                "Avísenos de vacaciones o visitas, para planear la instalación",
            ),
            (),
            "Con los permisos en la mano pedimos el equipo y acordamos los días de la instalación.",
        ),
    },
    "installation": {
        "en": StageWords(
            "Installation",
            "The crew mounts the panels and the equipment, and the electrical work is done under the electrician's "
            "licence. The power will be off for some hours; we tell you when.",
            (
                "Cars out of the driveway, space beside the house for ladders and panels",
                "A clear way to the electrical panel, the attic and the place for inverter and battery",
                "Children and pets away from the work, also in the garden",
                "Fragile things off walls and shelves below the roof",
                "A plan for the hours without power: medical devices, freezer, work at home",
            ),
            (
                "Keep away from ladders and from below the roof's edge.",
                "Panels give current whenever there is light. Don't touch cables, even when everything is off.",
                "Don't switch anything on. The system stays off until it has been inspected and allowed.",
            ),
            "Then the inspector looks at the work.",
        ),
        "es": StageWords(
            "Instalación",
            "El equipo monta los paneles y los aparatos, y el trabajo eléctrico se hace bajo la licencia del "
            "electricista. "
            "La luz se cortará unas horas; le avisamos cuándo.",
            (
                "Autos fuera de la entrada, espacio junto a la casa para escaleras y paneles",
                "Paso libre hasta el tablero, el ático y el lugar del inversor y la batería",
                "Niños y mascotas lejos del trabajo, también en el jardín",
                "Cosas frágiles fuera de paredes y repisas debajo del techo",
                "Un plan para las horas sin luz: aparatos médicos, congelador, trabajo en casa",
            ),
            (
                "Manténgase lejos de las escaleras y del borde del techo.",
                "Los paneles dan corriente siempre que hay luz. No toque cables, aunque todo esté apagado.",
                "No encienda nada. El sistema queda apagado hasta que esté inspeccionado y permitido.",
            ),
            "Después el inspector revisa el trabajo.",
        ),
    },
    "inspection": {
        "en": StageWords(
            "Inspection",
            "The inspector compares the work with the approved drawings. Sometimes something has to be put right and "
            "looked at again; that costs you nothing.",
            (
                "Somebody grown up at home on the day, or gate and panel within reach",
                "Dogs indoors",
                "The permit card where we put it",
            ),
            ("The system stays off until the inspection has passed and you hear from us.",),
            "Next comes the permission to switch it on.",
        ),
        "es": StageWords(
            "Inspección",
            "El inspector compara el trabajo con los planos aprobados. A veces hay que corregir algo y volver a "
            "revisarlo; "
            "a usted no le cuesta nada.",
            (
                "Una persona adulta en casa ese día, o el portón y el tablero accesibles",
                "Perros adentro",
                "La tarjeta del permiso donde la dejamos",
            ),
            ("El sistema queda apagado hasta que pase la inspección y le avisemos.",),
            "Luego viene el permiso para encenderlo.",
        ),
    },
    "interconnection": {
        "en": StageWords(
            "Utility connection",
            "The utility does its part: agreement, meter and, in some places, a test that it wants to see.",
            (
                "Sign the interconnection agreement when it comes, and send us a copy",
                "Forward to us what the utility writes to you",
                "A clear way to the meter",
            ),
            (
                "Don't switch the system on before the utility's permission. Power sent into a line that is "
                "thought dead "
                "can kill the people who work on it.",
            ),
            "The permission to operate is the last yes.",
        ),
        "es": StageWords(
            "Conexión con la compañía eléctrica",
            "La compañía eléctrica hace su parte: contrato, medidor y, en algunos lugares, una prueba que quiere ver.",
            (
                "Firme el contrato de interconexión cuando llegue y envíenos una copia",
                "Envíenos lo que la compañía le escriba",
                "Paso libre hasta el medidor",
            ),
            (
                "No encienda el sistema antes del permiso de la compañía. La corriente enviada a una línea que se cree "
                "muerta puede matar a quien trabaja en ella.",
            ),
            "El permiso para operar es el último sí.",
        ),
    },
    "operation": {
        "en": StageWords(
            "Last steps before it runs",
            "When the last permission is there, we switch the system on with you and show you how to live with it.",
            (
                "An hour with us, with everybody who should know how it works",
                "A telephone or computer with the house's network, if you want to follow the figures",
                "A place for the handover papers where you would look for them in a storm",
            ),
            (
                "Don't switch it on yourself before we are there.",
                "Learn with us where the emergency shutdown is, and show it to the household.",
            ),
            "Then the system is in service and the warranties run.",
        ),
        "es": StageWords(
            "Últimos pasos antes de funcionar",
            "Cuando llegue el último permiso, encendemos el sistema con usted y le enseñamos a usarlo.",
            (
                "Una hora con nosotros, con todos los que deben saber cómo funciona",
                "Un teléfono o computadora con la red de la casa, si quiere seguir las cifras",
                "Un lugar para los papeles donde los buscaría en una tormenta",
            ),
            (
                "No lo encienda por su cuenta antes de que estemos ahí.",
                "Aprenda con nosotros dónde está el apagado de emergencia y enséñelo a los de casa.",
            ),
            "Después el sistema está en servicio y corren las garantías.",
        ),
    },
    "in_service": {
        "en": StageWords(
            "In service",
            "Your system runs. Look at it now and then, and call us when something is not as we showed you.",
            (
                "Know where the emergency shutdown is, and who may use it",
                "Before a storm: let the battery fill, charge telephones, write down what may stay on",
                "Once a year: look for new shade, leaves, nests, loose cables, from the ground",
                "Keep space and air around inverter and battery",
                "Keep warranties and drawings together",
            ),
            (
                "Don't climb onto the roof to clean panels, and never open inverter or battery.",
                "In a fire or flood: leave the house, keep away from the equipment, call 911 and say that there "
                "are solar "
                "panels and a battery.",
            ),
        ),
        "es": StageWords(
            "En servicio",
            "Su sistema funciona. Mírelo de vez en cuando y llámenos si algo no está como le enseñamos.",
            (
                "Sepa dónde está el apagado de emergencia y quién puede usarlo",
                "Antes de una tormenta: deje que la batería se llene, cargue los teléfonos, anote qué puede quedar "
                "encendido",
                "Una vez al año: busque desde el suelo sombras nuevas, hojas, nidos, cables sueltos",
                "Deje espacio y aire alrededor del inversor y la batería",
                "Guarde juntos las garantías y los planos",
            ),
            (
                "No suba al techo a limpiar los paneles y nunca abra el inversor ni la batería.",
                "En un incendio o una inundación: salga de la casa, no se acerque al equipo, llame al 911 y "
                "diga que hay "
                "paneles solares y una batería.",
            ),
        ),
    },
}

PAGE_WORDS: dict[str, dict[str, str]] = {
    "en": {
        "heading": "Your checklist",
        "for": "for",
        "happens": "What happens now",
        "ready": "What to have ready",
        "yours": "What we need from you",
        "waiting": "Who has the next steps",
        "nothing": "Nothing is open: the system is in service.",
        "none_now": "Nothing is open just now; we tell you when there is.",
        "careful": "Please be careful",
        "then": "And then",
        "call": "Who to call",
        "us": "Us, with any question",
        "emergency": "Fire, somebody hurt, a line down",
        "authority": "Permit office",
        "utility": "Utility, also for outages",
        "by": "by {day}",
        "booked": "on {day}",
        "overdue": "was due {day}; ask us",
        "no_date": "no date yet",
        "more": "Beside these {n} more, which follow from them.",
        "dates": "Dates are what the rules and our planning give today; permit office, utility and weather can "
        "move them.",
        "stage": "stage",
        "job": "job",
        "list": "list",
        "date": "date",
        "standing": "standing",
        "as_of": "as it stood on {day}",
        "done": "done",
        "now": "now",
        "later": "later",
        "the_jurisdiction": "the permit office",
        "the_utility": "the utility",
        "visit": "Our visit",
        "install": "Installation begins",
        "inspection": "Inspection",
        "booked_days": "Booked days",
    },
    "es": {
        "heading": "Su lista",
        "for": "para",
        "happens": "Lo que pasa ahora",
        "ready": "Lo que conviene tener listo",
        "yours": "Lo que necesitamos de usted",
        "waiting": "Quién tiene los siguientes pasos",
        "nothing": "No queda nada abierto: el sistema está en servicio.",
        "none_now": "Por ahora no hay nada abierto; le avisaremos.",
        "careful": "Por favor tenga cuidado",
        "then": "Y después",
        "call": "A quién llamar",
        "us": "A nosotros, con cualquier pregunta",
        "emergency": "Incendio, heridos, cable caído",
        "authority": "Oficina de permisos",
        "utility": "Compañía eléctrica, también en apagones",
        "by": "hasta el {day}",
        "booked": "el {day}",
        "overdue": "debía ser el {day}; pregúntenos",
        "no_date": "sin fecha todavía",
        "more": "Además de estos, {n} más, que siguen de ellos.",
        "dates": "Las fechas son las que dan hoy las reglas y nuestro plan; la oficina de permisos, la compañía "
        "y el tiempo "
        "pueden cambiarlas.",
        "stage": "etapa",
        "job": "proyecto",
        "list": "lista",
        "date": "fecha",
        "standing": "estado",
        "as_of": "como estaba el {day}",
        "done": "hecho",
        "now": "ahora",
        "later": "después",
        "the_jurisdiction": "la oficina de permisos",
        "the_utility": "la compañía eléctrica",
        "visit": "Nuestra visita",
        "install": "Empieza la instalación",
        "inspection": "Inspección",
        "booked_days": "Días fijados",
    },
}
STAGE_SHORT: dict[str, tuple[str, str]] = {
    "lead": ("First look", "Primer vistazo"),
    "site_assessment": ("Visit", "Visita"),
    "engineering": ("Design", "Diseño"),
    "permits": ("Permits", "Permisos"),
    "installation": ("Installation", "Instalación"),
    "inspection": ("Inspection", "Inspección"),
    "interconnection": ("Utility", "Compañía"),
    "operation": ("Permission", "Permiso"),
    "in_service": ("In service", "En servicio"),
}
