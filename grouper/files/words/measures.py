"""Headers of the results of a test: who, and what was measured."""

from __future__ import annotations

from grouper.files.vocabulary import Vocabulary
from grouper.files.words.roster import ROSTER

WHO = ("student_id", "name", "given", "family", "second_family", "preferred", "preferred_family")
"""Meanings of columns that tell who a row is about, as in a roster."""

_MEASURES = {
    "stage": """
        stage; stages; level; levels; last stage; last level; shuttle stage; shuttle level; stage reached;
        level reached; shuttle run; 20 m shuttle run; stufe; stufen; letzte stufe; erreichte stufe; palier;
        paliers; dernier palier; étape; nivel; nivel alcanzado; etapa; periodo; período; livello; stadio;
        ultimo stadio; patamar; nível; trap; stap; laatste trap; poziom; etap; nivå; steg; niveau; taso;
        seviye; ступень; уровень; рівень; επίπεδο; 级别; レベル; 단계
        """,
    "age": """
        age; ages; years; age in years; age years; alter; jahre; alter in jahren; âge; age ans; ans; edad;
        años; età; anni; idade; anos; leeftijd; jaar; wiek; lat; ålder; alder; år; ikä; yaş; возраст; лет;
        вік; ηλικία; 年龄; 年齢; 나이
        """,
    "value": """
        value; values; result; results; measure; measured; measurement; number; count; score; points; time;
        seconds; sec; time s; distance; metres; meters; metre; meter; cm; repetitions; reps; hits; wert;
        werte; ergebnis; ergebnisse; messwert; zeit; sekunden; weite; strecke; anzahl; punkte; treffer;
        wiederholungen; valeur; résultat; résultats; mesure; temps; secondes; longueur; nombre d'essais;
        valor; resultado; resultados; medida; tiempo; segundos; distancia; metros; puntos; repeticiones;
        valore; risultato; risultati; misura; tempo; secondi; distanza; metri; punti; ripetizioni; medição;
        segundos corridos; distância; pontos; waarde; resultaat; meting; tijd; afstand; punten; wartość;
        wynik; pomiar; czas; odległość; punkty; värde; resultat; tid; poäng; verdi; værdi; tulos; aika;
        değer; sonuç; süre; значение; результат; время; значення; час; τιμή; αποτέλεσμα; χρόνος; 结果;
        成绩; 結果; 記録; 결과; 기록
        """,
}

MEASURES = Vocabulary(
    {**_MEASURES, **{meaning: ROSTER.words[meaning] for meaning in WHO}},
    frozenset({"stage", "value"}),
)
