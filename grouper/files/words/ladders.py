"""Headers of the table of task ladders, what a step can change, and words that a student's card must not have."""

from __future__ import annotations

import re

from grouper.files.vocabulary import Vocabulary

LADDERS = Vocabulary(
    {
        "activity": """
            activity; activities; exercise; game; for; ladder; aktivität; übung; spiel; thema; activité; exercice; jeu;
            actividad; ejercicio; juego; attività; esercizio; gioco; atividade; exercício; jogo; activiteit; oefening;
            aktywność; ćwiczenie; aktivitet; övning; øvelse; harjoitus; etkinlik; упражнение; вправа; δραστηριότητα;
            活动; 活動; 활동; النشاط; פעילות
        """,
        "step": """
            step; steps; step no; number; no; nr; order; rung; stufe; schritt; nummer; étape; palier; numéro; paso;
            peldaño; escalón; número; passo; gradino; numero; degrau; stap; trede; krok; stopień; steg; trin; askel;
            adım; шаг; крок; βήμα; 步; 段階; 단계; خطوة; שלב
        """,
        "along": """
            along; changes; what changes; by; dimension; kind; was sich ändert; womit; change; ce qui change; cambia;
            qué cambia; che cosa cambia; o que muda; wat verandert; co się zmienia; ändrar; ændrer
        """,
        "task": """
            task; tasks; words; text; card; what to do; aufgabe; aufgaben; auftrag; text der aufgabe; tâche; consigne;
            tarea; consigna; compito; consegna; tarefa; taak; opdracht; zadanie; uppgift; opgave; oppgave; tehtävä;
            görev; задание; завдання; εργασία; 任务; 課題; 과제; المهمة; משימה
        """,
    },
    frozenset({"activity", "step", "task"}),
)

LADDER_SHEETS = Vocabulary(
    {
        "ladders": """
            ladders; ladder; tasks; task ladders; steps; aufgaben; stufen; tâches; tareas; compiti; tarefas; taken;
            zadania; uppgifter; opgaver; задания; завдання
        """,
    }
)

ALONG = Vocabulary(
    {
        "space": """
            space; distance; area; room; raum; feld; abstand; espace; distance entre; espacio; distancia; spazio;
            distanza; espaço; ruimte; afstand; przestrzeń; yta; plads
        """,
        "target": "target; targets; aim; goal; ziel; ziele; cible; blanco; diana; bersaglio; alvo; doel; cel; mål",
        "equipment": """
            equipment; kit; gear; ball; bat; gerät; material; geräte; matériel; équipement; engin; equipo;
            attrezzo; attrezzi; attrezzatura; equipamento; materiaal; materiał; sprzęt; redskap; udstyr
        """,
        "movement": """
            movement; moving; way of moving; bewegung; fortbewegung; mouvement; déplacement; movimiento; movimento;
            deplazamiento; beweging; ruch; rörelse; bevægelse
        """,
        "action": """
            action; skill; hand; how; technique; handlung; technik; geste; acción; técnica; azione; tecnica; ação;
            actie; techniek; działanie; handling
        """,
        "scoring": """
            scoring; points; score; wertung; punkte; punktwertung; marque; comptage; puntos; puntuación; punteggio;
            punti; pontuação; puntentelling; punten; punktacja; poäng; pointgivning
        """,
    },
    frozenset({"target", "equipment", "movement", "scoring"}),
)

TELLING = re.compile(
    r"\b(easier|easiest|easy|harder|hardest|simpler|simplest|beginners?|advanced|novices?|experts?|"
    r"less able|more able|low(er)? ability|high(er)? ability|(level|step|stage|grade)\s*\d+|"
    r"einfacher|schwieriger|anfänger|fortgeschrittene|(niveau|stufe|étape|nivel)\s*\d+|"
    r"plus facile|plus difficile|débutants?|más fácil|más difícil|principiantes?)\b",
    re.IGNORECASE,
)
"""Words that tell students how able they are held to be; they stand in no task. Words that may as well speak of a
ball or a hand ('weaker hand', 'schwerer Ball') are not among them."""
