"""What the screens say: actions and their help, questions, pages, and what is told where nothing can be done."""

SENTENCES = {
    # Moves and actions.
    "digits, Enter": "cifras, Enter",
    "A reading and Enter: written at the spot named, then on to the next in walking order.": (
        "Una lectura y Enter: se anota en el punto nombrado, y al siguiente del recorrido."
    ),
    "arrows, tap": "flechas, toque",
    "Go to another spot; a reading goes where the line named when you typed its first character.": (
        "Ir a otro punto; la lectura va al que la línea nombraba al escribir la primera letra."
    ),
    "- + h l": "- + h l",
    "The sign: - or l is LOW, + or h is HIGH; g or 0 is on grade.": (
        "El signo: - o l es BAJO, + o h es ALTO; g o 0 es a nivel."
    ),
    "Backspace, Esc": "Retroceso, Esc",
    "Take back a character, or the whole line, before Enter.": "Quitar una letra, o toda la línea, antes de Enter.",
    "* while typing": "* al escribir",
    "The numeric pad's Esc: takes the line back; again, or at a question, gives up.": (
        "El Esc del teclado numérico: quita la línea; otra vez, o ante una pregunta, lo deja."
    ),
    "undo": "deshacer",
    "Undo the last entry; it stays in the book, lined out.": (
        "Deshacer la última anotación; queda en el libro, tachada."
    ),
    "redo": "rehacer",
    "Take the last undo back.": "Rehacer lo último deshecho.",
    "Leave this spot out (rut, pile), or mark it and others as not pad.": (
        "Excluir este punto (rodada, montón), o marcar que él y otros no son plataforma."
    ),
    "again": "otra vez",
    "Read a spot again: one that does not fit, or the last; if two disagree, a third.": (
        "Leer otra vez un punto: uno que no encaja, o el último; si dos no cuadran, una tercera."
    ),
    "Strike the last entry at this spot.": "Tachar la última anotación de este punto.",
    "Choose the target: see the dirt each step costs, or type a height.": (
        "Elegir el objetivo: vea la tierra que cuesta cada paso, o escriba una altura."
    ),
    "Check shot: read a reference again to prove that nothing moved.": (
        "Comprobación: leer otra vez una referencia para ver que nada se movió."
    ),
    "Test the laser (quarter turns, two pegs) or the machine's display.": (
        "Probar el láser (cuartos de vuelta, dos estacas) o la pantalla de la máquina."
    ),
    "Write a note into the book.": "Escribir una nota en el libro.",
    "Rod only: a backsight on a reference, after every move of the tripod.": (
        "Solo mira: lectura atrás en una referencia, cada vez que se mueve el trípode."
    ),
    "Write down a reference and its height above the zero.": "Anotar una referencia y su altura sobre el cero.",
    "Call this position grade; heights are told from it from here on.": (
        "Llamar rasante a esta posición; las alturas se cuentan desde ella."
    ),
    "Begin a new round of shots: working or final.": "Empezar otra ronda de lecturas: de trabajo o final.",
    "Walking order: snake, which turns at its end, or every line from the left.": (
        "Orden del recorrido: en zigzag, que vuelve al final, o cada línea desde la izquierda."
    ),
    "dig": "excavar",
    "Order of work: which highs into which lows, and what is over or short.": (
        "Orden de trabajo: qué altos a qué bajos, y qué sobra o falta."
    ),
    "lay out": "replanteo",
    "Tape distances, squareness, footprint, layers, machine offsets.": (
        "Cintas, escuadra, huella, capas y ajustes de la máquina."
    ),
    "terms": "términos",
    "Dirt, stone, bucket, truck, margins and the rest: see and set them.": (
        "Tierra, grava, cucharón, camión, márgenes y demás: verlos y ponerlos."
    ),
    "as-built": "acta",
    "The verdict and all behind it; Enter there writes the as-built sheets.": (
        "El veredicto y todo lo que lo apoya; Enter ahí escribe las actas."
    ),
    "overview": "vista",
    "All of the pad at once, shaded; again for the numbers.": "Toda la plataforma en tramas; otra vez, los números.",
    "call out": "a voces",
    "Very large, for the helper: where next, what was read back, what is wanted.": (
        "Muy grande, para el ayudante: adónde, lo leído y lo que se quiere."
    ),
    "go to": "ir a",
    "To a position that you name: B3, or by number, across and away: 2.3.": (
        "A una posición que usted diga: B3, o por números, a lo ancho y al fondo: 2.3."
    ),
    "go to which position? such as {name}, or {numbers}": "¿ir a qué posición? por ejemplo {name}, o {numbers}",
    "To the gravest spot on the punch list, then to the next.": (
        "Al punto más grave de la lista de pendientes, y luego al siguiente."
    ),
    "colours": "colores",
    "Other colours: day, sun, night, sixteen, none.": "Otros colores: día, sol, noche, dieciséis, ninguno.",
    "legend": "leyenda",
    "What the marks and colours mean.": "Qué quieren decir las marcas y los colores.",
    "help": "ayuda",
    "The keys, and what each does.": "Las teclas y lo que hace cada una.",
    "menu": "menú",
    "All commands: by number, or by letters of what is wanted.": "Todas las órdenes: por número, o por letras.",
    "All commands of this page: by number, or by letters of what is wanted.": (
        "Todas las órdenes de esta página: por número, o por letras."
    ),
    "Empty the field.": "Vaciar la casilla.",
    "All commands of the form; a * of your own needs a letter before it.": (
        "Todas las órdenes de la ficha; para escribir un *, antes una letra."
    ),
    "settings": "ajustes",
    "What is set on this tablet: see and change it.": "Lo que está puesto en esta tableta: verlo y cambiarlo.",
    "leave": "salir",
    "Save what is left and leave.": "Guardar lo que falte y salir.",
    "take": "tomar",
    "Take the target where it is; it is written into the book.": "Tomar el objetivo donde está; queda en el libro.",
    "Leave the target as it was.": "Dejar el objetivo como estaba.",
    "higher": "más alto",
    "One rounding step higher.": "Un paso de redondeo más alto.",
    "lower": "más bajo",
    "One rounding step lower.": "Un paso de redondeo más bajo.",
    "much higher": "mucho más alto",
    "Four steps higher.": "Cuatro pasos más alto.",
    "much lower": "mucho más bajo",
    "Four steps lower.": "Cuatro pasos más bajo.",
    "To the average.": "Al promedio.",
    "by area": "por área",
    "To the average by area.": "Al promedio por área.",
    "To where the dirt evens out.": "Adonde la tierra se compensa.",
    "suggested": "sugerido",
    "To the suggested target.": "Al objetivo sugerido.",
    "Back to the target chosen before.": "Volver al objetivo elegido antes.",
    "slopes": "pendientes",
    "Type the slopes: along, then across.": "Escribir las pendientes: a lo largo, luego a lo ancho.",
    "ground's": "del suelo",
    "The slopes that the ground has now.": "Las pendientes que el suelo tiene ahora.",
    "best fit": "mejor ajuste",
    "The balanced plane that fits the ground best (least squares).": (
        "El plano compensado que mejor se ajusta al suelo (mínimos cuadrados)."
    ),
    "least earth": "menos tierra",
    "The balanced plane with the least cut and fill.": "El plano compensado con menos corte y relleno.",
    "No slopes.": "Sin pendientes.",
    "open": "abrir",
    "Open the job under the bar.": "Abrir el trabajo de la barra.",
    "new job": "trabajo nuevo",
    "Begin a new job.": "Empezar un trabajo nuevo.",
    "samples": "ejemplos",
    "Write the sample jobs here.": "Escribir aquí los trabajos de ejemplo.",
    "find": "buscar",
    "Find jobs by name, place or file as you type; Esc or * shows all again.": (
        "Buscar trabajos por nombre, lugar o archivo al escribir; Esc o * los muestra todos."
    ),
    "archive": "archivar",
    "Move the job out of the list, into the archive; there, back into the list.": (
        "Pasar el trabajo de la lista al archivo; ahí, de vuelta a la lista."
    ),
    "archived": "archivados",
    "List the archived jobs; again for the others.": "Ver los trabajos archivados; otra vez, los demás.",
    "up": "arriba",
    "Move the bar up.": "Subir la barra.",
    "down": "abajo",
    "Move the bar down.": "Bajar la barra.",
    "Leave.": "Salir.",
    "Next field; on the last line: begin the job.": "Casilla siguiente; en la última: empezar el trabajo.",
    "back": "atrás",
    "Previous field.": "Casilla anterior.",
    "choose": "elegir",
    "In a list: the next choice, as + does; left or - for the one before.": (
        "En una lista: la opción siguiente, como +; izquierda o - la anterior."
    ),
    "give up": "dejarlo",
    "Back to the list; nothing is written.": "Volver a la lista; no se escribe nada.",
    "set": "poner",
    "Set the term under the bar.": "Poner el término de la barra.",
    "The term before.": "El término anterior.",
    "The next term.": "El término siguiente.",
    "Back to the shot grid.": "Volver a la cuadrícula.",
    "The move before.": "El movimiento anterior.",
    "The next move.": "El movimiento siguiente.",
    "far up": "muy arriba",
    "Half a screen of moves up.": "Media pantalla hacia arriba.",
    "far down": "muy abajo",
    "Half a screen of moves down.": "Media pantalla hacia abajo.",
    "first": "primero",
    "The first move.": "El primer movimiento.",
    "last": "último",
    "The last move.": "El último movimiento.",
    "Back to the shot grid; a working out that goes on is given up.": (
        "Volver a la cuadrícula; un cálculo en marcha se abandona."
    ),
    "Take what is typed, and on to the next setting.": "Tomar lo escrito, y al ajuste siguiente.",
    "The setting before.": "El ajuste anterior.",
    "more": "más",
    "The next choice, or a larger number.": "La opción siguiente, o un número mayor.",
    "less": "menos",
    "The choice before, or a smaller number.": "La opción anterior, o un número menor.",
    "Back; everything is written already.": "Volver; todo está escrito ya.",
    "next": "siguiente",
    # The shot grid.
    "q leaves; {state}": "q sale; {state}",
    "the whole book is in {path}": "el libro entero está en {path}",
    "nor anywhere else": "ni en ningún otro sitio",
    "(any key goes on)": "(cualquier tecla sigue)",
    "(Enter on an empty line goes on)": "(Enter en una línea vacía sigue)",
    "entry {number} was edited outside of rodcall; work can go on": (
        "la anotación {number} se editó fuera de rodcall; se puede seguir"
    ),
    "HIGH or LOW?  + or h, - or l": "¿ALTO o BAJO?  + o h, - o l",
    "Rod on the first spot": "Mira en el primer punto",
    "round {number} {kind}": "ronda {number} {kind}",
    "nothing shot in this round yet": "nada leído en esta ronda",
    "next {position}": "sigue {position}",
    "next {position}, the zero": "sigue {position}, el cero",
    "next {position}, {tapes} of {zero}": "sigue {position}, {tapes} de {zero}",
    "last {reading}": "última {reading}",
    "Enter goes on": "Enter sigue",
    "({number} key typed ahead waits)": "({number} tecla adelantada espera)",
    "({number} keys typed ahead wait)": "({number} teclas adelantadas esperan)",
    "STRUCK": "TACHADO",
    "WRITTEN": "ANOTADO",
    "LEFT OUT": "EXCLUIDA",
    "NOT PAD": "FUERA",
    "{position} is pad again": "{position} vuelve a ser plataforma",
    "{position} is open again": "{position} queda abierta",
    "same as before": "igual que antes",
    "was {height}, {moved}": "era {height}, {moved}",
    "{by} higher": "{by} más alto",
    "{by} lower": "{by} más bajo",
    "{number} repeat swallowed": "{number} rebote quitado",
    "{number} repeats swallowed": "{number} rebotes quitados",
    "one of: {letters}   (Esc gives up)": "una de: {letters}   (Esc lo deja)",
    "one of: {letters}   (Esc or * gives up)": "una de: {letters}   (Esc o * lo deja)",
    "the same": "lo mismo",
    "write it": "anotar",
    "clear": "borrar",
    "take it": "tomar",
    "a character back": "quitar una letra",
    # The call-out.
    "near left corner: ^ away, > right": "esquina cercana izquierda: ^ adelante, > derecha",
    "wanted on the rod": "se quiere en la mira",
    "wanted height": "altura que se quiere",
    "ALL SHOT": "TODO LEÍDO",
    "read back": "leído",
    # Commands.
    "colours: {theme}": "colores: {theme}",
    "{position} is the zero": "{position} es el cero",
    "call {position} the zero? heights are told from it.  y or + yes, n or - no": (
        "¿llamar cero a {position}? las alturas se cuentan desde ahí.  y o + sí, n o - no"
    ),
    "new round, all positions again:  1 working   2 final": "ronda nueva, todo otra vez:  1 de trabajo   2 final",
    "walk  1 snake: back and forth   2 every line from the left": (
        "recorrido  1 zigzag: ida y vuelta   2 cada línea desde la izquierda"
    ),
    "{state}. Leave all the same?  y or + yes, n or - no, e or * save elsewhere": (
        "{state}. ¿Salir igual?  y o + sí, n o - no, e o * guardar en otro sitio"
    ),
    "save as which file? (Enter: {path})": "¿guardar en qué archivo? (Enter: {path})",
    "{lines} readings for {first} to {last}: Enter takes them, n or - drops them": (
        "{lines} lecturas de {first} a {last}: Enter las toma, n o - las quita"
    ),
    "{refused} of {lines} lines cannot be taken ({why}); Enter drops the paste": (
        "no sirve lo pegado en {refused} de {lines} líneas ({why}); Enter lo quita"
    ),
    "note written": "nota escrita",
    "no sheets can be written from here": "desde aquí no se pueden escribir actas",
    "shot grid": "cuadrícula",
    "no check shot since the last shot.  c or + checks now, q or Enter leaves": (
        "sin comprobación desde la última lectura.  c o + comprueba, q o Enter sale"
    ),
    "b writes a reference off the dig: do it before you dig": (
        "antes de excavar: una referencia fuera del corte; b la anota"
    ),
    "nothing can be suggested before the first shot; type one, such as -1/2": (
        "no se puede sugerir antes de la primera lectura; escriba uno, como -1/2"
    ),
    # Doubt.
    "LINE {number} AS IT WAS READ": "LÍNEA {number} COMO SE LEYÓ",
    "LINE {number} PUT RIGHT": "LÍNEA {number} CORREGIDA",
    # The dig page.
    "working out the least haul: 0%": "calculando el menor acarreo: 0%",
    "working out the least haul: {percent}%": "calculando el menor acarreo: {percent}%",
    "nothing to dig before the first shot": "nada que excavar antes de la primera lectura",
    ", move {number} of {moves}": ", movimiento {number} de {moves}",
    "C F this move  + high - low o on target ? guess x no part  below: lanes": (
        "C F este movimiento  + alto - bajo o en objetivo ? estimado x sin parte  abajo: franjas"
    ),
    "cut{guess}": "corte{guess}",
    "fill{guess}": "rell.{guess}",
    # The form.
    "height: - low, + high": "altura: - bajo, + alto",
    "plain rod: bigger LOWER": "mira normal: mayor es BAJO",
    "direct rod: bigger HIGHER": "mira directa: mayor es ALTO",
    "inches and fractions": "pulgadas y fracciones",
    "feet in tenths": "pies y décimas",
    "millimetres": "milímetros",
    "centimetres": "centímetros",
    "metres": "metros",
    "may stay empty": "puede quedar vacío",
    "right or + for the next": "derecha o + para la siguiente",
    "pad length": "largo",
    "pad width": "ancho",
    "along the near edge": "por el borde cercano",
    "shots along": "puntos a lo largo",
    "shots across": "puntos a lo ancho",
    "corners included": "con las esquinas",
    "inset": "retiro",
    "pad's edge to the outer shots": "del borde a los puntos de afuera",
    "smallest mark": "marca menor",
    "on the rod": "en la mira",
    "way of reading": "modo de lectura",
    "tolerance": "tolerancia",
    "what the customer wants": "lo que quiere el cliente",
    "own goal": "meta propia",
    "tighter": "más estrecha",
    "zero at": "cero en",
    "the position called grade": "la posición llamada rasante",
    "Enter begins the job": "Enter empieza el trabajo",
    "BEGIN THE JOB": "EMPEZAR EL TRABAJO",
    "pad {day}": "plataforma {day}",
    "must be above 0": "debe ser mayor que 0",
    "a whole number, 2 or more": "un número entero, 2 o más",
    "is wanted": "hace falta",
    # Pages.
    "the same key within {limit} ms counts once (vibration_ms in the settings)": (
        "la misma tecla en menos de {limit} ms cuenta una vez (vibration_ms en los ajustes)"
    ),
    "commands: number, or letters, and Enter": "órdenes: número, o letras, y Enter",
    "arrows for more, others close": "flechas para más, otra cierra",
    "any key closes": "cualquier tecla cierra",
    "keys on the {name}": "teclas: {name}",
    "marks and colours": "marcas y colores",
    "no command is called that; Backspace takes a letter back, Esc closes": (
        "ninguna orden se llama así; Retroceso quita una letra, Esc cierra"
    ),
    # The list of jobs.
    "shots": "lecturas",
    "{shot} of {positions}": "{shot} de {positions}",
    "No job yet. Enter or n begins one; s writes three sample jobs to look at.": (
        "Aún no hay trabajos. Enter o n empieza uno; s escribe tres de ejemplo."
    ),
    "find: {wanted}   Esc or * shows all again": "buscar: {wanted}   Esc o * los muestra todos",
    "{number} sample job written": "{number} trabajo de ejemplo escrito",
    "{number} sample jobs written": "{number} trabajos de ejemplo escritos",
    "moved to {path}": "pasado a {path}",
    "No job with that in its name or place.": "Ningún trabajo con eso en su nombre o lugar.",
    "No job is archived. v lists the others.": "No hay trabajos archivados. v muestra los demás.",
    "the samples cannot be written: {why}": "no se pueden escribir los ejemplos: {why}",
    "list of jobs": "lista de trabajos",
    "rodcall: jobs in {folder}": "rodcall: trabajos en {folder}",
    # Keys and settings.
    "settings, {place}: {key} is wanted by {table}.{one} and {table}.{other}; {back} has its own key back": (
        "ajustes, {place}: {key} lo quieren {table}.{one} y {table}.{other}; {back} recupera su tecla"
    ),
    "no such action; ids begin with {tables}": "no existe esa acción; empiezan con {tables}",
    "no such action; known in {table}: {known}": "no existe esa acción; en {table} hay: {known}",
    "a character is typed into the form; a key that types nothing would do, such as F2": (
        "en la ficha se escriben letras; sirve una tecla que no escriba, como F2"
    ),
    "{key} belongs to readings and moves there": "{key} es ahí de lecturas y movimientos",
    "no such key: {key}; a key is its character or its name: u, Esc, F2": (
        "no existe la tecla {key}; es su letra o su nombre: u, Esc, F2"
    ),
    "settings, {place}, {id}: {why}": "ajustes, {place}, {id}: {why}",
    "line {numbers}": "línea {numbers}",
    "lines {numbers}": "líneas {numbers}",
    "settings in {file}": "ajustes en {file}",
    "NOT WRITTEN: {file}: {why}; it counts until you leave": "NO ESCRITO: {file}: {why}; vale hasta que salga",
    # The numbers beside the plan.
    "{part} of {whole}": "{part} de {whole}",
    "average {height}": "promedio {height}",
    "target {height}": "objetivo {height}",
    "touched {touched}/{before}": "releídos {touched}/{before}",
    "out {out}/{counted}": "fuera {out}/{counted}",
    "in tolerance": "en tolerancia",
    "cut / fill": "corte / rell.",
    "rod {rod}": "mira {rod}",
    "worst {position}": "peor {position}",
    "{share:.0%} of pad": "{share:.0%}",
    # Pasted lines and the plan.
    "HIGH or LOW?": "¿ALTO o BAJO?",
    "no reading": "no es lectura",
    "no spot left": "no quedan puntos",
    "# + HIGH out, in   = - LOW out, in   o goal": "# + ALTO fuera, dentro   = - BAJO fuera, dentro   o meta",
    ", {number} line more": ", {number} línea más",
    ", {number} lines more": ", {number} líneas más",
    "{number} more": "{number} más",
    "out": "excl.",
    "each shade: the worst of {across} x {along}": "cada trama: lo peor de {across} x {along}",
    # The proof.
    "as-built, round {number} {kind}: Enter writes the sheets": "acta, ronda {number} {kind}: Enter escribe las hojas",
    "writing the sheets ...": "escribiendo las hojas ...",
    "remarks": "notas",
    "checks": "comprob.",
    "laser": "láser",
    "rounds": "rondas",
    "NOT WRITTEN: {why}": "NO ESCRITO: {why}",
    # Proving commands.
    "direct-reading rod": "mira de lectura directa",
    "{name}: where is it? a position, or words for one outside of the dig": (
        "{name}: ¿dónde está? una posición, o palabras si está fuera del corte"
    ),
    "reference: its name (Enter: {name})": "referencia: su nombre (Enter: {name})",
    "which rod?  1 plain: bigger reading is LOWER   2 direct: bigger is HIGHER": (
        "¿qué mira?  1 normal: lectura mayor es más BAJO   2 directa: mayor es más ALTO"
    ),
    "what is it called now": "cómo se canta ahora",
    "what does the rod read": "qué lee la mira",
    "check: rod on which reference?": "comprobar: ¿mira en qué referencia?",
    "test  1 laser by quarter turns   2 laser by two pegs   3 the machine's display": (
        "prueba  1 láser por cuartos de vuelta   2 láser con dos estacas   3 la pantalla de la máquina"
    ),
    "machine: bucket on which reference?": "máquina: ¿cucharón en qué referencia?",
    "{prompt} {numbered} (Enter: {usual})": "{prompt} {numbered} (Enter: {usual})",
    "{name}: 1 read it with the rod now   2 type its height": (
        "{name}: 1 leerla ahora con la mira   2 escribir su altura"
    ),
    "{name}: what does the rod read?": "{name}: ¿qué lee la mira?",
    "{name}: what does the rod read on it now?": "{name}: ¿qué lee ahora la mira ahí?",
    "{rod}: rod on which reference?": "{rod}: ¿mira en qué referencia?",
    "check {name}: {what}?": "comprobar {name}: ¿{what}?",
    "distance from laser to a far mark, such as 100ft": "distancia del láser a una marca lejana, como 100ft",
    "head as it stands: what does the mark read?": "cabezal como está: ¿qué lee la marca?",
    "head turned a quarter: what does it read?": "cabezal girado un cuarto: ¿qué lee?",
    "turned a half": "girado media vuelta",
    "turned three quarters": "girado tres cuartos",
    "two pegs: how far apart? such as 120ft": "dos estacas: ¿a qué distancia? como 120ft",
    "laser in the middle: peg A reads": "láser en medio: la estaca A lee",
    "peg B reads": "la estaca B lee",
    "now beyond peg A in their line: how far from A? such as 20ft": (
        "ahora más allá de A en su línea: ¿a cuánto de A? como 20ft"
    ),
    "peg A reads now": "la estaca A lee ahora",
    "peg B reads now": "la estaca B lee ahora",
    "{test} {number} of {steps}: {prompt}": "{test} {number} de {steps}: {prompt}",
    "bucket on {name}: what height does the machine show?": "cucharón en {name}: ¿qué altura marca la máquina?",
    "ZERO is known already: it is height 0": "ZERO ya se conoce: es altura 0",
    "no reference is called {name}; b writes one": "ninguna referencia se llama {name}; b anota una",
    # Sounds.
    "out of tolerance, {words}": "fuera de tolerancia, {words}",
    "it ended with {status}": "terminó con {status}",
    "say_command: {why}; nothing more is spoken": "say_command: {why}; ya no se habla",
    "no command is set": "no hay programa puesto",
    # The shell.
    # The target page.
    "loads": "viajes",
    "mach.": "máq.",
    "HERE": "AQUÍ",
    "as it was": "como estaba",
    "slopes as typed": "pendientes escritas",
    "slope to the right (Enter {usual}) {example}": "pendiente a la derecha (Enter {usual}) {example}",
    "slope away (Enter {usual}) {example}": "pendiente al alejarse (Enter {usual}) {example}",
    "slopes of the ground": "pendientes del suelo",
    "balanced, best fit": "compensado, mejor ajuste",
    "balanced, least earth": "compensado, menos tierra",
    "moved by hand": "movido a mano",
    "above or below the zero? say it with its sign, such as -1/2": (
        "¿sobre o bajo el cero? dígalo con su signo, como -1/2"
    ),
    "C cut  F fill  S spare, {unit}, over the height of the target   | here": (
        "C corte  F relleno  S saldo, {unit}, según la altura del objetivo   | aquí"
    ),
    "Enter takes HERE, Esc leaves it; or type one": "Enter toma AQUÍ, Esc lo deja; o escriba uno",
    # The terms page.
    " unless you say another": " si no dice otra",
    ", in {unit}{other}": ", en {unit}{other}",
    "{name} is {value}; undo on the shot grid strikes it": "{name} es {value}; deshacer en la cuadrícula lo tacha",
    "answer this first, or press Esc": "conteste esto primero, o pulse Esc",
    "terms of the job": "términos del trabajo",
    # Verdicts, states and rounds, by the words that the figures have for them.
}
