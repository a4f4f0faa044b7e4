"""What the manual's list, its errors, completion and progress say."""

SENTENCES = {
    # -- the list of topics ---------------------------------------------------------------------------------
    "The manual": "El manual",
    "One topic: rodcall manual TOPIC.": "Un tema: rodcall manual TEMA.",
    "The pages are in English only.": "Las páginas están solo en inglés.",
    "no topic {name}; did you mean {topic}?": "no hay tema {name}; ¿quiso decir {topic}?",
    "no topic {name}; rodcall manual lists them": "no hay tema {name}; rodcall manual los enumera",
    "Install and first steps": "Instalación y primeros pasos",
    "install, samples, practice, where files are kept": "instalar, muestras, práctica, dónde se guardan los archivos",
    "A pad from start to proof": "Una plataforma, del inicio a la prueba",
    "the whole job in eight steps, by the keys": "todo el trabajo en ocho pasos, con las teclas",
    "Cautions": "Precauciones",
    "buried services, swing radius, laser, edges, overhead lines": (
        "servicios enterrados, radio de giro, láser, bordes, líneas aéreas"
    ),
    "Readings": "Lecturas",
    "what may be typed; signs; readings that do not fit": ("qué se puede teclear; signos; lecturas que no concuerdan"),
    "Keys": "Teclas",
    "the keys of every page, and the numeric pad alone": "las teclas de cada página, y solo el teclado numérico",
    "The screen": "La pantalla",
    "marks, colours, call-out, sound, a terminal without UTF-8": (
        "marcas, colores, canto, sonido, una terminal sin UTF-8"
    ),
    "Check shots": "Comprobaciones",
    "references, set-ups, checks, and what a bad check asks for": (
        "referencias, estaciones, comprobaciones, y qué pide una mala"
    ),
    "Target": "Objetivo",
    "suggested target, slopes, rod reading to hit": "objetivo sugerido, pendientes, lectura de mira que hay que dar",
    "Dig": "Excavación",
    "order of work, dirt, stone, loads, machine offsets": (
        "orden de trabajo, tierra, piedra, viajes, correcciones de la máquina"
    ),
    "Proof": "Prueba",
    "the punch list and the verdict read off it": "la lista de pendientes y el dictamen que sale de ella",
    "Sheets": "Hojas",
    "as-built sheet, blank sheet, points, surface, digest": (
        "acta de obra terminada, hoja en blanco, puntos, superficie, código"
    ),
    "Practice": "Práctica",
    "a pad that is not there, with mistakes to catch": "una plataforma que no existe, con errores que cazar",
    "Words": "Palabras",
    "the trade's words as used here": "las palabras del oficio como se usan aquí",
    "Settings": "Ajustes",
    "settings.toml, keys of your own, language": "settings.toml, teclas propias, idioma",
    "Terms of the job": "Condiciones del trabajo",
    "every term that set knows, with its default": "cada condición que set conoce, con su valor de partida",
    "Job files": "Archivos de trabajo",
    "the format, the journal, seals, what may be edited": "el formato, el diario, los sellos, qué se puede editar",
    "When something goes wrong": "Cuando algo sale mal",
    "crash, full disk, damaged file, two programs": "caída, disco lleno, archivo dañado, dos programas",
    "Two tablets": "Dos tabletas",
    "join the books of one job": "unir los libros de un trabajo",
    "Shell commands": "Mandatos",
    "every command with its options, exit statuses, completion": (
        "cada mandato con sus opciones, estados de salida, completado"
    ),
    "Lines that enter takes": "Líneas que toma enter",
    "one entry a line, by example": "una anotación por línea, con ejemplos",
    "Figures as JSON": "Cifras en JSON",
    "every key of figures --json; the season's table": "cada clave de figures --json; la tabla de la temporada",
    "From Python": "Desde Python",
    "read a job in a script of your own": "leer un trabajo en un programa propio",
    "Limits": "Límites",
    "sizes, ranges, and what the program does not do": "tamaños, márgenes, y lo que el programa no hace",
    "On Windows": "En Windows",
    "installing there, and what is untried": "instalar ahí, y qué está sin probar",
    "Changes": "Cambios",
    "what changed in each version": "qué cambió en cada versión",
    "Published checks": "Comprobaciones publicadas",
    "the figures beside published values": "las cifras junto a valores publicados",
    # -- commands -------------------------------------------------------------------------------------------
    "no command or file {word}; did you mean {command}?": "no hay mandato ni archivo {word}; ¿quiso decir {command}?",
    "Read the manual: one topic, or the list of topics.": "Leer el manual: un tema, o la lista de temas.",
    "The list and its titles are in the language of the settings; the pages are in English.": (
        "La lista y sus títulos van en el idioma de los ajustes; las páginas, en inglés."
    ),
    "Print the script that completes commands, options and topics in a shell.": (
        "Imprimir el guion que completa mandatos, opciones y temas en un intérprete."
    ),
    'bash: eval "$(rodcall completion bash)" in ~/.bashrc; zsh: the same in ~/.zshrc; fish: rodcall completion fish >'
    " ~/.config/fish/completions/rodcall.fish; PowerShell: rodcall completion powershell | Out-String |"
    " Invoke-Expression in $PROFILE.": (
        'bash: eval "$(rodcall completion bash)" en ~/.bashrc; zsh: lo mismo en ~/.zshrc; fish: rodcall completion'
        " fish > ~/.config/fish/completions/rodcall.fish; PowerShell: rodcall completion powershell | Out-String |"
        " Invoke-Expression en $PROFILE."
    ),
    "Without a command: the list of jobs. With a file, rodcall JOB.json: that job, on its shot grid. Where input or"
    " output is no terminal there is no screen: the list is printed, one job a line (file, name, place, shots, round,"
    " tab-separated), or the job's figures.": (
        "Sin un mandato: la lista de trabajos. Con un archivo, rodcall JOB.json: ese trabajo, en su cuadrícula. Donde"
        " la entrada o la salida no es una terminal no hay pantalla: se imprime la lista, un trabajo por línea"
        " (archivo, nombre, lugar, lecturas, ronda, con tabuladores), o las cifras del trabajo."
    ),
    "Lengths carry a unit: 40ft, 40', 12.5m, 3/8in, 10mm. Exit status: 0 done, or PASS; 1 FAIL; 2 something given"
    " cannot be used, and nothing was changed; 3 NOT PROVEN. More: rodcall manual.": (
        "Las medidas llevan unidad: 40ft, 40', 12.5m, 3/8in, 10mm. Estado de salida: 0 hecho, o PASS (cumple); 1 FAIL"
        " (no cumple); 2 algo de lo dado no sirve, y nada cambió; 3 NOT PROVEN (no probado). Más: rodcall manual."
    ),
    # -- progress -------------------------------------------------------------------------------------------
    "reading the job": "leyendo el trabajo",
    "reading the jobs": "leyendo los trabajos",
    "writing entries, line": "escribiendo anotaciones, línea",
    "saving": "guardando",
    "looking for readings that do not fit": "buscando lecturas que no concuerdan",
    "making the sheet, page": "haciendo la hoja, página",
    "joining": "uniendo",
    "reading all that is left of the job": "leyendo todo lo que queda del trabajo",
    # -- settings -------------------------------------------------------------------------------------------
    "{name} is already set in line {number}": "{name} ya está puesto en la línea {number}",
    "[keys] begins already in line {number}": "[keys] ya empieza en la línea {number}",
    "{name} cannot be changed here: edit {file}": "{name} no se puede cambiar aquí: edite {file}",
    "not TOML: {why}": "no es TOML: {why}",
}
