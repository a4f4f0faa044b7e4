"""What outlines and designs say: the pad's edge by its corners, crown, valley, ramp and dish."""

from __future__ import annotations

SENTENCES = {
    "an outline has at most {most} corners": "un contorno tiene {most} esquinas como máximo",
    "an outline needs three corners or more with ground between them": (
        "un contorno necesita tres esquinas o más con terreno entre ellas"
    ),
    "two edges of the outline cross; give its corners in order around the pad": (
        "dos lados del contorno se cruzan; dé las esquinas en orden alrededor de la plataforma"
    ),
    "a hole lies inside the outline": "un hueco queda dentro del contorno",
    "one hole lies in another": "un hueco queda dentro de otro",
    "{said} is no shape; say {examples}": "{said} no es una forma; diga {examples}",
    "incomplete; for example {example}": "incompleto; por ejemplo {example}",
    "{said} lies off the pad; distances are out from A1, then right": (
        "{said} queda fuera de la plataforma; las distancias son desde A1 hacia fuera, luego a la derecha"
    ),
    "an outline has {few} to {most} corners": "un contorno tiene de {few} a {most} esquinas",
    "a line needs two places": "una línea necesita dos lugares",
    "a design by heights has one a position: {count} of them": "un diseño por alturas tiene una por posición: {count}",
    "the target's shape: crown, valley, ramp A2 A4 6in, dish B3 1%, or plane": (
        "la forma del objetivo: crown (bombeo), valley (vaguada), ramp A2 A4 6in, dish B3 1% (cubeta) o plane (plano)"
    ),
    "the pad's edge by its corners: positions, or OUT,RIGHT as 30ft,12ft": (
        "el borde de la plataforma por sus esquinas: posiciones, o FUERA,DERECHA como 30ft,12ft"
    ),
    "a part inside that is no pad, by its corners": "una parte interior que no es plataforma, por sus esquinas",
    "crown": "bombeo",
    "valley": "vaguada",
    "ramp": "rampa",
    "dish": "cubeta",
    "outline": "contorno",
}
