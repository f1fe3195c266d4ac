"""Headers of rosters, lessons, requests and tests."""

from __future__ import annotations

from grouper.files.table import Vocabulary

NAME_FIELDS = ("name", "given", "family", "preferred")
"""Meanings of which a roster needs at least one."""

_WANTED = {
    "student_id": """
            student id; student ids; id student; id of student; student number; student no; student nr;
            student num; student code; pupil id; pupil number; pupil no; pupil code; learner id;
            learner number; id; ids; id no; id nr; id number; sid; uid; user id; identifier;
            sourced id; school id; admission number; admission no; adm no; admno; candidate number;
            roll number; roll no; reference; ref; local id; local student id; schüler id; schuelerid;
            schülernummer; schuelernummer; schüler nr; schueler nr; schülerkennung; kennung;
            matrikelnummer; kennnummer; ausweisnummer; personenkennung; lernenden id; identifiant;
            id élève; identifiant élève; numéro élève; numéro d'élève; n° élève; no élève; matricule;
            code élève; numéro étudiant; id alumno; id de alumno; id del alumno; matrícula;
            número de alumno; n° de alumno; código; código de alumno; código del alumno; identificador;
            nia; número de expediente; expediente; número de matrícula; id estudiante;
            código estudiante; matricola; codice studente; id studente; id alunno; codice;
            numero matricola; número de aluno; n° de aluno; id aluno; id do aluno; número de processo;
            n° processo; código do aluno; leerlingnummer; leerling nr; leerling id; leerlingnr;
            stamnummer; studentnummer; numer ucznia; nr ucznia; id ucznia; identyfikator; elevnummer;
            elev nr; elev id; elevid; oppilasnumero; öğrenci no; öğrenci numarası; okul no;
            okul numarası; id žáka; číslo žáka; tanuló azonosító; azonosító; id elev; идентификатор;
            номер ученика; код ученика; ид; ідентифікатор; номер учня; αριθμός μητρώου; κωδικός μαθητή;
            学号; 學號; 学籍番号; 生徒番号; 学生番号; 학번; 학생번호; رقم الطالب; معرف الطالب; الرقم;
            מספר תלמיד; מזהה; mã học sinh; mã số; mshs; छात्र आईडी; รหัสนักเรียน; เลขประจำตัว
        """,
    "list_number": """
            no; nr; num; number; n°; #; №; nummer; numéro; número; numero; numer; position; pos;
            lfd nr; laufende nummer; lfdnr; row; row no; row number; zeile; s no; sl no; sr no; serial;
            serial no; serial number; line; index; rang; orden; lp; l p; sıra; sıra no; п п; № п п;
            α α; 序号; 序號; 番号; 번호; م; stt; ลำดับ; crt; nr crt
        """,
    "name": """
            name; names; full name; student name; students name; student's name; name of student;
            pupil; pupil name; pupils name; pupil's name; learner; learner name; legal name;
            display name; student; students; pupils; name surname; surname and name;
            last name first name; first name last name; first and last name; surname first name;
            surname forename; forename surname; last first; name last first; name first last;
            student name last first; schüler; schülerin; schüler in; schüler innen; schülername;
            schuelername; vollständiger name; nachname vorname; vorname nachname; name vorname;
            vorname name; familienname vorname; vor und nachname; vor und zuname; lernende; nom;
            nom complet; nom et prénom; nom prénom; prénom nom; prénom et nom; élève; élèves;
            nom de l'élève; nom prénom de l'élève; nombre; nombre completo; nombre y apellidos;
            apellidos y nombre; apellidos nombre; alumno; alumna; alumno a; alumnos; alumnado;
            nombre del alumno; nombre y apellido; apellido y nombre; estudiante; nome; nome e cognome;
            cognome e nome; cognome nome; nominativo; alunno; alunna; studente; nome completo; aluno;
            aluna; nome do aluno; naam; volledige naam; leerling; naam leerling; achternaam voornaam;
            imię i nazwisko; nazwisko i imię; uczeń; uczennica; namn; navn; fullt navn; fulde navn;
            elev; elevens namn; elevnavn; nimi; koko nimi; oppilas; adı soyadı; ad soyad; isim;
            öğrenci; öğrenci adı; jméno a příjmení; příjmení a jméno; žák; meno a priezvisko; név;
            teljes név; tanuló; nume și prenume; nume si prenume; numele; ime i prezime;
            ime in priimek; имя и фамилия; фамилия и имя; фамилия имя; фамилия имя отчество; фио;
            ученик; учень; прізвище та ім'я; піб; име; име и фамилия; όνομα; ονοματεπώνυμο;
            όνομα και επώνυμο; μαθητής; 姓名; 名字; 学生; 學生; 学生姓名; 氏名; 名前; 生徒名; お名前;
            이름; 성명; 학생; الاسم; اسم الطالب; الاسم الكامل; שם; שם מלא; שם התלמיד; نام;
            نام و نام خانوادگی; họ tên; họ và tên; tên học sinh; नाम; छात्र का नाम; ชื่อ; ชื่อ สกุล;
            ชื่อ นามสกุล
        """,
    "given": """
            first name; firstname; first; first names; given name; givenname; given names; given;
            forename; forenames; christian name; legal first name; student first name; pupil forename;
            fname; first nm; vorname; vornamen; rufname; prénom; prenoms; prénoms; prénom de l'élève;
            nombre de pila; nombres; primer nombre; nome proprio; nome próprio; primeiro nome;
            voornaam; roepnaam; voornamen; imię; imiona; förnamn; tilltalsnamn; fornavn; etunimi; adı;
            ad; jméno; křestní jméno; keresztnév; utónév; prenume; prenumele; ime; имя; ім'я;
            μικρό όνομα; 名; الاسم الأول; שם פרטי; نام کوچک; tên; ชื่อจริง
        """,
    "family": """
            last name; lastname; last; surname; family name; familyname; family; legal last name;
            student last name; pupil surname; lname; second name; nachname; familienname; zuname;
            nom de famille; nom usuel; nom de naissance; apellido; apellidos; primer apellido; cognome;
            cognomi; sobrenome; apelido; apelidos; último nome; achternaam; familienaam; nazwisko;
            efternamn; etternavn; efternavn; sukunimi; soyadı; soyad; příjmení; priezvisko; vezetéknév;
            családnév; nume de familie; nume; prezime; priimek; фамилия; прізвище; επώνυμο; επίθετο;
            姓; 성; اسم العائلة; اللقب; שם משפחה; نام خانوادگی; họ; họ đệm; họ và tên đệm; นามสกุล
        """,
    "second_family": """
            segundo apellido; second surname; second last name; apellido 2; apellido materno
        """,
    "preferred": """
            preferred name; preferred first name; preferred given name; preferred; preferred forename;
            known as; nickname; goes by; called; chosen name; rufname bevorzugt; spitzname;
            prénom d'usage; prénom usuel; surnom; nombre preferido; apodo; nome preferito; soprannome;
            nome preferido; alcunha; roepnaam voorkeur; preferred givenname
        """,
    "preferred_family": "preferred family name; preferred last name; preferred surname",
    "middle": """
            middle name; middle names; middle; middle initial; mi; initials; zweiter vorname;
            weitere vornamen; deuxième prénom; autres prénoms; segundo nombre; tussenvoegsel; отчество;
            по батькові; prefix; suffix; title; preferred middle name; anrede; titel; namenszusatz
        """,
    "size_band": """
            size band; sizeband; band; size; body size; size group; größe; größenklasse; größengruppe;
            taille; gabarit; talla; tamaño; taglia; tamanho; maat; lengtegroep; rozmiar; storlek;
            størrelse
        """,
    "availability": """
            availability; available; takes part; taking part; participation; participates; status pe;
            pe status; can take part; verfügbarkeit; verfügbar; teilnahme; nimmt teil; disponibilité;
            disponible; participe; disponibilidad; participa; disponibilità; disponibilidade;
            beschikbaarheid; beschikbaar; doet mee; dostępność; tillgänglighet; tilgjengelighet
        """,
}

ROSTER = Vocabulary(_WANTED, frozenset({*NAME_FIELDS, "student_id", "size_band", "availability"}))


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
        "sides": """
            sides; sides of a game; uneven sides; unequal sides; numbers on a side; spielverhältnis; seitengröße;
            rapport de force; effectifs par camp; lados; jugadores por lado; lati; giocatori per lato
        """,
        "edge": """
            edge; edge percent; edge %; advantage; vorteil; vorsprung; avantage; ventaja; vantaggio; vantagem;
            voordeel; przewaga; fördel; fordel
        """,
        "caution": """
            caution; safety; care; warning; vorsicht; sicherheit; hinweis sicherheit; prudence;
            sécurité; precaución; seguridad; cautela; sicurezza; cuidado; segurança; veiligheid;
            ostrożność; säkerhet; sikkerhed; sikkerhet
        """,
    },
    frozenset(
        {"lesson", "activity", "groups", "rounds", "minutes", "strand", "min_gap", "max_gap", "caution", "sides"}
    ),
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


REQUESTS = Vocabulary(
    {
        "kind": """
            kind; type; what; request; art; typ; was; wunsch; genre; sorte; tipo; clase;
            clase de petición; soort; rodzaj; slag; вид; тип; είδος; 类型; 種類; 종류
        """,
        "student": """
            student; student 1; student a; first student; pupil; pupil 1; a; one; who; schüler;
            schüler 1; schüler a; schülerin; kind 1; person; person 1; élève; élève 1; alumno;
            alumno 1; alumna; estudiante; alunno; alunno 1; studente; aluno; aluno 1; leerling;
            leerling 1; uczeń; uczeń 1; elev; elev 1; oppilas; öğrenci; ученик; ученик 1; учень;
            μαθητής; 学生; 生徒; 학생
        """,
        "other": """
            other; other student; student 2; student b; second student; pupil 2; b; partner; with;
            anderer; andere; anderes; schüler 2; schüler b; person 2; kind 2; mit; autre; autre élève;
            élève 2; avec; otro; otra; otro alumno; alumno 2; con; altro; altra; altro alunno;
            alunno 2; outro; outra; outro aluno; aluno 2; ander; andere leerling; leerling 2; inny;
            drugi uczeń; uczeń 2; annan; anden; annen; elev 2; diğer; другой; другой ученик; ученик 2;
            інший; άλλος; 另一学生; 相手; 다른 학생
        """,
        "first_lesson": """
            first lesson; from lesson; from; since; starts; start; ab; ab stunde; von; von stunde;
            erste stunde; première séance; à partir de; dès; de; desde; primera clase; primera lección;
            primera sesión; desde la lección; da; prima lezione; dalla lezione; primeira aula; vanaf;
            eerste les; od; od lekcji; från; fra; с урока; з уроку; από; 从; 開始; 시작
        """,
        "last_lesson": """
            last lesson; to lesson; to; until; till; ends; end; bis; bis stunde; letzte stunde;
            dernière séance; jusqu'à; hasta; última clase; última lección; última sesión;
            hasta la lección; a lezione; fino a; ultima lezione; alla lezione; até; última aula; tot;
            tot en met; laatste les; do; do lekcji; till lektion; til; по урок; до уроку; έως; 到;
            終了; 끝
        """,
        "reason": """
            reason; why; reasons; note; notes; comment; comments; remark; remarks; grund; warum;
            begründung; bemerkung; bemerkungen; anmerkung; raison; motif; pourquoi; remarque;
            commentaire; razón; motivo; por qué; observaciones; comentario; motivazione; perché; razão;
            justificação; reden; waarom; opmerking; powód; uwagi; orsak; årsag; причина; λόγος; 原因;
            理由; 이유
        """,
    },
    frozenset({"student", "other", "first_lesson", "last_lesson", "reason"}),
)

REQUEST_SHEETS = Vocabulary(
    {
        "requests": """
            requests; request; wishes; constraints; pairs; wünsche; vorgaben; demandes; souhaits;
            contraintes; peticiones; solicitudes; restricciones; richieste; vincoli; pedidos;
            verzoeken; wensen; prośby; önskemål; ønsker; просьбы; αιτήματα; 要求; 希望; 요청
        """,
    }
)

ROSTER_SHEETS = Vocabulary(
    {
        "roster": """
            roster; class; class list; students; pupils; list; register; klasse; klassenliste; schüler;
            schülerliste; schülerinnen; liste; classe; élèves; liste de classe; liste des élèves;
            clase; alumnos; alumnado; lista; lista de clase; estudiantes; alunni; elenco; studenti;
            registro; turma; alunos; klas; leerlingen; klassenlijst; klasa; uczniowie; klass; elever;
            klasseliste; luokka; oppilaat; sınıf; класс; ученики; клас; учні; τάξη; μαθητές; 名单;
            名簿; 명단; الطلاب; תלמידים
        """,
    }
)







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
