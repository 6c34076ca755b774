//! Spanish, for the commonest kinds of claim: mate, threat, only move, cited lines,
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
    game: "partida",
    number_signs: &["nº", "n.º"],
    ways: ["arriba", "abajo"],
    mate_names: &[],
    pieces: PIECES,
    common: COMMON,
    phrases: &[PHRASES],
};

const NUANCES: &[(Nuance, &str)] = &[
    (Nuance::Any, "un una"),
    (Nuance::No, "ningun ninguna ni"),
    (Nuance::Merely, "solo solamente unicamente nada"),
    (
        Nuance::Loosely,
        "estrategicamente posicionalmente teoricamente practicamente",
    ),
    (Nuance::Told, "era eran habia tenia"),
    (Nuance::Mate, "mate"),
];

const SETS: &[(&str, &str)] = &[
    ("adjacent", "proximo proxima anterior"),
    (
        "place",
        "posicion diagrama ejercicio ejemplo problema estudio leccion semana mes ano",
    ),
    (
        "alter",
        "pongamos coloquemos quitemos imaginemos supongamos",
    ),
    (
        "motion",
        "salta va mueve juega captura toma come llega vuelve avanza corona",
    ),
    ("goeson", "aqui ahora ya y pero con"),
    ("having", "con"),
    (
        "not",
        "no nunca jamas ni nada nadie ningun ninguna ninguno tampoco apenas",
    ),
    (
        "filler",
        "ahora entonces tambien ya simplemente pronto aqui ahi incluso aun todavia asi luego rapidamente facilmente bien muy",
    ),
    (
        "det",
        "el la los las lo un una unos unas este esta esto ese esa eso su",
    ),
    (
        "if",
        "entonces si cuando despues tras salvo excepto antes hasta mientras",
    ),
    (
        "would",
        "seria serian podria podrian habria hubiera hubiese tendria",
    ),
    (
        "past",
        "era fue eran fueron habia tenia amenazaba gano perdio",
    ),
    ("future", "sera seran va seguira pronto"),
    (
        "wish",
        "quiere queria espera esperaba intenta intentaba pretende pretendia planea busca cree creia piensa teme quieren querian esperan esperaban intentan intentaban pretenden pretendian planean buscan creen creian piensan temen",
    ),
    (
        "plan",
        "idea intencion plan planes preparando prepara para tema motivo",
    ),
    (
        "hedge",
        "quizas quiza tal probablemente posiblemente casi parece aparentemente aproximadamente practicamente supuestamente",
    ),
    (
        "stop",
        "evita evitar evitando evito impide impedir impidiendo para parar contra defiende defender defendiendo elude frente lugar",
    ),
    ("without", "sin"),
    ("because", "porque pues ya que donde aunque"),
    ("and", "y e o u pero"),
    ("or", "o u bien"),
    ("white", "blancas blanco blanca blancos"),
    ("black", "negras negro negra negros"),
    ("he", "el ella le nosotros yo"),
    ("his", "su sus mi mis nuestro"),
    ("opponent", "rival adversario oponente"),
    ("enemy", "enemigo enemiga enemigos enemigas"),
    ("this", "esto esta este eso"),
    ("on", "en de"),
    (
        "prep",
        "en de a hacia desde por sobre casilla casillas punto controla domina defiende y o el la los las entre contra para",
    ),
    ("both", "ambos ambas dos"),
    (
        "adjective",
        "fuerte debil buen mal pasado aislado ultimo otro clavado indefenso",
    ),
    ("adjunct", "final ataque estructura"),
    ("abbreviation", "p ej etc n num sr dr"),
    ("question", "es era puede podria por que como quien cual"),
    ("threat", "amenaza amenazan amenazando amenazaba amenazas"),
    ("instead", "mejor correcto preferible necesario lugar"),
    ("impossible", "imposible ilegal"),
    (
        "game",
        "partida partidas torneo match ronda campeonato copa",
    ),
    ("squareword", "casilla casillas"),
    ("mate", "mate"),
    ("notonly", "solo hay"),
    ("by", "con mediante por tras"),
    ("moveverb", "era gana pierde seria fue"),
    ("movetrait", "mate mejor posible imposible"),
    ("is", "es son esta estan"),
    ("was", "era fue"),
    ("has", "tiene tienen"),
    ("move", "jugada jugadas movimientos"),
    ("with", "con mediante por tras"),
];

const NUMBERS: &[(&str, u8)] = &[
    ("uno", 1),
    ("una", 1),
    ("dos", 2),
    ("tres", 3),
    ("cuatro", 4),
    ("cinco", 5),
    ("seis", 6),
    ("siete", 7),
    ("ocho", 8),
    ("nueve", 9),
    ("diez", 10),
];

const COUNTED: &[Counted] = &[
    Counted {
        one: "una",
        singular: &["jugada"],
        plural: &["jugadas"],
    },
    Counted {
        one: "un",
        singular: &["movimiento"],
        plural: &["movimientos"],
    },
];

const PIECES: &[(&str, Option<Role>, bool)] = &[
    ("rey", Some(Role::King), false),
    ("reyes", Some(Role::King), true),
    ("dama", Some(Role::Queen), false),
    ("damas", Some(Role::Queen), true),
    ("torre", Some(Role::Rook), false),
    ("torres", Some(Role::Rook), true),
    ("alfil", Some(Role::Bishop), false),
    ("alfiles", Some(Role::Bishop), true),
    ("caballo", Some(Role::Knight), false),
    ("caballos", Some(Role::Knight), true),
    ("peon", Some(Role::Pawn), false),
    ("peones", Some(Role::Pawn), true),
    ("pieza", None, false),
    ("piezas", None, true),
];

const COMMON: &str = "de la que el en y a los se del las un por con no una su para es al lo como mas o pero sus le ha me si sin sobre este \
    ya entre cuando todo esta ser son dos tambien fue habia era muy hasta desde mi porque que solo han yo hay vez puede todos asi nos ni \
    parte tiene el uno donde bien tiempo mismo ese ahora cada e vida otro despues te otros aunque esa eso hace otra gobierno tan durante \
    siempre dia tanto ella tres si gran pues jugada jugadas ataque defensa ventaja posicion final apertura variante amenaza amenazan mejor \
    peor gana ganan pierde pierden ganador perdido tablas igualdad error sacrificio cambio casilla columna fila centro flanco blancas negras \
    mate jaque peon dama torre alfil caballo rey";

const PHRASES: &[Phrase] = &[
    Phrase::new("mate en N @move?; dan|da mate en N @move?; mate forzado en N @move?; con mate en N @move?", make::mate_in),
    Phrase::new("mate a la siguiente; mate en la siguiente jugada; mate en la proxima jugada; mate en un movimiento", make::mate_next),
    Phrase::new("mate forzado; mate inevitable; mate imparable; fuerza|fuerzan el? mate; sigue mate", make::mate_forced),
    Phrase::new("es|era mate; y mate; mate; con mate; da|dan mate; jaque mate", make::mate_now),
    Phrase::new("@threat mate; @threat con mate; @threat de mate; @threat mate @with LINE; @threat mate en SQUARE; @threat dar mate", make::mate_threat).shown(),
    Phrase::new("@threat mate en N @move?; @threat con mate en N @move?; @threat dar mate en N @move?", make::mate_threat).shown(),
    Phrase::new("@threat LINE; @threat con LINE; @threat es|era LINE; @threat de LINE", make::threat_line).shown(),
    Phrase::new("unica jugada legal", make::only_legal),
    Phrase::new("unica jugada ganadora; unica manera|forma de ganar; unica jugada que gana; solo LINE gana", make::only_win),
    Phrase::new("unica jugada ganadora es|era LINE; unica jugada que gana es|era LINE", make::only_win).shown(),
    Phrase::new("solo LINE da mate", make::only_mate).shown(),
    Phrase::new("unica jugada; unica respuesta; unica defensa|continuacion; jugada unica", make::only_sensible),
    Phrase::new("es|era forzada|forzado; forzado; forzada", make::only_forced),
    Phrase::new("LINE falla por LINE; LINE pierde por LINE; LINE por LINE; LINE debido a LINE", make::refuted).affirmed(),
    Phrase::new("falla por LINE; pierde por LINE; debido a LINE", make::refuted).affirmed(),
    Phrase::new("LINE se contesta|responde con LINE; a LINE sigue LINE", make::answered).affirmed(),
    Phrase::new("ataca|atacan|atacando a? TARGETS; ataque a|contra TARGETS", make::attacks),
    Phrase::new("TARGETS esta|estan atacado|atacada|atacados|atacadas; TARGETS cuelga", make::attacked).inside(),
    Phrase::new("TARGETS esta|estan defendido|defendida|defendidos; TARGETS esta defendido|defendida por PIECE", make::defended).inside(),
    Phrase::new("TARGETS esta|estan indefenso|indefensa|colgado|colgada", make::loose).inside(),
    Phrase::new("defiende|defienden a? TARGETS", make::defends),
    Phrase::new("controla|controlan|domina|dominan TARGETS", make::controls),
    Phrase::new("clava|clavan|clavando a? TARGETS", make::pins),
    Phrase::new("TARGETS esta|estan clavado|clavada|clavados|clavadas", make::pinned).inside(),
    Phrase::new("jaque doble; doble jaque", make::double_check),
    Phrase::new("jaque a? la? descubierta|descubierto; jaque descubierto", make::discovered_check),
    Phrase::new("con jaque; da|dan jaque", make::checks),
    Phrase::new("columna FILE esta abierta; columna abierta FILE; columna abierta de FILE", make::open_file),
    Phrase::new("TARGETS es|esta un? pasado", make::passed).inside(),
    Phrase::new("PIECE y PIECE de mas|ventaja", make::up_both),
    Phrase::new("PIECE y PIECE de menos", make::down_both),
    Phrase::new("sacrifica|sacrifican|entrega|entregan a? PIECE", make::gives_goods),
    Phrase::new("LINE pierde; LINE falla", make::loses).affirmed(),
    Phrase::new("PIECE de mas|ventaja; con PIECE de mas|ventaja", make::up),
    Phrase::new("PIECE de menos", make::down),
    Phrase::new("calidad de mas|ventaja", make::exchange_up),
    Phrase::new("calidad de menos", make::exchange_down),
    Phrase::new("igualdad material; material igualado", make::material_level),
    Phrase::new("gana|ganan|ganando PIECE", make::wins_goods),
    Phrase::new("pierde|pierden|perdiendo PIECE", make::loses_goods),
    Phrase::new("gana|ganan|ganando la? calidad", make::wins_exchange),
    Phrase::new("ventaja decisiva; posicion ganadora|ganada; esta|estan ganadas|ganado|ganada|ganando", make::winning),
    Phrase::new("posicion perdida; esta|estan perdido|perdidas|perdida", make::lost),
    Phrase::new("clara|gran ventaja; ventaja clara; mucho mejor", make::much_better),
    Phrase::new("ligera|pequena ventaja; ventaja ligera; esta|estan mejor", make::better),
    Phrase::new("esta|estan peor", make::worse),
    Phrase::new("igualdad; posicion igualada|equilibrada; esta igualado|igualada", make::equal),
    Phrase::new("poco clara|claro; posicion incierta", make::unclear),
    Phrase::new("son tablas; tablas; es tablas; posicion de tablas", make::drawn),
    Phrase::new("mejor jugada; mejor continuacion|respuesta|defensa", make::best),
    Phrase::new("mejor es|era LINE; mejor LINE; LINE es|era mejor", make::better_move),
    Phrase::new("LINE gana; y ganan", make::wins),
    Phrase::new("SIDE gana|ganan", make::winning).inside(),
    Phrase::new("error; imprecision; jugada dudosa", make::mistake),
    Phrase::new("error grave; grave error; error decisivo; jugada perdedora", make::blunder),
    Phrase::new("ahogado; rey ahogado", make::stalemate),
    Phrase::new("jaque perpetuo; perpetuo", make::perpetual),
    Phrase::new("repeticion; triple repeticion; repeticion de jugadas", make::repetition),
    Phrase::new("juegan SIDE; juega SIDE", make::to_play).inside(),
    Phrase::new("juegan y ganan; juegan SIDE y ganan; SIDE juegan y ganan", make::to_win),
    Phrase::new("SIDE juegan y hacen? tablas", make::to_draw).inside(),
];
