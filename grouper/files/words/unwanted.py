"""Headers of columns that a roster may have and that the tool has no use for.

``personal`` data is left out because it is a person's; ``school`` data because it is no rating.
"""

from __future__ import annotations

from grouper.files.tidy import fold
from grouper.files.vocabulary import Vocabulary, word_set

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
