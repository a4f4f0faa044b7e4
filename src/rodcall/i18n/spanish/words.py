"""What the words of the trade say on the screens: dirt, the dig, the lay-out, proofs, terms, and settings."""

SENTENCES = {
    # Units and ways of reading.
    # Cautions.
    # The dig.
    "volumes as the dirt lies (bank), buckets loose": "volúmenes en banco, cucharones sueltos",
    "A1-B3 is all between these two corners": "A1-B3 es todo entre esas dos esquinas",
    "{number} bucket": "{number} cucharón",
    "{number} buckets": "{number} cucharones",
    "{number} move": "{number} movimiento",
    "{number} moves": "{number} movimientos",
    "{distance} on average, total haul {haul:.0f} {unit}": "{distance} en promedio, acarreo total {haul:.0f} {unit}",
    "nothing to move: no dirt, or nowhere to put it": "nada que mover: no hay tierra, o no hay dónde ponerla",
    "lanes {lanes}, near end first, out by {exit}": "franjas {lanes}, primero el lado cercano, salida por {exit}",
    "lanes {lanes}, far end first, out by {exit}": "franjas {lanes}, primero el lado lejano, salida por {exit}",
    "at the end {spare} (compacted{pile}){where}": "al final {spare} (compactado{pile}){where}",
    "at the end even": "al final parejo",
    ", from {blocks}": ", de {blocks}",
    ", to fill {blocks}": ", para rellenar {blocks}",
    ", {volume} of the pile counted in": ", contando {volume} del montón",
    "footprint corner": "esquina de la huella",
    "no part: {positions}": "sin parte: {positions}",
    "begin at {take}: {cut}; first to {put}: {fill}": "empiece en {take}: {cut}; primero a {put}: {fill}",
    "{work} (round before)": "{work} (ronda anterior)",
    "{taped}: {by} too long for sides of {length} and {width}; the sides or the tape are off": (
        "{taped}: {by} de más para lados de {length} y {width}; los lados o la cinta están mal"
    ),
    "{taped}: {by} too short for sides of {length} and {width}; the sides or the tape are off": (
        "{taped}: {by} de menos para lados de {length} y {width}; los lados o la cinta están mal"
    ),
    "least change that fits: length {length}, width {width}, diagonals {one} and {two}; tape all again": (
        "lo mínimo que cuadra: largo {length}, ancho {width}, diagonales {one} y {two}; mida todo otra vez"
    ),
    "; out of tolerance {positions}": "; fuera de tolerancia {positions}",
    "! move {numbers} works at spots out of tolerance": "! el viaje {numbers} trabaja en puntos fuera de tolerancia",
    "! moves {numbers} work at spots out of tolerance": "! los viajes {numbers} trabajan en puntos fuera de tolerancia",
    "{volume} more spread where it lies": "{volume} más se extienden donde están",
    "{work} (estimated)": "{work} (estimado)",
    "order of work: {lanes}": "orden de trabajo: {lanes}",
    "order of work": "orden de trabajo",
    # Reasons that the program writes by itself.
    "typed": "escrito",
    # Doubt.
    "ONE FOOT off?": "¿UN PIE de más o de menos?",
    "SLASH MISSING?": "¿FALTA LA BARRA?",
    "TEN TIMES off?": "¿DIEZ VECES más o menos?",
    "DECIMAL POINT MISSING?": "¿FALTA EL PUNTO DECIMAL?",
    "ONE TENTH off?": "¿UNA DÉCIMA de más o de menos?",
    "ONE INCH off?": "¿UNA PULGADA de más o de menos?",
    "ONE METRE off?": "¿UN METRO de más o de menos?",
    "TEN CENTIMETRES off?": "¿DIEZ CENTÍMETROS de más o de menos?",
    "ONE CENTIMETRE off?": "¿UN CENTÍMETRO de más o de menos?",
    "WRONG SIGN?": "¿SIGNO AL REVÉS?",
    "INCHES FOR TENTHS?": "¿PULGADAS POR DÉCIMAS?",
    "TENTHS FOR INCHES?": "¿DÉCIMAS POR PULGADAS?",
    "DIGITS SWAPPED?": "¿CIFRAS CAMBIADAS?",
    "A DIGIT LOST?": "¿FALTA UNA CIFRA?",
    "A ROD SECTION NOT OUT?": "¿UN TRAMO DE LA MIRA SIN SACAR?",
    "TEEN FOR TEN?": "¿QUINCE POR CINCUENTA?",
    "each reading one position on": "cada lectura una posición más adelante",
    "each reading one position back": "cada lectura una posición más atrás",
    "all signs the other way": "todos los signos al revés",
    "typed from the other end": "escrita desde el otro extremo",
    "line {number} would fit better: {mistake}.": "la línea {number} cuadraría mejor: {mistake}.",
    # The lay-out.
    "square": "escuadra",
    "layers": "capas",
    "edge": "borde",
    "near": "cerca",
    "far": "lejos",
    "; A1 lies {tape} in from both edges": "; A1 está a {tape} de ambos bordes",
    "lines: tape away from the pad's near left corner{inset}": (
        "líneas: mida alejándose desde la esquina cercana izquierda de la plataforma{inset}"
    ),
    "columns: tape across from the same corner": "columnas: mida a lo ancho desde la misma esquina",
    "square when both diagonals of the pad are {tape}": "a escuadra si ambas diagonales de la plataforma miden {tape}",
    "to check it, set {missing} as taped (1: near left to far right; 2: near right to far left)": (
        "para comprobarlo, ponga {missing} según la cinta (1: cerca izquierda a lejos derecha; 2: cerca derecha a"
        " lejos izquierda)"
    ),
    "taped {one} and {two}": "medidas {one} y {two}",
    "{taped}: equal, the pad is square": "{taped}: iguales, la plataforma está a escuadra",
    "1 (near left to far right)": "1 (cerca izquierda a lejos derecha)",
    "2 (near right to far left)": "2 (cerca derecha a lejos izquierda)",
    "{taped}: diagonal {longer} is {by} longer": "{taped}: la diagonal {longer} mide {by} más",
    "the far edge stands {by} too far right: move both far corners {by} left": (
        "el borde lejano está {by} de más a la derecha: mueva ambas esquinas lejanas {by} a la izquierda"
    ),
    "the far edge stands {by} too far left: move both far corners {by} right": (
        "el borde lejano está {by} de más a la izquierda: mueva ambas esquinas lejanas {by} a la derecha"
    ),
    "none: set margin-near, margin-far, margin-left or margin-right": (
        "ninguna: ponga margin-near, margin-far, margin-left o margin-right"
    ),
    "its margins leave nothing of the pad: set them anew": "sus márgenes no dejan nada de la plataforma: cámbielos",
    "{length} away by {width} across; margins {margins}": "{length} de largo por {width} de ancho; márgenes {margins}",
    "in the footprint": "en la huella",
    "on the apron": "en el borde exterior",
    "stakes of its corners nearest to {positions}: no dirt is sent there": (
        "estacas de sus esquinas junto a {positions}: ahí no se manda tierra"
    ),
    "{positions} positions{where}, {counted} shot, {inside} inside the tolerance": (
        "posiciones: {positions}{where}; con lectura: {counted}; dentro de la tolerancia: {inside}"
    ),
    "far edge": "borde lejano",
    "near edge, A1 at its left end": "borde cercano, A1 en su extremo izquierdo",
    " (suggested, not chosen yet)": " (sugerido, sin elegir)",
    "subgrade to dig to  {height}; no stone on it (set stone)": (
        "subrasante a excavar  {height}; sin grava encima (set stone)"
    ),
    "stone, compacted": "grava, compactada",
    "subgrade to dig to": "subrasante a excavar",
    "that is grade at {zero}; the slopes run from there": "esa es la rasante en {zero}; de ahí salen las pendientes",
    "zeroed on {reference}  key in {offset}": "cero en {reference}  ponga {offset}",
    " (not shot, round before)": " (sin leer, ronda anterior)",
    " (not shot, estimated)": " (sin leer, estimado)",
    "at {position}: it is on target; zero the machine there, its 0 is then grade": (
        "en {position}: está en el objetivo; ponga ahí la máquina en cero y su 0 es la rasante"
    ),
    "dig {by}": "corte {by}",
    "fill {by} and compact": "rellene {by} y compacte",
    "at {position}: {work}, then zero the machine; its 0 is then grade": (
        "en {position}: {work}, luego ponga la máquina en cero; su 0 es la rasante"
    ),
    "or zero it on the ground there as it is, and key in {offset}": (
        "o póngala en cero en ese suelo tal cual, y ponga {offset}"
    ),
    " (grade lies below)": " (la rasante queda abajo)",
    " (grade lies above)": " (la rasante queda arriba)",
    # Proofs.
    # Spoken.
    "{number} half": "{number} medio",
    "{number} halves": "{number} medios",
    "{number} quarter": "{number} cuarto",
    "{number} quarters": "{number} cuartos",
    "{number} eighth": "{number} octavo",
    "{number} eighths": "{number} octavos",
    "{number} sixteenth": "{number} dieciseisavo",
    "{number} sixteenths": "{number} dieciseisavos",
    "{number} thirty-second": "{number} treintaidosavo",
    "{number} thirty-seconds": "{number} treintaidosavos",
    "{number} sixty-fourth": "{number} sesentaicuatroavo",
    "{number} sixty-fourths": "{number} sesentaicuatroavos",
    "{whole} and {parts}": "{whole} y {parts}",
    "{number} foot": "{number} pie",
    "{number} feet": "{number} pies",
    "minus": "menos",
    "plus": "más",
    # Terms.
    "US Army FM 5-434 (2000), table 1-1": "US Army FM 5-434 (2000), tabla 1-1",
    "Ohio DOT C&MS 304.04, no vibratory roller": "Ohio DOT C&MS 304.04, sin rodillo vibratorio",
    "WSDOT Design Manual, crushed base": "WSDOT Design Manual, base triturada",
    "common practice, 1/16 in per 100 ft": "práctica común, 1/16 in en 100 ft",
    "common practice": "práctica común",
    "With 25% the fill is 0.75 of the cut; where 25% more cut than fill is meant, say 20%.": (
        "Con 25% el relleno es 0.75 del corte; si quiere decir 25% más corte que relleno, diga 20%."
    ),
    "25% makes 1.25 in the truck of 1 in the bank.": "25% hace 1.25 en el camión de 1 en banco.",
    "Brings its own shrink and swell, unless they are said.": (
        "Trae su propia contracción y expansión, si no se dicen."
    ),
    "With diagonal-2 it tells how far the pad is out of square.": "Con diagonal-2 dice cuánto falta de escuadra.",
    "With diagonal-1 it tells how far the pad is out of square.": "Con diagonal-1 dice cuánto falta de escuadra.",
    "Lanes hold as many whole columns of shots as fit into it, one at least.": (
        "Cada franja lleva las columnas enteras que quepan, una al menos."
    ),
    "One margin set makes a footprint; the others are then 0 until they are set.": (
        "Un margen basta para una huella; los otros son 0 hasta que se pongan."
    ),
    "as said": "como se dijo",
    "agreed with the job": "acordado con el trabajo",
    "of {soil} ({source})": "de {soil} ({source})",
    "not set": "sin poner",
    "none, since another margin is set": "ninguno, pues hay otro margen",
    "customary ({source})": "usual ({source})",
    # Settings.
    "the language of screens and messages": "el idioma de pantallas y mensajes",
    "the colours of the screen; auto is what suits the terminal": (
        "los colores de la pantalla; auto es lo que conviene a la terminal"
    ),
    "the characters of the screen; auto is what the terminal can show": (
        "los caracteres de la pantalla; auto es lo que la terminal puede mostrar"
    ),
    "what is heard: one bell for taken, two for asked, three for outside; or words by say_command": (
        "lo que se oye: un timbre tomado, dos pregunta, tres fuera; o palabras con say_command"
    ),
    "the command that speaks; it gets the words as its last argument": (
        "el programa que habla; recibe las palabras como último argumento"
    ),
    "ask at once about a reading that does not fit those around it": (
        "preguntar enseguida por una lectura que no cuadra con las vecinas"
    ),
    "milliseconds within which the same key again is a vibrating switch; 0 takes all": (
        "milisegundos en que la misma tecla otra vez es un rebote; 0 las toma todas"
    ),
    '{id}: a key is its character or its name in quotes: "j"': (
        '{id}: una tecla es su letra o su nombre entre comillas: "j"'
    ),
    "it wants {wanted}": "quiere {wanted}",
    "it is one of {choices}": "es uno de {choices}",
    "it lies between {least} and {most}": "va de {least} a {most}",
    "it is too long, or holds what cannot be printed": "es demasiado largo, o lleva algo que no se imprime",
    "no setting is called {name}; known: {known}": "ningún ajuste se llama {name}; hay: {known}",
    "{name}: {why}; {default} is used": "{name}: {why}; se usa {default}",
    "true or false": "true o false",
    "a whole number": "un número entero",
    "a text in quotes": "un texto entre comillas",
    "{file} is too long for settings; defaults are used": "{file} es demasiado largo; se usan los valores usuales",
    'not understood; a line is a name, "=" and a value: theme = "sun"': (
        'no se entiende; una línea es un nombre, "=" y un valor: theme = "sun"'
    ),
    "{file} cannot be read ({why}); defaults are used": "{file} no se puede leer ({why}); se usan los valores usuales",
    "settings, line {number}: {why}": "ajustes, línea {number}: {why}",
    "no section is called that; only [keys]": "ninguna sección se llama así; solo [keys]",
}
