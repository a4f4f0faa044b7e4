"""What the field book says: why an entry cannot stand, and what its words are called."""

SENTENCES = {
    # -- why an entry cannot stand --------------------------------------------------------------------------
    "nothing to undo": "no hay nada que deshacer",
    "nothing to redo": "no hay nada que rehacer",
    "nothing is written at {position} in this round": "nada está escrito en {position} en esta ronda",
    "heights are said directly in this job; a setup belongs to a rod (plain or direct)": (
        "en este trabajo las alturas se dicen directamente; una estación es para una mira (común o directa)"
    ),
    "suspect shots are kept for a reason; say which": (
        "las lecturas sospechosas se conservan por un motivo; diga cuál"
    ),
    "an empty note says nothing": "una nota vacía no dice nada",
    "a rod is read here: write the setup first (a backsight on a reference)": (
        "aquí se lee una mira: escriba primero la estación (lectura atrás en una referencia)"
    ),
    "ZERO is height 0; give another reference its own name": (
        "ZERO tiene altura 0; dé a otra referencia su propio nombre"
    ),
    "{field} {value} cannot be written": "{field} {value} no se puede escribir",
    "entry {number} of tablet {tablet} comes after entry {last}": (
        "la anotación {number} de la tableta {tablet} viene tras la anotación {last}"
    ),
    "entry {number} is no shot that counts": "la anotación {number} no es una lectura que cuente",
    "no reference is called {reference}; write it first: reference {reference} HEIGHT": (
        "ninguna referencia se llama {reference}; escríbala primero: reference {reference} ALTURA"
    ),
    "{position} is not shot in this round; the machine is checked over a known point": (
        "{position} no está leída en esta ronda; la máquina se comprueba sobre un punto conocido"
    ),
    "entry {number} is no check that counts": "la anotación {number} no es una comprobación que cuente",
    "entry {number} was decided about before; strike that decision first": (
        "sobre la anotación {number} ya se decidió; tache primero esa decisión"
    ),
    "more than {most} decisions are no work of one crew": (
        "más de {most} decisiones no son trabajo de una sola cuadrilla"
    ),
    "it strikes entry {number}, which is not in the book": ("tacha la anotación {number}, que no está en el libro"),
    "entry {number} is struck already": "la anotación {number} ya está tachada",
    "entry {number} took a strike back; strike entry {other} instead": (
        "la anotación {number} deshizo un tachado; tache en su lugar la anotación {other}"
    ),
    "a setup is for a rod: plain or direct-reading": ("una estación es para una mira: común o de lectura directa"),
    "shoot {position} first: a zero needs a height": "lea primero {position}: un cero necesita una altura",
    "{number} shot hangs on that {kind}; strike it first": (
        "{number} lectura depende de esa anotación ({kind}); táchela primero"
    ),
    "{number} shots hang on that {kind}; strike them first": (
        "{number} lecturas dependen de esa anotación ({kind}); táchelas primero"
    ),
    "the existing ground is the first round; a new one is working or final": (
        "el terreno existente es la primera ronda; una nueva es de trabajo o final"
    ),
    "more than {most} rounds are no work of one crew": "más de {most} rondas no son trabajo de una sola cuadrilla",
    "a time is text such as 2026-04-18T07:30:00-07:00": "una hora es un texto como 2026-04-18T07:30:00-07:00",
    "what was said, {said}, means {meant} nm, and {stored} nm is stored": (
        "lo dicho, {said}, significa {meant} nm, y están guardados {stored} nm"
    ),
    "a height with nothing said": "una altura de la que no se dijo nada",
    "what was said, {said}, is no reading": "lo dicho, {said}, no es una lectura",
    "what was said, {said}, means {meant} for {name}": "lo dicho, {said}, significa {meant} para {name}",
    "the readings of a laser check and what was said disagree": (
        "las lecturas de una prueba del láser no coinciden con lo dicho"
    ),
    # -- the words of entries -------------------------------------------------------------------------------
    "existing": "existente",
    "working": "de trabajo",
    "final": "final",
    "quarter turn": "cuarto de vuelta",
    "two pegs": "dos estacas",
    "stripped": "despalmado",
    "rough": "en bruto",
    "compacted": "compactado",
    "stone": "grava",
    "entry": "anotación",
    "reference": "referencia",
    "setup": "estación",
    "reading": "lectura",
    "confirm": "confirmación",
    "check": "comprobación",
    "decision": "decisión",
    "laser check": "prueba del láser",
    "machine check": "prueba de la máquina",
    "leave out": "exclusión",
    "not pad": "fuera",
    "strike": "tachado",
    "target": "objetivo",
    "term": "condición",
    "zero": "cero",
    "round": "ronda",
    "walk": "recorrido",
    "note": "nota",
    # -- lines of `enter` -----------------------------------------------------------------------------------
    "a reading at a position, as it is typed on the screen": "una lectura en una posición, como en la pantalla",
    "the position is left out, with a reason": "la posición queda excluida, con un motivo",
    "no part of the pad in any round: out of area, average, dirt and list": (
        "no es plataforma en ninguna ronda: sin área, promedio, tierra ni lista"
    ),
    "the same of a rectangle of positions, given as two corners": (
        "lo mismo de un rectángulo de posiciones, dicho por dos esquinas"
    ),
    "strike what was written last at the position in this round, or its not pad": (
        "tachar lo último escrito en la posición en esta ronda, o su not pad"
    ),
    "{position} is not pad; to make it pad again: strike {position}": (
        "{position} no es plataforma; para que vuelva a serlo: strike {position}"
    ),
    "that leaves nothing of the pad: three spots of one square must stay": (
        "así no queda plataforma: deben quedar tres puntos de un cuadro"
    ),
    "the zero itself, written down as a reference": "el propio cero, anotado como referencia",
    "a reference and its height above the zero": "una referencia y su altura sobre el cero",
    "rod: a backsight on a reference": "mira: una lectura atrás en una referencia",
    "rod: a turning point and what the rod reads there": "mira: un punto de cambio y lo que la mira lee allí",
    "a check shot: what the reference reads now": "una comprobación: lo que la referencia lee ahora",
    "shots that the last check made suspect stand, with a reason": (
        "las lecturas que la última comprobación hizo sospechosas se conservan, con un motivo"
    ),
    "shots that the last check made suspect move by what it found": (
        "las lecturas que la última comprobación hizo sospechosas se mueven lo que ella encontró"
    ),
    "what the machine shows over a reference or a position": (
        "lo que la máquina muestra sobre una referencia o una posición"
    ),
    "the target, at the zero": "el objetivo, en el cero",
    "the suggested target, taken": "el objetivo sugerido, aceptado",
    "another position is the zero": "otra posición es el cero",
    "a term of the job and its value": "una condición del trabajo y su valor",
    "a new round over the same positions: working, or final": (
        "una ronda nueva por las mismas posiciones: de trabajo (working) o final"
    ),
    "words worth keeping": "palabras que conviene guardar",
    "{line} says nothing that can be written; say: A1 -3/8, B2 out rut, strike A1": (
        "{line} no dice nada que se pueda escribir; diga: A1 -3/8, B2 out rut, strike A1"
    ),
    "nothing can be suggested before the first shot": "nada se puede sugerir antes de la primera lectura",
    "more is wanted: {example}": "falta algo: {example}",
    "line {number}: {why}": "línea {number}: {why}",
    "there is no check to decide about": "no hay comprobación sobre la que decidir",
    "set {name} and its value": "set {name} y su valor",
    "a round is working or final: round final": "una ronda es de trabajo (working) o final: round final",
    # -- the job and its grid -------------------------------------------------------------------------------
    "the pad needs a length and a width above 0": "la plataforma necesita un largo y un ancho mayores que 0",
    "a pad needs at least 2 shots along and 2 across, one in each corner": (
        "una plataforma necesita al menos 2 lecturas a lo largo y 2 a lo ancho, una en cada esquina"
    ),
    "more than {most} positions (or {columns} across) is no pad of one crew": (
        "más de {most} posiciones (o {columns} a lo ancho) no es plataforma de una sola cuadrilla"
    ),
    "the inset must leave room between the outermost shots": (
        "el margen debe dejar espacio entre las lecturas exteriores"
    ),
    "{name} is no position; they run from A1 to {last}": "{name} no es una posición; van de A1 a {last}",
    "{name} is off the grid; it runs from A1 to {last}": "{name} está fuera de la cuadrícula, que va de A1 a {last}",
    "a job needs a name": "un trabajo necesita un nombre",
    "the reading step and the rounding step must be above 0": (
        "el paso de lectura y el de redondeo deben ser mayores que 0"
    ),
}
