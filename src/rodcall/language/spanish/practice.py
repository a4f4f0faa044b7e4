"""What practice says: the lesson, the helper, and the score."""

SENTENCES = {
    "PRACTICE {seed}": "PRÁCTICA {seed}",
    "a pad of {along} x {across} has room for {most} mistakes": "en {along} x {across} caben {most} errores",
    "{shot} of {positions} positions": "{shot} de {positions} posiciones",
    "mistakes called out: {planted}, caught {caught}": "errores cantados: {planted}, cazados {caught}",
    "missed: {positions}": "escapados: {positions}",
    "typed other than called: {positions}": "escritos distinto de lo cantado: {positions}",
    "{keys} keys, {fewest} would have done": "{keys} teclas, bastaban {fewest}",
    "{seconds:.1f} seconds a shot": "{seconds:.1f} segundos por lectura",
    "all stands as it lies on the ground": "todo quedó como está en el suelo",
    "look up when it asks: the rod still stands there": "levante la vista cuando pregunte: la mira sigue ahí",
    "{number} position was not shot": "{number} posición sin leer",
    "{number} positions were not shot": "{number} posiciones sin leer",
    "not taken: {why}": "no se tomó: {why}",
    "helper: {position}  {called}": "ayudante: {position}  {called}",
    "helper: all shot; q shows how it went": "ayudante: todo leído; q muestra cómo fue",
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
    "The score as one JSON object.": "El resultado como un objeto JSON.",
    "--pad: lines x columns, each from 2 to 99, such as 5x4": "--pad: líneas x columnas, de 2 a 99, como 5x4",
    "Practise on a pad that is not there: a helper calls out, sometimes wrong; the score is told at the end.": (
        "Practicar en una plataforma que no existe: un ayudante canta, a veces mal; al final se da el resultado."
    ),
}
