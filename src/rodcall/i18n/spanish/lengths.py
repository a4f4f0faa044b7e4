"""What lengths and quantities say."""

SENTENCES = {
    "HIGH": "ALTO",
    "LOW": "BAJO",
    "ON GRADE": "A NIVEL",
    # -- why a length is not taken --------------------------------------------------------------------------
    "{why} say {offer}": "{why} diga {offer}",
    "{why}; say {offer}": "{why}; diga {offer}",
    "{one} or {other}": "{one} o {other}",
    " or ": " o ",
    " and ": " y ",
    "thirds": "tercios",
    "fifths": "quintos",
    "sixths": "sextos",
    "sevenths": "séptimos",
    "ninths": "novenos",
    "tenths": "décimos",
    "twelfths": "doceavos",
    "such parts": "esas partes",
    "{parts} are on no rule": "{parts} no hay en ninguna regla",
    "too many parts": "demasiadas partes",
    "not understood": "no se entiende",
    '"{said}" - high or low? say {low} or {high}': '"{said}" - ¿alto o bajo? diga {low} o {high}',
    "a rod reading has no high or low": "una lectura de mira no es alta ni baja",
    "a rod reading has no minus": "una lectura de mira no lleva menos",
    "a size is neither high nor low": "una medida no es alta ni baja",
    "high or low, and only once": "alto o bajo, y una sola vez",
    "finer than any rod is read": "más fino de lo que se lee en una mira",
    "over {limit}": "más de {limit}",
    "only inches go behind feet": "tras los pies van solo pulgadas",
    "12 inches make a foot": "12 pulgadas son un pie",
    "which unit?": "¿qué unidad?",
    "a whole number belongs here": "aquí va un número entero",
    "a fraction is less than one": "una fracción es menor que uno",
    "one point will do": "basta un punto",
    "digits are missing behind the point": "faltan cifras tras el punto",
    "point, or thousands?": "¿punto, o miles?",
    "more than {most} characters": "más de {most} caracteres",
    "nothing was said": "no se dijo nada",
    "feet and inches?": "¿pies y pulgadas?",
    "digits are 0 to 9 here": "aquí las cifras son de 0 a 9",
    "no sign for a length": "ese signo no va en una medida",
    "no word for a length": "esa palabra no va en una medida",
    "one sign will do": "basta un signo",
    "a hyphen joins": "se une con guion",
    "one reading, or two?": "¿una lectura, o dos?",
    "how much?": "¿cuánto?",
    "on grade stands alone": "a nivel va solo",
    "nothing behind it": "no hay nada detrás",
    # -- why a quantity is not taken ------------------------------------------------------------------------
    "{said} is no percentage between -100 % and 100 %; say 10%": (
        "{said} no es un porcentaje entre -100 % y 100 %; diga 10%"
    ),
    "{said} is steeper than 1 in 1; say 1%, 1:50, 1/4in/ft or 3in over the pad": (
        "{said} es más inclinado que 1 en 1; diga 1%, 1:50, 1/4in/ft o 3in en toda la plataforma"
    ),
    "{said} is no level's specification; say 1/16in/100ft": (
        "{said} no es la especificación de un nivel; diga 1/16in/100ft"
    ),
    "{said} - one sign will do; say -1%": "{said} - basta un signo; diga -1%",
    "{said} is not understood; say {example}": "{said} no se entiende; diga {example}",
    "{said} is more than any pad takes; say {example}": (
        "{said} es más de lo que cabe en una plataforma; diga {example}"
    ),
    "{said} is too long": "{said} es demasiado largo",
    "{said} is not understood; say 1/16in/100ft, 1.5mm/30m or 10s": (
        "{said} no se entiende; diga 1/16in/100ft, 1.5mm/30m o 10s"
    ),
    "{said} is no slope; say 1%, 1:50, 1/4in/ft or 3in (over the pad)": (
        "{said} no es una pendiente; diga 1%, 1:50, 1/4in/ft o 3in (en toda la plataforma)"
    ),
}
