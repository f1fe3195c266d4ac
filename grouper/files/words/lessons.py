"""Headers of the table of lessons."""

from __future__ import annotations

from grouper.files.vocabulary import Vocabulary

LESSONS = Vocabulary(
    {
        "lesson": """
            lesson; lesson no; lesson nr; lesson number; lessons; session; stunde; stunden nr;
            unterrichtsstunde; stunde nr; doppelstunde; leçon; séance; n° séance; cours; lección;
            sesión; clase; lezione; seduta; lição; aula; sessão; les; lesnummer; lekcja; lektion;
            time nr; oppitunti; ders; урок; урок №; μάθημα; 课; 課; 時間; 차시; الدرس; שיעור
        """,
        "date": """
            date; day; datum; tag; jour; fecha; día; data; giorno; dia; dato; päivä; tarih; дата;
            ημερομηνία; 日期; 日付; 날짜; التاريخ; תאריך
        """,
        "activity": """
            activity; activities; task; exercise; what; aktivität; übung; aufgabe; inhalt; thema;
            activité; exercice; tâche; atelier; actividad; ejercicio; tarea; attività; esercizio;
            compito; atividade; exercício; tarefa; activiteit; oefening; aktywność; ćwiczenie; zadanie;
            aktivitet; övning; øvelse; harjoitus; etkinlik; упражнение; активность; вправа;
            δραστηριότητα; 活动; 活動; 활동; النشاط; פעילות
        """,
        "size": """
            size; group size; people; people in a group; players; per group; größe; gruppengröße;
            personen; taille; taille du groupe; effectif; tamaño; tamaño del grupo; personas;
            dimensione; persone; tamanho; tamanho do grupo; pessoas; grootte; groepsgrootte; wielkość;
            wielkość grupy; rozmiar; storlek; gruppstorlek; størrelse; размер; μέγεθος; 人数; 인원
        """,
        "groups": """
            groups; teams; number of groups; number of teams; how many groups; no of groups; gruppen;
            mannschaften; anzahl gruppen; anzahl teams; groupes; équipes; nombre de groupes;
            nombre d'équipes; grupos; equipos; número de grupos; gruppi; squadre; numero di gruppi;
            equipas; equipes; número de equipes; groepen; aantal groepen; grupy; liczba grup; drużyny;
            grupper; lag; группы; команды; групи; ομάδες; 组数; 組数; チーム数; 모둠 수
        """,
        "rounds": """
            rounds; round; switches; number of rounds; runden; durchgänge; wechsel; anzahl runden;
            tours; manches; rotations; nombre de tours; rondas; rotaciones; turnos; turni; giri;
            rotazioni; rodadas; rondes; wissels; rundy; tury; rundor; runder; раунды; раундов; раунди;
            γύροι; 轮数; 回数; 라운드
        """,
        "minutes": """
            minutes; min; mins; minutes a round; minutes per round; time; length; duration; minuten;
            dauer; zeit; durée; minutes par tour; minutos; duración; tiempo; minuti; durata; duração;
            tempo; duur; tijd; minuty; czas; minuter; minutter; tid; минуты; хвилини; λεπτά; 分钟; 分;
            분
        """,
        "aim": """
            aim; goal; purpose; grouping; how; ziel; absicht; gruppierung; einteilung; but; objectif;
            regroupement; objetivo; meta; agrupamiento; scopo; obiettivo; raggruppamento; agrupamento;
            doel; indeling; cel; mål; syfte; formål; цель; мета; σκοπός; 目的; 目标; 목표
        """,
        "strand": """
            strand; skill; rating; rated skill; by; bereich; fertigkeit; merkmal; wertung; nach;
            compétence; critère; critère de niveau; competencia; habilidad; criterio; destreza;
            competenza; abilità; critério; competência; vaardigheid; kenmerk; umiejętność; cecha;
            färdighet; ferdighet; færdighed; навык; навичка; δεξιότητα; 技能; 能力; 기능
        """,
        "min_gap": """
            min gap; mingap; minimum gap; smallest gap; gap min; gap from; mindestabstand; abstand min;
            min abstand; écart min; écart minimum; écart minimal; diferencia mínima; diferencia min;
            distancia mínima; divario minimo; distanza minima; diferença mínima; min verschil;
            minimaal verschil; min różnica; minsta skillnad
        """,
        "max_gap": """
            max gap; maxgap; maximum gap; largest gap; gap max; gap to; höchstabstand; maximalabstand;
            abstand max; max abstand; écart max; écart maximum; écart maximal; diferencia máxima;
            diferencia max; distancia máxima; divario massimo; distanza massima; diferença máxima;
            max verschil; maximaal verschil; max różnica; största skillnad
        """,
        "caution": """
            caution; safety; care; warning; vorsicht; sicherheit; hinweis sicherheit; prudence;
            sécurité; precaución; seguridad; cautela; sicurezza; cuidado; segurança; veiligheid;
            ostrożność; säkerhet; sikkerhed; sikkerhet
        """,
    },
    frozenset({"lesson", "activity", "groups", "rounds", "minutes", "strand", "min_gap", "max_gap", "caution"}),
)

LESSON_SHEETS = Vocabulary(
    {
        "lessons": """
            lessons; lesson; unit; unit plan; plan; units; stunden; einheit; unterrichtseinheit;
            unterricht; reihe; leçons; séances; séquence; cycle; lecciones; sesiones; unidad;
            unidad didáctica; lezioni; unità; lições; aulas; unidade; lessen; lessenreeks; lekcje;
            lektioner; уроки; μαθήματα; 课程; 授業; 수업
        """,
    }
)
