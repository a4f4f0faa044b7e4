"""What practice says: the lesson, the helper, and the score."""

SENTENCES = {
    "PRACTICE {seed}": "PRÁCTICA {seed}",
    "a pad of {along} x {across} has room for {most} mistakes": "en {along} x {across} caben {most} errores",
    "{pad}: {shot} of {positions} positions": "{pad}: {shot} de {positions} posiciones",
    "mistakes called out: {planted}, caught {caught}": "errores cantados: {planted}, cazados {caught}",
    "missed: {positions}": "escapados: {positions}",
    "typed other than called: {positions}": "escritas distinto de lo cantado: {positions}",
    "{keys} keys, {fewest} would have done": "teclas: {keys}; bastaban {fewest}",
    "{seconds:.1f} seconds a shot": "{seconds:.1f} segundos por lectura",
    "all stands as it lies on the ground": "todo quedó como está en el suelo",
    "look up when it asks: the rod still stands there": "levante la vista cuando pregunte: la mira sigue ahí",
    "{number} position was not shot": "{number} posición sin leer",
    "{number} positions were not shot": "{number} posiciones sin leer",
    "not taken: {why}": "no se tomó: {why}",
    "helper: {position}  {called}": "ayudante: {position}  {called}",
    "helper: {position} again  {called}": "ayudante: {position} otra vez  {called}",
    "helper: all shot; Enter shows how it went": "ayudante: todo leído; Enter muestra cómo fue",
    "score": "resultado",
    "How this pad and those before it went: mistakes, keys, seconds a shot.": (
        "Cómo fueron esta plataforma y las anteriores: errores, teclas, segundos por lectura."
    ),
    "another": "otra",
    "Another pad: other ground, other mistakes.": "Otra plataforma: otro suelo, otros errores.",
    "Back to this pad.": "Volver a esta plataforma.",
    "Leave; the scores are told once more.": "Salir; los resultados se dicen otra vez.",
    "practice": "práctica",
    "keys": "teclas",
    "missed": "escapados",
    "fewest": "mínimo",
    "s a shot": "s/lectura",
    "helper: waits": "ayudante: espera",
    "helper: walks": "ayudante: camina",
    "Lines and columns of positions, such as 5x4.": "Líneas y columnas de posiciones, como 5x4.",
    "In which heights are called.": "En qué unidad se cantan las alturas.",
    "Seconds from a reading to the next call.": "Segundos de una lectura al canto siguiente.",
    "How many calls are wrong.": "Cuántos cantos van mal.",
    "Which pad; another one each time when not said.": "Qué plataforma; otra cada vez si no se dice.",
    "No screen: calls on output, what is typed on input, a line each.": (
        "Sin pantalla: los cantos por la salida y lo escrito por la entrada, una línea cada uno."
    ),
    "The score of each pad as a JSON object.": "El resultado de cada plataforma como un objeto JSON.",
    "--pad: lines x columns, each from 2 to 99, such as 5x4": "--pad: líneas x columnas, de 2 a 99, como 5x4",
    "Practise on a pad that is not there: a helper calls out, sometimes wrong; the score is told at the end.": (
        "Practicar en una plataforma que no existe: un ayudante canta, a veces mal; al final se da el resultado."
    ),
}
