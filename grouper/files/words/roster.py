"""Headers of rosters."""

from __future__ import annotations

from grouper.files.vocabulary import Vocabulary

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
