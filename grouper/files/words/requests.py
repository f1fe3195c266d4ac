"""Headers of the table of requests."""

from __future__ import annotations

from grouper.files.vocabulary import Vocabulary

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
