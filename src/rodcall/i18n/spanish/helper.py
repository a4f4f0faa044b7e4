"""Spanish of the helper's page: on the phone, and in the cab."""

from __future__ import annotations

SENTENCES = {
    "Helper's page": "Página del ayudante",
    "rod reading to hit": "lectura de mira a lograr",
    "height to hit": "altura a lograr",
    "away": "al fondo",
    "right": "a la derecha",
    "tape from the near left corner": "cinta desde la esquina cercana izquierda",
    "plan of the pad": "plano de la plataforma",
    "HEARD": "ENTENDIDO",
    "LOST": "SIN SEÑAL",
    "No word from the cab. Do not rely on what you saw last. The page comes back by itself.": (
        "No llega nada de la cabina. No se fíe de lo último que vio. La página vuelve sola."
    ),
    "One moment": "Un momento",
    "Asking the cab what is next.": "Preguntando a la cabina qué sigue.",
    "ENDED": "TERMINADO",
    "The cab has closed this page. To come back, scan the code in the cab again.": (
        "La cabina cerró esta página. Para volver, escanee otra vez el código en la cabina."
    ),
    "FULL": "LLENO",
    "Enough phones are on. The cab can send one away.": (
        "Ya hay bastantes teléfonos. La cabina puede desconectar uno."
    ),
    "Nobody knows whether {said} for {place} was written: look in the cab.": (
        "No se sabe si {said} para {place} quedó escrito: mire en la cabina."
    ),
    "KEY A READING": "TECLEAR LECTURA",
    "Readings from phones are off. The cab can allow them.": (
        "No se admiten lecturas de teléfonos. La cabina puede permitirlas."
    ),
    "close": "cerrar",
    "ENTER": "ENTRAR",
    "clear": "borrar",
    "for {place}": "para {place}",
    "The cab has moved on to {place}. Clear this line first.": (
        "La cabina ya va por {place}. Borre primero esta línea."
    ),
    "sending {said} for {place}": "enviando {said} para {place}",
    "kept until the cab is back: {said} for {place}": "guardado hasta que vuelva la cabina: {said} para {place}",
    "UNDO {said} at {place}": "DESHACER {said} en {place}",
    "voice: on": "voz: sí",
    "voice: off": "voz: no",
    "colors": "colores",
    "sun": "sol",
    "night": "noche",
    "as the phone": "como el teléfono",
    "This browser keeps the phone awake.": "Este navegador mantiene encendido el teléfono.",
    "This browser lets the phone go dark: set a long screen timeout in the phone's settings.": (
        "Este navegador deja que el teléfono se apague: ponga un tiempo de pantalla largo en los ajustes del teléfono."
    ),
    (
        "This page comes over the hotspot without encryption. Anybody on the same hotspot can read along, and could "
        "forge readings while the cab allows them. Readings are no secret, and the cab sees each one that comes from "
        "a phone."
    ): (
        "Esta página llega por la red sin cifrar. Cualquiera en la misma red puede leerla, y podría falsificar "
        "lecturas mientras la cabina las permita. Las lecturas no son secretas, y la cabina ve cada una que llega de "
        "un teléfono."
    ),
    "This page needs JavaScript.": "Esta página necesita JavaScript.",
    "{shot} of {all} shot, {left} left": "{shot} de {all} leídos, faltan {left}",
    "WAIT": "ESPERE",
    "rod on": "mira en",
    "shoot again": "leer de nuevo",
    "the cab chooses the target": "la cabina elige el objetivo",
    "rod on {name} for the check": "mira en {name} para la comprobación",
    "dig: worst is {spot}, {work}": "a excavar: lo peor es {spot}, {work}",
    "the cab begins the next round": "la cabina empieza la próxima ronda",
    "the punch list is empty": "la lista de pendientes está vacía",
    "read {spot} again when the cab says so": "lea {spot} otra vez cuando lo diga la cabina",
    "the cab looks at the punch list": "la cabina mira la lista de pendientes",
    "STAY AT {place}": "QUÉDESE EN {place}",
    "LEVEL IT": "NIVELE",
    "not written: the cab takes no readings from phones": "no escrito: la cabina no admite lecturas de teléfonos",
    "not written: the cab has moved on": "no escrito: la cabina ya siguió",
    "not written: {why}": "no escrito: {why}",
    "not undone: something was written since; undo it in the cab": (
        "no deshecho: se escribió algo después; deshágalo en la cabina"
    ),
    "not undone: {why}": "no deshecho: {why}",
    "{address} is not one address of this tablet": "{address} no es una dirección de esta tableta",
    "helper": "ayudante",
    "The helper's page: the call-out on a phone that scans a code.": (
        "La página del ayudante: lo que se dice a voces, en un teléfono que escanea un código."
    ),
    "Open the helper's page too: the call-out on a phone that scans a code.": (
        "Abrir también la página del ayudante: lo que se dice a voces, en un teléfono que escanea un código."
    ),
    "start": "empezar",
    "Start the page at the address under the bar.": "Empezar la página en la dirección bajo la barra.",
    "The address before.": "La dirección anterior.",
    "The next address.": "La dirección siguiente.",
    "Let phones send readings for this job, or stop that.": (
        "Permitir que los teléfonos envíen lecturas en este trabajo, o dejar de permitirlo."
    ),
    "send away": "desconectar",
    "Send a phone away; it cannot come back before another start.": (
        "Desconectar un teléfono; no puede volver antes de otro inicio."
    ),
    "Stop the page; every phone is told.": "Parar la página; cada teléfono lo muestra.",
    "Back to the shot grid; the page stays up.": "Volver a la cuadrícula; la página sigue.",
    "Not installed here: pip install 'rodcall[helper]' brings the helper's page.": (
        "No está instalado: pip install 'rodcall[helper]' trae la página del ayudante."
    ),
    "from {sender}": "de {sender}",
    "the cab is answering a question": "la cabina está respondiendo una pregunta",
    "the cab is typing": "la cabina está tecleando",
    "the cab has another page open": "la cabina tiene otra página abierta",
    "not written: the cab names no spot": "no escrito: la cabina no indica ningún punto",
    "Let phones send readings in this job?  y or + yes, n or - no": (
        "¿Permitir lecturas desde teléfonos en este trabajo?  s o + sí, n o - no"
    ),
    "no phone is connected": "no hay ningún teléfono conectado",
    "Send which phone away?  {numbers}": "¿Qué teléfono desconectar?  {numbers}",
    "The helper's phone shows what the call-out shows, in its browser: no app, no account, no internet.": (
        "El teléfono del ayudante muestra en su navegador lo que se dice a voces: sin aplicación, cuenta ni internet."
    ),
    "Phone and tablet must be on one hotspot; either of them can give it. Turn it on first.": (
        "Teléfono y tableta deben estar en la misma red; cualquiera de los dos puede darla. Enciéndala primero."
    ),
    "Pick this tablet's address on that hotspot:": "Elija la dirección de esta tableta en esa red:",
    "Scan the code with the phone's camera, or type:": "Escanee el código con la cámara del teléfono, o teclee:",
    "No room for the code in this window. Type in the phone's browser:": (
        "No hay sitio para el código en esta ventana. Teclee en el navegador del teléfono:"
    ),
    "readings: allowed": "lecturas: permitidas",
    "readings: not allowed": "lecturas: no permitidas",
    "not started: {why}; turn the hotspot on, then pick its address": (
        "no se inició: {why}; encienda la red y elija su dirección"
    ),
    "this tablet only, to try it out": "solo esta tableta, para probar",
    "phone {number}": "teléfono {number}",
    "No phone yet. Same hotspot?": "Ningún teléfono aún. ¿La misma red?",
    "starting ...": "empezando ...",
}
