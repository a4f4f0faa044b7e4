"""What the page of the punch list says, with the preview of a line, leaving out, and not pad."""

SENTENCES = {
    # Actions.
    "punch list": "pendientes",
    "Everything still open: what it is, where, and what clears it.": (
        "Todo lo que queda pendiente: qué es, dónde, y qué lo resuelve."
    ),
    "next item": "siguiente",
    "go there": "ir ahí",
    "To the item's first spot, or to what clears it: check, target, round, terms.": (
        "Al primer punto, o a lo que lo resuelve: comprobación, objetivo, ronda, términos."
    ),
    "accept": "aceptar",
    "Accept suspect shots by decision, with the reason; they stay on the list.": (
        "Aceptar lecturas sospechosas por decisión, con el motivo; siguen en la lista."
    ),
    "correct": "corregir",
    "Correct suspect shots by the check's drift; never in a final round.": (
        "Corregir lecturas sospechosas con la deriva de la comprobación; nunca en una ronda final."
    ),
    "The item before.": "El pendiente anterior.",
    "The next item.": "El pendiente siguiente.",
    "Half a screen up.": "Media pantalla arriba.",
    "Half a screen down.": "Media pantalla abajo.",
    "The gravest item.": "El pendiente más grave.",
    "The last item.": "El último pendiente.",
    "Enter alone": "solo Enter",
    "On an empty line: says which spot is next, and stays there.": (
        "En la línea vacía: dice qué punto sigue, y no se mueve."
    ),
    # The page.
    " punch list {number}: {verdict}   round {round} {kind}": " pendientes {number}: {verdict}   ronda {round} {kind}",
    "out of tolerance": "fuera de tolerancia",
    "book and level": "libro y nivel",
    "readings that disagree": "lecturas que no cuadran",
    "spots without a reading": "puntos sin lectura",
    "check shots": "comprobaciones",
    "target, limits, final round": "objetivo, límites, ronda final",
    "how well the pad is known": "lo bien que se conoce la plataforma",
    "only suspect shots can be accepted or corrected; put the bar on them": (
        "solo se aceptan o corrigen lecturas sospechosas; ponga la barra en ellas"
    ),
    "Nothing is open: the pad is proven. a on the shot grid writes the sheets.": (
        "Nada pendiente: la plataforma está probada. a en la cuadrícula escribe las actas."
    ),
    "accept {number} suspect shot: why?": "¿por qué aceptar {number} lectura sospechosa?",
    "accept {number} suspect shots: why?": "¿por qué aceptar {number} lecturas sospechosas?",
    "{number} SUSPECT SHOT ACCEPTED": "{number} LECTURA SOSPECHOSA ACEPTADA",
    "{number} SUSPECT SHOTS ACCEPTED": "{number} LECTURAS SOSPECHOSAS ACEPTADAS",
    "{number} SHOT CORRECTED BY DRIFT": "{number} LECTURA CORREGIDA CON LA DERIVA",
    "{number} SHOTS CORRECTED BY DRIFT": "{number} LECTURAS CORREGIDAS CON LA DERIVA",
    "that check was struck; shoot its suspects again": (
        "esa comprobación está tachada; lea otra vez sus lecturas sospechosas"
    ),
    # The preview of a line.
    "Enter writes it, any other key leaves it": "Enter lo anota, otra tecla lo deja",
    "Enter writes it, arrows for more, others leave it": "Enter lo anota, flechas para más, otra lo deja",
    "line {number}": "línea {number}",
    "spot": "punto",
    "as read": "leído",
    "as it would be": "quedaría",
    "open, to shoot": "sin leer",
    "{spots} is open again: shoot it": "{spots} queda sin leer: léalo",
    "One undo takes all of it back.": "Un solo deshacer lo quita todo.",
    # Left out, and not pad.
    "1 rut or pile, left out  2 left out, other reason  3 not pad  4 not pad, to another corner": (
        "1 rodada o montón, excluido  2 excluido, otro motivo  3 no es plataforma  4 no lo es, hasta otra esquina"
    ),
    "type 1, 2, 3 or 4": "escriba 1, 2, 3 o 4",
    "type the reason": "escriba el motivo",
    "rut or pile": "rodada o montón",
    "{position} was shot: why is it not pad?": "{position} está leído: ¿por qué no es plataforma?",
    "leave out {position}, why?": "¿por qué excluir {position}?",
    "not pad from {position} to which corner? such as {name}, or {numbers}": (
        "no es plataforma de {position} ¿hasta qué esquina? como {name}, o {numbers}"
    ),
    "{first} to {last}": "{first} a {last}",
    "{number} spot out of area, dirt and list": "{number} punto fuera de área, tierra y lista",
    "{number} spots out of area, dirt and list": "{number} puntos fuera de área, tierra y lista",
    # What to dig, and the key after it.
    "dig; then r begins a round": "excave; luego r empieza una ronda",
    "dig, worst {spot} {work}; then r begins a round": "excave, el peor {spot} {work}; luego r empieza una ronda",
    "{spot} {work}; then ! names {spot} to read it": "{spot} {work}; luego ! nombra {spot} para leerlo",
    "= reads it again": "= lo lee otra vez",
    "{position}: = reads it again.  It was read {readings}": "{position}: = lo lee otra vez.  Se leyó {readings}",
    "Rod on a benchmark: b writes it": "Mira en una referencia: b la anota",
    "{name}: how high above the zero? -{small} is low": "{name}: ¿cuánto sobre el cero? -{small} es bajo",
}
