"""What the certificate says: its first page, the evidence and the annex; photos, logos and issuing."""

SENTENCES = {
    # -- settings, pictures, issuing ------------------------------------------------------------------------
    "contractor on the certificate: the name": "contratista en el certificado: el nombre",
    "contractor on the certificate: the address": "contratista en el certificado: la dirección",
    "contractor on the certificate: telephone, mail": "contratista en el certificado: teléfono, correo",
    "contractor on the certificate: licence and number": "contratista en el certificado: licencia y número",
    "contractor on the certificate: the logo's file, PNG or SVG": (
        "contratista en el certificado: el archivo del logotipo, PNG o SVG"
    ),
    "{file}: no such file": "{file}: no existe ese archivo",
    "{file}: cannot be read ({why})": "{file}: no se puede leer ({why})",
    "{file}: cannot be copied ({why})": "{file}: no se puede copiar ({why})",
    "no name of a file": "no es nombre de archivo",
    "larger than {most} kB; a logo is smaller": "pasa de {most} kB; un logotipo es más pequeño",
    "larger than {most} MB; take a smaller picture": "pasa de {most} MB; tome una imagen más pequeña",
    "more than {most} million dots; take a smaller picture": (
        "más de {most} millones de puntos; tome una imagen más pequeña"
    ),
    "an SVG with a document type; save it as plain SVG": "un SVG con tipo de documento; guárdelo como SVG simple",
    "no PNG or SVG picture": "no es imagen PNG ni SVG",
    "no PNG or JPEG picture": "no es imagen PNG ni JPEG",
    "an SVG with <{name}>; a logo is only drawn": "un SVG con <{name}>; un logotipo solo se dibuja",
    "an SVG that refers to something outside": "un SVG que remite a algo de fuera",
    "an SVG that runs or refers to something outside": "un SVG que ejecuta algo o remite a algo de fuera",
    "a damaged picture; take it again": "una imagen dañada; tómela de nuevo",
    "a damaged picture": "una imagen dañada",
    "not beside the job any more": "ya no está junto al trabajo",
    "not the picture that the book has: it was changed": "no es la imagen que tiene el libro: se cambió",
    "name the picture's file: {example}": "nombre el archivo de la imagen: {example}",
    "a photo needs a job file to lie beside": "una foto necesita un archivo de trabajo junto al que guardarse",
    "a photo and what it shows; a copy is kept beside the job": (
        "una foto y lo que muestra; se guarda una copia junto al trabajo"
    ),
    "photo": "foto",
    "photos": "fotos",
    "Photos": "Fotos",
    "issue": "emisión",
    "Keep a photo with the job: its file, and the spot it shows.": (
        "Guardar una foto con el trabajo: su archivo y el punto que muestra."
    ),
    "photo: its file, and a spot": "foto: su archivo y un punto",
    "photo kept": "foto guardada",
    "as-built, round {number} {kind}: Enter writes the sheets, i issues": (
        "acta, ronda {number} {kind}: Intro escribe las hojas, i emite"
    ),
    "NOT ISSUED: {why}": "NO EMITIDO: {why}",
    "FILE.pdf, .html, .txt, .csv or .xml": "ARCHIVO.pdf, .html, .txt, .csv o .xml",
    "The certificate, or the crew's own sheet: rod, machine, crew tolerance, order of work.": (
        "El certificado, o la hoja de la cuadrilla: mira, máquina, tolerancia de la cuadrilla, orden de trabajo."
    ),
    "Write the as-built sheet: .pdf, .html, .txt, .csv (all positions), or .xml (the ground as LandXML 1.2).": (
        "Escribir el acta: .pdf, .html, .txt, .csv (todas las posiciones) o .xml (el terreno como LandXML 1.2)."
    ),
    "Nothing is issued by it: a sheet is a draft until rodcall issue was called on the book as it stands.": (
        "No emite nada: una hoja es borrador hasta que se llame a rodcall issue sobre el libro tal como está."
    ),
    "Issue the certificate on the book as it stands: its number, revision and digest are written into the book.": (
        "Emitir el certificado del libro tal como está: su número, revisión y código se anotan en el libro."
    ),
    "The number is counted on this tablet; a later revision keeps it and says what changed. Then write the sheet.": (
        "El número se cuenta en esta tableta; una revisión posterior lo conserva y dice qué cambió. Después, escriba"
        " la hoja."
    ),
    "digest {digest}": "código {digest}",
    "issued: report {report}, revision {number}": "emitido: informe {report}, revisión {number}",
    "nothing is shot in this round: there is nothing to certify": (
        "no hay lecturas en esta ronda: no hay nada que certificar"
    ),
    "nobody issues it: set contractor_name in the settings first": (
        "nadie lo emite: ponga primero contractor_name en los ajustes"
    ),
    "the report cannot be numbered ({why})": "no se puede numerar el informe ({why})",
    "nothing was written since the last certificate was issued": (
        "no se anotó nada desde que se emitió el último certificado"
    ),
    "no logo on the sheet: {why}": "sin logotipo en la hoja: {why}",
    # -- the first page -------------------------------------------------------------------------------------
    "As-built certificate": "Certificado de obra terminada",
    "report": "informe",
    "revision": "revisión",
    "issued": "emitido",
    "draft, not issued": "borrador, sin emitir",
    "draft, changed since revision {number}": "borrador, cambiado desde la revisión {number}",
    "{report} revision {number}": "{report} revisión {number}",
    "{report}; digest {digest}": "{report}; código {digest}",
    "{kind} round": "ronda {kind}",
    "{number} spot": "{number} punto",
    "{number} spots": "{number} puntos",
    "{spots}, all shot": "{spots}, todos leídos",
    "{spots}, {number} shot": "{spots}, {number} leídos",
    "not shot yet": "sin lecturas aún",
    "Nothing is shot in this round.": "No hay lecturas en esta ronda.",
    "No target is chosen: no spot is judged yet.": "No se eligió objetivo: aún no se juzga ningún punto.",
    "{number} of {total} spots is not within {within} of the agreed height.": (
        "{number} de {total} puntos no está dentro de {within} de la altura acordada."
    ),
    "{number} of {total} spots are not within {within} of the agreed height.": (
        "{number} de {total} puntos no están dentro de {within} de la altura acordada."
    ),
    "The {number} spots shot are within {within} of the agreed height.": (
        "Los {number} puntos leídos están dentro de {within} de la altura acordada."
    ),
    "All {number} spots are within {within} of the agreed height.": (
        "Los {number} puntos están todos dentro de {within} de la altura acordada."
    ),
    "{number} spot has no reading.": "{number} punto no tiene lectura.",
    "{number} spots have no reading.": "{number} puntos no tienen lectura.",
    "The worst is {spot}, {by}.": "El peor es {spot}, {by}.",
    "{high} above and {low} below": "{high} por encima y {low} por debajo",
    "{by} high": "{by} alto",
    "{by} low": "{by} bajo",
    "Level checked before and after: true.": "Nivel comprobado antes y después: exacto.",
    "Level checked after the last shot: true.": "Nivel comprobado después de la última lectura: exacto.",
    "Level checked after the last shot: it read {off}.": ("Nivel comprobado después de la última lectura: leyó {off}."),
    "The level was not checked after the last shot.": "El nivel no se comprobó después de la última lectura.",
    "agreed height": "altura acordada",
    "{height} from the zero {zero}": "{height} desde el cero {zero}",
    "only suggested": "solo sugerida",
    "decision rule": "regla de decisión",
    "as read; equal to a limit is inside (see annex)": "como se leyó; igual al límite está dentro (ver anexo)",
    "{by} at most (k = 2)": "{by} como máximo (k = 2)",
    "too close to call": "demasiado justo",
    "{close} of {shot}": "{close} de {shot}",
    "All {number} differences from the agreed height, between the limits.": (
        "Las {number} diferencias con la altura acordada, entre los límites."
    ),
    "Digest of the book": "Código del libro",
    "QR code of the digest: {code}": "Código QR del código del libro: {code}",
    "valid with its annex": "válida con su anexo",
    "tripod": "trípode",
    # -- the plan -------------------------------------------------------------------------------------------
    "The pad from above, far end at the top: {positions} positions.": (
        "La plataforma desde arriba, el extremo lejano arriba: {positions} posiciones."
    ),
    "does not fit those around it, and was kept": "no encaja con las de alrededor y se mantuvo",
    "shot more than once": "leída más de una vez",
    "height {height}": "altura {height}",
    "difference {height}": "diferencia {height}",
    "plus/minus {by}": "más/menos {by}",
    "▲ a reference on the pad": "▲ una referencia en la plataforma",
    "off the pad": "fuera de la plataforma",
    "off the pad: reference {names}": "fuera de la plataforma: referencia {names}",
    "off the pad: references {names}": "fuera de la plataforma: referencias {names}",
    "● where the level stands, from A1: {away} away, {right} right": (
        "● donde está el nivel, desde A1: {away} de fondo, {right} a la derecha"
    ),
    "● where the level stands: {place}": "● donde está el nivel: {place}",
    "dashed: the footprint": "a trazos: la huella",
    "Away and right are taped from the pad's near left corner, as for the lay-out.": (
        "El fondo y la derecha se miden desde la esquina cercana izquierda de la plataforma, como en el replanteo."
    ),
    # -- the evidence ---------------------------------------------------------------------------------------
    "Evidence and annex": "Pruebas y anexo",
    "Decision rule": "Regla de decisión",
    "Simple acceptance (JCGM 106, 8.2): a spot is within tolerance when its height as read lies within the limits."
    " A reading equal to a limit is inside, and nothing is rounded first (absolute method of ASTM E29). The plus/minus"
    " is not taken off the limits.": (
        "Aceptación simple (JCGM 106, 8.2): un punto está dentro de la tolerancia cuando su altura, como se leyó, queda"
        " entre los límites. Una lectura igual al límite está dentro y nada se redondea antes (método absoluto de ASTM"
        " E29). El más/menos no se descuenta de los límites."
    ),
    "A spot nearer to a limit than its plus/minus is too close to call, and marked so. The pad is not proven where more"
    " than one spot in ten may be expected out although read inside (JCGM 106, 9.3), or where the plus/minus is half"
    " the tolerance or more. The rule is stated as ISO/IEC 17025, 7.8.6 asks.": (
        "Un punto más cerca de un límite que su más/menos es demasiado justo, y se marca así. La plataforma no queda"
        " probada si cabe esperar fuera más de un punto de cada diez aunque se leyera dentro (JCGM 106, 9.3), o si el"
        " más/menos es la mitad de la tolerancia o más. La regla se declara como pide ISO/IEC 17025, 7.8.6."
    ),
    "Allowing for the plus/minus: {inside} proven inside, {outside} proven outside, {neither} neither.": (
        "Contando el más/menos: {inside} probados dentro, {outside} probados fuera, {neither} ni lo uno ni lo otro."
    ),
    "part": "parte",
    "std dev": "desv. típica",
    "scope": "alcance",
    "source": "fuente",
    "twice the root of the sum of squares (k = 2, about 19 times in 20; JCGM 100)": (
        "el doble de la raíz de la suma de cuadrados (k = 2, unas 19 veces de 20; JCGM 100)"
    ),
    "Not pooled: {number} spot whose readings lie too far apart for scatter.": (
        "No contado: {number} punto con lecturas demasiado separadas para ser dispersión."
    ),
    "Not pooled: {number} spots whose readings lie too far apart for scatter.": (
        "No contados: {number} puntos con lecturas demasiado separadas para ser dispersión."
    ),
    "Nobody noted where the level stood: distances are from the pad's farthest corner.": (
        "Nadie anotó dónde estaba el nivel: las distancias son desde la esquina más lejana de la plataforma."
    ),
    "Instrument": "Instrumento",
    "specification": "especificación",
    "{rise}, stated by the crew": "{rise}, declarada por la cuadrilla",
    "{rise}, not stated: default": "{rise}, no declarada: lo habitual",
    "not noted": "sin anotar",
    "Time line of this round": "Cronología de esta ronda",
    "set-up {setup}": "estación {setup}",
    "References (heights from the zero {zero})": "Referencias (alturas desde el cero {zero})",
    "Set-ups of the level": "Estaciones del nivel",
    "shots of this round": "lecturas de esta ronda",
    "{number} check": "{number} comprobación",
    "{number} checks": "{number} comprobaciones",
    "largest {drift}": "la mayor {drift}",
    "all true": "todas exactas",
    "Size and squareness": "Medidas y escuadra",
    "sides, agreed": "lados, acordados",
    "diagonals, as taped": "diagonales, medidas",
    "diagonals, square": "diagonales, a escuadra",
    "diagonals differ by": "las diagonales difieren en",
    "residual": "residuo",
    "squareness": "escuadra",
    "length {length}, width {width}, diagonals {first} and {second}": (
        "largo {length}, ancho {width}, diagonales {first} y {second}"
    ),
    "Earth and water": "Tierra y agua",
    "moved since the existing ground": "movida desde el terreno existente",
    "{dug} dug, {filled} filled": "{dug} excavados, {filled} rellenados",
    "left about the target": "queda respecto del objetivo",
    "{above} above it, {below} below it": "{above} por encima, {below} por debajo",
    "moved: since the round before": "movida: desde la ronda anterior",
    "Certificates issued before": "Certificados emitidos antes",
    "Changed since revision {number}": "Cambiado desde la revisión {number}",
    "Heights are measured from the zero. Difference = height minus target: + is HIGH (cut), - is LOW (fill).": (
        "Las alturas se miden desde el cero. Diferencia = altura menos objetivo: + es ALTO (corte), - es BAJO"
        " (relleno)."
    ),
    "There are none of these: {names}.": "No hay ninguno de estos: {names}.",
    "spots read more than once": "puntos leídos más de una vez",
    "readings struck or left out": "lecturas tachadas o excluidas",
    "notes": "notas",
    "What is open stands on the first page.": "Lo que queda abierto está en la primera página.",
    "digest": "código",
    "entries": "anotaciones",
    "to verify": "para verificar",
    "rodcall verify DIGEST JOB.json says whether a book is the one that this sheet was made from.": (
        "rodcall verify CÓDIGO JOB.json dice si un libro es aquel del que se hizo esta hoja."
    ),
    "page {number} of {total}": "página {number} de {total}",
    # -- the crew's sheet -----------------------------------------------------------------------------------
    "Crew sheet": "Hoja de la cuadrilla",
    "for the crew; digest {digest}": "para la cuadrilla; código {digest}",
    "Machine": "Máquina",
    "Order of work": "Orden de trabajo",
    "crew tolerance": "tolerancia de la cuadrilla",
}
