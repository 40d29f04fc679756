"""Short lists for nine languages beside English, leaning to recall; common practice, by hand.

Blocks for ``phrases.compiled`` over folded text, so accents are gone; where a language also writes
'ae', 'oe', 'ue' for its umlauts both stand. The commonest words decide which language a word
belongs to that stands in several lists.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Words:
    """One language's blocks by what they say, its negations and a few of its commonest words."""

    language: str
    praise: str
    use: str
    warning: str
    medicine: str
    negation: str
    common: str


LANGUAGES = (
    Words(
        "de",
        praise="""
        (?:un)?essbar[a-z]*|eßbar[a-z]*|genie(?:ss|s)bar[a-z]*|speisepilz[a-z]*|lecker[a-z]*
        k(?:o|oe)stlich[a-z]*|schmackhaft[a-z]*|wohlschmeckend[a-z]*|delikatess[a-z]*
        schmeck(?:t|en) (?:[a-z]+ )?(?:gut|hervorragend|vorz(?:u|ue)glich|ausgezeichnet|prima
        |toll)
        speisewert[a-z]*|marktpilz[a-z]*|edelpilz[a-z]*|guten appetit
        """,
        use="""
        essen|gegessen|isst|esse|verzehr[a-z]*|verspeis[a-z]*|gebraten[a-z]*|braten|angebraten
        kochen|gekocht[a-z]*|abgekocht|pfanne[a-z]*|rezepte?|pilzsuppe|pilzgericht[a-z]*
        pilzpfanne|eingelegt|zubereit[a-z]*|roh(?:verzehr|genuss)|mitgenommen zum
        kulinarisch[a-z]*
        """,
        warning="""
        giftig[a-z]*|giftpilz[a-z]*|vergift[a-z]*|pilzgift[a-z]*|t(?:o|oe)dlich[a-z]*
        unge(?:nie(?:ss|s)bar)[a-z]*|roh giftig|unbek(?:o|oe)mmlich[a-z]*|erbrechen|durchfall
        unvertr(?:a|ae)glich[a-z]*
        """,
        medicine="""
        heilpilz[a-z]*|vitalpilz[a-z]*|medizinisch[a-z]*
        """,
        negation="nicht|kein[a-z]*|nie|niemals|weder",
        common="und|ist|der|die|das|sehr|mit|aber|nicht|von|ein|eine|auch|wir|pilz",
    ),
    Words(
        "fr",
        praise="""
        comestibles?|mangeables?|delicieu(?:x|se|ses)|savoureu(?:x|se|ses)|gouteu(?:x|se|ses)
        succulente?s?|(?:tres )?bon(?:ne)?s? a manger|exquise?s?|se regal(?:er|e)|bon appetit
        """,
        use="""
        manger|mangees?|(?:ai|as|a|avons|avez|ont|lai|les ai) mang[a-z]*|se mang(?:e|ent)
        consomm(?:er|es?|ees?|ation)|cuire|cuit(?:e|s|es)?|cuisson|cuisin[a-z]+|a la poele
        poelee?s?|recettes?|omelettes?|mijote[a-z]*|deguste[a-z]*|gastronom[a-z]*|a table
        """,
        warning="""
        toxiques?|toxicite|veneneu(?:x|se|ses)|mortel(?:s|le|les|lement)?|non comestibles?
        immangeables?|empoisonn[a-z]*|intoxications?|indigest[a-z]*|vomissements?|poisons?
        a rejeter
        """,
        medicine="""
        medicina(?:l|le|ux|les)|vertus
        """,
        negation="non|pas|jamais|ni|aucun[a-z]*",
        common="et|est|le|la|les|des|avec|pas|une?|dans|tres|mais|nous|champignons?",
    ),
    Words(
        "it",
        praise="""
        commestibil[a-z]+|edul[ei]|mangerecc[a-z]+|mangiabil[a-z]+|squisit[a-z]+|delizios[a-z]+
        gustos[a-z]+|saporit[a-z]+
        (?:buon[a-z]*|ottim[a-z]+) (?:da mangiare|in cucina|fritt[a-z]+|commestibil[a-z]+)
        prelibat[a-z]+|buon appetito
        """,
        use="""
        mangiare|mangiat[a-z]+|mangio|mangiamo|si mangi(?:a|ano)|cucinar[a-z]*|cucinat[a-z]+
        cucina|cott[oaie]|cottura|cuocere|padella|ricett[ae]|fritt[oaie]|risotto|trifolat[a-z]+
        consumo|consumat[a-z]+|crud[oaie]|sott ?olio|assaggiar[a-z]*
        """,
        warning="""
        velenos[a-z]+|tossic[a-z]+|mortal[ei]|mortalmente|immangiabil[a-z]+
        non commestibil[a-z]+|avvelenament[a-z]+|intossicazion[a-z]+|vomito|indigest[a-z]+
        """,
        medicine="""
        medicinal[ei]|curativ[a-z]+
        """,
        negation="non|mai|ne|nessun[a-z]*",
        common="e|il|lo|gli|di|con|molto|ma|del|della|un|una|fungo|funghi|abbiamo",
    ),
    Words(
        "es",
        praise="""
        comestibles?|delicios[oa]s?|exquisit[oa]s?|sabros[oa]s?
        (?:buen[oa]?s?|excelentes?) (?:para comer|comestibles?)|riquisim[oa]s?
        ric[oa]s? a la plancha
        """,
        use="""
        comer|comerl[a-z]+|comid[oa]s?|comimos|comieron|comi|se comen?|cocin[a-z]+|recetas?
        sarten|frit[oa]s|a la plancha|consum(?:o|ir|id[oa]s?|en|e)|guis[oa]s?|guisad[oa]s?
        tortillas?|crud[oa]s?
        """,
        warning="""
        venenos[oa]s?|toxic[oa]s?|toxicidad|(?:es|son|muy|setas?|hongos?) mortal(?:es)?
        mortalmente|no comestibles?|incomestibles?|intoxicacion[a-z]*|envenen[a-z]+|vomitos
        indigest[a-z]+
        """,
        medicine="""
        medicinal(?:es)?|curativ[oa]s?
        """,
        negation="no|nunca|jamas|ni|sin",
        common="y|es|el|los|las|muy|con|pero|del|una?|setas?|hongos?|son|que",
    ),
    Words(
        "pl",
        praise="""
        jadaln[a-z]+|smaczn[a-z]+|pyszn[a-z]+|wysmienit[a-z]+|przysmak[a-z]*|smacznego|delikates[a-z]*
        """,
        use="""
        jesc|zjesc|jadl(?:em|am|o|y)?|zjadl[a-z]*|jemy|jedzon[a-z]+|zjedzon[a-z]+|jedzenia?
        smazon[a-z]+|smazy[a-z]*|usmazy[a-z]*|gotowa[a-z]+|ugotowa[a-z]+|przepis[a-z]*
        patelni[a-z]*|konsumpcj[a-z]+|spozy[a-z]+|kulinarn[a-z]+|na surowo|surow[a-z]+
        marynowan[a-z]+|zup[aeyi]
        """,
        warning="""
        trujac[a-z]+|truciz[a-z]+|smierteln[a-z]+|niejadaln[a-z]+|zatruc[a-z]+|otru[a-z]+
        toksyczn[a-z]+|wymiot[a-z]+
        """,
        medicine="""
        lecznicz[a-z]+
        """,
        negation="nie|nigdy|bez|ani",
        common="i|jest|nie|sie|bardzo|ale|grzyb[a-z]*|do|po|z|ten|smak",
    ),
    Words(
        "cs",
        praise="""
        jedl(?:y|a|e|ou|eho|ych|ymi)|chutn[a-z]+|lahodn[a-z]+
        vyborn[a-z]+ (?:jedl[a-z]+|houb[a-z]+|v [a-z]+)|delikates[a-z]*|pochoutk[a-z]+|dobrou chut
        """,
        use="""
        jist|snist|snedl[a-z]*|jedli|jedl jsem|jime|jidl[a-z]+|varen[a-z]+|uvarit|varit
        smazen[a-z]+|osmazi[a-z]*|smazit|receptu?|kuchyn[a-z]*|konzum[a-z]*|poziv[a-z]+
        syrov[a-z]+|polevk[a-z]+|nakladan[a-z]+|houbovy guls
        """,
        warning="""
        jedovat[a-z]+|smrteln[a-z]+|nejedl[a-z]+|otrav[a-z]+|toxick[a-z]+|zvracen[a-z]+
        nepoziv[a-z]+
        """,
        medicine="""
        leciv[a-z]+|lecebn[a-z]+
        """,
        negation="neni|nejsou|nikdy|ne|bez",
        common="a|je|neni|velmi|ale|houb[a-z]*|v|s|ze|jsou|tato",
    ),
    Words(
        "sv",
        praise="""
        atlig(?:t|a|e)?|aetlig[a-z]*|matsvamp(?:ar|en)?|lacker|lackert|lackra|utsokt|valsmakande
        smaklig[a-z]*|delikatess[a-z]*|god mat(?:svamp)?|gott? att ata|gourmetsvamp
        """,
        use="""
        ata|atit|atits|atas|ater|ats|stekt[a-z]*|steka|kokt[a-z]*|koka|avkok[a-z]*
        forval(?:l|d)[a-z]*|recept|stekpanna[a-z]*|fortar[a-z]*|tillag[a-z]+|svampsoppa|i maten
        """,
        warning="""
        giftig[a-z]*|giftsvamp[a-z]*|dodlig[a-z]*|oatlig[a-z]*|forgift[a-z]*|krakning[a-z]*
        krakas
        """,
        medicine="""
        medicinsk[a-z]*|lakande
        """,
        negation="inte|ej|aldrig|icke|ingen|inget",
        common="och|ar|inte|mycket|men|med|svamp[a-z]*|av|den|det|vi|en",
    ),
    Words(
        "nl",
        praise="""
        eetba(?:ar|re)|lekkere?|heerlijke?|smakelijke?|delicatesse[a-z]*
        consumptiepaddenstoel[a-z]*|smaakt (?:[a-z]+ )?(?:goed|prima|uitstekend)
        """,
        use="""
        eten|eet|gegeten|opgegeten|gebakken|bakken in|koken|gekookt[a-z]*|recept(?:en)?
        consumptie|consumer[a-z]+|geconsumeerd|koekenpan|keuken|paddenstoelensoep|rauwe?
        """,
        warning="""
        giftige?|vergiftig[a-z]*|dodelijke?|oneetba(?:ar|re)|braken|voedselvergiftiging
        """,
        medicine="""
        geneeskrachtig[a-z]*|medicinale?
        """,
        negation="niet|geen|nooit|noch",
        common="en|is|het|de|een|niet|zeer|maar|met|van|zijn|wij|heel|paddenstoel[a-z]*",
    ),
    Words(
        "cy",
        praise="""
        [bf]wytadwy|[bf]lasus|danteith[a-z]*
        """,
        use="""
        [bfm]wyta|[bfm]wyteir|[bfm]wytais|[bfm]wytodd|[bfm]wytwyd|[cg]oginio|ng?hoginio|choginio
        ffrio|ferwi|berwi|rysait|rysaitiau|[cg]egin|chawl madarch|cawl madarch|swper
        """,
        warning="""
        g?wenwynig|g?wenwyn[a-z]*|marwol|farwol|anfwytadwy|chwydu
        """,
        medicine="""
        meddyginiaeth[a-z]*|feddyginiaeth[a-z]*|rhinweddau
        """,
        negation="nid|ddim|na|byth|nad|peidiwch|peidio",
        common="yn|y|yr|ac|mae|iawn|ond|gyda|ddim|nid|madarch|ei|peidiwch",
    ),
)
