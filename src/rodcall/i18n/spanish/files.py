"""What is said of job files: what cannot be read or written, who holds one, what was found, and the terms of a job."""

SENTENCES = {
    # -- files ----------------------------------------------------------------------------------------------
    "cannot be moved ({why})": "no se puede mover ({why})",
    "cannot be read ({why})": "no se puede leer ({why})",
    "cannot be written ({why})": "no se puede escribir ({why})",
    "no file can have that name": "ningún archivo puede llamarse así",
    "the journal was taken away": "alguien se llevó el diario",
    "no reason given": "sin motivo indicado",
    "there is a file already; open it or choose another name": "ya hay un archivo; ábralo o elija otro nombre",
    "is open in {who}": "está abierto en {who}",
    "read only: {name} is open in {who}": "solo lectura: {name} está abierto en {who}",
    "process {process} on {host} since {since}": "proceso {process} en {host} desde {since}",
    "another program": "otro programa",
    "READ ONLY": "SOLO LECTURA",
    "NOT SAVED: {why}": "NO GUARDADO: {why}",
    "saved": "guardado",
    "saving": "guardando",
    "{state}, slow disk ({seconds:.1f} s)": "{state}, disco lento ({seconds:.1f} s)",
    "the file was damaged; {number} entry of it is whole and is here": (
        "el archivo estaba dañado; {number} de sus anotaciones está entera y está aquí"
    ),
    "the file was damaged; {number} entries of it are whole and are here": (
        "el archivo estaba dañado; {number} de sus anotaciones están enteras y están aquí"
    ),
    "{number} entry since": "{number} anotación desde entonces",
    "{number} entries since": "{number} anotaciones desde entonces",
    "the program did not end by itself; all that was saved is here, {since}": (
        "el programa no terminó por sí mismo; todo lo guardado está aquí, {since}"
    ),
    "what could not be read is kept in {files}": "lo que no se pudo leer se conserva en {files}",
    "rodcall: a mistake of the program ({kind}); {saved}": "rodcall: un error del programa ({kind}); {saved}",
    ". Report without names or readings: {path}": ". Informe sin nombres ni lecturas: {path}",
    "nothing that was written is lost": "nada de lo escrito se ha perdido",
    "no regular file": "no es un archivo corriente",
    "a symbolic link": "es un enlace simbólico",
    "no such file or directory": "no existe",
    "{file} cannot be read ({why})": "{file} no se puede leer ({why})",
    "{file} cannot be opened ({why})": "{file} no se puede abrir ({why})",
    "read only: {why}": "solo lectura: {why}",
    "no lock here": "aquí sin bloqueo",
    "FILE CHANGED by another program": "ARCHIVO CAMBIADO por otro programa",
    "a mistake of the program ({kind})": "un error del programa ({kind})",
    "the book is full with {entries} entries; begin a new job": (
        "el libro está lleno con {entries} anotaciones; empiece un trabajo nuevo"
    ),
    "{file} is left of another job of that name; choose another name, or see rodcall recover": (
        "{file} quedó de otro trabajo con ese nombre; elija otro nombre, o vea rodcall recover"
    ),
    "{number} entry that the file lacked is put in": "se añade {number} anotación que faltaba en el archivo",
    "{number} entries that the file lacked are put in": "se añaden {number} anotaciones que faltaban en el archivo",
    "entry {number} is in no file": "la anotación {number} no está en ningún archivo",
    "entries {first} to {last} are in no file": "las anotaciones {first} a {last} no están en ningún archivo",
    "{number} line of the journal is damaged and left out": "{number} línea del diario está dañada y queda fuera",
    "{number} lines of the journal are damaged and left out": "{number} líneas del diario están dañadas y quedan fuera",
    "nothing could be put in order ({why})": "no se pudo poner nada en orden ({why})",
    "one wrong bit in {number} entry is put right by its seal": (
        "un bit equivocado en {number} anotación se corrige por su sello"
    ),
    "one wrong bit in each of {number} entries is put right by their seals": (
        "un bit equivocado en cada una de {number} anotaciones se corrige por sus sellos"
    ),
    "and {number} more": "y {number} más",
    "left out: {lines}": "quedan fuera: {lines}",
    "entry {place} cannot be read": "la anotación {place} no se puede leer",
    "entry {place} is there twice": "la anotación {place} está dos veces",
    "nothing of it fits together": "nada de él encaja",
    "nothing of it can be read": "nada de él se puede leer",
    "it is of another job": "es de otro trabajo",
    "{number} of them cannot stand in the book": "{number} no pueden estar en el libro",
    "{number} of them nowhere else": "{number} en ningún otro sitio",
    "all together": "todo junto",
    "{number} entry": "{number} anotación",
    "{number} entries": "{number} anotaciones",
    # -- what is wrong in a file ----------------------------------------------------------------------------
    "job{trouble}": "trabajo{trouble}",
    "entry {place}": "anotación {place}",
    "entry {place}: {why}": "anotación {place}: {why}",
    ": kind {kind} is not known": ": la clase {kind} no se conoce",
    "{name} is no number": "{name} no es un número",
    "an object is wanted": "se espera un objeto",
    "larger than any job ({most} MB)": "más grande que cualquier trabajo ({most} MB)",
    "more parts than any job has": "más partes de las que tiene un trabajo",
    "more than {most} entries": "más de {most} anotaciones",
    'no job file (format "{format}" is wanted)': 'no es un archivo de trabajo (se espera el formato "{format}")',
    "version {version}; this program reads version {known}": (
        "versión {version}; este programa lee la versión {known}"
    ),
    "unknown: {name}": "desconocido: {name}",
    "job: an object is wanted": "job: se espera un objeto",
    "joined: an object is wanted": "joined: se espera un objeto",
    "entries: a list is wanted": "entries: se espera una lista",
    "byte {byte} is no UTF-8 text": "el byte {byte} no es texto UTF-8",
    "line {line}: no JSON ({why})": "línea {line}: no es JSON ({why})",
    "no job (nested too deep)": "no es un trabajo (demasiados niveles)",
    "no job ({why})": "no es un trabajo ({why})",
    "{name} stands twice in one object": "{name} está dos veces en un objeto",
    # -- joining two books ----------------------------------------------------------------------------------
    "joined, a shot would change its height or its round: the setups and rounds do not go together": (
        "al unirlos, una lectura cambiaría de altura o de ronda: las estaciones y las rondas no encajan"
    ),
    "two different jobs: {names}": "dos trabajos distintos: {names}",
    "what was agreed is not the same in both: {field}": "lo acordado no es igual en ambos: {field}",
    "the strikes of the two books go round in a circle": "los tachados de los dos libros forman un círculo",
    "entry {number} of tablet {tablet} is not the same in both": (
        "la anotación {number} de la tableta {tablet} no es igual en ambos"
    ),
    # -- the terms of a job ---------------------------------------------------------------------------------
    "a share between -100 % and 100 %, such as 10%": "una proporción entre -100 % y 100 %, como 10%",
    "a share of 0 % or more, such as 25%": "una proporción de 0 % o más, como 25%",
    "it must hold something; say 0.5yd3": "debe caber algo; diga 0.5yd3",
    "more than nothing is wanted; say 12ft": "se espera más que nada; diga 12ft",
    "a whole number above 0": "un número entero mayor que 0",
    "a position such as C1, or two distances from A1: 30ft,-10ft": (
        "una posición como C1, o dos distancias desde A1: 30ft,-10ft"
    ),
    "no term is called {name}; known: {known}": "ninguna condición se llama {name}; se conocen: {known}",
    "{said} is none of: {words}": "{said} no es ninguno de: {words}",
    "kind of dirt, for shrink and swell": "clase de tierra, para contracción y esponjamiento",
    "cut lost when compacted; fill made = cut x (1 - shrink)": (
        "corte que se pierde al compactar; relleno hecho = corte x (1 - contracción)"
    ),
    "growth from bank to loose": "aumento de banco a suelto",
    "what the bucket holds, loose": "lo que cabe en el cucharón, suelto",
    "what a truck holds, loose": "lo que cabe en un camión, suelto",
    "fill in a pile on site, loose": "relleno en montón en la obra, suelto",
    "fill to be hauled in, loose": "relleno que se traerá, suelto",
    "stone on top, compacted thickness": "grava encima, espesor compactado",
    "stone as compacted": "grava ya compactada",
    "stone ordered beyond what ends up in place": "grava pedida de más sobre la que queda puesta",
    "thickest layer compacted at once": "capa más gruesa que se compacta de una vez",
    "what water runs over when all is done, for the least slope that drains": (
        "sobre qué corre el agua cuando todo está hecho, para la pendiente mínima que desagua"
    ),
    "width of a lane: the machine's reach": "ancho de un carril: el alcance de la máquina",
    "where the machine leaves": "por dónde sale la máquina",
    "from the pad's near edge to the footprint": "del borde cercano de la plataforma a la huella",
    "from the pad's far edge to the footprint": "del borde lejano de la plataforma a la huella",
    "from the pad's left edge to the footprint": "del borde izquierdo de la plataforma a la huella",
    "from the pad's right edge to the footprint": "del borde derecho de la plataforma a la huella",
    "how far a check shot may be off": "cuánto puede desviarse una comprobación",
    "a check shot is asked for after so many shots": "se pide una comprobación cada tantas lecturas",
    "a check shot is asked for after so many minutes": "se pide una comprobación cada tantos minutos",
    "how far a line of levels may miss a known reference": (
        "cuánto puede fallar una nivelación en una referencia conocida"
    ),
    "what the rod stands on": "sobre qué se apoya la mira",
    "the level's specification, rise over run: 1/16in/100ft, 10s, 1.5mm/30m": (
        "la especificación del nivel, subida por distancia: 1/16in/100ft, 10s, 1.5mm/30m"
    ),
    "where it stands, distances from A1 away and right: 30ft,-10ft; or a position": (
        "dónde está, distancias desde A1 al fondo y a la derecha: 30ft,-10ft; o una posición"
    ),
    "what counts of one spot that was read three times": "qué cuenta de un punto leído tres veces",
    "make-up and number of the level, as it is called on the sheet": (
        "tipo y número del nivel, como se llama en la hoja"
    ),
    "who shot, who typed, who ran the machine": "quién leyó, quién tecleó, quién manejó la máquina",
    "weather of the day": "tiempo del día",
    "the language of the job's sheets; where none is set, that of the settings": (
        "el idioma de las hojas del trabajo; si no se pone, el de los ajustes"
    ),
    "who agreed the target and the tolerance": "quién acordó el objetivo y la tolerancia",
    "the way the far end looks": "hacia dónde mira el extremo lejano",
    "diagonal as taped, near left to far right corner of the pad": (
        "diagonal medida con cinta, de la esquina cercana izquierda a la lejana derecha"
    ),
    "diagonal as taped, near right to far left corner of the pad": (
        "diagonal medida con cinta, de la esquina cercana derecha a la lejana izquierda"
    ),
    # -- values that a file or an option cannot have --------------------------------------------------------
    "it is missing": "falta",
    "no such field is known": "no se conoce ese campo",
    "a text is wanted": "debe ser un texto",
    "a whole number is wanted": "debe ser un número entero",
    "a number is wanted": "debe ser un número",
    "a finite number is wanted": "debe ser un número finito",
    "true or false is wanted": "debe ser true o false",
    "a list is wanted": "debe ser una lista",
    "at least {ge} is wanted": "debe ser al menos {ge}",
    "more than {gt} is wanted": "debe ser más de {gt}",
    "at most {le} is wanted": "debe ser {le} como mucho",
    "less than {lt} is wanted": "debe ser menos de {lt}",
    "longer than {max_length} characters": "pasa de {max_length} caracteres",
    "not of the form that is wanted": "no tiene la forma debida",
    "more than {max_length} of them": "son más de {max_length}",
    "it is one of {expected}": "es uno de: {expected}",
    "a time is wanted with the offset of its place": "la hora debe llevar la diferencia de su lugar",
}
