"""Headers of tables of levers and of the cupboard; what levers and activities are called; what no card says."""

from __future__ import annotations

import re
from unicodedata import normalize

from grouper.files.cells import fold
from grouper.files.table import Vocabulary

LEVERS = Vocabulary(
    {
        "activity": """
            activity; activities; exercise; game; for; ladder; aktivität; übung; spiel; thema; activité; exercice; jeu;
            actividad; ejercicio; juego; attività; esercizio; gioco; atividade; exercício; jogo; activiteit; oefening;
            aktywność; ćwiczenie; aktivitet; övning; øvelse; harjoitus; etkinlik; упражнение; вправа; δραστηριότητα;
            活动; 活動; 활동; النشاط; פעילות
        """,
        "lever": """
            lever; levers; what to change; stellschraube; hebel; variation; variable; levier; palanca; leva; alavanca;
            variabile; variável; knop; variabele; dźwignia; zmienna; spak; vipu; değişken; переменная; змінна;
            μεταβλητή; 变量; 変数; 변수; متغير; משתנה
        """,
        "setting": """
            setting; settings; way; variant; option; einstellung; variante; ausprägung; réglage; ajuste; opción;
            impostazione; opzione; opção; instelling; optie; ustawienie; wariant; inställning; indstilling; asetus;
            ayar; вариант; варіант; ρύθμιση; 设置; 設定; 설정; إعداد; הגדרה
        """,
        "order": """
            order; step; steps; step no; number; no; nr; rung; stufe; schritt; nummer; reihenfolge; étape; palier;
            ordre; numéro; paso; peldaño; escalón; orden; número; passo; gradino; ordine; numero; degrau; ordem; stap;
            trede; volgorde; krok; stopień; kolejność; steg; ordning; trin; askel; adım; шаг; порядок; крок; βήμα; 步;
            顺序; 段階; 順番; 단계; خطوة; שלב
        """,
        "words": """
            words; task; tasks; text; card; what to do; aufgabe; aufgaben; auftrag; text der aufgabe; tâche; consigne;
            tarea; consigna; compito; consegna; tarefa; taak; opdracht; zadanie; uppgift; opgave; oppgave; tehtävä;
            görev; задание; завдання; εργασία; 任务; 課題; 과제; المهمة; משימה
        """,
        "needs": """
            needs; need; needed; things; material needed; braucht; bedarf; benötigt; besoin; besoins; necesita;
            necesario; serve; occorre; precisa; nodig; benodigd; potrzeba; potrzebne; behöver; behov; tarvitaan;
            gerekli; нужно; потрібно; χρειάζεται; 需要; 必要; 필요; يلزم; נדרש
        """,
        "along": """
            along; changes; what changes; by; dimension; kind; was sich ändert; womit; change; ce qui change; cambia;
            qué cambia; che cosa cambia; o que muda; wat verandert; co się zmienia; ändrar; ændrer
        """,
    },
    frozenset({"activity", "lever", "setting", "order", "words", "needs"}),
)

CUPBOARD = Vocabulary(
    {
        "item": """
            item; items; thing; things; equipment; what; ding; gerät; material; was; objet; matériel; cosa; objeto;
            material deportivo; oggetto; attrezzo; objeto; coisa; ding; materiaal; wat; rzecz; sprzęt; sak; redskap;
            ting; väline; eşya; предмет; що; αντικείμενο; 物品; 用具; 물건; شيء; פריט
        """,
        "count": """
            count; number; how many; quantity; amount; pieces; anzahl; menge; stück; nombre; quantité; combien;
            cantidad; cuántos; numero; quantità; quanti; quantidade; quantos; aantal; hoeveel; liczba; ile; antal;
            määrä; adet; sayı; количество; сколько; кількість; скільки; ποσότητα; 数量; 個数; 개수; عدد; כמות
        """,
    },
    frozenset({"item", "count"}),
)

ADAPTATIONS_TABLE = Vocabulary(
    {
        "student": """
            student; pupil; name; child; id; schüler; schülerin; élève; nom; alumno; alumna; nombre; alunno; nome;
            aluno; leerling; naam; uczeń; imię; elev; namn; navn; oppilas; nimi; öğrenci; ученик; учень; μαθητής; 学生;
            生徒; 학생; طالب; תלמיד
        """,
        "kind": """
            kind; always never; rule; how; art; regel; wie; règle; regla; regola; regra; regel; zasada; typ; sääntö;
            tür; правило; κανόνας; 种类; 種類; 종류; نوع; סוג
        """,
        "what": """
            what; words; setting; was; worte; quoi; mots; qué; palabras; cosa; parole; o que; palavras; wat; woorden;
            co; słowa; vad; hvad; hva; mitä; ne; что; що; τι; 什么; 何; 무엇; ماذا; מה
        """,
    },
    frozenset({"student", "kind", "what"}),
)

ADAPTATION_KINDS = Vocabulary(
    {
        "always": """
            always; immer; toujours; siempre; sempre; altijd; zawsze; alltid; altid; aina; her zaman; всегда; завжди
        """,
        "never": """
            never; no; nie; niemals; jamais; nunca; mai; nooit; nigdy; aldrig; aldri; asla; никогда; ніколи
        """,
        "also": """
            also; with; dazu; auch; aussi; también; anche; também; ook; także; också; også; myös; ayrıca; также; також
        """,
        "not at": """
            not at; not; station; nicht an; pas à; no en; non a; não em; niet bij; nie przy; inte vid; ikke ved
        """,
    }
)

SCORING_WAYS = Vocabulary(
    {
        "per hit": """
            per hit; each hit; hits; hit; a point each; treffer; pro treffer; je treffer; par touche; par réussite;
            por acierto; aciertos; per centro; por acerto; per treffer; za trafienie; per träff; pr træf; per treff;
            osumasta; isabet; за попадание; за влучання; ανά επιτυχία; 每次命中; 命中ごと; 명중마다
        """,
        "near misses": """
            near misses; near miss; misses count; nearly; almost; knapp vorbei; beinahe; fast getroffen; presque;
            touche de près; casi; casi aciertos; quasi; quase; bijna; bijna raak; prawie; nära; næsten; nesten;
            melkein; neredeyse; почти; рядом; майже; σχεδόν; 差一点; おしい; 아깝게
        """,
        "harder way": """
            harder way; double; double points; other hand; further line; doppelt; doppelte punkte; andere hand;
            compte double; autre main; doble; otra mano; doppio; altra mano; dobro; outra mão; dubbel; andere hand;
            podwójnie; dubbelt; dobbelt; dobbelt op; tuplana; çift; вдвойне; подвійно; διπλά; 双倍; 2倍; 두 배
        """,
        "danger zone": """
            danger zone; danger; points lost; red zone; red cone; gefahrenzone; punktabzug; zone de danger; zone rouge;
            zona de peligro; zona di pericolo; zona de perigo; gevarenzone; strefa zagrożenia; farozon; farezone;
            faresone; vaaravyöhyke; tehlike bölgesi; опасная зона; небезпечна зона; επικίνδυνη ζώνη; 危险区; 危険ゾーン;
            위험 구역
        """,
        "own best": """
            own best; personal best; own last time; beat yourself; bestleistung; eigene bestleistung; record personnel;
            mejor marca; marca personal; record personale; recorde pessoal; persoonlijk record; rekord życiowy;
            personbästa; personlig rekord; personlig rekord; oma ennätys; kişisel rekor; личный рекорд;
            особистий рекорд; ατομικό ρεκόρ; 个人最好; 自己ベスト; 개인 최고
        """,
        "class total": """
            class total; class; together; all together; klassensumme; alle zusammen; gemeinsam; total de la classe;
            tous ensemble; total de la clase; todos juntos; totale della classe; tutti insieme; total da turma;
            klassentotaal; allemaal samen; suma klasy; klassens summa; klassens sum; luokan summa; sınıf toplamı;
            сумма класса; сума класу; σύνολο τάξης; 全班总分; クラス合計; 학급 합계
        """,
    },
    frozenset({"near misses", "danger zone", "own best", "class total"}),
)

LEVER_SHEETS = Vocabulary(
    {
        "levers": """
            levers; lever; ladders; ladder; tasks; task ladders; steps; aufgaben; stufen; tâches; tareas; compiti;
            tarefas; taken; zadania; uppgifter; opgaver; задания; завдання
        """,
    }
)

KIND = Vocabulary(
    {
        "space": """
            space; distance; area; room; net; court; course; surface; raum; feld; abstand; espace; distance entre;
            espacio; distancia; spazio; distanza; espaço; ruimte; afstand; przestrzeń; yta; plads; netz; untergrund
        """,
        "target": """
            target; targets; aim; goal; goals; gates; ziel; ziele; tor; tore; cible; blanco; diana; bersaglio; alvo;
            doel; cel; mål
        """,
        "equipment": """
            equipment; kit; gear; ball; bat; thing; rope; gerät; material; geräte; matériel; équipement; engin; equipo;
            attrezzo; attrezzi; attrezzatura; equipamento; materiaal; materiał; sprzęt; redskap; udstyr; schläger
        """,
        "movement": """
            movement; moving; way of moving; start; bewegung; fortbewegung; mouvement; déplacement; movimiento;
            movimento; deplazamiento; beweging; ruch; rörelse; bevægelse
        """,
        "action": """
            action; skill; hand; how; technique; catch; throw; side; eyes; feed; bounces; take-off; landing; run-up;
            handover; base; arms; feet; rhythm; direction; pace; support; range; time; handlung; technik; geste; acción;
            técnica; azione; tecnica; ação; actie; techniek; działanie; handling; fangen; werfen
        """,
        "scoring": """
            scoring; points; score; wertung; punkte; punktwertung; marque; comptage; puntos; puntuación; punteggio;
            punti; pontuação; puntentelling; punten; punktacja; poäng; pointgivning
        """,
        "people": """
            people; sides; players; side; personen; spieler; mitspieler; joueurs; effectif; jugadores; giocatori;
            jogadores; spelers; gracze; spelare; spillere
        """,
    },
    frozenset({"target", "equipment", "movement", "scoring"}),
)
"""What a lever moves, by what it is called."""

ACTIVITY_KINDS = Vocabulary(
    {
        "Throwing and catching": """
            throw; throwing; catch; catching; pass; passing; chest pass; handling; werfen; fangen; passen; zuspiel;
            lancer; attraper; passe; passes; lanzar; atrapar; pase; pases; lanciare; passaggio; passaggi; arremesso;
            passe; gooien; vangen; rzuty; podania; kasta; kast
        """,
        "Dribbling": """
            dribble; dribbling; ball control; running with the ball; prellen; ballführung; ballkontrolle; conduite;
            conduite de balle; bote; conducción; palleggio; conduzione; drible; dribbelen; kozłowanie; dribbla
        """,
        "Striking": """
            striking; batting; bat; hitting; rounders; softball; baseball; cricket; hockey; golf; tee ball; schlagen;
            schlagball; brennball; frapper; batte; bateo; béisbol; battuta; batida; slaan; slagbal; palant; slå;
            brännboll
        """,
        "Net game": """
            net; net game; volleyball; badminton; tennis; table tennis; pickleball; netz; volley; filet; red; voleibol;
            bádminton; rete; pallavolo; rede; vôlei; netspel; volleybal; siatkówka; nät; ping pong; tischtennis;
            wall game; wall; squash
        """,
        "Invasion game": """
            invasion; game; games; football; soccer; basketball; handball; netball; rugby; tag rugby; floorball; cup;
            end ball; end zone; match; small sided; fußball; basketbal; handbal; hockeyspiel; ballon; fútbol; calcio;
            pallacanestro; futebol; voetbal; piłka nożna; koszykówka; fotboll; innebandy; ultimate; tchoukball
        """,
        "Target game": """
            target; target throw; aiming; boccia; bowls; bowling; curling; archery; darts; disc golf; zielwurf; zielen;
            tir; cible; puntería; diana; bersaglio; alvo; mikken; celowanie; prick
        """,
        "Running": """
            run; running; relay; sprint; shuttle; tag; endurance; orienteering; laufen; lauf; staffel; course; relais;
            carrera; relevos; corsa; staffetta; corrida; estafeta; rennen; estafette; bieg; sztafeta; löpning; stafett
        """,
        "Jumping": """
            jump; jumping; long jump; high jump; hurdles; hop; springen; sprung; weitsprung; hochsprung; saut; sauter;
            salto; saltos; salti; springen; skok; skoki; hopp; hoppa
        """,
        "Balance": """
            balance; balances; balancing; gymnastics; floor; beam; yoga; gleichgewicht; balancieren; turnen; équilibre;
            gymnastique; equilibrio; gimnasia; ginnastica; equilíbrio; ginástica; evenwicht; turnen; równowaga;
            gymnastik
        """,
        "Rope skipping": """
            rope; rope skipping; skipping; jump rope; seilspringen; springseil; seil; corde; corde à sauter; comba;
            cuerda; corda; touwtjespringen; skakanka; hopprep
        """,
        "Circuit": """
            circuit; fitness; stations; conditioning; strength; workout; zirkel; zirkeltraining; kraft;
            circuit training;
            musculation; circuito; fuerza; forza; força; kracht; obwód; siła; cirkel; cirkelträning; styrka
        """,
    }
)
"""Kinds of activity, by words that stand in what an activity is called (common practice, no source)."""


def kind_of_activity(name: str) -> str:
    """The kind whose levers come along, by the name of an activity; empty where that cannot be told.

    The longest words go first: 'jump rope' is rope skipping and no jumping.

    Examples
    --------
    >>> kind_of_activity("Chest passes in pairs"), kind_of_activity("Seilspringen"), kind_of_activity("Chess")
    ('Throwing and catching', 'Rope skipping', '')
    """
    words = fold(name).split()
    for length in range(min(4, len(words)), 0, -1):
        for start in range(len(words) - length + 1):
            said = " ".join(words[start : start + length])
            for form in (said, said.removesuffix("es"), said.removesuffix("s"), f"{said}s"):
                if found := ACTIVITY_KINDS.meaning(form):
                    return found
    return ""


def scoring_in(text: str) -> str:
    """The way of scoring that is meant, in several languages, with its number of points; empty where none is.

    Examples
    --------
    >>> scoring_in("Near miss"), scoring_in("Gefahrenzone 5"), scoring_in("whatever")
    ('near misses', 'danger zone 5', '')
    """
    words, _, number = text.strip().rpartition(" ")
    numbered = number.isascii() and number.isdecimal()
    meant = SCORING_WAYS.meaning(words if numbered else text)
    return f"{meant} {number}" if meant and numbered else meant


def kind_of(name: str) -> str:
    """What a lever moves, by its name: 'ball' is equipment; empty where that cannot be told."""
    return KIND.meaning(name)


_BY_WORDS = re.compile(
    r"\b(easier|easiest|easy|harder|hardest|simpler|simplest|beginners?|advanced|novices?|experts?|remedial|gifted|"
    r"less able|more able|low(er)? ability|high(er)? ability|(level|step|stage|grade|tier|band)\s*\d+|"
    r"(weak|strong|slow|fast|good|poor|best|worst)(er|est)? (students?|pupils?|players?|groups?|ones)|"
    r"einfacher|leichter|schwieriger|anfänger(in|innen)?|fortgeschrittene[nr]?|"
    r"(niveau|stufe|étape|nivel|livello|nível|poziom|nivå|taso|seviye|stopień)\s*\d+|"
    r"(schwache|starke|schwächere|stärkere) (schüler|gruppen?)|leistungs(schwach|stark)e?n?|"
    r"plus faciles?|plus difficiles?|débutant(e|s|es)?|avancé(e|s|es)?|confirmé(e|s|es)?|"
    r"más fácil(es)?|más difícil(es)?|principiantes?|avanzad[oa]s?|"
    r"più facil[ei]|più difficil[ei]|avanzat[oaie]|mais fácil|mais fáceis|mais difícil|mais difíceis|avançad[oa]s?|"
    r"makkelijker|moeilijker|beginner|gevorderden?|łatwiejsz[ye]|trudniejsz[ye]|początkując(y|a|e|ych|ym)|zaawansowan(y|a|e|i|ych|ym)|"
    r"lättare|svårare|nybörjare|avancerade|lettere|vanskeligere|sværere|begyndere?|nybegynnere?|øvede|"
    r"helpompi|vaikeampi|aloittelij(a|at|oille)|daha kolay|daha zor|acemi(ler)?|ileri düzey|"
    r"легче|проще|сложнее|труднее|начинающи[ех]|продвинуты[ех]|легше|важче|складніше|початківці[вм]?|"
    r"ευκολότερ[οηα]|δυσκολότερ[οηα]|αρχάρι(οι|ος|ους|ων)|προχωρημέν(οι|ος|ους|ων)|επίπεδο\s*\d+|"
    r"(уровень|рівень|ниво|úroveň|szint|nivelul|razina|nivo|stopnja|seviye|cấp độ|trình độ)\s*\d+|\d+\. (szint|úroveň)|"
    r"snadnější|snazší|obtížnější|začáteční(k|ci|ky|kům)|pokročil(í|ý|é|ým)|"
    r"jednoduchši[ae]|náročnejši[ae]|začiatoční(k|ci|kov|kom)|pokročilí|"
    r"(könnyebb|nehezebb) (feladat|változat)|kezdők?(nek)?|haladók?(nak)?|"
    r"mai dificil[eăi]?|începător(i|ilor)?|avansa[țţ]i(lor)?|"
    r"početni(k|ci|cima|ke)|napredni(h|ma|m)?|začetni(k|ki|ke)|zahtevnejš[eai]|enostavnejš[eai]|"
    r"по-лесн[оаи]|по-трудн[оаи]|начинаещи(те)?|напреднали(те)?|"
    r"(слабые|сильные|слабі|сильні) (ученики|игроки|группы|учні|гравці|групи)|"
    r"dễ hơn|khó hơn|người mới|trình độ cao)\b",
    re.IGNORECASE,
)
_ANYWHERE = re.compile(
    "更容易|更简单|更難|更难|初学者|初學者|高级班|差生|優等生|もっと簡単|もっと難しい|初心者|上級者|初級|"
    "더 쉬운|더 어려운|초보자|상급자|أسهل|أصعب|مبتدئ|متقدمين|קל יותר|קשה יותר|מתחילים|מתקדמים|"
    "आसान|कठिन|शुरुआती|उन्नत|ง่ายกว่า|ยากกว่า|ผู้เริ่มต้น|ขั้นสูง|"
    r"(?:レベル|레벨|수준|级别|等级|級別|水平|المستوى|مستوى|רמה|ระดับ|स्तर)\s*\d"
)


def telling(text: str) -> str:
    """The first word of a text that tells students how able they are held to be; empty where there is none.

    In the languages that rosters are read in. Words that may as well speak of a ball or a hand ('weaker hand',
    'schwerer Ball') are not among them.

    Examples
    --------
    >>> telling("for Beginners"), telling("plus facile"), telling("with your weaker hand"), telling("初心者むけ")
    ('Beginners', 'plus facile', '', '初心者')
    """
    text = normalize("NFC", text)
    found = _BY_WORDS.search(text) or _ANYWHERE.search(text)
    return found[0] if found else ""


_ABLE = (
    r"weak\w*|strong(er|est)?|slow(er|est)?|poor(er|est)?|best|worst|top|bottom|lower|elite|losers?|"
    r"schwach\w*|schwäch\w*|stark\w*|stärk\w*|langsam\w*|schlecht\w*|beste[nr]?|"
    r"faibles?|forte?s?|lente?s?|meilleure?s?|débiles?|floj[oa]s?|fuertes?|lent[oa]s?|mejores|peores|"
    r"debol[ei]|fort[ei]|lent[ei]|miglior[ei]|peggior[ei]|scars[ei]|frac[oa]s?|melhores|piores|"
    r"zwak\w*|sterk\w*|trage?|slechte?|słab\w*|mocn\w*|siln\w*|najleps\w*|najgors\w*|"
    r"svag\w*|svak\w*|långsam\w*|langsom\w*|bäst\w*|sämst\w*|stærk\w*|bedste|dårlig\w*|"
    r"heik(ko|ot|oi)\w*|vahv\w*|hita\w*|parha\w*|huono\w*|zayıf\w*|güçlü\w*|yavaş\w*|kötü\w*|"
    r"слаб\w*|сильн\w*|силн\w*|медленн\w*|повільн\w*|бавн\w*|лучш\w*|худш\w*|найкращ\w*|найгірш\w*|най-добр\w*|"
    r"αδύναμ\w*|δυνατ\w*|αργ(οί|ός|ή|ούς)|καλύτερ\w*|χειρότερ\w*|slab([aăeiáéíý]|ii|ih|ch|ých|š\w+)|pomal\w*|nejlepš\w*|nejhorš\w*|najlepš\w*|"
    r"najhorš\w*|gyeng\w*|erős\w*|lass\w*|legjobb\w*|legrosszabb\w*|puternic\w*|lenți|cei mai buni|"
    r"jak[aei]h?|najbolj\w*|močn\w*|počasn\w*|spor[aei]h?|yếu|mạnh|chậm|giỏi|kém"
)
_GROUP = (
    r"groups?|teams?|sets?|squads?|stream|gruppen?|mannschaft(en)?|klasse|groupes?|équipes?|grupos?|"
    r"equipos?|equipa|gruppo|gruppi|squadr[ae]|equipes?|groep(en)?|ploeg|grup[aeyęău]?\w*|druży?n\w*|zesp\w*|lag(et)?|"
    r"grupp\w*|hold(et)?|ryhmä\w*|joukkue\w*|takım\w*|групп\w*|групи|група|груп|команд\w*|отбор\w*|ομάδ\w*|skupin\w*|"
    r"tým\w*|družstv\w*|csoport\w*|csapat\w*|echip\w*|ekip\w*|momčad\w*|nhóm|đội"
)
_THE = "the|der|die|den|les|des|los|las|gli|i|os|as|de|ai|a|az|oi|οι"
_ABLE_GROUP = rf"\b({_ABLE})\W+({_GROUP})\b|\b({_GROUP})\W+(\w+\W+){{0,2}}({_ABLE})\b|\b({_THE})\W+({_ABLE})$"
_ABLE_TEAM = (
    rf"\b({_ABLE})\b|\b([a-d]|1st|2nd|first|second|third|erste|zweite|1\.|2\.)[ -](team|side|set|squad|mannschaft|"
    r"lag)\b|\b(première|deuxième|primer|segundo|prima|seconda) (équipe|equipo|squadra)\b|\breserves?\b"
)
_ABLE_ANYWHERE = re.compile(
    "[弱强強慢差劣优優](组|隊|队|班|组|生|的|い|者)|下手|上手な|遅い|약한|강한|느린|못하는|잘하는|"
    "ضعيف|ضعفاء|ضعيفة|أقوياء|قوي|بطيء|الأفضل|חלש|חזק|איטי|הטובים|कमज़ोर|कमजोर|मज़बूत|मजबूत|धीम|อ่อน|เก่ง|ช้า"
)


def telling_name(name: str, of_people: bool = False) -> str:
    """The first words of a name that put those whom it is given to in an order of ability; empty where there are none.

    An activity or a lever may speak of a strong throw or a slow ball, but of no strong group. With ``of_people`` it is
    the name of a team, which has no other meaning.

    Examples
    --------
    >>> telling_name("Gruppe der Schwachen"), telling_name("Strong throws"), telling_name("A-Team", of_people=True)
    ('Gruppe der Schwachen', '', 'A-Team')
    """
    text = normalize("NFC", name)
    # Compiled when a first name is looked at, as most commands look at none.
    found = re.search(_ABLE_TEAM if of_people else _ABLE_GROUP, text, re.IGNORECASE) or _ABLE_ANYWHERE.search(text)
    return telling(text) or (found[0] if found else "")


def on_a_name(name: str, of_people: bool = False) -> str:
    """What is to be said of such a name; empty where it tells nothing."""
    told = telling_name(name, of_people)
    instead = "colours and animals tell nothing" if of_people else "call it by what is done"
    return f"students read '{name}', and '{told}' tells them how able they are held to be: {instead}" if told else ""
