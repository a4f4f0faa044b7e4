"""What the punch list and the next thing to do say: each open item, what clears it, and the orders to the crew."""

SENTENCES = {
    # What is open.
    "{number} spot out of tolerance": "{number} punto fuera de tolerancia",
    "{number} spots out of tolerance": "{number} puntos fuera de tolerancia",
    "book changed outside rodcall at entry {entries}": "libreta cambiada fuera de rodcall en la anotación {entries}",
    "no backsight yet": "todavía sin lectura atrás",
    "{read}: {allowed} allowed": "{read}: se admite {allowed}",
    "{number} suspect shot": "{number} lectura sospechosa",
    "{number} suspect shots": "{number} lecturas sospechosas",
    "{number} suspect shot accepted by decision, not shot again": (
        "{number} lectura sospechosa aceptada por decisión, sin leer de nuevo"
    ),
    "{number} suspect shots accepted by decision, not shot again": (
        "{number} lecturas sospechosas aceptadas por decisión, sin leer de nuevo"
    ),
    "check again: {read}": "comprobar otra vez: {read}",
    "reading does not fit its neighbors": "lectura que no cuadra con sus vecinas",
    "line {number} does not fit the lines beside it": "la línea {number} no cuadra con las de al lado",
    "two readings disagree, read a third": "dos lecturas no concuerdan, lea una tercera",
    "the tablets disagree on {what}": "las tabletas no concuerdan en {what}",
    "the tablets' readings disagree": "las lecturas de las tabletas no concuerdan",
    "{number} spot not shot": "{number} punto no leído",
    "{number} spots not shot": "{number} puntos no leídos",
    "{number} spot left out": "{number} punto omitido",
    "{number} spots left out": "{number} puntos omitidos",
    "set-up on {name} left without a check": "emplazamiento sobre {name} dejado sin comprobación",
    "line of levels through {name} not closed": "nivelación por {name} sin cerrar",
    "line of levels through {name} misses by {off}, {allowed} allowed": (
        "la nivelación por {name} no cierra por {off}, se admite {allowed}"
    ),
    "checked only on {name}, which lies on the pad": "comprobado solo en {name}, que está en la plataforma",
    "the clock ran backwards at entry {number}, before the check": (
        "el reloj fue hacia atrás en la anotación {number}, antes de la comprobación"
    ),
    "check {hours:.0f} hours from the shots, {allowed:.0f} allowed": (
        "comprobación a {hours:.0f} horas de las lecturas, se admiten {allowed:.0f}"
    ),
    "target only suggested": "objetivo solo sugerido",
    "target changed after the final round began": "objetivo cambiado tras empezar la ronda final",
    "zero moved after the final round began": "cero movido tras empezar la ronda final",
    "height of {name} changed after the final round began": "altura de {name} cambiada tras empezar la ronda final",
    "read out of tolerance, then taken out of the pad": "leído fuera de tolerancia y luego sacado de la plataforma",
    "{name} widened after the first shot, from {began} to {now}": (
        "{name}: más amplio desde la primera lectura, de {began} a {now}"
    ),
    "no final round yet": "todavía sin ronda final",
    "spots {far} apart, {allowed} allowed": "puntos a {far} entre sí, se admite {allowed}",
    "plus/minus {found} at {spot} is half the tolerance or more": (
        "más/menos {found} en {spot} es la mitad de la tolerancia o más"
    ),
    "too close to call: {number:.1f} spots may be out": "demasiado justo: {number:.1f} puntos pueden estar fuera",
    "and {number} more": "y {number} más",
    # What was agreed.
    "the tolerance above": "la tolerancia por arriba",
    "the tolerance below": "la tolerancia por abajo",
    "the drift limit": "el límite de deriva",
    "the closure limit": "el límite de cierre",
    "the time between shots and check": "el tiempo entre lecturas y comprobación",
    "the spacing limit": "el límite de separación",
    "the target": "el objetivo",
    "{number:.0f} h": "{number:.0f} horas",
    # What clears it.
    "dig or fill, then read the spot in this round": "excave o rellene, y lea el punto en esta ronda",
    "nothing: it stays on the list": "nada: se queda en la lista",
    "read the backsight": "haga la lectura atrás",
    "read {name} again, do not touch the level": "lea {name} otra vez, sin tocar el nivel",
    "level it, then check {name}": "nivélelo y compruebe {name}",
    "shoot each again": "lea cada uno de nuevo",
    "check {name} again": "compruebe {name} otra vez",
    "Enter shows it put right; or read one of its spots again": (
        "Intro la muestra corregida; o lea de nuevo uno de sus puntos"
    ),
    "read it a third time": "léalo por tercera vez",
    "read it again": "léalo otra vez",
    "set it again": "fíjelo otra vez",
    "shoot it": "léalo",
    "shoot it, or make it not pad": "léalo, o márquelo como no plataforma",
    "shoot those spots from the set-up you have now": "lea esos puntos desde el emplazamiento de ahora",
    "check a benchmark that was not read on the way": "compruebe una referencia que no se leyó en el camino",
    "check a reference": "compruebe una referencia",
    "check a reference off the pad": "compruebe una referencia fuera de la plataforma",
    "read those spots again, then check the same day": "lea esos puntos de nuevo y compruebe el mismo día",
    "choose the target": "elija el objetivo",
    "begin a final round": "empiece una ronda final",
    "give the reason with not pad, then who agreed (agreed-by); or make it pad again and shoot it": (
        "dé el motivo con not pad y quién lo acordó (agreed-by); o vuelva a incluirlo y léalo"
    ),
    "give the reason, then who agreed (agreed-by)": "dé el motivo y luego quién lo acordó (agreed-by)",
    "begin the final round": "empiece la ronda final",
    "closer spots, or the term spacing and who agreed (agreed-by)": (
        "puntos más juntos, o el término spacing y quién lo acordó (agreed-by)"
    ),
    "a finer mark, or the level nearer": "una marca más fina, o el nivel más cerca",
    "dig or fill those, or read a finer mark": "excave o rellene esos, o lea una marca más fina",
    # What comes next.
    "backsight: rod on {name}": "lectura atrás: mira sobre {name}",
    "BAD CHECK: read {name} again, do not touch the level": (
        "MALA COMPROBACIÓN: lea {name} otra vez, sin tocar el nivel"
    ),
    "LEVEL IT, then check {name}": "NIVÉLELO, y compruebe {name}",
    "LEVEL IT, then backsight: rod on {name}": "NIVÉLELO, y lectura atrás: mira sobre {name}",
    "shoot {spot} again, {left} suspect left": "lea {spot} de nuevo, quedan {left} sospechosos",
    "= reads {spot} again": "= lee {spot} otra vez",
    "t chooses the target": "t elige el objetivo",
    "c checks {name}": "c comprueba {name}",
    "dig; then r begins a round": "excave; luego r empieza una ronda",
    "r begins the final round": "r empieza la ronda final",
    "a writes the as-built sheet": "a escribe la hoja de obra terminada",
    "Tab shows the punch list": "Tab muestra la lista de pendientes",
    # The book and the terms.
    "{name}: why?": "{name}: ¿por qué?",
    "in the final round suspect shots are shot again, never corrected": (
        "en la ronda final las lecturas sospechosas se leen de nuevo, nunca se corrigen"
    ),
    "the same spot read once more; if two disagree, read a third": (
        "el mismo punto leído otra vez; si dos no concuerdan, lea una tercera"
    ),
    "the same with the reason, as for a limit that is widened": "lo mismo con el motivo, como al ampliar un límite",
    "how far above the target a spot may be; from job setup": (
        "cuánto puede estar un punto por encima del objetivo; del trabajo"
    ),
    "how far below the target a spot may be; from job setup": (
        "cuánto puede estar un punto por debajo del objetivo; del trabajo"
    ),
    "how far apart the spots may be; 50 ft or 15 m": "cuánto pueden distar los puntos; 50 pies o 15 m",
    "hours within which a check has to follow a shot": "horas en las que una comprobación sigue a una lectura",
    "{reading} does not fit, about {expected}.": "{reading} no cuadra, cerca de {expected}.",
    # The screen.
    "target {height} is only suggested:  1 use it   2 choose another": (
        "el objetivo {height} es solo sugerido:  1 usarlo   2 elegir otro"
    ),
    "the punch list is empty": "la lista de pendientes está vacía",
    "{number} of {total}: {item}": "{number} de {total}: {item}",
    "nothing is shot yet that could be read again": "todavía no hay nada leído que se pueda leer otra vez",
    "crew tol.": "tol. cuadrilla",
    "ALL SHOT   {next}": "TODO LEÍDO   {next}",
    "read {position} again": "lea {position} otra vez",
    "READ AGAIN": "LEER OTRA VEZ",
    "= reads it again": "= lo lee otra vez",
    "READ A THIRD TIME": "LEER POR TERCERA VEZ",
    "punch list {number}": "pendientes {number}",
    "punch list empty": "pendientes: nada",
    "Enter writes {said} first, Esc clears it": "Intro escribe antes {said}, Esc lo borra",
    "{said} not written: name a spot first (arrows, or ; and its name)": (
        "{said} no escrito: nombre antes un punto (flechas, o ; y su nombre)"
    ),
    "next is {position}; arrows go elsewhere": "sigue {position}; las flechas van a otro",
    "Tab shows it": "Tab la muestra",
}
