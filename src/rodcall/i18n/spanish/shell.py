"""What the command line says, and its help."""

SENTENCES = {
    # -- what came of a command -----------------------------------------------------------------------------
    "{file}: {positions} positions, A1 to {last}": "{file}: {positions} posiciones, de A1 a {last}",
    "{number} entry written": "{number} anotación escrita",
    "{number} entries written": "{number} anotaciones escritas",
    "{file}: {number} entry": "{file}: {number} anotación",
    "{file}: {number} entries": "{file}: {number} anotaciones",
    "{file} is there already; left as it is": "{file} ya está ahí; queda como está",
    "{file}: printed as a box, since the sheet's font lacks them: {codes}": (
        "{file}: impresas como un cuadro, porque faltan en la letra de la hoja: {codes}"
    ),
    "least haul": "menor acarreo",
    "Lines, by example": "Líneas, con un ejemplo",
    "Terms that are set": "Condiciones que se ponen",
    # -- why a command cannot be done -----------------------------------------------------------------------
    "{file}: cannot be written ({why})": "{file}: no se puede escribir ({why})",
    "{folder}: no folder": "{folder}: no es una carpeta",
    "rodcall: the output cannot be written ({why})": "rodcall: no se puede escribir la salida ({why})",
    "the lines are no UTF-8 text": "las líneas no son texto UTF-8",
    "the lines cannot be read ({why})": "las líneas no se pueden leer ({why})",
    "that is the job's own file": "ese es el archivo del propio trabajo",
    "--tolerance is high and low alike; give --high and --low, or --tolerance": (
        "--tolerance vale para alto y bajo; dé --high y --low, o --tolerance"
    ),
    "--high and --low go together": "--high y --low van juntos",
    "--blank and --points are two different sheets": "--blank y --points son dos hojas distintas",
    "nothing is shot yet: there is nothing to dig": "aún no hay nada leído: no hay nada que excavar",
    # -- what commands are for ------------------------------------------------------------------------------
    "Key the rod as it is called out, dig to the number, prove the pad.": (
        "Teclear la mira como se canta, excavar al número, probar la plataforma."
    ),
    "Without a command: the list of jobs. With a file, rodcall JOB.json: that job, on its shot grid. Where input or"
    " output is no terminal there is no screen: the list is printed, one job a line (file, name, place, shots, round,"
    " with tabs between), or the job's figures.": (
        "Sin un mandato: la lista de trabajos. Con un archivo, rodcall JOB.json: ese trabajo, en su cuadrícula. Donde"
        " la entrada o la salida no es una terminal no hay pantalla: se imprime la lista, un trabajo por línea"
        " (archivo, nombre, lugar, lecturas, ronda, con tabuladores), o las cifras del trabajo."
    ),
    "Lengths carry a unit: 40ft, 40', 12.5m, 3/8in, 10mm. Exit status: 0 done, or PASS; 1 FAIL; 2 something given"
    " cannot be used, and nothing was changed; 3 NOT PROVEN.": (
        "Las medidas llevan unidad: 40ft, 40', 12.5m, 3/8in, 10mm. Estado de salida: 0 hecho, o PASS (cumple); 1 FAIL"
        " (no cumple); 2 algo de lo dado no sirve, y nada cambió; 3 NOT PROVEN (no probado)."
    ),
    "Open a job on its shot grid.": "Abrir un trabajo en su cuadrícula.",
    "Begin a job.": "Empezar un trabajo.",
    "Write entries, one a line; # begins a comment; all lines or none are written.": (
        "Escribir anotaciones, una por línea; # empieza un comentario; se escriben todas las líneas o ninguna."
    ),
    "Print all figures of a job.": "Imprimir todas las cifras de un trabajo.",
    "Print PASS, FAIL or NOT PROVEN with the reasons; the exit status says the same.": (
        "Imprimir PASS, FAIL o NOT PROVEN con los motivos; el estado de salida dice lo mismo."
    ),
    "Print the order of work: which highs into which lows, and what is over or short at the end.": (
        "Imprimir el orden de trabajo: qué altos van a qué bajos, y qué sobra o falta al final."
    ),
    "Print tape distances, squareness, footprint, layers, and what to key into the machine.": (
        "Imprimir distancias de cinta, escuadra, huella, capas, y qué teclear en la máquina."
    ),
    "Say whether a book is the one that a sheet was made from, by the digest printed on it.": (
        "Decir si un libro es aquel del que se hizo una hoja, por el código impreso en ella."
    ),
    "The first 12 digits or more will do. Exit status: 0 it is, 1 it is not.": (
        "Bastan las primeras 12 cifras o más. Estado de salida: 0 lo es, 1 no lo es."
    ),
    "Write the sample jobs to a folder (the folder of jobs when none is given).": (
        "Escribir los trabajos de muestra en una carpeta (la de los trabajos si no se da ninguna)."
    ),
    "Write the books of one job from two tablets as one, without a conflict.": (
        "Escribir los libros de un trabajo de dos tabletas como uno solo, sin conflicto."
    ),
    "Entries are known by tablet and number, so that nothing is doubled and the order of the two does not matter. Begin"
    " a new round on one tablet only, and join before the other goes on in it.": (
        "Las anotaciones se conocen por tableta y número, así que nada se duplica y el orden de los dos no importa."
        " Empiece una ronda nueva en una sola tableta, y una los libros antes de que la otra siga en ella."
    ),
    "Print one table of all jobs in a folder and the folders in it; a broken file is a row with its message.": (
        "Imprimir una tabla de todos los trabajos de una carpeta y sus carpetas; un archivo roto es una fila con su"
        " mensaje."
    ),
    "Print the JSON Schema of a job file.": "Imprimir el JSON Schema de un archivo de trabajo.",
    # -- what options are for -------------------------------------------------------------------------------
    "Name of the job.": "Nombre del trabajo.",
    "Where it is.": "Dónde está.",
    "For whom.": "Para quién.",
    "Pad, away from the near edge: 60ft.": "Plataforma, alejándose del borde cercano: 60ft.",
    "Pad, along the near edge: 30ft.": "Plataforma, por el borde cercano: 30ft.",
    "Shots along the length.": "Lecturas a lo largo.",
    "Shots along the width.": "Lecturas a lo ancho.",
    "Unit heights are said in.": "Unidad en que se dicen las alturas.",
    "Smallest mark read: 1/8in.": "Marca más pequeña que se lee: 1/8in.",
    "Allowed high and low alike: 1in.": "Se admite alto y bajo por igual: 1in.",
    "Allowed high, where high and low differ.": "Se admite alto, donde alto y bajo difieren.",
    "Allowed low, where high and low differ.": "Se admite bajo, donde alto y bajo difieren.",
    "The crew's own, tighter goal.": "La meta propia de la cuadrilla, más estrecha.",
    "Height said, plain rod (bigger is lower), or direct-reading rod.": (
        "Altura dicha, mira común (más es más bajo) o mira de lectura directa."
    ),
    "Position called grade.": "Posición que se llama nivel.",
    "From the pad's edge to the outermost shots.": "Del borde de la plataforma a las lecturas exteriores.",
    "Targets are rounded to this: 1/2in.": "Los objetivos se redondean a esto: 1/2in.",
    "Suggested target below the average by at least this: 1/8in.": (
        "Objetivo sugerido por debajo del promedio al menos en esto: 1/8in."
    ),
    "Cut volume lost when compacted, fill = cut x (1 - shrink): 10%.": (
        "Volumen de corte que se pierde al compactar, relleno = corte x (1 - contracción): 10%."
    ),
    "Rise of the target going away: 1%.": "Subida del objetivo al alejarse: 1%.",
    "Rise of the target going right: -0.5%.": "Subida del objetivo hacia la derecha: -0.5%.",
    "Which round, from 1 (the existing ground).": "Qué ronda, desde 1 (el terreno existente).",
    "One JSON object; lengths in mm.": "Un objeto JSON; medidas en mm.",
    "Position the machine stands at: B2. The zero when not given.": (
        "Posición donde está la máquina: B2. El cero si no se da."
    ),
    "Of a PDF; by the job's units where not said.": "De un PDF; según las unidades del trabajo si no se dice.",
    "A blank sheet for a pencil, in walking order (.pdf, .txt).": (
        "Una hoja en blanco para lápiz, en orden de marcha (.pdf, .txt)."
    ),
    "A table of points: north, east, height (.csv).": "Una tabla de puntos: norte, este, altura (.csv).",
    "Of the sheet; else the job's own, else that of the settings.": (
        "De la hoja; si no, el propio del trabajo, si no, el de los ajustes."
    ),
    "the input is closed": "la entrada está cerrada",
    "Write all of it to a new file.": "Escribir todo en un archivo nuevo.",
    "Read all that lies about of a job and tell what is in it: the file, the ones before, journals, torn parts.": (
        "Lee todo lo que queda de un trabajo y dice qué contiene: el archivo, los anteriores, diarios, partes rotas."
    ),
    "Nothing is changed; with --to all entries go into a new file, never over an old one.": (
        "No se cambia nada; con --to todas las anotaciones van a un archivo nuevo, nunca sobre uno viejo."
    ),
    "The joined book, a new file.": "El libro unido, un archivo nuevo.",
    "Comma-separated values: what is customary.": "Valores separados por comas: lo habitual.",
    "JSON Lines: one object a job.": "JSON Lines: un objeto por trabajo.",
    # -- click's own ----------------------------------------------------------------------------------------
    "Usage:": "Uso:",
    "Options": "Opciones",
    "Commands": "Mandatos",
    "required": "obligatorio",
    "default: {default}": "si no se dice: {default}",
    "Missing command.": "Falta el mandato.",
    "Missing argument": "Falta el argumento",
    "Missing option": "Falta la opción",
    "Got unexpected extra argument ({args})": "Sobra un argumento ({args})",
    "Got unexpected extra arguments ({args})": "Sobran argumentos ({args})",
    "Invalid value: {message}": "Valor no válido: {message}",
    "Invalid value for {param_hint}: {message}": "Valor no válido para {param_hint}: {message}",
    "No such option {name!r}.": "No existe la opción {name!r}.",
    "Did you mean {possibility}?": "¿Quiso decir {possibility}?",
    "(Did you mean one of: {possibilities}?)": "(¿Quiso decir una de: {possibilities}?)",
    "{value!r} is not {choice}.": "{value!r} no es {choice}.",
    "{value!r} is not one of {choices}.": "{value!r} no es ninguno de {choices}.",
    "{value!r} is not a valid {number_type}.": "{value!r} no vale como {number_type}.",
    "Option {name!r} does not take a value.": "La opción {name!r} no lleva valor.",
    "Option {name!r} requires an argument.": "La opción {name!r} lleva un argumento.",
    "Option {name!r} requires {nargs} arguments.": "La opción {name!r} lleva {nargs} argumentos.",
    "Show this message and exit.": "Mostrar esta ayuda y terminar.",
    "Show the version and exit.": "Mostrar la versión y terminar.",
    "Of the settings file instead.": "En su lugar, del archivo de ajustes.",
}
