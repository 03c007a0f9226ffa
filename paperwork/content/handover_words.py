"""The handover packet's sentences, English and Spanish side by side, so that a change of one is seen beside the other.

A step may name a device in braces; ``handover.py`` leaves out what the system doesn't have. The order of the shutdown
steps and the advice for storms: common practice, no source. Generator distance: from memory of public-health advice.
"""

from __future__ import annotations

Two = tuple[str, str]
"""English, Spanish."""

TITLE: Two = ("Handover packet", "Carpeta de entrega")
SUBJECT: Two = (
    "As-built drawing, outage and shutdown, warranties and permission to operate; not certified",
    "Plano de lo instalado, apagones y apagado, garantías y permiso para operar; no certificado",
)
LIVING: Two = ("Living with your system", "Vivir con su sistema")
SHUTDOWN: Two = ("Emergency shutdown", "Apagado de emergencia")
AS_BUILT: Two = ("As-built single-line diagram", "Diagrama unifilar de lo instalado")

WORDS: dict[str, Two] = {
    "for": ("for", "para"),
    "firm": ("firm", "empresa"),
    "paper": ("paper", "documento"),
    "design": ("design", "diseño"),
    "revision": ("revision", "revisión"),
    "sheet": ("sheet", "hoja"),
    "standing": ("standing", "estado"),
    "keep_1": ("keep where you would", "guárdelo donde lo"),
    "keep_2": ("look in a storm", "buscaría en una tormenta"),
    "contents": ("In this packet", "En esta carpeta"),
    "part": ("Part", "Parte"),
    "page": ("Page", "Página"),
    "behind": ("Keep with this packet", "Guárdelo junto a esta carpeta"),
    "call": ("Who to call", "A quién llamar"),
    "record": ("What the record shows", "Lo que consta"),
    "letter": ("Permission to operate", "Permiso para operar"),
    "warranties": ("Warranties", "Garantías"),
    "covers": ("Covers", "Cubre"),
    "years": ("Years", "Años"),
    "from": ("From", "Desde"),
    "until": ("Until", "Hasta"),
    "workmanship": ("Our workmanship", "Nuestro trabajo"),
    "registered": (
        "Registered in your name.",
        "Registradas a su nombre.",
    ),
    "to_register": (
        "Counted from the day of switching on; we are registering them in your name.",
        "Contadas desde el día del encendido; las estamos registrando a su nombre.",
    ),
    "makers": (
        "The makers' own terms, behind this packet, say what is covered and what ends a warranty.",
        "Las condiciones de cada fabricante, detrás de esta carpeta, dicen qué se cubre y qué anula la garantía.",
    ),
    "received": ("Received and explained", "Recibido y explicado"),
    "signature": ("signature", "firma"),
    "date": ("date", "fecha"),
    "customer": ("The customer", "El cliente"),
    "ours": ("For the firm", "Por la empresa"),
    "runs": ("Runs in an outage", "Funciona en un apagón"),
    "runs_off_grid": ("What the system carries", "Lo que el sistema alimenta"),
    "runs_not": ("Does not run in an outage", "No funciona en un apagón"),
    "how_long": ("How long it lasts", "Cuánto dura"),
    "typically": ("typically", "normalmente"),
    "hardest": ("typically in {month}, the hardest month", "normalmente en {month}, el mes más difícil"),
    "worst": ("worst hour of the year to start", "peor hora del año para empezar"),
    "dark": ("with no sun at all", "sin nada de sol"),
    "power": ("all at once, at most", "todo a la vez, como máximo"),
    "in_outage": ("When the power goes out", "Cuando se va la luz"),
    "in_dark": ("When sun and battery run short", "Cuando faltan sol y batería"),
    "days": ("Every day, and before and after a storm", "Cada día, y antes y después de una tormenta"),
    "never": ("Never", "Nunca"),
    "careful": ("Caution", "Cuidado"),
    "first": ("First of all", "Antes que nada"),
    "steps": ("In this order", "En este orden"),
    "live": ("What stays live all the same", "Lo que sigue con tensión de todos modos"),
    "again": ("Switching on again", "Volver a encender"),
    "changed": ("Changed since", "Cambios desde"),
    "must_run": ("must run", "debe funcionar"),
    "would_like": ("would like", "conviene"),
    "can_wait": ("can wait", "puede esperar"),
    "other": ("everything else in the house", "todo lo demás de la casa"),
    "all_off": ("the whole house, the array included", "toda la casa, también los paneles"),
}

RECORD: dict[str, Two] = {
    "commissioned": ("Tested by the crew", "Probado por el equipo"),
    "inspected": ("Final inspection passed, {jurisdiction}", "Inspección final aprobada, {jurisdiction}"),
    "own_check": ("Licensed electrician's final check", "Revisión final del electricista con licencia"),
    "switched_on": ("Switched on for good", "Encendido definitivo"),
}
EXEMPT: Two = ("No permit asked for: {rule}", "No se pidió permiso: {rule}")
PERMITS: dict[str, Two] = {
    "Building permit": ("Building permit", "Permiso de construcción"),
    "Electrical permit": ("Electrical permit", "Permiso eléctrico"),
    "Combined permit": ("Combined permit", "Permiso combinado"),
    "Fire review": ("Fire review", "Revisión de bomberos"),
}
LETTER: dict[str, Two] = {
    "utility": ("Given by", "Lo da"),
    "granted_on": ("Granted on", "Concedido el"),
    "number": ("Number of the letter", "Número de la carta"),
    "application": ("Application", "Solicitud"),
    "submitted_on": ("Applied on", "Solicitado el"),
    "approved_on": ("Application approved on", "Solicitud aprobada el"),
    "agreement_signed_on": ("Agreement signed on", "Contrato firmado el"),
    "meter_set_on": ("Meter set on", "Medidor colocado el"),
    "witness_passed_on": ("Witness test passed on", "Prueba presenciada aprobada el"),
    "not_recorded": ("not recorded", "no consta"),
}
LETTER_NOTE: Two = (
    "These are the facts of the utility's letter as our file has them; the letter itself is kept behind this packet "
    "and goes before this page. A change of the system needs a new permission.",
    "Son los datos de la carta de la compañía según nuestro archivo; la carta va detrás de esta carpeta y vale más "
    "que esta página. Un cambio del sistema necesita un permiso nuevo.",
)
NO_UTILITY: Two = (
    "This system stands alone: no utility is connected, and none may be connected without an application.",
    "Este sistema funciona solo: no está conectado a ninguna compañía, y no puede conectarse sin una solicitud.",
)
BEHIND: dict[str, Two] = {
    "letter": ("The utility's letter of permission to operate", "La carta de la compañía con el permiso para operar"),
    "inspection": ("The passed inspection and the permits", "La inspección aprobada y los permisos"),
    "exempt": (
        "The licensed electrician's final check, and the note that no permit was asked for",
        "La revisión final del electricista con licencia y la nota de que no se pidió permiso",
    ),
    "manuals": (
        "The makers' instructions and warranty terms",
        "Las instrucciones y las garantías de los fabricantes",
    ),
}

FIRST: Two = (
    "Fire, smoke, a smell of burning, water at the equipment or somebody hurt: do none of the steps below. Get "
    "everybody out, keep away from the equipment, call 911 from outside and say that there are {what}.",
    "Fuego, humo, olor a quemado, agua en el equipo o una persona herida: no haga ninguno de los pasos de abajo. Saque "
    "a todos, no se acerque al equipo, llame al 911 desde afuera y diga que hay {what}.",
)
WHAT_PANELS: Two = ("solar panels", "paneles solares")
WHAT_BATTERY: Two = ("solar panels and a battery", "paneles solares y una batería")
ONLY_IF: Two = (
    "Shut down only what you can reach safely, with dry hands, on dry ground. Move handles and switches only; never "
    "open a cover. Where the label on the equipment or the maker's instructions give another order, that order goes "
    "first.",
    "Apague solo lo que alcance sin peligro, con las manos secas y sobre suelo seco. Mueva solo palancas e "
    "interruptores; nunca abra una tapa. Si la etiqueta del equipo o las instrucciones del fabricante dan otro orden, "
    "ese orden va primero.",
)
STEPS: dict[str, Two] = {
    "rapid_shutdown": (
        "Rapid shutdown switch, outside, marked with its label: turn it to OFF.",
        "Interruptor de apagado rápido, afuera, marcado con su etiqueta: póngalo en OFF.",
    ),
    "generator": (
        "Generator: stop it and set it to OFF, so that it doesn't start by itself.",
        "Generador: deténgalo y póngalo en OFF, para que no arranque solo.",
    ),
    "ac_disconnect": (
        "Utility disconnect, beside the meter: pull it to OFF.",
        "Desconectador de la compañía, junto al medidor: bájelo a OFF.",
    ),
    "output_disconnect": (
        "Inverter output disconnect: pull it to OFF.",
        "Desconectador de salida del inversor: bájelo a OFF.",
    ),
    "battery": ("Battery disconnect: turn it to OFF.", "Desconectador de la batería: póngalo en OFF."),
    "batteries": (
        "Battery disconnect: turn it to OFF, on each of the {units} units.",
        "Desconectador de la batería: póngalo en OFF, en cada una de las {units} unidades.",
    ),
    "dc_disconnect": (
        "PV DC disconnect, at the inverter: turn it to OFF.",
        "Desconectador DC de los paneles, junto al inversor: póngalo en OFF.",
    ),
    "main": (
        "Main breaker in the main panel: switch it OFF if the whole house should be dark.",
        "Interruptor principal del tablero: apáguelo si toda la casa debe quedar sin luz.",
    ),
    "call": ("Call us: {phone}.", "Llámenos: {phone}."),
}
LIVE: dict[str, Two] = {
    "modules": (
        "The panels and the wires on the roof, whenever there is light.",
        "Los paneles y los cables del techo, siempre que haya luz.",
    ),
    "modules_ground": (
        "The panels and their wires, whenever there is light.",
        "Los paneles y sus cables, siempre que haya luz.",
    ),
    "battery": ("The battery inside, always.", "La batería por dentro, siempre."),
    "inverter": (
        "Parts inside the inverter, for minutes after it stops.",
        "Piezas dentro del inversor, durante minutos después de parar.",
    ),
    "service": (
        "The utility's wires as far as the main breaker, until the utility cuts them.",
        "Los cables de la compañía hasta el interruptor principal, hasta que ella los corte.",
    ),
}
AGAIN: Two = (
    "Only after the cause is known, and by us or another licensed electrician. After fire, flood or lightning the "
    "system stays off until a licensed electrician has looked at it.",
    "Solo cuando se conozca la causa, y por nosotros u otro electricista con licencia. Después de fuego, inundación o "
    "rayo el sistema queda apagado hasta que lo revise un electricista con licencia.",
)

OUTAGE: dict[str, tuple[Two, ...]] = {
    "grid_tied": (
        (
            "The system switches itself off with the grid, even at noon: this protects the people who repair the "
            "lines.",
            "El sistema se apaga solo con la red, aun al mediodía: así protege a quienes reparan las líneas.",
        ),
        (
            "When the grid is back it waits some minutes and starts by itself. If it hasn't after an hour of daylight, "
            "call us.",
            "Cuando vuelve la red espera unos minutos y arranca solo. Si no arrancó tras una hora de sol, llámenos.",
        ),
        (
            "A portable generator never feeds a house through a socket: it can kill a line worker and you.",
            "Un generador portátil nunca alimenta la casa por un enchufe: puede matar a un liniero y a usted.",
        ),
    ),
    "hybrid": (
        (
            "You need do nothing: the system parts from the grid and feeds the critical-loads panel. Lights may "
            "blink; clocks and computers may restart.",
            "No tiene que hacer nada: el sistema se separa de la red y alimenta el tablero de cargas críticas. Las "
            "luces pueden parpadear; relojes y computadoras pueden reiniciarse.",
        ),
        (
            "Keep it light: run big things one after the other, and switch off what nobody needs.",
            "Use lo justo: encienda lo grande una cosa a la vez y apague lo que nadie necesita.",
        ),
        (
            "Look at the battery's charge morning and evening. Below a quarter, leave on only what has to run.",
            "Mire la carga de la batería mañana y tarde. Por debajo de un cuarto, deje solo lo indispensable.",
        ),
        (
            "If everything goes dark, it was too much at once or the battery is empty: switch things off and wait; it "
            "tries again by itself, and in daylight it charges again. If it doesn't, call us.",
            "Si todo se apaga, fue demasiado a la vez o la batería está vacía: apague cosas y espere; lo intenta de "
            "nuevo solo y con sol vuelve a cargar. Si no, llámenos.",
        ),
    ),
    "off_grid": (
        (
            "There is no grid behind this system: it goes dark until {back}.",
            "No hay red detrás de este sistema: se apaga hasta que {back}.",
        ),
        (
            "Look at the battery's charge every evening. Below a half with clouds ahead, do laundry and pumping "
            "another day.",
            "Mire la carga de la batería cada tarde. Por debajo de la mitad y con nubes, deje el lavado y el bombeo "
            "para otro día.",
        ),
        (
            "Run big things by day and one after the other.",
            "Use lo grande de día y una cosa a la vez.",
        ),
        (
            "If everything goes dark, switch things off and wait: it tries again by itself. If it doesn't, call us.",
            "Si todo se apaga, apague cosas y espere: lo intenta de nuevo solo. Si no, llámenos.",
        ),
    ),
}
BACK: Two = ("there is sun again", "vuelva el sol")
BACK_GENERATOR: Two = ("there is sun again or the generator runs", "vuelva el sol o funcione el generador")
GENERATOR: Two = (
    "Generator: outdoors only, at least 20 ft (6 m) from doors, windows and vents, exhaust away from the house, with "
    "carbon monoxide alarms inside. Refuel it only when it is off and cold.",
    "Generador: solo afuera, al menos a 6 m (20 pies) de puertas, ventanas y rejillas, con el escape hacia el otro "
    "lado y alarmas de monóxido de carbono adentro. Cárguelo solo apagado y frío.",
)
MEDICAL_ALONE: Two = (
    "If a life depends on a device, have a second source and a place to go, and tell the county's emergency office: "
    "this system is no medical supply.",
    "Si una vida depende de un aparato, tenga otra fuente y un lugar adonde ir, y avise a la oficina de emergencias "
    "del condado: este sistema no es un suministro médico.",
)
MEDICAL: Two = (
    "If a life depends on a device, have a second source and a place to go, and ask your utility for its list: this "
    "system is no medical supply.",
    "Si una vida depende de un aparato, tenga otra fuente y un lugar adonde ir, y pida a su compañía que lo anote en "
    "su lista: este sistema no es un suministro médico.",
)
DAYS: dict[str, tuple[Two, ...]] = {
    "all": (
        (
            "Once a month: look at the display or the app; if it shows a fault, or far less than the months before, "
            "call us.",
            "Una vez al mes: mire la pantalla o la aplicación; si marca una falla o mucho menos que antes, llámenos.",
        ),
        (
            "Once a year, from the ground: new shade, leaves, nests, loose wires, rust. Rain washes panels well enough "
            "in most years.",
            "Una vez al año, desde el suelo: sombras nuevas, hojas, nidos, cables sueltos, óxido. La lluvia suele "
            "bastar para lavar los paneles.",
        ),
    ),
    "battery": (
        (
            "Before a storm: let the battery fill, charge phones, write down what may stay on.",
            "Antes de una tormenta: deje que la batería se llene, cargue los teléfonos, anote qué puede quedar "
            "encendido.",
        ),
    ),
    "free_battery": (
        (
            "Keep three feet (one metre) free in front of inverter, battery and disconnects, and labels readable.",
            "Deje un metro (tres pies) libre delante del inversor, la batería y los desconectadores, y las etiquetas "
            "legibles.",
        ),
    ),
    "free": (
        (
            "Keep three feet (one metre) free in front of inverter and disconnects, and labels readable.",
            "Deje un metro (tres pies) libre delante del inversor y los desconectadores, y las etiquetas legibles.",
        ),
    ),
    "after": (
        (
            "After a storm: look from the ground. Damage, water at the equipment or a smell: keep away, keep others "
            "away, call us.",
            "Después de una tormenta: mire desde el suelo. Si hay daño, agua en el equipo u olor: no se acerque, que "
            "nadie se acerque, llámenos.",
        ),
    ),
}
NEVER: dict[str, Two] = {
    "roof": (
        "Climb onto the roof, step on panels or pull on their wires.",
        "Subir al techo, pisar los paneles o tirar de sus cables.",
    ),
    "frame": (
        "Climb onto the frame, step on panels or pull on their wires.",
        "Subir a la estructura, pisar los paneles o tirar de sus cables.",
    ),
    "open": (
        "Open inverter, battery, disconnects or panel covers.",
        "Abrir el inversor, la batería, los desconectadores o las tapas de los tableros.",
    ),
    "open_no_battery": (
        "Open inverter, disconnects or panel covers.",
        "Abrir el inversor, los desconectadores o las tapas de los tableros.",
    ),
    "add": (
        "Add a load, a panel, a battery or a generator without a licensed electrician: it changes what was approved.",
        "Agregar una carga, un panel, una batería o un generador sin un electricista con licencia: cambia lo aprobado.",
    ),
    "water": (
        "Hose down equipment, or touch anything that stood in water.",
        "Mojar el equipo con manguera, ni tocar nada que haya estado en agua.",
    ),
    "store": (
        "Store fuel, paper or paint beside the battery.",
        "Guardar combustible, papel o pintura junto a la batería.",
    ),
}
READER = "Para leer el plano"
READER_OF = "{kind}, revisión {revision}"
IN_ENGLISH = "En inglés, como están en los rótulos de los equipos y en el plano que aprobó la jurisdicción:"
DRAWN = "Diagrama unifilar del sistema como se construyó: paneles, inversor, desconectadores, tableros y conexión."
AS_BUILT_NOTE: Two = (
    "Drawn from design revision {revision}, which the record shows as installed. What was changed on site is entered "
    "by hand and initialled.",
    "Dibujado según la revisión {revision} del diseño, que consta como instalada. Lo que se cambió en obra se anota a "
    "mano con iniciales.",
)
