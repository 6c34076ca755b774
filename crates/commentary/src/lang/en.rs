//! English.

use shakmaty::Role;

use super::{Data, Rule};
use crate::ClaimKind::{
    Draw as DrawClaim, Mate as MateClaim, OnlyMove as OnlyClaim, Threat as ThreatClaim,
};
use crate::{Draw, Mate, Mood, OnlyMove, Threat};

pub(super) const DATA: Data = Data {
    sets: SETS,
    numbers: NUMBERS,
    pieces: PIECES,
    common: COMMON,
    rules: RULES,
};

const SETS: &[(&str, &str)] = &[
    // ---- what the code knows ----
    (
        "not",
        "not no never nor neither nothing nobody none cannot can't isn't wasn't aren't weren't doesn't don't didn't \
         won't wouldn't couldn't shouldn't hasn't haven't hadn't hardly scarcely barely fails failed fail \
         failing nowhere needn't mustn't ain't unable insufficient wrongly",
    ),
    (
        "filler",
        "now then also simply just already quickly soon immediately at once here there indeed too even still therefore \
         thus finally easily directly actually of course very quite rather really clearly obviously again once by \
         force all in inevitably suddenly promptly neatly prettily beautifully elegantly eventually",
    ),
    ("det", "the a an this that these those some any another its"),
    (
        "if",
        "if when whenever unless after should once until till provided supposing suppose assuming otherwise else \
         whereupon lest before either whether",
    ),
    ("would", "would could might 'd should may can"),
    (
        "past",
        "was were had been did got became came gave won lost missed overlooked played",
    ),
    ("future", "will 'll shall going about next soon"),
    (
        "wish",
        "want wants wanted wanting hope hopes hoped hoping wish wishes wished dream dreams dreamt dreamed intend intends \
         intended intending plan plans planned planning aim aims aimed aiming try tries tried trying expect expects \
         expected expecting looking prepares preparing prepare prepared like likes liked think thinks thought believed \
         believe believes fear fears feared fearing afraid worried want need needs needed expecting imagine imagined \
         chance chances",
    ),
    (
        "plan",
        "idea ideas intention intentions plan plans aim aims heading heads followed planning preparing prepares \
         manoeuvre maneuver manoeuvring maneuvering route routes via towards toward push pushes break breaks trick \
         tricks motif theme themes prospects possibilities possibility potential hints hint resource resources threats",
    ),
    (
        "hedge",
        "perhaps probably maybe possibly almost nearly seems seemed seem seemingly apparently looks looked look presumably likely practically \
         virtually supposedly allegedly arguably roughly about kind sort sure believe guess suppose somehow usually often sometimes \
         generally mostly theoretically hopefully dangerously close near hint hints smell smells talk talks",
    ),
    (
        "stop",
        "stop stops stopped stopping prevent prevents prevented preventing avoid avoids avoided avoiding parry parries \
         parried parrying forestall forestalls forestalled forestalling escape escapes escaped escaping avert averts \
         averted averting meet meets evade evades evaded evading defend defends defended defending against instead rather \
         delays delay delayed delaying postpone postpones postponed postponing refuse refuses refused refusing reject \
         rejects rejected rejecting decline declines declined declining eliminate eliminates eliminating remove removes removing \
         rules rule ruled ruling protects protecting guard guards guarding covers covering survive survives survived deflect \
         deflects spoils spoiling counters countering nullifies neutralises neutralizes sidesteps dodges dodging saves saving deal \
         deals dealing blocks blocking",
    ),
    ("without", "without minus absent lacked"),
    (
        "because",
        "because since as which who that while whereas although though where so",
    ),
    ("and", "and or but plus"),
    ("or", "or either alternatively"),
    ("white", "white"),
    ("black", "black"),
    (
        "he",
        "he him she her they them i we you me us himself herself itself",
    ),
    ("his", "his her their my our your its whose"),
    (
        "opponent",
        "opponent adversary enemy defender attacker opponents",
    ),
    ("enemy", "enemy hostile opposing "),
    ("this", "this that it which text"),
    ("on", "on at"),
    (
        "prep",
        "on at to from of via for through over into onto near around square squares point points control controls \
         controlled controlling cover covers covering covered occupy occupies occupying weak weakened weakens the in against access leave leaves \
         leaving reach reaches and or between with by protects protecting attack attacks attacking towards toward defends defending",
    ),
    ("both", "both"),
    (
        "adjective",
        "white's black's strong weak poor good bad powerful mighty active passive brave lone sole extra remaining other advanced \
         dangerous passed isolated doubled backward loose pinned unprotected undefended hanging attacked exposed centralised \
         centralized trapped proud clumsy beautiful terrible important key far fianchettoed last first outside protected connected \
         light dark own same whole entire hapless unfortunate helpless useless useful stray offside misplaced",
    ),
    (
        "adjunct",
        "side sides wing flank position field house exchange exchanges ending endings endgame endgames pair safety structure \
         structures fork forks sacrifice sacrifices sac sacs move moves manoeuvre maneuver manoeuvres maneuvers trade trades \
         swap chain chains storm storms mass majority minority phalanx center centre skeleton formation hunt walk march \
         flight file files lift check checks capture push pushes break breaks advance advances endgame race play gambit \
         opening defence defense attack attacks game games grab grabbing promotion retreat development odds weaknesses weakness \
         placement position pin pins line lines idea ideas plan threat threats variation variations problem problems player \
         fianchetto battery batteries tour less minus ahead up down mate mates wins islands island cover shelter shield front \
         wall levers lever roller rollers duo configuration sally raid raids excursion incursion invasion activity moves",
    ),
    (
        "abbreviation",
        "ch e p i g vs cf etc no nos dr mr mrs st fig diag pp vol ed approx resp",
    ),
    (
        "question",
        "is are was were can could does do did should would will has have had why what how who which where when isn't aren't doesn't can't",
    ),
    (
        "threat",
        "threatens threaten threatened threatening threat threats menaces menacing menace",
    ),
    (
        "instead",
        "instead better preferable stronger simpler correct superior best safer faster quicker worse necessary possible playable sufficient enough alternative",
    ),
    (
        "impossible",
        "impossible illegal cannot can't couldn't unplayable unable",
    ),
    (
        "game",
        "game games match round tournament championship olympiad cup simul simultaneous correspondence encounter",
    ),
    (
        "squareword",
        "square squares point points squared coloured colored",
    ),
    ("mate", "mate checkmate mat"),
    ("notonly", "only just doubt matter merely sooner problem"),
    (
        "by",
        "with by via after through beginning starting thanks for",
    ),
    ("but", "but not except"),
    ("for", "for"),
    (
        "team",
        "team class school club room flat soul drinking several many old two various",
    ),
    (
        "moveverb",
        "was would wins win loses lose allows allowed threatens threatened gives gave fails failed had also looks looked \
         deserved deserves leads led seems seemed comes came mates draws drew might could should isn't wasn't won't wouldn't \
         offered offers avoids avoided keeps kept forces forced held holds saves saved",
    ),
    (
        "movetrait",
        "mate checkmate met answered refuted better best stronger playable possible impossible illegal correct necessary \
         threatened winning losing stalemate simpler forced",
    ),
    // ---- what only the patterns know ----
    ("is", "is isn't 's are be being remains becomes means it's"),
    ("was", "wasn't was were been"),
    (
        "mates",
        "mates checkmates mating mated checkmating checkmated",
    ),
    ("mated", "mated checkmated"),
    ("has", "has have had having 've gets get got"),
    ("move", "move moves ply"),
    (
        "force",
        "force forces forced forcing leads lead leading results ends ending",
    ),
    (
        "forced",
        "forced unavoidable inevitable unstoppable certain unpreventable inescapable",
    ),
    (
        "follows",
        "follows followed coming comes arrives ensues cometh results resulting",
    ),
    (
        "avoid",
        "avoid avoids avoiding avoided avert averting averted prevent prevents preventing prevented stop stops stopping stopped parry parrying parried escape escaping escaped",
    ),
    (
        "defence",
        "defence defense defences defenses remedy answer antidote cure",
    ),
    ("with", "with by via after through"),
    ("to", "to"),
    (
        "give",
        "give gives giving given gave deliver delivers delivering delivered",
    ),
    ("soon", "soon shortly quickly"),
];

const NUMBERS: &[(&str, u8)] = &[
    ("one", 1),
    ("two", 2),
    ("three", 3),
    ("four", 4),
    ("five", 5),
    ("six", 6),
    ("seven", 7),
    ("eight", 8),
    ("nine", 9),
    ("ten", 10),
    ("eleven", 11),
    ("twelve", 12),
    ("thirteen", 13),
    ("fourteen", 14),
    ("fifteen", 15),
    ("sixteen", 16),
    ("twenty", 20),
];

const PIECES: &[(&str, Option<Role>, bool)] = &[
    ("king", Some(Role::King), false),
    ("kings", Some(Role::King), true),
    ("queen", Some(Role::Queen), false),
    ("queens", Some(Role::Queen), true),
    ("rook castle", Some(Role::Rook), false),
    ("rooks castles", Some(Role::Rook), true),
    ("bishop", Some(Role::Bishop), false),
    ("bishops", Some(Role::Bishop), true),
    ("knight", Some(Role::Knight), false),
    ("knights", Some(Role::Knight), true),
    ("pawn", Some(Role::Pawn), false),
    ("pawns", Some(Role::Pawn), true),
    ("piece", None, false),
    ("pieces", None, true),
];

/// Frequent words of English, after what annotators write most.
const COMMON: &str = "the of and to a in is that it was for on as with his he be at by this had not are but from or have an \
    they which one you were her all she there would their we him been has when who will more no if out so said what up its \
    about into than them can only other new some could time these two may then do first any my now such like our over man me \
    even most made after also did many before must through back years where much your way well down should because long each \
    just those people how too little state good very make world still own see men work here get both between life being under \
    never day same another know while last might great old year off come since against go came right used take three himself \
    few use during without again place around however small found thought went say part once general high upon every don't \
    does got always away something fact less though put think almost enough far took yet better why whether set played play \
    plays playing player white black move moves game position attack defence defense pawn side line lines idea threat board \
    center centre king queen rook bishop knight check mate advantage material exchange piece opening ending variation better \
    best wins win winning lost losing draw drawn equal sacrifice square file rank diagonal square's white's black's 's 'd 've \
    'll 're 'm n't wrong nothing simple next point plan strong weak pressure development tempo";

const RULES: &[Rule] = &[
    // ---- mate ----
    Rule::new(
        "@force? mate|checkmate in N @move?; @force a? @mates? mate in N @move?; mating|mates|checkmating|checkmates in N @move?; \
         mate|checkmate on? N @move later; mate|checkmate within N @move?; @give mate|checkmate in N @move?",
        |slots| Some(MateClaim(Mate::In { moves: slots.number?, at_most: false })),
    ),
    Rule::new(
        "mate|checkmate|mates|mating in at most N @move?; mate|checkmate in N @move? at most; \
         mate|checkmate in no more than N @move?; mate|checkmate in N @move? at the? latest; mate|checkmate in N or N @move?",
        |slots| {
            Some(MateClaim(Mate::In {
                moves: slots.number2.unwrap_or(0).max(slots.number?),
                at_most: true,
            }))
        },
    )
    .affirmed(),
    Rule::new(
        "@mated in N @move?; @has|@is @mated in N @move?",
        |slots| Some(MateClaim(Mate::In { moves: slots.number?, at_most: false })),
    )
    .victim(),
    Rule::new("N @move? mate", |slots| Some(MateClaim(Mate::In { moves: slots.number?, at_most: false })))
        .mood(Mood::Elsewhere),
    Rule::new(
        "mate|checkmate in N @with LINE; mate|checkmate in N @move @with LINE",
        |slots| Some(MateClaim(Mate::In { moves: slots.number?, at_most: false })),
    )
    .shown(),
    Rule::new(
        "mate|checkmate next move; mates|checkmates next move; mate|checkmate on the? next move; mates on the? next move; \
         mate|checkmate 's|is coming next move; mate|checkmate @follows next move; mate|checkmate @follows on the? next move; \
         mate|checkmate the next move; mate at the next move",
        |_| Some(MateClaim(Mate::Next)),
    ),
    Rule::new(
        "@forced mate|checkmate; mate|checkmate @is @forced; mate|checkmate @follows; mate|checkmate @soon @follows; \
         mate|checkmate @is @follows; @force mate|checkmate; @force to mate|checkmate; mate by force; mates by force; \
         mate|checkmate @is only? a? matter of time",
        |_| Some(MateClaim(Mate::Forced)),
    ),
    Rule::new(
        "@is|@has @mated by force; @has @mated @soon?; will be @mated",
        |_| Some(MateClaim(Mate::Forced)),
    )
    .victim(),
    Rule::new(
        "no @defence to|against mate|checkmate; no @defence to|against the threat of mate|checkmate; \
         no @avoid the? mate|checkmate; no way to @avoid mate|checkmate; no way of @avoid mate|checkmate; \
         cannot|can't @avoid mate|checkmate; mate|checkmate cannot|can't be @avoid; mate|checkmate can no longer be @avoid; \
         unable to @avoid mate|checkmate; nothing can @avoid mate|checkmate; there is no escape from mate|checkmate; nothing @avoid mate|checkmate",
        |_| Some(MateClaim(Mate::Forced)),
    )
    .affirmed()
    .nobody(),
    Rule::new(
        "@is a? mate|checkmate; @is mate|checkmate @with LINE; @mates; @give mate|checkmate; @with a? mate|checkmate; @was a? mate|checkmate; and mate|checkmate",
        |_| Some(MateClaim(Mate::Now)),
    ),
    Rule::new("mate|checkmate with|by|on LINE", |_| Some(MateClaim(Mate::Now))).shown(),
    Rule::new("LINE @is|@was|with|and|delivers|gives mate|checkmate; LINE mates|checkmates", |_| Some(MateClaim(Mate::Now))),
    // ---- threats ----
    Rule::new(
        "@threat mate|checkmate; @threat of mate|checkmate; @threat to mate|checkmate; @threat @is|@was mate|checkmate; mate|checkmate @is|@was @threat; \
         @threat a? @mates? mate|checkmate; mate threat|threats; mating threat; \
         @threat mate|checkmate @with LINE; @threat mate|checkmate on? SQUARE",
        |_| Some(ThreatClaim(Threat::Mate(None))),
    )
    .shown(),
    Rule::new(
        "@threat mate|checkmate next move; @threat mate|checkmate at once",
        |_| Some(ThreatClaim(Threat::Mate(Some(1)))),
    ),
    Rule::new(
        "@threat mate|checkmate in N @move?; @threat of mate|checkmate in N @move?; @threat to mate|checkmate in N @move?; \
         @threat a mate|checkmate in N @move?; @threat mate|checkmate in N @move? @with LINE",
        |slots| Some(ThreatClaim(Threat::Mate(slots.number))),
    )
    .shown(),
    Rule::new(
        "@threat LINE; @threat @is|@was LINE; @threat of LINE; @threat to? play LINE; LINE @is|@was|@is @threat; LINE @is|@was a? threat; with the? threat of LINE",
        |_| Some(ThreatClaim(Threat::Line)),
    )
    .shown(),
    Rule::new("no|nothing|without @threat; @threat nothing; no real|serious|more? @threat", |_| Some(ThreatClaim(Threat::Any)))
        .denied(),
    // ---- only moves ----
    Rule::new("only legal move|reply|answer", |_| Some(OnlyClaim(OnlyMove::Legal))),
    Rule::new("only move|reply|answer", |_| Some(OnlyClaim(OnlyMove::Sensible))),
    // ---- draws ----
    Rule::new("stalemate; stalemates; stalemated", |_| Some(DrawClaim(Draw::Stalemate))),
];
