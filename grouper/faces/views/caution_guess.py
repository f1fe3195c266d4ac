"""A guess, from the name of an activity in several languages, at the care that it asks for.

The words are common names of activities in English, German, French and Spanish (common practice, no source). A guess
may be wrong in both ways; the ``caution`` of the activity overrides it.
"""

from __future__ import annotations

import re
from unicodedata import combining, normalize

OTHERWISE = (
    *("table tennis", "tischtennis", "tennis de table", "ping ?pong", "tenis de mesa"),
    *("non contact", "sans contact", "sin contacto", "ohne kontakt", "kontaktlos"),
    *("swimming (the )?lanes? of cones", "saltos? de alegria"),
)
"""Names that hold a word of the table and mean something else."""

WORDS: dict[str, tuple[str, ...]] = {
    "contact": (
        *("contact", "rugby", "wrestl", "judo", "karate", "boxing", "kickboxing", "tackl", "scrum", "sumo"),
        *("taekwondo", "ju ?jitsu", "martial arts?", "combat", "self defen[cs]e", "american football", "ice hockey"),
        *("kampf", "kaempf", "raufen", "rangeln", "ringkampf", "ringen und", "boxen", "kontakt", "zweikampf"),
        *("lutte", "boxe", "arts martiaux", "melee", "placage", "plaquage", "mise au sol"),
        *("lucha", "boxeo", "artes marciales", "placaje", "contacto"),
        "lacrosse",
    ),
    "gymnastics": (
        *("gymnasti", "acroba", "tumbling", "handstand", "headstand", "cartwheel", "somersault", "trampolin"),
        *("vaulting", "vaults?(?= )", "balance beam", "parallel bars", "high bar", "forward roll", "backward roll"),
        *("turnen(?= )", "[a-z]+turnen(?= )", "geraeteturn", "geratturn", "geratetur", "radschlag", "rad schlagen"),
        *("ueberschlag", "uberschlag", "salto", "schwebebalken", "barren", "reck(?= )", "minitramp", "grosskasten"),
        *("acrosport", "roulade", "poutre", "appui tendu", "saut de cheval", "barres? (fixe|paralleles|asymetriques)"),
        *("gimnasia", "voltereta", "el pino(?= )", "rueda lateral", "plinto", "potro(?= )", "equilibrios acrobaticos"),
    ),
    "striking": (
        *("striking", "throw", "batting", "bats?(?= )", "baseball", "softball", "cricket", "rounders", "hockey"),
        *("golf", "tennis", "badminton", "squash", "rackets?(?= )", "racquet", "javelin", "discus", "shot put"),
        *("hammer", "archery", "dodgeball", "lacrosse", "floorball", "unihockey", "pelota"),
        *("werfen", "[a-z]*wurf(?= )", "wurfe(?= )", "schlagball", "brennball", "volkerball", "voelkerball"),
        *("speerw", "speer(?= )", "diskus", "kugelstoss", "[a-z]*hockey", "schlager", "schlaeger", "bogenschiess"),
        *("lancers?(?= )", "lance[rz]", "lancement", "javelot", "lancer du disque", "poids(?= )", "batte(?= )"),
        *("tir a l arc", "frapper?(?= )", "raquette", "crosse(?= )", "balle au prisonnier"),
        *("lanzamiento", "lanzar", "jabalina", "peso(?= )", "bate(?= )", "beisbol", "tiro con arco", "golpeo"),
        *("raqueta", "palas?(?= )", "balon prisionero", "tenis"),
    ),
    "swimming": (
        *("swim", "water ?polo", "backstroke", "breaststroke", "front crawl", "life ?saving", "aquatic"),
        *("schwimm", "[a-z]*schwimmen", "kraul", "wasserball", "tauchen", "wasserspring", "rettungsschw"),
        *("natation", "nager?(?= )", "nage (libre|de|en)", "crawl(?= )", "piscine", "plongeon", "plongee"),
        *("natacion", "nadar", "nado", "piscina", "estilo (crol|braza|espalda|mariposa)", "crol(?= )", "buceo"),
    ),
}
"""Beginnings of words, in plain letters; ``(?= )`` where the word must end."""

_PATTERNS = {key: re.compile("|".join(f"(?<= )(?:{word})" for word in words)) for key, words in WORDS.items()}
_OTHERWISE = re.compile("|".join(f"(?<= )(?:{name})" for name in OTHERWISE))


def guess_cautions(name: str) -> tuple[str, ...]:
    """Keys of the cautions that the name of an activity points to, in a fixed order.

    Examples
    --------
    >>> guess_cautions("Geräteturnen"), guess_cautions("Lancer de javelot"), guess_cautions("Tischtennis")
    (('gymnastics',), ('striking',), ())
    """
    plain = _OTHERWISE.sub("", _plain(name))
    return tuple(key for key, pattern in _PATTERNS.items() if pattern.search(plain))


def _plain(name: str) -> str:
    """The name in small letters without accents, words between single blanks."""
    bare = "".join(char for char in normalize("NFKD", name.casefold()) if not combining(char))
    return " ".join(["", *re.findall(r"[^\W_]+", bare), ""])
