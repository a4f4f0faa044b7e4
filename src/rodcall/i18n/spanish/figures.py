"""What figures say: the reasons of a verdict, states of checks, and the names of mistakes."""

SENTENCES = {
    # -- verdicts and their reasons -------------------------------------------------------------------------
    "PASS": "CUMPLE",
    "FAIL": "NO CUMPLE",
    "NOT PROVEN": "NO PROBADO",
    "{reference} reads true": "{reference} lee exacto",
    "{reference} reads {off} HIGH": "{reference} lee {off} ALTO",
    "{reference} reads {off} LOW": "{reference} lee {off} BAJO",
    "no check shot": "ninguna comprobación",
    "no check shot after the last shot": "ninguna comprobación tras la última lectura",
    # -- checks ---------------------------------------------------------------------------------------------
    "good": "buena",
    "check again": "comprobar otra vez",
    "BAD": "MALA",
    "repeat": "repetir",
    "stop": "parar",
    # -- sides ----------------------------------------------------------------------------------------------
    "along": "a lo largo",
    "across": "a lo ancho",
    "the zero": "el cero",
    "diagonals that no pad with these sides has: tape them, and the sides, again": (
        "ninguna plataforma con estos lados tiene esas diagonales: mida otra vez con cinta las diagonales y los lados"
    ),
    "there is no round {number}; this job has {count}": "no hay ronda {number}; este trabajo tiene {count}",
    # -- mistakes -------------------------------------------------------------------------------------------
    "one foot": "un pie",
    "one tenth": "un décimo",
    "one inch": "una pulgada",
    "one metre": "un metro",
    "one decimetre": "un decímetro",
    "one centimetre": "un centímetro",
    "wrong sign": "signo equivocado",
    "inches for tenths": "pulgadas por décimos",
    "tenths for inches": "décimos por pulgadas",
    "swapped digits": "cifras cambiadas",
    "last digit lost": "última cifra perdida",
    "rod section not out": "tramo de la mira sin sacar",
    "teens for tens": "quince por cincuenta o al revés",
    "slash missing": "falta la barra de la fracción",
    "ten times": "diez veces",
    "decimal point missing": "falta el punto decimal",
    "each reading belongs one position on": "cada lectura va una posición más adelante",
    "each reading belongs one position back": "cada lectura va una posición más atrás",
    "all signs flipped": "todos los signos al revés",
    "typed from the wrong end": "tecleada desde el otro extremo",
    # -- parts of the plus/minus, and where each comes from ----------------------------------------------------
    "reading the rod": "leer la mira",
    "placing the rod": "colocar la mira",
    "reading the backsight or zero": "leer la lectura atrás o el cero",
    "placing the rod there": "colocar la mira allí",
    "{source}; times the root of {number}, the readings it hangs on": (
        "{source}; por la raíz de {number}, las lecturas de las que depende"
    ),
    "drift": "deriva",
    "half a mark as a bound: mark / sqrt 12 (JCGM 100, 4.3.7)": (
        "media marca como límite: marca / raíz de 12 (JCGM 100, 4.3.7)"
    ),
    "specification times distance as a bound: / sqrt 3": "especificación por distancia como límite: / raíz de 3",
    "specification times distance from the pad's farthest corner as a bound: / sqrt 3": (
        "especificación por distancia desde la esquina más lejana como límite: / raíz de 3"
    ),
    "what the checks before and after show, else what is allowed, as a bound: / sqrt 3": (
        "lo que muestran las comprobaciones de antes y después, o lo admitido, como límite: / raíz de 3"
    ),
    "{readings} readings of {spots} spots read again, pooled (JCGM 100, 4.2.4), less the mark's share": (
        "{readings} lecturas de {spots} puntos leídos otra vez, en conjunto (JCGM 100, 4.2.4),"
        " menos la parte de la marca"
    ),
    "common practice, until {number} spots are read again": (
        "costumbre del oficio, hasta que se lean otra vez {number} puntos"
    ),
}
