"""What sheets say: the as-built sheet, the blank sheet, the facts that both and the shell show, and the digest."""

SENTENCES = {
    # -- the as-built sheet ---------------------------------------------------------------------------------
    "How to read this sheet": "Cómo leer esta hoja",
    "Job": "Trabajo",
    "Agreed": "Acordado",
    "Ground": "Terreno",
    "Target and result": "Objetivo y resultado",
    "Cut, fill and stone": "Corte, relleno y grava",
    "Proof": "Prueba",
    "Check shots (allowed {allowed})": "Comprobaciones (se admite {allowed})",
    "set-up": "estación",
    "decision about its shots": "decisión sobre sus lecturas",
    "{state}, misread: repeated true": "{state}, mal leída: repetida y exacta",
    "{state}, struck: it counts as bad all the same": "{state}, tachada: cuenta como mala de todos modos",
    "{state}, struck": "{state}, tachada",
    "accepted by decision: {reason}": "aceptadas por decisión: {reason}",
    "{number} shot": "{number} lectura",
    "{number} shots": "{number} lecturas",
    "{shots} corrected by {by} up: {reason}": "{shots}, corrección de {by} hacia arriba: {reason}",
    "{shots} corrected by {by} down: {reason}": "{shots}, corrección de {by} hacia abajo: {reason}",
    "The tablet's clock ran backwards at entry {entries}.": (
        "El reloj de la tableta retrocedió en la anotación {entries}."
    ),
    "What was agreed and changed": "Lo acordado y lo cambiado",
    "value": "valor",
    "tablet": "tableta",
    "job set-up": "al crear la obra",
    "Targets as they were said, from the zero of that time. What was struck is listed under Struck out.": (
        "Los objetivos como se dijeron, desde el cero de entonces. Lo tachado está en la lista de lo tachado."
    ),
    "none, slopes {slopes}": "ninguno, pendientes {slopes}",
    "{length} (customary)": "{length} (lo habitual)",
    "{length} for one set-up (published rule)": "{length} para una estación (regla publicada)",
    "Spots read more than once in this round": "Puntos leídos más de una vez en esta ronda",
    "how often": "veces",
    "readings, in order": "lecturas, en orden",
    "read {number} times": "leído {number} veces",
    "Readings that count are settled in the order read: two that agree, else the middle of three.": (
        "Las lecturas que cuentan se deciden en el orden leído: dos que concuerdan, si no la de en medio de tres."
    ),
    "{said} is {height}": "{said} es {height}",
    "counts": "cuenta",
    "replaced": "reemplazada",
    "struck": "tachada",
    "Tests of the level and the machine": "Pruebas del nivel y de la máquina",
    "All {positions} positions, {unit}": "Todas las posiciones ({positions}), {unit}",
    "Struck out and left out": "Tachado y excluido",
    "Notes": "Notas",
    "Cautions": "Precauciones",
    "for the contractor": "por el contratista",
    "for the customer": "por el cliente",
    "{role}, name and date": "{role}, nombre y fecha",
    "{inside} of {positions} positions inside the tolerance": (
        "{inside} de {positions} posiciones dentro de la tolerancia"
    ),
    # -- its facts ------------------------------------------------------------------------------------------
    "place": "lugar",
    "customer": "cliente",
    "shot": "con lectura",
    "people": "personas",
    "weather": "tiempo",
    "instrument": "instrumento",
    "last check": "última comprobación",
    "allowed": "se admite",
    "agreed by": "acordado por",
    "reading step": "paso de lectura",
    "{high} high, {low} low": "{high} alto, {low} bajo",
    "{goal} high and low": "{goal} alto y bajo",
    "{zero}, height 0": "{zero}, altura 0",
    "{begun} to {ended}": "{begun} a {ended}",
    "{reference} reads {drift} at {time}": "{reference} lee {drift} a las {time}",
    "{length} away x {width} across": "{length} de largo x {width} de ancho",
    "{along} away x {across} across": "{along} a lo largo x {across} a lo ancho",
    "{grid}, {inset} in from the edge": "{grid}, a {inset} del borde",
    "allowing for uncertainty": "contando la incertidumbre",
    "{inside} proven inside, {outside} proven outside, {neither} neither (after JCGM 106)": (
        "probado dentro: {inside}; probado fuera: {outside}; ni lo uno ni lo otro: {neither} (según JCGM 106)"
    ),
    "as from the pad's farthest corner: nobody noted where the level stood": (
        "como desde la esquina más lejana de la plataforma: nadie anotó dónde estaba el nivel"
    ),
    "drains": "desagua",
    "shot on": "leído sobre",
    "yes": "sí",
    "no": "no",
    "none": "ninguna",
    "none written": "ninguna anotada",
    "on the pad, {position}": "en la plataforma, {position}",
    # -- heads of tables ------------------------------------------------------------------------------------
    "name": "nombre",
    "height": "altura",
    "{column} as written ({unit})": "{column} como se escribe ({unit})",
    "where": "dónde",
    "description": "descripción",
    "time": "hora",
    "date": "fecha",
    "on": "en",
    "backsight": "lectura atrás",
    "rod": "mira",
    "reads": "lectura",
    "off by": "desvío",
    "state": "estado",
    "test": "prueba",
    "readings": "lecturas",
    "distances": "distancias",
    "position": "posición",
    "difference": "diferencia",
    "plus/minus": "más/menos",
    # -- what the plus/minus is made of ---------------------------------------------------------------------
    "Plus/minus: what it is made of (largest of the shots, one standard deviation)": (
        "Más/menos: de qué se compone (lo mayor de las lecturas, una desviación típica)"
    ),
    "each shot its own": "propio de cada lectura",
    "shared by a set-up": "común a un emplazamiento",
    "{least} to {largest}": "de {least} a {largest}",
    "moved": "movido",
    "what": "qué",
    "at": "en",
    "said": "dictado",
    "why": "motivo",
    # -- what the book dropped or was told ------------------------------------------------------------------
    "left out": "excluida",
    "not shot": "no leída",
    "inside": "dentro",
    "{kind}, struck": "tachado: {kind}",
    "struck out {time}": "tachado {time}",
    "machine over {place}": "máquina sobre {place}",
    "after check {number}: {done}": "tras la comprobación {number}: {done}",
    "{number} shot shifted": "{number} lectura movida",
    "{number} shots shifted": "{number} lecturas movidas",
    "shots kept": "lecturas conservadas",
    "{position}: {said} did not fit those around it, and was kept": (
        "{position}: {said} no cuadraba con las de alrededor, y se conservó"
    ),
    "{position}: put right to {said} ({mistake})": "{position}: corregida a {said} ({mistake})",
    # -- facts of the ground, the target and the dirt -------------------------------------------------------
    "job": "trabajo",
    "verdict": "veredicto",
    "positions": "posiciones",
    "{shot} shot of {positions}, {left_out} left out": "lecturas en {shot} de {positions}; excluido: {left_out}",
    "heights in": "alturas en",
    "average": "promedio",
    "average by area": "promedio por área",
    "highest": "más alto",
    "lowest": "más bajo",
    "{told} at {position}": "{told} en {position}",
    "spread": "dispersión",
    "tilt": "inclinación",
    "along {along}, across {across}; rms about it {rms}": (
        "a lo largo {along}, a lo ancho {across}; rms alrededor {rms}"
    ),
    "along {along}, across {across}": "a lo largo {along}, a lo ancho {across}",
    "tilt at the zero": "inclinación en el cero",
    "pad": "plataforma",
    "suggested target": "objetivo sugerido",
    "{by} below the average, {volume} more cut": "{by} bajo el promedio, {volume} más de corte",
    "chosen": "elegido",
    "suggested, not chosen yet": "sugerido, aún no elegido",
    "rod on grade": "mira a nivel",
    "receiver": "receptor",
    "outside": "fuera",
    "worst": "peor",
    "highest difference": "diferencia más alta",
    "lowest difference": "diferencia más baja",
    "differences": "diferencias",
    "mean {mean}, rms {rms}": "media {mean}, rms {rms}",
    "{tolerance} in tolerance, {goal} in the goal": "{tolerance} en tolerancia, {goal} en la meta",
    "footprint": "huella",
    "apron": "franja exterior",
    "{positions} positions, {shot} shot, {inside} in tolerance": (
        "posiciones: {positions}; con lectura: {shot}; en tolerancia: {inside}"
    ),
    "in the goal": "en la meta",
    "footprint alone": "solo la huella",
    "slope": "pendiente",
    "suspect": "sospechosas",
    "levels": "nivelación",
    "machine": "máquina",
    "round {number}": "ronda {number}",
    "{inside} in, {outside} out, {unshot} unshot": "{inside} dentro, {outside} fuera, {unshot} sin leer",
    "overdug": "sobreexcavado",
    "remark": "observación",
    "balance": "equilibrio",
    "cut": "corte",
    "fill": "relleno",
    "{volume} (bank)": "{volume} (en banco)",
    "{volume} (compacted)": "{volume} (compactado)",
    "spare": "saldo",
    "{spare}; shrink {shrink:.0%} (fill = cut x (1 - shrink))": (
        "{spare}; contracción {shrink:.0%} (relleno = corte x (1 - contracción))"
    ),
    "on real shots": "con lecturas reales",
    "{share:.0%} of the pad": "{share:.0%} de la plataforma",
    "finished grade": "rasante terminada",
    "{finished} with {thickness} stone": "{finished} con {thickness} de grava",
    "stone to order": "grava por pedir",
    "water": "agua",
    "warning": "aviso",
    # -- drawings -------------------------------------------------------------------------------------------
    "Plan: differences from the target, {unit}": "Plano: diferencias con el objetivo, {unit}",
    "read again": "leída otra vez",
    "far end": "extremo lejano",
    "near edge": "borde cercano",
    "the far end looks {north}": "el extremo lejano mira a {north}",
    "which way north lies was not noted": "no se anotó hacia dónde está el norte",
    "HIGH, beyond {size}": "ALTO, más de {size}",
    "HIGH, {one} to {other}": "ALTO, {one} a {other}",
    "HIGH, up to {size}": "ALTO, hasta {size}",
    "on target, to half a reading step": "en el objetivo, a medio paso de lectura",
    "LOW, up to {size}": "BAJO, hasta {size}",
    "LOW, {one} to {other}": "BAJO, {one} a {other}",
    "LOW, beyond {size}": "BAJO, más de {size}",
    "touched": "releídos",
    "{touched} of {before}; the rest is as before this round": (
        "{touched} de {before}; el resto está como antes de esta ronda"
    ),
    # -- the blank sheet ------------------------------------------------------------------------------------
    "Field sheet": "Hoja de campo",
    "A blank sheet; nothing on it is in the book yet.": "Hoja en blanco; nada de ella está aún en el libro.",
    "To be noted": "Por anotar",
    "setup on": "estación en",
    "How": "Cómo",
    "One line a position, in the order of your feet. Low is minus (l), high is plus (h), on grade 0.": (
        "Una línea por posición, en el orden de sus pasos. Bajo es menos (l), alto es más (h), a nivel 0."
    ),
    "A spot that is not the ground: write out and why. A wrong number: one line through it, the right one beside it.": (
        "Un punto que no es el terreno: escriba out y por qué. Un número mal: táchelo, y el bueno al lado."
    ),
    "Back in line by line: rodcall enter JOB.json, then A1 3/8 l, B1 0, C1 out rut.": (
        "De vuelta, línea por línea: rodcall enter JOB.json, luego A1 3/8 l, B1 0, C1 out rut."
    ),
    "One line a position, in the order of your feet: what the rod reads.": (
        "Una línea por posición, en el orden de sus pasos: lo que lee la mira."
    ),
    "Back in line by line: rodcall enter JOB.json, then setup BM1 4.28, A1 4.31, C1 out rut, check BM1 4.28.": (
        "De vuelta, línea por línea: rodcall enter JOB.json, luego setup BM1 4.28, A1 4.31, C1 out rut, check BM1 4.28."
    ),
    "References and check shots": "Referencias y comprobaciones",
    "Plan: the turn and the name of each position": "Plano: el turno y el nombre de cada posición",
    "All {positions} positions in walking order, {readings}": (
        "Todas las posiciones ({positions}) en orden de marcha, {readings}"
    ),
    "turn": "turno",
    "away": "al fondo",
    "right": "a la derecha",
    "high low": "alto bajo",
    "{turn}: {away} away, {right} right": "{turn}: {away} al fondo, {right} a la derecha",
    "{job}: end": "{job}: fin",
    # -- files ----------------------------------------------------------------------------------------------
    "in {folder}": "en {folder}",
    "written: {file}": "escrito: {file}",
    "no letters for {letters}: each stands as a box on the sheet": (
        "no hay letras para {letters}: cada una sale como un cuadro en la hoja"
    ),
    "a sheet": "una hoja",
    "a blank sheet": "una hoja en blanco",
    "a table of points": "una tabla de puntos",
    "{what} is {endings}": "{what} es {endings}",
    "there is no surface yet: nothing is shot": "aún no hay superficie: no hay nada leído",
    "nothing is shot yet": "aún no hay nada leído",
    # -- the digest -----------------------------------------------------------------------------------------
    "a digest is 64 hexadecimal digits, as printed at the foot of the sheet": (
        "un código son 64 cifras hexadecimales, como están impresas al pie de la hoja"
    ),
    "at least {fewest} digits of the digest are wanted": "se esperan al menos {fewest} cifras del código",
    "yes: this is the book that the sheet was made from ({number} entry)": (
        "sí: este es el libro del que se hizo la hoja ({number} anotación)"
    ),
    "yes: this is the book that the sheet was made from ({number} entries)": (
        "sí: este es el libro del que se hizo la hoja ({number} anotaciones)"
    ),
    "yes: this is the book that the sheet was made from, as it stood after {after}": (
        "sí: este es el libro del que se hizo la hoja, como estaba tras {after}"
    ),
    "what was agreed, before the first entry": "lo acordado, antes de la primera anotación",
    "it has grown since by {number} entry": "desde entonces ha crecido en {number} anotación",
    "it has grown since by {number} entries": "desde entonces ha crecido en {number} anotaciones",
    "no: this book was changed": "no: este libro fue cambiado",
    "no: this is not the book that the sheet was made from": "no: este no es el libro del que se hizo la hoja",
    "entry {number} was edited outside of rodcall": "la anotación {number} fue editada fuera de rodcall",
    "what was agreed, or entry 1, was edited outside of rodcall": (
        "lo acordado, o la anotación 1, fue editado fuera de rodcall"
    ),
}
