//! German, for the commonest kinds of claim: mate, threat, only move, cited lines,
//! pieces on squares, material, verdicts and draws.

use shakmaty::Role;

use super::data::{Counted, Data};
use super::make;
use crate::pattern::Phrase;
use crate::wording::Nuance;

pub(super) const DATA: Data = Data {
    sets: SETS,
    nuances: NUANCES,
    numbers: NUMBERS,
    counted: COUNTED,
    ordinals: &[],
    game: "partie",
    number_signs: &["nr"],
    ways: ["oben", "unten"],
    mate_names: &[],
    pieces: PIECES,
    common: COMMON,
    phrases: &[PHRASES],
};

const NUANCES: &[(Nuance, &str)] = &[
    (Nuance::Any, "ein eine einem einen einer eines"),
    (Nuance::No, "kein keine keinen keinem keiner weder"),
    (Nuance::Merely, "nur lediglich bloss nichts"),
    (
        Nuance::Loosely,
        "strategisch positionell theoretisch praktisch",
    ),
    (Nuance::Told, "war waren hatte hatten"),
    (Nuance::Back, "zuruck"),
    (Nuance::Mate, "matt mattsetzen"),
    (Nuance::Hangs, "hangt hangen"),
];

const SETS: &[(&str, &str)] = &[
    ("adjacent", "nachste nachsten vorige vorigen letzten"),
    (
        "place",
        "stellung diagramm aufgabe beispiel studie lektion woche monat jahr",
    ),
    ("alter", "stelle stellen setze setzen versetzen entferne"),
    (
        "motion",
        "springt geht zieht schlagt nimmt spielt kommt zuruckschlagt wandert lauft holt",
    ),
    ("goeson", "hier jetzt schon und aber mit"),
    ("having", "mit"),
    (
        "not",
        "nicht kein keine keinen keinem keiner keines nie niemals nichts weder noch niemand kaum",
    ),
    (
        "filler",
        "nun jetzt dann auch schon sofort bald einfach hier da sogar doch noch also daher schnell leicht elegant wieder sehr ganz",
    ),
    (
        "det",
        "der die das den dem des ein eine einen einem einer eines dieser diese dieses",
    ),
    (
        "if",
        "dann wenn falls sobald nach nachdem sollte sonst ob ausser bevor ehe bis",
    ),
    (
        "would",
        "wurde wurden ware waren hatte hatten konnte konnten mochte",
    ),
    ("past", "war waren hatte drohte gewann verlor wurde"),
    ("future", "wird werden folgt bald"),
    (
        "wish",
        "will wollte wollten mochte hofft hoffte hoffen plant plante planen versucht versuchte versuchen erwartet erwarten furchtet furchten glaubt glaubte glauben denkt dachte wollen traumt traumte",
    ),
    (
        "plan",
        "idee absicht plan plane um vorbereitet bereitet motiv",
    ),
    (
        "hedge",
        "vielleicht wohl wahrscheinlich moglicherweise fast beinahe scheint anscheinend offenbar etwa vermutlich angeblich",
    ),
    (
        "stop",
        "verhindert verhindern verhinderte pariert parieren parierte vermeidet vermeiden deckt decken gegen statt anstatt abwehren wehrt entgeht \
         entgehen vereitelt verteidigt schutzt",
    ),
    ("without", "ohne"),
    ("because", "weil da denn dass wobei obwohl wahrend die der"),
    ("and", "und oder aber sowie"),
    ("or", "oder beziehungsweise"),
    (
        "white",
        "weis weiss weissen weisen weisser weiser weise weisse weisem weissem",
    ),
    ("black", "schwarz schwarzen schwarzer schwarze schwarzem"),
    ("he", "er sie ihm ihn man ich wir"),
    (
        "his",
        "sein seine seinen seinem seiner ihr ihre mein meine meinen",
    ),
    ("opponent", "gegner"),
    ("enemy", "gegnerische gegnerischen feindliche feindlichen"),
    ("this", "dies das es dieser dieses textzug"),
    ("on", "auf"),
    (
        "prep",
        "auf nach von uber in an bei zu feld felder punkt kontrolliert deckt beherrscht und oder der die das den schwache zwischen gegen fur",
    ),
    ("both", "beide beiden"),
    (
        "adjective",
        "starke starken schwache schwachen gute guten schlechte schlechten freie freien weiteren letzte letzten gefesselte gefesselten ungedeckte ungedeckten",
    ),
    (
        "adjunct",
        "opfer endspiel endspiele flugel tausch angriff kette majoritat struktur paar zug zuge",
    ),
    ("abbreviation", "bzw z b usw vgl nr ca evtl sog d h"),
    (
        "question",
        "ist war kann konnte warum was wie wer welche welcher hat",
    ),
    ("threat", "droht drohen drohte drohend drohung drohungen"),
    (
        "instead",
        "besser starker genauer richtig einfacher stattdessen geboten notwendig",
    ),
    ("impossible", "unmoglich illegal"),
    (
        "game",
        "partie partien wettkampf turnier runde meisterschaft pokal",
    ),
    ("squareword", "feld felder feldrige feldrigen"),
    ("mate", "matt"),
    ("notonly", "nur"),
    ("by", "mit durch nach"),
    ("moveverb", "war gewinnt verliert scheitert drohte ware"),
    ("movetrait", "matt besser moglich unmoglich starker"),
    ("is", "ist wird bleibt"),
    ("was", "war"),
    ("has", "hat haben"),
    ("move", "zug zuge zugen"),
    ("with", "mit durch nach"),
];

const NUMBERS: &[(&str, u8)] = &[
    ("einem", 1),
    ("eins", 1),
    ("zwei", 2),
    ("drei", 3),
    ("vier", 4),
    ("fünf", 5),
    ("sechs", 6),
    ("sieben", 7),
    ("acht", 8),
    ("neun", 9),
    ("zehn", 10),
    ("elf", 11),
    ("zwölf", 12),
];

// In the dative, behind "in".
const COUNTED: &[Counted] = &[Counted {
    one: "einem",
    singular: &["Zug", "Zuge"],
    plural: &["Zügen", "Züge"],
}];

const PIECES: &[(&str, Option<Role>, bool)] = &[
    ("konig konigs", Some(Role::King), false),
    ("dame", Some(Role::Queen), false),
    ("damen", Some(Role::Queen), true),
    ("turm turms", Some(Role::Rook), false),
    ("turme turmen", Some(Role::Rook), true),
    ("laufer laufers", Some(Role::Bishop), false),
    ("laufern", Some(Role::Bishop), true),
    ("springer springers", Some(Role::Knight), false),
    ("springern", Some(Role::Knight), true),
    ("bauer bauern bauers", Some(Role::Pawn), false),
    ("figur", None, false),
    ("figuren", None, true),
];

const COMMON: &str = "der die das und in den von zu mit sich des auf fur ist im dem nicht ein eine als auch es an werden aus er hat dass \
    sie nach wird bei einer um am sind noch wie einem uber einen so zum war haben nur oder aber vor zur bis mehr durch man sein wurde sei \
    wenn hier schon jetzt dann nun alle immer wieder gegen kann zwischen zwei drei ohne sehr doch ja nein gut gute guter guten besser beste \
    besten zug zuge spiel stellung angriff verteidigung vorteil nachteil gewinn gewinnt verliert verloren gewonnen remis ausgeglichen feld \
    linie reihe diagonale zentrum eroffnung variante drohung droht fehler opfer tausch steht stehen spielt spielen weis weiss schwarz";

const PHRASES: &[Phrase] = &[
    Phrase::new(
        "matt in N @move?; setzt in N @move? matt; gibt in N @move? matt; mit matt in N @move?; matt in spatestens N @move?",
        make::mate_in,
    ),
    Phrase::new("wird in N @move? matt; wird in N @move? mattgesetzt; ist in N @move? matt", make::mate_in).victim(),
    Phrase::new("matt im nachsten zug; setzt im nachsten zug matt; matt beim nachsten zug", make::mate_next),
    Phrase::new("setzt matt; erzwungenes matt; erzwingt das? matt; matt folgt; unvermeidliches matt; das? matt ist unvermeidlich|unabwendbar; mit undeckbarem matt", make::mate_forced),
    Phrase::new("ist|war es? matt; und matt; matt; mit matt; ist mattgesetzt", make::mate_now),
    Phrase::new("@threat matt; @threat mit matt; mattdrohung; @threat matt @with LINE; @threat matt auf SQUARE", make::mate_threat).shown(),
    Phrase::new("@threat matt in N @move?; @threat ein matt in N @move?", make::mate_threat).shown(),
    Phrase::new("@threat LINE; @threat mit? LINE; @threat ist|war LINE; LINE @threat", make::threat_line).shown(),
    Phrase::new("einzige legale|regelgerechte|mogliche zug; einziger legaler|regelgerechter|moglicher zug", make::only_legal),
    Phrase::new("einziger zug; einzige zug; einzigen zug; einzige antwort|fortsetzung|parade", make::only_sensible),
    Phrase::new("einzige|einziger gewinnzug; nur LINE gewinnt", make::only_win),
    Phrase::new("einzige|einziger gewinnzug ist|war LINE", make::only_win).shown(),
    Phrase::new("nur LINE setzt|ist matt", make::only_mate).shown(),
    Phrase::new("ist|war erzwungen|forciert", make::only_forced),
    Phrase::new("einzige rettung|verteidigung; einzige rettende zug", make::only_defence),
    Phrase::new("LINE scheitert an LINE; LINE verliert wegen LINE; LINE wegen LINE", make::refuted).affirmed(),
    Phrase::new("scheitert an LINE; wegen LINE; verliert wegen LINE", make::refuted).affirmed(),
    Phrase::new("LINE wird widerlegt durch LINE; LINE wird mit LINE widerlegt; LINE geht nicht wegen LINE", make::refuted).affirmed(),
    Phrase::new("auf LINE folgt LINE; LINE wird mit LINE beantwortet", make::answered).affirmed(),
    Phrase::new("greift|greifen|attackiert|bedroht|bedrohen TARGETS an?; angriff auf TARGETS", make::attacks),
    Phrase::new("TARGETS ist|sind|war|waren angegriffen", make::attacked).inside(),
    Phrase::new("TARGETS hangt|hangen", make::hanging).inside(),
    Phrase::new("TARGETS ist|sind|war gedeckt; TARGETS ist|sind|war durch PIECE gedeckt", make::defended).inside(),
    Phrase::new("TARGETS ist|sind|war ungedeckt", make::loose).inside(),
    Phrase::new("deckt|decken TARGETS", make::defends),
    Phrase::new("beherrscht|kontrolliert|beherrschen TARGETS", make::controls),
    Phrase::new("fesselt|fesseln TARGETS; fesselung von TARGETS", make::pins),
    Phrase::new("TARGETS ist|sind|war|waren gefesselt", make::pinned).inside(),
    Phrase::new("gabelt TARGETS; gabel gegen TARGETS", make::forks),
    Phrase::new("doppelschach", make::double_check),
    Phrase::new("abzugsschach", make::discovered_check),
    Phrase::new("gibt schach; mit schach", make::checks),
    Phrase::new("FILE linie ist|war offen; offene|offenen FILE linie", make::open_file),
    Phrase::new("TARGETS ist|war ein? freibauer; TARGETS ist|war frei", make::passed).inside(),
    Phrase::new("TARGETS ist|sind|war isoliert", make::is_isolated).inside(),
    Phrase::new("PIECE und PIECE mehr", make::up_both),
    Phrase::new("PIECE und PIECE weniger", make::down_both),
    Phrase::new("opfert PIECE; gibt PIECE auf|zuruck", make::gives_goods),
    Phrase::new("LINE verliert; LINE geht nicht", make::loses).affirmed(),
    Phrase::new("PIECE mehr", make::up),
    Phrase::new("PIECE weniger", make::down),
    Phrase::new("qualitat mehr", make::exchange_up),
    Phrase::new("qualitat weniger", make::exchange_down),
    Phrase::new("materiell ausgeglichen; materielles gleichgewicht", make::material_level),
    Phrase::new("gewinnt PIECE; und gewinnt PIECE", make::wins_goods),
    Phrase::new("verliert PIECE", make::loses_goods),
    Phrase::new("gewinnt die? qualitat", make::wins_exchange),
    Phrase::new("steht auf gewinn; gewinnstellung; ist|war gewonnen; gewonnene stellung; entscheidender|entscheidendem|entscheidenden vorteil", make::winning),
    Phrase::new("steht auf verlust; ist|war verloren; verlorene stellung", make::lost),
    Phrase::new("steht|ist klar|deutlich|viel besser; klarer|klarem|klaren|deutlichem vorteil", make::much_better),
    Phrase::new("steht|ist etwas|leicht? besser; leichter|leichtem|leichten|kleiner|kleinem vorteil; hat vorteil", make::better),
    Phrase::new("steht|ist etwas|leicht? schlechter", make::worse),
    Phrase::new("ist|war ausgeglichen; ausgeglichene stellung; ausgleich", make::equal),
    Phrase::new("unklar; unklare stellung", make::unclear),
    Phrase::new("ist|war remis; remisstellung; halt remis", make::drawn),
    Phrase::new("beste zug; bester zug; besten zug; am besten; beste fortsetzung", make::best),
    Phrase::new("besser ist|war LINE; besser LINE; starker ist|war LINE; LINE ist|war besser", make::better_move),
    Phrase::new("LINE gewinnt; und gewinnt; und SIDE gewinnt", make::wins),
    Phrase::new("fehler; ungenauigkeit; schwacher zug", make::mistake),
    Phrase::new("grober|entscheidender fehler; verlustzug", make::blunder),
    Phrase::new("patt", make::stalemate),
    Phrase::new("dauerschach; ewiges schach", make::perpetual),
    Phrase::new("zugwiederholung", make::repetition),
    Phrase::new("SIDE am zug", make::to_play).inside(),
    Phrase::new("SIDE am zug gewinnt; SIDE zieht und gewinnt", make::to_win).inside(),
    Phrase::new("SIDE zieht und halt remis", make::to_draw).inside(),
];
