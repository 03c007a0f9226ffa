"""What a homeowner reads on the request page: plain words, English and Spanish."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class AskWords:
    page: dict[str, str]
    fields: dict[str, tuple[str, str]]
    """Label and help by field."""
    choices: dict[str, tuple[tuple[str, str], ...]]
    must_run: dict[str, str]
    """Where the office's own words would not do."""
    required: dict[str, str]
    invalid: dict[str, str]
    unknown: dict[str, str]
    """What to say where the job book itself refuses a field; "" stands for any other field."""
    needed: dict[str, str]
    months: tuple[str, ...]


SPEAK = (("en", "English"), ("es", "Español"))

ENGLISH = AskWords(
    page={
        "title": "Tell us about your house",
        "lead": "A few minutes. You hear from us within a day, with a first one-page look at what the sun could do for "
        "your house. It costs nothing and binds you to nothing.",
        "switch": "En español",
        "who": "Who are you?",
        "where": "Where is the house?",
        "outage": "When the power is out",
        "money": "Bills and money",
        "bills": "I have all twelve bills",
        "bills_help": "kWh of each month.",
        "days": "days",
        "years": "years",
        "use": "We use what you write to answer this request, and for nothing else.",
        "send": "Send it",
        "wrong": "Not sent yet: please look at these again",
        "full": "Not sent yet: a pause is needed",
        "full_more": "Several requests have come from your connection within this hour. Everything you typed is still "
        "below; please send it again in an hour, or call us.",
        "quick": "That was quick! Please look through it once and send it again.",
        "long": "This page was open for a long time. Nothing is lost: please send it again.",
        "thanks": "Thank you, it is with us",
        "thanks_more": "Somebody reads it today.",
        "next": "What happens next",
        "next_1": "Within a day you get a first look on one page: what kind of system would suit you, what the sun "
        "would bring, and how long the lights would stay on.",
        "next_2": "If you want to go on, we agree on a visit and look at the roof, the panel and the trees.",
        "next_3": "Nothing is ordered and nothing is owed before you sign.",
        "add": "Something to add?",
        "safe": "Until then: never go up on a wet roof, and leave the electrical panel closed.",
    },
    fields={
        "name": ("Your name", ""),
        "phone": ("Phone", "Phone or e-mail: one of the two is enough."),
        "email": ("E-mail", ""),
        "preferred_language": ("Speak with me in", ""),
        "street": ("Street and number", "Of the house where the panels would go."),
        "zip_code": ("ZIP", ""),
        "city": ("City", ""),
        "state": ("State", ""),
        "owns_home": ("The house", ""),
        "grid_available": ("Is there utility power at the house?", ""),
        "must_run": (
            "What has to keep running when the power is out?",
            "Tick what matters to you. Nothing here is a promise yet.",
        ),
        "must_run_other": ("Anything else?", "With commas between."),
        "outage_days_wanted": ("How many days without power should it carry you?", ""),
        "goal": ("What matters first?", ""),
        "yearly_kwh": ("Electricity in a year", "In kWh, if you have a bill at hand. Leave it empty if not."),
        "wants_loan": ("Would you want a loan for it?", ""),
        "warranty_years_wanted": ("Years of warranty you would want", "Leave it empty if you have no wish."),
        "diy_comfort": ("Doing work yourself", ""),
        "note": ("Anything we should know", ""),
        "consent": ("You may call or write to me about this request.", ""),
        "website": ("Leave this empty", ""),
    },
    choices={
        "preferred_language": SPEAK,
        "owns_home": (("own", "I own it"), ("rent", "I rent it")),
        "grid_available": (("yes", "Yes"), ("no", "No")),
        "wants_loan": (("yes", "Yes"), ("no", "No")),
        "goal": (
            ("backup", "The lights stay on when the power is out"),
            ("payback", "The electric bill goes down"),
        ),
        "diy_comfort": (
            ("none", "Leave all of it to you"),
            ("some", "I could help with small things"),
            ("much", "I want to do much of it"),
        ),
    },
    must_run={},
    required={
        "name": "Please tell us your name.",
        "street": "Where is the house? Please give the street.",
        "zip_code": "Please give the ZIP.",
        "consent": "Without this tick nobody may answer you.",
    },
    invalid={"zip_code": "A ZIP has five digits.", "state": "Two letters, such as NC."},
    unknown={"zip_code": "We know no place with this ZIP in that state: please look at both again."},
    needed={
        "city": "Please give the city.",
        "state": "Two letters, such as NC.",
        "contact": "A phone number or an e-mail is needed, so that we can answer you.",
        "month": "Missing",
    },
    months=("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
)

SPANISH = AskWords(
    page={
        "title": "Cuéntenos de su casa",
        "lead": "Unos minutos. Le respondemos en un día, con una primera página sobre lo que el sol podría hacer por "
        "su casa. No cuesta nada y no le compromete a nada.",
        "switch": "In English",
        "who": "¿Quién es usted?",
        "where": "¿Dónde está la casa?",
        "outage": "Cuando se va la luz",
        "money": "Recibos y dinero",
        "bills": "Tengo los doce recibos",
        "bills_help": "kWh de cada mes.",
        "days": "días",
        "years": "años",
        "use": "Usamos lo que escribe para responder a esta solicitud, y para nada más.",
        "send": "Enviar",
        "wrong": "Todavía no se envió: por favor revise esto",
        "full": "Todavía no se envió: hace falta una pausa",
        "full_more": "En esta hora llegaron varias solicitudes desde su conexión. Todo lo que escribió sigue abajo; "
        "por favor envíelo de nuevo en una hora, o llámenos.",
        "quick": "¡Qué rápido! Por favor revíselo una vez y envíelo de nuevo.",
        "long": "Esta página estuvo abierta mucho tiempo. No se perdió nada: por favor envíela de nuevo.",
        "thanks": "Gracias, ya lo tenemos",
        "thanks_more": "Alguien lo lee hoy.",
        "next": "Qué sigue",
        "next_1": "En un día recibe una primera página: qué tipo de sistema le conviene, qué daría el sol y cuánto "
        "tiempo seguiría habiendo luz.",
        "next_2": "Si quiere seguir, acordamos una visita y vemos el techo, el panel eléctrico y los árboles.",
        "next_3": "No se pide nada y no se debe nada antes de que usted firme.",
        "add": "¿Quiere añadir algo?",
        "safe": "Mientras tanto: nunca suba a un techo mojado y deje cerrado el panel eléctrico.",
    },
    fields={
        "name": ("Su nombre", ""),
        "phone": ("Teléfono", "Teléfono o correo: basta uno de los dos."),
        "email": ("Correo electrónico", ""),
        "preferred_language": ("Hablen conmigo en", ""),
        "street": ("Calle y número", "De la casa donde irían los paneles."),
        "zip_code": ("Código ZIP", ""),
        "city": ("Ciudad", ""),
        "state": ("Estado", ""),
        "owns_home": ("La casa", ""),
        "grid_available": ("¿Llega la electricidad de la compañía a la casa?", ""),
        "must_run": (
            "¿Qué tiene que seguir funcionando cuando se va la luz?",
            "Marque lo que le importa. Nada de esto es todavía una promesa.",
        ),
        "must_run_other": ("¿Algo más?", "Separado por comas."),
        "outage_days_wanted": ("¿Cuántos días sin luz debería cubrir?", ""),
        "goal": ("¿Qué importa primero?", ""),
        "yearly_kwh": ("Electricidad en un año", "En kWh, si tiene un recibo a mano. Si no, déjelo vacío."),
        "wants_loan": ("¿Querría un préstamo para esto?", ""),
        "warranty_years_wanted": ("Años de garantía que querría", "Déjelo vacío si no tiene preferencia."),
        "diy_comfort": ("Hacer parte del trabajo usted mismo", ""),
        "note": ("Algo que debamos saber", ""),
        "consent": ("Pueden llamarme o escribirme sobre esta solicitud.", ""),
        "website": ("Deje esto vacío", ""),
    },
    choices={
        "preferred_language": SPEAK,
        "owns_home": (("own", "Es mía"), ("rent", "La alquilo")),
        "grid_available": (("yes", "Sí"), ("no", "No")),
        "wants_loan": (("yes", "Sí"), ("no", "No")),
        "goal": (
            ("backup", "Que haya luz cuando falla la compañía"),
            ("payback", "Que baje el recibo de la luz"),
        ),
        "diy_comfort": (
            ("none", "Se lo dejo todo a ustedes"),
            ("some", "Podría ayudar con cosas pequeñas"),
            ("much", "Quiero hacer mucho yo mismo"),
        ),
    },
    must_run={
        "fridge": "Refrigerador",
        "chest_freezer": "Congelador",
        "lights": "Luces",
        "internet": "Internet y teléfonos",
        "well_pump_half_hp": "Bomba de pozo",
        "sump_pump": "Bomba de sumidero",
        "central_air_3_ton": "Aire central",
        "window_air": "Aire de ventana",
        "furnace_blower": "Calefacción (ventilador o bomba)",
        "heat_pump_3_ton": "Bomba de calor",
        "microwave": "Cocinar (microondas)",
        "electric_range": "Cocinar (estufa eléctrica)",
        "water_heater": "Agua caliente (eléctrica)",
        "medical": "Equipo médico",
        "television": "Televisor",
        "garage_door": "Puerta del garaje",
    },
    required={
        "name": "Por favor díganos su nombre.",
        "street": "¿Dónde está la casa? Por favor escriba la calle.",
        "zip_code": "Por favor escriba el código ZIP.",
        "consent": "Sin esta marca nadie puede responderle.",
    },
    invalid={"zip_code": "El código ZIP tiene cinco cifras.", "state": "Dos letras, como NC."},
    unknown={
        "zip_code": "No conocemos ningún lugar con este código ZIP en ese estado: por favor revise los dos.",
        "state": "Dos letras de un estado, como NC.",
        "phone": "Un número de teléfono tiene diez cifras, con el código de área.",
        "email": "Esto no es una dirección de correo.",
        "kwh_1": "Por favor revise los meses: son kWh al mes.",
        "yearly_kwh": "Por favor revise el consumo de un año: son kWh.",
        "": "Por favor revise lo que escribió aquí.",
    },
    needed={
        "city": "Por favor escriba la ciudad.",
        "state": "Dos letras, como NC.",
        "contact": "Hace falta un teléfono o un correo para poder responderle.",
        "month": "Falta",
    },
    months=("Ene", "Feb", "Mar", "Abr", "May", "Jun", "Jul", "Ago", "Sep", "Oct", "Nov", "Dic"),
)

WORDS: dict[str, AskWords] = {"en": ENGLISH, "es": SPANISH}
