"""What the words of the trade say on screens and sheets alike: heights, dirt, proofs and cautions."""

SENTENCES = {
    # -- units and ways of reading --------------------------------------------------------------------------
    "inches": "pulgadas",
    "feet": "pies",
    "heights": "alturas",
    "plain rod": "mira común",
    "direct rod": "mira directa",
    # -- what a height asks for -----------------------------------------------------------------------------
    "on target": "en el objetivo",
    "cut {by}": "cortar {by}",
    "fill {by}": "rellenar {by}",
    "stays": "se queda",
    "UP {by}": "ARRIBA {by}",
    "DOWN {by}": "ABAJO {by}",
    # -- dirt and stone -------------------------------------------------------------------------------------
    "even": "justo",
    "over {volume}, {loads}": "sobran {volume}, {loads}",
    "SHORT {volume}, {loads}": "FALTAN {volume}, {loads}",
    "{number} load": "{number} viaje",
    "{number} loads": "{number} viajes",
    "{number} lift": "{number} capa",
    "{number} lifts": "{number} capas",
    "{mass:.1f} tons": "{mass:.1f} toneladas cortas",
    "{volume} in place, {mass}, {hauled}, {laid}": "{volume} colocados, {mass}, {hauled}, {laid}",
    # -- slopes and water -----------------------------------------------------------------------------------
    "level": "a nivel",
    "rises {by:.2f}% away": "sube {by:.2f}% al alejarse",
    "falls {by:.2f}% away": "baja {by:.2f}% al alejarse",
    "rises {by:.2f}% right": "sube {by:.2f}% a la derecha",
    "falls {by:.2f}% right": "baja {by:.2f}% a la derecha",
    "water runs {said}": "el agua corre {said}",
    "water stands": "el agua se queda",
    "water stands at {positions}, {depth} deep at {deepest}; it runs off over {lip}": (
        "el agua se queda en {positions}, {depth} de hondo en {deepest}; rebosa por {lip}"
    ),
    "a slope of {slope:.2f}% does not drain on {surface}: {least:g}% is the least": (
        "una pendiente de {slope:.2f}% no desagua en {surface}: {least:g}% es lo mínimo"
    ),
    "away from you": "hacia el fondo",
    "towards you": "hacia usted",
    "left": "a la izquierda",
    " at {name}": " en {name}",
    "{name}{at} will be dug away ({by}): have a reference outside": (
        "{name}{at} se excavará ({by}): tenga una referencia fuera"
    ),
    "{name}{at} will be buried ({by}): have a reference outside": (
        "{name}{at} quedará bajo el relleno ({by}): tenga una referencia fuera"
    ),
    "slope {side}: {reached} of {asked} asked is reached so far": (
        "pendiente {side}: hasta ahora se alcanza {reached} de {asked} pedido"
    ),
    "{side}: {reached} of {asked} asked{state}": "{side}: {reached} de {asked} pedido{state}",
    ", does not drain": ", no desagua",
    ", short": ", no llega",
    # -- checks and what moved ------------------------------------------------------------------------------
    "CHECK DUE": "TOCA COMPROBAR",
    "CHECK DUE, last {age}": "TOCA COMPROBAR, última {age}",
    "no check yet": "sin comprobación aún",
    "check {state} {age}": "comprobación {state} {age}",
    "the level has not moved": "el nivel no se ha movido",
    "likely ": "probable: ",
    "{likely}steady drift: all reads {by} by the last check": (
        "{likely}desvío constante: en la última comprobación todo lee {by}"
    ),
    "after {name}": "tras {name}",
    "before the first shot": "antes de la primera lectura",
    "moved: all reads {by} by the last check": "se movió: en la última comprobación todo lee {by}",
    "moved between the check before {first} and the one after {last}: all reads {by}": (
        "se movió entre la comprobación antes de {first} y la de después de {last}: todo lee {by}"
    ),
    "{likely}bumped {after}: all reads {by} from there on": "{likely}golpe {after}: desde ahí todo lee {by}",
    "references disagree ({told}): which one moved cannot be told; check a third": (
        "las referencias no coinciden ({told}): no se sabe cuál se movió; compruebe una tercera"
    ),
    "references disagree ({told}): {moved} moved{unsure}": (
        "las referencias no coinciden ({told}): se movió {moved}{unsure}"
    ),
    ", or the backsight was off from the start: check a third": (
        ", o la lectura atrás estaba mal desde el principio: compruebe una tercera"
    ),
    # -- level runs, tests, rounds --------------------------------------------------------------------------
    "{number} setup": "{number} estación",
    "{number} setups": "{number} estaciones",
    "backsights {back}, foresights {fore}": "lecturas atrás {back}, lecturas adelante {fore}",
    "{setups}: {sums}, change {height}": "{setups}: {sums}, desnivel {height}",
    "{run}; misses {reference} by {height}, {allowed} allowed": (
        "{run}; falla en {reference} por {height}, se admite {allowed}"
    ),
    "{rise:.2f} mm in 10 m": "{rise:.2f} mm en 10 m",
    "OFF": "MAL",
    "{test}: {found}, {allowed} specified, {state}": "{test}: {found}, especificado {allowed}, {state}",
    "{at}: machine shows {height}": "{at}: la máquina muestra {height}",
    "{round} {kind}: {inside} in, {outside} out, {unshot} unshot": (
        "{round} {kind}: {inside} dentro, {outside} fuera, {unshot} sin leer"
    ),
    # -- remarks on a verdict -------------------------------------------------------------------------------
    "all stands {by} off the target: the stone": "todo queda a {by} del objetivo: la grava",
    "all stands {by} off the target": "todo queda a {by} del objetivo",
    "too close to call: {positions}": "demasiado cerca del límite para decidir: {positions}",
    # -- cautions -------------------------------------------------------------------------------------------
    "A contractor's record of a grade check; no licensed survey. Local codes and licensed practice rule.": (
        "Registro del contratista de una comprobación de nivel; no es un levantamiento con licencia. Mandan las normas"
        " locales y los profesionales con licencia."
    ),
    "Before the bucket: buried services found and marked by their owners (811 in the US).": (
        "Antes del cucharón: servicios enterrados localizados y marcados por sus dueños (811 en EE. UU.)."
    ),
    "People out of the swing radius; eye contact; bucket grounded before anyone walks in.": (
        "Nadie dentro del radio de giro; contacto visual; cucharón en el suelo antes de que alguien entre."
    ),
    "Never look into the beam or aim it at people. Keep off edges and away from overhead lines.": (
        "No mire nunca el rayo ni lo apunte a nadie. Lejos de los bordes y de las líneas aéreas."
    ),
}
