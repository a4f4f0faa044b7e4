"""What is said where something of a book was damaged, where it is full, and where a file is there already."""

SENTENCES = {
    "book damaged at entry {entries}": "libreta dañada en la anotación {entries}",
    "book damaged at entry {entries}; work can go on": (
        "libreta dañada en la anotación {entries}; se puede seguir trabajando"
    ),
    "damage": "daño",
    "entry {number} tells of damage and is never struck": "la anotación {number} habla de un daño y no se tacha nunca",
    "more than one book holds": "más de lo que cabe en una libreta",
    "at least {min_length} of them": "al menos {min_length}",
    "the shots must lie at least 1 mm apart": "las lecturas deben distar al menos 1 mm",
    "room for {number} more": "caben {number} más",
    "Write over a file that is there.": "Escribir encima de un archivo que ya está.",
    "{file}: there is a file already; choose another name, or write over it with --force": (
        "{file}: ya hay un archivo; elija otro nombre, o escriba encima con --force"
    ),
}
