"""What stands in cells that take one of a few words."""

from __future__ import annotations

from grouper.files.vocabulary import Vocabulary

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
