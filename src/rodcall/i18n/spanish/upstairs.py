"""What acts come to, what the marks mean, and the menu: as the screens say it."""

from __future__ import annotations

SENTENCES = {
    "TARGET {height}": "OBJETIVO {height}",
    "SETUP {name}": "ESTACIÓN {name}",
    "ROUND {number}": "RONDA {number}",
    "over {volume}": "sobran {volume}",
    "SHORT {volume}": "FALTAN {volume}",
    "SAVED": "GUARDADO",
    "HIGH (cut) and LOW (fill), orange and purple, deeper with distance": (
        "ALTO (corte) y BAJO (relleno), naranja y morado, más fuerte con la distancia"
    ),
    "cut and fill, where a cell is too narrow for the words": (
        "corte y relleno, si la casilla es estrecha para las palabras"
    ),
    "out of tolerance, in reverse": "fuera de tolerancia, en inverso",
    "where the next reading is written": "donde se anota la lectura siguiente",
    "not shot yet": "sin leer todavía",
    "not shot yet in this round: as it was before": "sin leer en esta ronda: como estaba antes",
    "left out: counts nowhere": "excluida: no cuenta",
    "not pad: no part of it in any round": "no es plataforma en ninguna ronda",
    "read more than once": "leído más de una vez",
    "suspect: a check after it was bad": "sospechoso: una comprobación posterior fue mala",
    "does not fit its neighbors: read it again": "no cuadra con sus vecinos: léalo otra vez",
    "two readings disagree: read a third": "dos lecturas no concuerdan: lea una tercera",
    "does not fit, kept by an older version": "no cuadra, conservado por una versión anterior",
    "^ v < > the way it runs, as the pad lies; o it stands": (
        "^ v < > adónde corre, según está la plataforma; o se queda"
    ),
    "on the apron, outside of the footprint": "en el borde, fuera de la huella",
    "shades": "tramas",
}
