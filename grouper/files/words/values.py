"""What stands in cells that take one of a few words, and headers of columns that the tool has no use for.

Of these ``personal`` data is left out because it is a person's; ``school`` data because it is no rating.
"""

from __future__ import annotations

from grouper.files.cells import fold
from grouper.files.table import Vocabulary, word_set

SIZE_BAND = Vocabulary(
    {
        "S": """
            s; small; light; klein; petit; petite; pequeño; pequeña; chico; piccolo; piccola; pequeno;
            pequena; mały; mała; liten; lille; p; k
        """,
        "M": """
            m; medium; middle; mid; mittel; moyen; moyenne; mediano; mediana; medio; media; médio;
            média; midden; średni
        """,
        "L": "l; large; big; heavy; tall; groß; gross; grand; grande; groot; duży; duża; stor; g",
    }
)

AVAILABILITY = Vocabulary(
    {
        "takes part": """
            yes; y; true; 1; ok; ✓; ✔; present; available; active; full; takes part; taking part; in;
            fit; here; ja; j; anwesend; verfügbar; nimmt teil; gesund; aktiv; dabei; oui; o; présent;
            présente; disponible; participe; actif; sí; si; s; presente; participa; activo; activa;
            apto; apta; sì; disponibile; sim; disponível; tak; obecny; obecna; aanwezig; doet mee;
            beschikbaar; evet; да; так; ναι; 是; 出席; はい; 예; نعم; כן
        """,
        "aside": """
            aside; sitting out; sits out; sit out; not taking part; no kit; without kit; injured;
            injury; excused; excused from pe; observer; observing; light duty; role; helper;
            non participant; watching; bench; verletzt; sportbefreit; befreit; nicht dabei;
            teilbefreit; ohne sportzeug; sportzeug vergessen; pausiert; setzt aus; zuschauer; attest;
            dispensé; dispensée; dispense; inapte; blessé; blessée; sans tenue; observateur; exento;
            exenta; lesionado; lesionada; sin equipo; no apto; no participa; aparte; observador;
            esonerato; esonerata; infortunato; infortunata; giustificato; dispensado; dispensada;
            lesionado aluno; geblesseerd; vrijgesteld; langs de kant; zwolniony; zwolniona; kontuzja;
            skadad; skadet; befriad; fritagen; освобожден; освобождена; απαλλαγή; 见学; 見学
        """,
        "away": """
            away; absent; no; n; false; 0; off; out; not here; not there; gone; left; long term absent;
            ill; sick; nein; abwesend; fehlt; krank; nicht da; weg; beurlaubt; non; absente; malade;
            ausente; enfermo; enferma; assente; malato; malata; não; doente; nee; afwezig; ziek; nie;
            nieobecny; nieobecna; chory; chora; frånvarande; sjuk; fraværende; syg; syk; poissa; hayır;
            yok; нет; отсутствует; болен; больна; ні; відсутній; απών; απούσα; 否; 缺席; 欠席; いいえ;
            아니오; 결석; لا; غائب; לא; נעדר
        """,
    }
)

AIM = Vocabulary(
    {
        "fresh": """
            fresh; new; new partners; new people; new groups; random; neu; frisch; neue partner;
            neue gruppen; nouveau; nouveaux; nouveaux partenaires; frais; nuevo; nuevos; nuevas parejas;
            fresco; nuovo; nuovi; novo; novos; nieuw; nowy; nowi; ny; nya
        """,
        "balanced": """
            balanced; balance; even; even teams; equal; fair; ausgeglichen; ausgewogen; gleich stark;
            gleichstark; fair verteilt; équilibré; équilibrée; équilibrés; équilibrées; équitable;
            equilibrado; equilibrada; equilibrados; equilibrato; equilibrati; equilibrate; evenwichtig;
            gebalanceerd; zrównoważony; zrównoważone; balanserad; balanseret; mixed; mix;
            mixed ability; mixed abilities; mixed level; mixed levels; mixed teams; heterogeneous; evenly;
            gemischt; gemischte gruppen; gemischte teams; leistungsgemischt; gemischtes niveau; heterogen;
            gleichmäßig; mixte; mixtes; mélangé; mélangés; niveaux mélangés; niveau mixte; hétérogène;
            hétérogènes; égal; égales; équipes égales; mezclado; mezclados; mezclada; mezcladas; mixto;
            mixtos; nivel mixto; niveles mezclados; heterogéneo; heterogéneos; igualado; igualados;
            misto; misti; miste; livello misto; abilità miste; eterogeneo; eterogenei; eterogenee; pari;
            mistos; mista; misturado; misturados; nível misto; heterogêneo; heterogêneos; gemengd;
            gemengd niveau; heterogeen; gelijkmatig; mieszany; mieszane; mieszany poziom; równe; wyrównane;
            blandad; blandade; blandad nivå; jämna; jämna lag; blandet; blandede; blandet niveau;
            jevne; jævne; sekoitettu; sekaryhmät; tasaiset; karışık; karma; смешанный; смешанные; равные;
            змішаний; змішані; рівні; μικτός; μικτές; μεικτές; 混合; 혼합; مختلط; מעורב
        """,
        "coaching": """
            coaching; coach; peer coaching; tutoring; peer tutoring; reciprocal; mentoring;
            across abilities; tutorat; tutorat entre pairs; entraide; tutoría; tutoria; entrenamiento;
            entre iguales; partnerhilfe; helfer; helfersystem; helferpaare; reziprok; coachend;
            tutoraggio; tutoring tra pari; coachen; trener
        """,
        "similar": """
            similar; alike; same level; same ability; like ability; ability; ähnlich; gleiches niveau;
            leistungsgleich; homogen; homogène; homogènes; similaire; similaires; semblable;
            même niveau; homogéneo; homogéneos; similares; mismo nivel; parecido; simile; simili;
            omogeneo; omogenei; stesso livello; semelhante; homogêneo; mesmo nível; gelijk niveau;
            vergelijkbaar; podobny; podobni; podobne; liknande
        """,
        "stay": """
            stay; same; same groups; same group; keep; keep groups; as before; unchanged; bleiben;
            bleibt; gleiche gruppen; gleiche gruppe; wie vorher; wie zuvor; behalten; rester; reste;
            mêmes groupes; inchangé; garder; quedarse; mantener; mismos grupos; iguales; restare;
            stessi gruppi; mantenere; ficar; mesmos grupos; manter; blijven; zelfde groepen; zostać;
            te same grupy; samma; samma grupper
        """,
    },
    frozenset({"balanced", "coaching"}),
)

CAUTION = Vocabulary(
    {
        "contact": "contact; contact sport; kontakt; körperkontakt; contacto; contatto; contato",
        "gymnastics": """
            gymnastics; turnen; geräteturnen; gymnastique; gimnasia; ginnastica; ginástica;
            turnen op toestellen
        """,
        "striking": """
            striking; striking and throwing; striking throwing; throwing; schlagen;
            schlagen und werfen; werfen; frappe; lancer; golpeo; lanzamiento; colpire; lancio; slaan;
            gooien
        """,
        "swimming": """
            swimming; swim; water; schwimmen; natation; natación; nuoto; natação; zwemmen; pływanie
        """,
        "none": """
            none; no; off; 0; -; keine; kein; nein; aucune; aucun; non; ninguna; no hay; nessuna;
            nenhuma; geen; brak
        """,
    }
)

KIND = Vocabulary(
    {
        "apart": """
            apart; keep apart; separate; separated; not together; never together; getrennt; trennen;
            auseinander; nicht zusammen; séparé; séparés; séparer; séparément; pas ensemble; à part;
            separado; separados; separar; aparte; no juntos; separati; separare; separato; divisi;
            afastados; apart houden; gescheiden; niet samen; osobno; oddzielnie; isär; adskilt;
            hver for sig; erikseen; ayrı; раздельно; отдельно; окремо; χωριστά; 分开; 別々; 따로;
            منفصل; בנפרד
        """,
        "together": """
            together; keep together; with; same group; zusammen; gemeinsam; ensemble; juntos; juntas;
            junto; insieme; samen; bij elkaar; razem; tillsammans; sammen; yhdessä; birlikte; вместе;
            разом; μαζί; 一起; 一緒; 함께; معا; ביחד; יחד
        """,
    },
    frozenset({"apart", "together"}),
)


UNWANTED = Vocabulary(
    {
        "personal": """
            phone; phones; telephone; tel; tel no; mobile; mobile no; cell; cell phone; sms; fax;
            landline; handy; telefon; telefonnummer; handynummer; mobil; mobilnummer; téléphone;
            portable; numéro de téléphone; teléfono; móvil; celular; telefono; cellulare; telefone;
            telemóvel; telefoon; telefoonnummer; mobiel; telefonnr; puhelin; телефон; τηλέφωνο; 电话;
            電話; 電話番号; 전화; 전화번호; هاتف; טלפון; điện thoại; email; e mail; mail;
            email address; e mail adresse; courriel; adresse mail; correo; correo electrónico; posta;
            address; home address; street; city; town; postcode; post code; postal code; zip; zip code;
            county; state; adresse; anschrift; straße; hausnummer; ort; wohnort; plz; postleitzahl;
            rue; ville; code postal; dirección; calle; ciudad; código postal; indirizzo; via; città;
            cap; endereço; morada; adres; straat; postcode woonplaats; woonplaats; kod pocztowy;
            miasto; ulica; адрес; адреса; 地址; 住所; 주소; عنوان; כתובת; date of birth; dob; d o b;
            birth date; birthdate; birthday; year of birth; birth year; yob; born; age; age years;
            geburtsdatum; geburtstag; geboren; geb; geb datum; gebdat; geburtsjahr; jahrgang geburt;
            alter; date de naissance; né le; née le; année de naissance; âge; fecha de nacimiento;
            año de nacimiento; edad; nacimiento; data di nascita; anno di nascita; età;
            data de nascimento; ano de nascimento; idade; geboortedatum; geboortejaar; leeftijd;
            data urodzenia; rok urodzenia; wiek; födelsedatum; personnummer; fødselsdato; alder;
            syntymäaika; doğum tarihi; yaş; дата рождения; год рождения; возраст; дата народження;
            ημερομηνία γέννησης; ηλικία; 出生日期; 生年月日; 年龄; 年齢; 생년월일; 나이; تاريخ الميلاد;
            العمر; תאריך לידה; גיל; ngày sinh; place of birth; geburtsort; lieu de naissance; gender;
            sex; m f; m w; m w d; geschlecht; geschl; sexe; genre; sexo; género; sesso; genere;
            geslacht; płeć; kön; kjønn; køn; sukupuoli; cinsiyet; пол; стать; φύλο; 性别; 性別; 성별;
            الجنس; מין; giới tính; pronouns; weight; body weight; weight kg; kg; mass; gewicht;
            körpergewicht; poids; peso; waga; vikt; vekt; paino; kilo; вес; βάρος; 体重; 體重; 체중;
            الوزن; משקל; cân nặng; height; body height; height cm; cm; körpergröße; größe cm; hauteur;
            altura; estatura; altezza; lengte; wzrost; längd; højde; høyde; pituus; boy; рост; зріст;
            ύψος; 身高; 身長; 키; الطول; גובה; chiều cao; bmi; body mass index; imc; heart rate;
            resting heart rate; blood type; blood group; medical; medical notes; medical conditions;
            medical condition; health; health notes; allergies; allergy; asthma; medication; diagnosis;
            condition; injury; injuries; disability; send; sen; sen status; iep; iep 504; 504; ehcp;
            special needs; special educational needs; krankheiten; krankheit; gesundheit; allergien;
            medikamente; attest; förderbedarf; santé; allergies médicales; handicap; pai; salud;
            alergias; enfermedades; necesidades especiales; nee; salute; allergie; saúde; alergia;
            gezondheid; medisch; zdrowie; здоровье; 健康; free school meals; fsm; pupil premium; pp;
            eal; ell; lac; looked after; ethnicity; ethnic group; religion; faith; nationality;
            language; home language; first language; muttersprache; konfession; bekenntnis;
            religionszugehörigkeit; staatsangehörigkeit; nationalité; nacionalidad; nazionalità;
            nationaliteit; herkunft; migrationshintergrund; parent; parents; parent name; guardian;
            guardians; guardian name; mother; father; mother name; father name; carer; contact;
            contacts; contact name; emergency; emergency contact; emergency contact name; next of kin;
            eltern; mutter; vater; erziehungsberechtigte; erziehungsberechtigter; notfallkontakt;
            notfallnummer; responsable légal; parents élève; responsable; mère; père; tutor legal;
            padre; madre; padres; contacto; contacto de emergencia; genitore; genitori;
            encarregado de educação; ouder; ouders; verzorger; rodzic; opiekun; родители; γονέας; 家长;
            保護者; 학부모; ولي الأمر; הורים; upn; uln; national id; ine; dni; nif; nie; passport; ssn;
            social security number; codice fiscale; bsn; pesel; numero de securite sociale; username;
            user name; login; password; benutzername; passwort; mot de passe; contraseña; photo;
            picture; foto; sexe m f; remarks; remark; comment; comments; notes; note to teacher;
            bemerkung; bemerkungen; anmerkung; anmerkungen; kommentar; remarque; remarques;
            commentaire; commentaires; observaciones; comentarios; osservazioni; observações;
            opmerking; opmerkingen; uwagi; reason; grund; motif; motivo; iban; insurance;
            insurance number; versichertennummer; krankenkasse; bus; bus route; locker; locker number;
            spind; schließfach
        """,
        "school": """
            class; classes; class name; class no; class number; class code; form; form group;
            tutor group; registration group; reg group; reg; tutor; homeroom; hr; section; room;
            room no; room number; year; year group; yr; ncy; school year; academic year; grade level;
            gradelevel; grades; cohort; graduation year; house; team; squad; band class; period;
            periods; course; course code; subject; subjects; teacher; teacher name; coach name; school;
            school name; site; campus; term; semester; entry date; date of entry; enrolment date;
            enrollment date; start date; leaving date; end date; status; enrollment status;
            enrolment status; role; type; date; last login; attendance; attendance rate;
            attendance percent; absences; days absent; late; lates; klasse; klassen; klassenname; kl;
            klassenstufe; stufe; jahrgang; jahrgangsstufe; schuljahr; raum; zimmer; raumnummer; kurs;
            fach; lehrer; lehrerin; lehrkraft; klassenlehrer; klassenlehrerin; schule; schulform;
            eintritt; eintrittsdatum; austritt; fehltage; fehlstunden; gruppe; abteilung; classe;
            niveau scolaire; division; salle; professeur; professeur principal; établissement;
            année scolaire; groupe; matière; clase; curso; grupo; aula; sección; profesor; profesora;
            colegio; centro; año escolar; curso escolar; asignatura; materia; asistencia; sezione;
            docente; scuola; anno scolastico; turma; sala; ano; ano letivo; escola; professor; klas;
            lokaal; leerjaar; leraar; mentor; klassa; klasa; oddział; rok szkolny; nauczyciel; szkoła;
            klass; årskurs; trinn; luokka; sınıf; şube; třída; osztály; clasa; разред; класс; клас;
            τάξη; τμήμα; 班级; 班級; 年级; 学年; 組; クラス; 반; 학년; الصف; الفصل; כיתה; lớp; ห้อง;
            ชั้น; group; groups; timetable; desk; seat; seat number; seat no; kit; kit number;
            shirt number; bib; bib number; trikotnummer; rückennummer
        """,
    }
)

_PERSONAL_PARTS = word_set(
    """
    phone telephone telefon mobile email mail parent guardian mother father carer emergency birth birthday dob born
    address postcode postal zip medical allergy allergies medication gender geburtsdatum geburtstag notfall eltern
    mutter vater telefonnummer naissance nacimiento nascita nascimento geboorte urodzenia telefono courriel
    correo contact religion ethnicity diagnosis password
    """
)


def unwanted(header: str) -> str:
    """``personal`` or ``school`` for a column that the tool has no use for, empty for every other."""
    meaning = UNWANTED.meaning(header)
    if meaning:
        return meaning
    parts = fold(header).split()
    return "personal" if any(part in _PERSONAL_PARTS for part in parts) else ""
