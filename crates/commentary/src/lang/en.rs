//! English.

use shakmaty::Role;

use super::{Data, Rule, make};
use crate::Mood;
use crate::Nuance;

pub(super) const DATA: Data = Data {
    sets: SETS,
    nuances: NUANCES,
    numbers: NUMBERS,
    ordinals: ORDINALS,
    pieces: PIECES,
    common: COMMON,
    rules: RULES,
};

const NUANCES: &[(Nuance, &str)] = &[
    (Nuance::Any, "a an"),
    (Nuance::No, "no neither"),
    (Nuance::Merely, "only merely just no nothing"),
    (Nuance::Literal, "legal free available possible"),
    (
        Nuance::Loosely,
        "strategically positionally theoretically practically",
    ),
    (Nuance::Told, "was were had"),
    (Nuance::Becomes, "opens opened opening get gets got getting"),
    (Nuance::Back, "back"),
    (Nuance::With, "with"),
    (Nuance::Within, "in"),
    (Nuance::Castling, "castling"),
    (
        Nuance::Mate,
        "mate mates mated mating checkmate checkmates checkmated",
    ),
    (
        Nuance::Checkmate,
        "checkmate checkmates checkmated checkmating",
    ),
    (Nuance::Lost, "lost"),
    (Nuance::Trapped, "trapped traps trap trapping squares"),
    (Nuance::Dominated, "dominated dominates dominate dominating"),
    (Nuance::Hangs, "hangs hang hanging"),
    (Nuance::Loose, "loose"),
];

const SETS: &[(&str, &str)] = &[
    ("goeson", "here now already and but by with"),
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
         force all in inevitably incredibly extremely terribly suddenly promptly neatly prettily beautifully elegantly eventually",
    ),
    ("det", "the a an this that these those some any another its"),
    (
        "if",
        "if when whenever unless after should once until till provided supposing suppose assuming otherwise else \
         whereupon lest before either whether then",
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
         virtually supposedly allegedly arguably roughly about kind sort sure convinced believe guess suppose somehow usually often sometimes \
         generally mostly theoretically hopefully dangerously close near hint hints smell smells talk talks said says claimed claims insisted felt",
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
    ("third", "he him she her himself herself"),
    ("possessive", "'s"),
    ("having", "with"),
    (
        "hedgebehind",
        "sorts sense spirit speak theory dream dreams dreamt dreamed",
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
         centralized trapped proud clumsy beautiful terrible important key far fianchettoed last first outside protected connected tripled \
         own same whole entire hapless unfortunate helpless useless useful stray offside misplaced",
    ),
    (
        "adjunct",
        "side sides wing flank position field house exchange exchanges ending endings endgame endgames pair safety structure \
         structures fork forks sacrifice sacrifices sac sacs move moves manoeuvre maneuver manoeuvres maneuvers trade trades \
         swap chain chains storm storms mass majority minority phalanx center centre skeleton formation hunt walk march \
         flight file files lift check checks capture push pushes break breaks advance advances race play gambit \
         opening defence defense attack attacks game games grab grabbing promotion retreat development odds weaknesses weakness \
         placement position pin pins line lines idea ideas plan threat threats variation variations problem problems player \
         follow followup thrust thrusts jump leap sortie sorties transfer invasion \
         fianchetto battery batteries tour mate mates wins islands island cover shelter shield front \
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
        "is was with by via after through beginning starting thanks for",
    ),
    ("but", "but not except"),
    ("for", "for"),
    ("me", "i me we us my our mine myself"),
    (
        "plays",
        "play plays played playing push pushes pushed pushing advance advances advanced advancing prepare prepares try \
         tries tried allow allows allowed allowing prevent prevents prevented preventing stop stops stopped consider \
         considered",
    ),
    (
        "book",
        "chapter chapters page pages volume edition appendix magazine article column",
    ),
    ("reply", "no yes not hardly never"),
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
    ("passed", "passed passer passers"),
    ("isolated", "isolated isolani"),
    ("doubled", "doubled"),
    ("tripled", "tripled trebled"),
    ("backward", "backward"),
    ("pinned", "pinned"),
    ("trapped", "trapped"),
    ("loose", "loose unprotected undefended unguarded"),
    ("hanging", "hanging"),
    ("extra", "extra"),
    ("connected", "connected"),
    ("protected", "protected defended"),
    ("light", "light white"),
    ("dark", "dark black"),
    // ---- what only the patterns know ----
    (
        "is",
        "is isn't 's am 'm 're are be being remains becomes means it's",
    ),
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
    (
        "attacks",
        "attacks attack attacking hits hit hitting eyes eyeing targets targeting",
    ),
    (
        "defends",
        "defends defend defending protects protect protecting guards guarding overprotects overprotecting supports",
    ),
    (
        "controls",
        "controls control controlling covers cover covering guards commands commanding",
    ),
    ("pins", "pins pin pinning"),
    ("forks", "forks fork forking"),
    ("skewers", "skewers skewer skewering"),
    ("leaves", "leaves leave leaving left"),
    ("checks", "checks checking"),
    (
        "uncovers",
        "uncovers uncovering unmasks unmasking opens opening discovers discovering",
    ),
    ("take", "take takes capture captures grab snatch"),
    (
        "win",
        "win wins winning won net nets netting gain gains gaining gained regain regains regaining regained recovers recovering",
    ),
    (
        "lose",
        "lose loses losing lost drop drops dropping shed sheds cost costs costing hang hangs",
    ),
    ("loses", "loses lose losing lost"),
    ("fails", "fails fail failing failed"),
    ("save", "save saves saving hold holds holding survive draw"),
    (
        "total",
        "completely totally absolutely hopelessly utterly clearly objectively theoretically already strategically positionally dead",
    ),
    (
        "much",
        "much clearly far significantly considerably clear big huge large great significant considerable substantial obvious overwhelming massive",
    ),
    (
        "slight",
        "slight slightly small tiny little marginally somewhat bit minimal minor",
    ),
    (
        "advice",
        "watch take be not get start look hurry keep stay go move play do try find leave stop think avoid off than",
    ),
    ("repeats", "repeats repeat repeating repeated"),
    ("drawn", "draw draws drawn"),
    (
        "givenup",
        "give gives giving gave given throw throws throwing threw",
    ),
    (
        "sacs",
        "sacrifice sacrifices sacrificing sacrificed sac sacs jettison jettisons",
    ),
    (
        "takenup",
        "pick picks picked picking gobble gobbles gobbled snap snaps snapped mop mops mopped swallow swallows hoover hoovers \
         eat eats scoop scoops",
    ),
    (
        "upverb",
        "set sets setting line lines lining open opens opening opened tie ties tied tying free frees freed freeing back backs \
         backed double doubles doubled doubling take takes took taking keep keeps kept hold holds held bring brings brought \
         bringing move moves moved moving march marches come comes came coming step steps build builds built makes stir \
         catch loosen loosens shore shores prop props break breaks breaking",
    ),
    (
        "comparative",
        "more better stronger worse less weaker simpler easier faster quicker harder further closer greater bigger",
    ),
    ("answered", "met answered countered parried"),
    (
        "errs",
        "mistake error blunder howler lemon gaffe misstep slip oversight",
    ),
    (
        "gross",
        "gross huge serious big bad horrible terrible awful grave fatal decisive losing glaring silly stupid elementary crude shocking tragic outright",
    ),
    (
        "halt",
        "stop stops stopping stopped catch catching caught halt halting halted prevent preventing",
    ),
    (
        "bad",
        "bad impossible wrong premature hopeless useless suicidal pointless ruinous",
    ),
    ("queens", "queens promotes queening promoting"),
    (
        "matename",
        "smothered back backrank arabian anastasia anastasia's boden boden's epaulette epaulettes hook dovetail swallowtail ladder corridor \
         damiano damiano's legal's legall's fool's scholar's lolli's greco's anderssen's reti's lawnmower staircase opera balestra triangle \
         fools scholars greco anderssen reti lolli suffocation suffocated blackburne's blackburne pillsbury's pillsbury morphy's morphy mayet's mayet \
         vukovic's vukovic killbox box helper support supported smother smothering suffocating arab crisscross epaulet epaulets cozio gueridon rolling \
         opposition castling castles castle corner philidor's lucena's swallowtail cozio's crossbow hallway triangular \
         lawnmower",
    ),
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
    ("seventeen", 17),
    ("eighteen", 18),
    ("nineteen", 19),
    ("twenty", 20),
    ("thirty", 30),
    ("forty", 40),
];

const ORDINALS: &[(&str, u8)] = &[
    ("first", 1),
    ("second", 2),
    ("third", 3),
    ("fourth", 4),
    ("fifth", 5),
    ("sixth", 6),
    ("seventh", 7),
    ("eighth", 8),
    ("ninth", 9),
    ("tenth", 10),
    ("eleventh", 11),
    ("twelfth", 12),
    ("thirteenth", 13),
    ("fourteenth", 14),
    ("fifteenth", 15),
    ("sixteenth", 16),
    ("seventeenth", 17),
    ("eighteenth", 18),
    ("nineteenth", 19),
    ("twentieth", 20),
    ("thirtieth", 30),
    ("fortieth", 40),
    ("fiftieth", 50),
];

const PIECES: &[(&str, Option<Role>, bool)] = &[
    ("king", Some(Role::King), false),
    ("kings", Some(Role::King), true),
    ("queen", Some(Role::Queen), false),
    ("queens", Some(Role::Queen), true),
    ("rook", Some(Role::Rook), false),
    ("rooks", Some(Role::Rook), true),
    ("bishop", Some(Role::Bishop), false),
    ("bishops", Some(Role::Bishop), true),
    ("knight", Some(Role::Knight), false),
    ("knights", Some(Role::Knight), true),
    ("pawn", Some(Role::Pawn), false),
    ("pawns", Some(Role::Pawn), true),
    ("passer", Some(Role::Pawn), false),
    ("passers", Some(Role::Pawn), true),
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
        "@force? mate|checkmate in N @move?; @force a? @mates? mate in N @move?; @mates in N @move?; mating in N @move?; \
         mate|checkmate on? N @move later; mate|checkmate within N @move?; @give mate|checkmate in N @move?; \
         mate|checkmate in just|only N @move?; mate|checkmate in another N @move?",
        make::mate_in,
    ),
    Rule::new(
        "mate|checkmate in at most N @move?; @mates in at most N @move?; mate|checkmate in N @move? at most; \
         mate|checkmate in no more than N @move?; mate|checkmate in N @move? at the? latest; \
         mate|checkmate in N or N @move?",
        make::mate_at_most,
    )
    .affirmed(),
    Rule::new(
        "@is|@has @mated in N @move?; @mated in N @move?",
        make::mate_in,
    )
    .victim(),
    Rule::new(
        "@is|@has @mated next move; @is|@has @mated on the? next move",
        make::mate_next,
    )
    .victim(),
    Rule::new("N @move? mate", make::mate_in).mood(Mood::Hedged),
    Rule::new(
        "mate|checkmate in N @with LINE; mate|checkmate in N @move @with LINE; mate|checkmate in N @move? beginning|starting with LINE",
        make::mate_in,
    )
    .shown(),
    Rule::new(
        "mate|checkmate next move; @mates next move; mate|checkmate on the? next move; @mates on the? next move; \
         mate|checkmate 's|is coming next move; mate|checkmate @follows next move; mate|checkmate @follows on the? next move; \
         mate|checkmate the next move; mate at the next move; mate|checkmate @is next",
        make::mate_next,
    ),
    Rule::new(
        "@forced mate|checkmate; mate|checkmate @is @forced; mate|checkmate @follows; mate|checkmate @soon @follows; \
         mate|checkmate @is @follows; @force mate|checkmate; @force to mate|checkmate; mate|checkmate by force; @mates by force; \
         mate|checkmate @is only? a? matter of time; @mates; quick mate|checkmate; mate|checkmate to|will follow; \
         mate|checkmate @soon; mate|checkmate on? SQUARE @follows; @mates on SQUARE; @force @mated",
        make::mate_forced,
    ),
    Rule::new("@is @mated; @has been @mated", make::mate_now).victim(),
    // What the mate is called is read besides.
    Rule::new("@force @matename 's? mate|checkmate; @force back rank mate|checkmate", make::mate_forced),
    Rule::new("@give @matename 's? mate|checkmate; @give back rank mate|checkmate", make::mate_now),
    Rule::new("@threat @matename 's? mate|checkmate; @threat back rank mate|checkmate; @threat of @matename 's? mate|checkmate; @threat of back rank mate|checkmate; @threat @is|@was @matename 's? mate|checkmate; @threat @is|@was back rank mate|checkmate", make::mate_threat).mood(Mood::Hedged).shown(),
    Rule::new("@is|@has @mated by force; @has @mated @soon?; will be @mated", make::mate_forced).victim(),
    Rule::new(
        "no @defence to|against mate|checkmate; no @defence to|against the threat of mate|checkmate; \
         no @avoid the? mate|checkmate; no way to @avoid mate|checkmate; no way of @avoid mate|checkmate; \
         cannot|can't @avoid mate|checkmate; mate|checkmate cannot|can't be @avoid; mate|checkmate can no longer be @avoid; \
         unable to @avoid mate|checkmate; nothing can @avoid mate|checkmate; no escape from mate|checkmate; nothing @avoid mate|checkmate",
        make::mate_forced,
    )
    .affirmed()
    .nobody(),
    Rule::new(
        "@is a? mate|checkmate; @is not|no|never a? mate|checkmate; @is mate|checkmate @with LINE; @give mate|checkmate; @was a? mate|checkmate; mate|checkmate",
        make::mate_now,
    ),
    // Less firm: the mate may come later.
    Rule::new("@with a? mate|checkmate; and mate|checkmate", make::mate_now).mood(Mood::Hedged),
    Rule::new("mate|checkmate with|by|on LINE", make::mate_now).shown(),
    // What is stopped was threatened.
    Rule::new(
        "@avoid the? mate|checkmate; @avoid the? mate|checkmate on SQUARE; guards|guarding|guarded against mate|checkmate; \
         @avoid the? mate|checkmate threat|threats; @avoid the? @matename mate|checkmate; @avoid the? back rank mate|checkmate",
        make::mate_threat,
    )
    .mood(Mood::Prevented),
    // ---- threats ----
    Rule::new(
        "@threat mate|checkmate; @threat of mate|checkmate; @threat to mate|checkmate; @threat @is|@was mate|checkmate; \
         mate|checkmate @is|@was @threat; @threat a? @mates? mate|checkmate; mate threat|threats; mating threat; \
         @threat mate|checkmate @with LINE; @threat mate|checkmate on? SQUARE",
        make::mate_threat,
    )
    .shown(),
    Rule::new("@threat mate|checkmate next move; @threat mate|checkmate at once", make::mate_threat_next),
    Rule::new(
        "@threat mate|checkmate in N @move?; @threat of mate|checkmate in N @move?; @threat to mate|checkmate in N @move?; \
         @threat a mate|checkmate in N @move?; @threat mate|checkmate in N @move? @with LINE",
        make::mate_threat,
    )
    .shown(),
    Rule::new(
        "@threat LINE; @threat @is|@was LINE; @threat of LINE; @threat to? play LINE; LINE @is|@was @threat; \
         LINE @is|@was a? threat; with the? threat of LINE; @threat @with LINE",
        make::threat_line,
    )
    .shown(),
    Rule::new("no @defence to|against LINE; no @defence to|against the? threat of LINE; nothing to be? done against LINE; \
         LINE cannot|can't be @avoid; LINE cannot|can't be met; LINE can no longer be @avoid; no way to|of @avoid LINE; nothing @avoid LINE; nothing can @avoid LINE; LINE @is unstoppable|unavoidable|inevitable", make::threat_line)
        .affirmed()
        .nobody()
        .shown(),
    Rule::new("@threat TARGETS; @threat to @take TARGETS; @threat @is|@was to @take TARGETS; @threat the? capture of TARGETS; @threat to TARGETS", make::threat_targets),
    Rule::new("@threat to @win PIECE; @threat the? win of PIECE; @threat @is|@was to @win PIECE; @threat the? loss of PIECE", make::threat_gain),
    Rule::new("@threat to @forks TARGETS; @threat a? fork of|on|at TARGETS; @threat of a? fork of|on|at TARGETS; @threat @is|@was to @forks TARGETS; \
         @threat to? @give? a? knight fork of|on|at TARGETS; @threat @is|@was a? knight? fork of|on|at TARGETS; @threat of a? knight fork of|on|at TARGETS; \
         @threat to @forks PIECE and|plus PIECE on|at SQUARE; @threat a? fork on|at SQUARE", make::threat_fork).shown(),
    Rule::new("@threat to @pins TARGETS; @threat a? pin of|on|against TARGETS; @threat @is|@was to @pins TARGETS", make::threat_pin).shown(),
    Rule::new("@threat to @skewers TARGETS; @threat a? skewer of TARGETS; @threat @is|@was to @skewers TARGETS", make::threat_skewer).shown(),
    Rule::new("@threat to trap TARGETS; @threat @is|@was to trap TARGETS", make::threat_trap).shown(),
    Rule::new("@threat to @attacks TARGETS; @threat @is|@was to @attacks TARGETS", make::threat_attack).shown(),
    Rule::new("@threat to @win exchange", make::threat_exchange),
    Rule::new("@threat to @win material", make::threat_material),
    Rule::new("no|nothing|without @threat; @threat nothing; no real|serious|more|immediate @threat", make::threat_any).denied(),
    // ---- only moves ----
    Rule::new("only one? legal move|reply|answer|response; one|single legal move|reply|answer; only N? move @is legal", make::only_legal),
    Rule::new("only move|reply|answer|response|continuation|choice; only sensible|good|reasonable|playable move; no choice; no other move|choice|option; only sensible|good|reasonable|playable|real alternative|choice|option|reply|answer|try", make::only_sensible).affirmed(),
    Rule::new(
        "only square|squares for|of PIECE; only free|safe|available|remaining|legal|good|possible square|squares for|of PIECE; PIECE 's only square|squares; \
         PIECE @has only one|a? single? free|safe|legal|good|available? square",
        make::only_square,
    )
    .inside(),
    Rule::new("only square|squares; only free|safe|available|remaining|legal|good|possible square|squares; only flight|escape square?", make::only_square),
    Rule::new("@is forced; practically|virtually forced; forced move|reply; forced", make::only_forced),
    Rule::new("LINE @is|@was forced|necessary|compulsory after|by LINE; LINE @is|@was only move|reply|answer|response|defence|defense after|to LINE", make::only_forced).first(),
    Rule::nothing("forced line|sequence|variation|play|to|win|draw|matters|exchange|exchanges|liquidation|manoeuvre|off|back|into|by|him|her|through; @has forced"),
    Rule::new("only @defence; only way to @avoid|@save; only chance to @avoid|@save; only move|reply to @avoid|@save; only way of @avoid; only LINE @save; only LINE", make::only_defence),
    Rule::new("only LINE @avoid mate|checkmate|this|it; only LINE @avoid the? mate|checkmate|threat; only @defence @is|@was LINE; only way to @avoid|@save|stop|meet? mate|this|that|it? @is|@was LINE; only chance|hope @is|@was LINE; LINE @is|@was only @defence", make::only_defence).shown(),
    Rule::new("only @defence to|against LINE @is|@was LINE; only move|reply|answer|response to|after|against LINE @is|@was LINE", make::only_defence).shown(),
    Rule::new("only winning move|way|try|continuation; only move|way to win; only way of winning", make::only_win),
    Rule::new("only legal|possible move|reply|answer|response @is|@was LINE; only LINE @is|@was legal|possible; LINE @is|@was only legal move|reply|answer|response", make::only_legal).shown(),
    Rule::new("only move|reply|answer|response|continuation @is|@was LINE", make::only_sensible).affirmed().shown(),
    Rule::new("only LINE wins; only winning move|way|try @is|@was LINE; LINE alone wins; only LINE @is|@was winning; LINE @is|@was only winning move|way; LINE @is|@was only move|way to win; LINE @is|@was only move that|which wins", make::only_win).shown(),
    Rule::new("only LINE @mates; LINE alone @mates; only LINE @is|@was mate; LINE @is|@was only mate; LINE @is|@was only move|way to mate; LINE @is|@was only move that|which @mates", make::only_mate).shown(),
    Rule::new("only|exactly|precisely|merely? N N? legal move|moves|reply|replies|answers|responses", make::legal_moves),
    Rule::nothing("one legal move at a? time; more|fewer|less than N legal move|moves; at least|most N legal move|moves; over|under|nearly|around|some N legal moves; N or N legal moves"),
    Rule::new("no legal? moves|move; not a? single? legal? move; cannot move", make::no_move).affirmed(),
    // ---- refutations ----
    Rule::new(
        "LINE @fails to|because|after|owing|due|on LINE; LINE @loses to LINE; LINE @is|@was refuted|punished by|with LINE; \
         LINE @fails because of LINE; LINE runs|ran into LINE; LINE because of LINE; LINE on account of LINE; LINE due|owing to LINE; LINE in view of LINE; \
         LINE loses|lost because of LINE; LINE allows|permits LINE; LINE does|did not|n't work because|due|owing of|to? LINE; \
         LINE @is|@was? @bad because|due|owing of|to? LINE; LINE @is|@was? @bad in view of LINE; LINE @is|@was? @bad on account of LINE; LINE walks|walked into LINE;  \
         LINE no good because|due of|to? LINE",
        make::refuted,
    )
    .affirmed(),
    Rule::new(
        "@fails to|because|after LINE; @loses to LINE; @is|@was refuted|punished by|with LINE; @fails because of LINE; \
         runs|ran|running into LINE; because of LINE; on account of LINE; due|owing to LINE; in view of LINE; loses|lost because of LINE; \
         does|did not work because|due|owing of|to? LINE; doesn't|didn't work because|due|owing of|to? LINE; walks|walked|walking into LINE",
        make::refuted,
    )
    .affirmed(),
    Rule::new(
        "LINE @is|@was @answered by|with LINE; LINE can|could|would|will be @answered by|with LINE; to LINE SIDE replies|answers LINE; @is|@was @answered by|with LINE; \
         can|could|would|will be @answered by|with LINE; LINE meets LINE; LINE SIDE answers|replies @with LINE",
        make::answered,
    )
    .affirmed(),
    Rule::new("LINE loses; LINE @loses at? once|quickly|immediately; LINE doesn't|didn't work; LINE @is|@was refuted; LINE fails; LINE @is|@was losing; this|that|which|move loses at? once|quickly|immediately?; this|that|line|variation|idea doesn't|didn't work; this|that|line|variation|idea|it does|did not work; \
         @is|@was refuted by?; @loses to both|all|either|any|anything", make::loses).affirmed(),
    // ---- pieces at work ----
    Rule::new("PIECE @is|stands|stood|sits|remains on|at SQUARE", make::stands).inside(),
    Rule::new("@attacks TARGETS; attack|attacks on TARGETS; attack|attacks against TARGETS; attack|attacks upon TARGETS; pressure on|against TARGETS; bears|bearing down on TARGETS; aims|aiming|aimed at TARGETS; trained on TARGETS; takes aim at TARGETS", make::attacks),
    Rule::new("TARGETS @is|@was attacked|hit|threatened; TARGETS @is|@was under attack|fire; TARGETS @is|@was attacked by PIECE; TARGETS comes|come under attack", make::attacked).inside(),
    Rule::new("TARGETS @is|@was attacked|hit|threatened by nothing|nobody|noone; nothing|nobody attacks TARGETS", make::attacked).inside().denied(),
    Rule::new("@defends TARGETS", make::defends),
    Rule::new("TARGETS @is|@was defended|protected|guarded; TARGETS @is|@was defended|protected|guarded|covered by PIECE", make::defended).inside(),
    Rule::new("TARGETS @is|@was undefended|unprotected|unguarded|loose; TARGETS has|have no defender|defenders|protection; TARGETS lacks|lack protection", make::loose).inside().affirmed(),
    Rule::nothing("TARGETS hangs|hang on|by|around|over|about"),
    Rule::new("TARGETS @is|@was hanging; TARGETS hangs|hang; TARGETS @is|@was en prise; @leaves TARGETS hanging; @leaves TARGETS en prise; hangs|hanging TARGETS", make::hanging).inside(),
    Rule::new("@controls TARGETS; control of|over TARGETS; watches|watching TARGETS; keeps an? eye on TARGETS; takes away TARGETS; takes TARGETS from|away", make::controls),
    Rule::new("@pins TARGETS; pin on|against TARGETS", make::pins),
    Rule::new("pinned TARGETS", make::pins).past(),
    // "With the knight pinned the bishop is free."
    Rule::nothing("@having PIECE pinned TARGETS"),
    Rule::new("@pins PIECE to|against PIECE", make::pinned_to),
    Rule::new("pinned PIECE to|against PIECE", make::pinned_to).past(),
    Rule::new("TARGETS @is|@was pinned to|against TARGETS; TARGETS @is|@was no longer pinned to|against TARGETS; TARGETS @is|@was pinned down? on TARGETS", make::pinned_to).inside(),
    Rule::new("TARGETS @is|@was pinned; TARGETS @is|@was no longer pinned; TARGETS @is|@was pinned by PIECE; TARGETS @is|@was in a? pin", make::pinned).inside(),
    Rule::new("@forks TARGETS; fork of|on PIECE; fork of TARGETS; forking TARGETS", make::forks),
    Rule::new("forked TARGETS", make::forks).past(),
    Rule::new("TARGETS @is|@was forked by PIECE", make::forks).inside(),
    Rule::new("TARGETS @is|@was skewered by PIECE", make::skewers).inside(),
    Rule::new("TARGETS @is|@was controlled by PIECE", make::controls).inside(),
    Rule::new("fork on|at SQUARE; knight fork on|at SQUARE", make::fork_on),
    Rule::new("@skewers TARGETS; skewer of|on TARGETS", make::skewers),
    Rule::new("@give check; with check; @is|@was check; @checks the? PIECE", make::checks),
    Rule::new("double check", make::double_check),
    Rule::new("discovered check", make::discovered_check),
    Rule::new("discovered|uncovered attack; discovered|uncovered attack on|against TARGETS; @uncovers an? attack on TARGETS", make::discovered_attack),
    Rule::new("trapped TARGETS", make::trapped).inside().affirmed().past(),
    Rule::new("TARGETS @is|@was trapped; traps|trapping TARGETS; TARGETS has|have no squares|escape|retreat; TARGETS cannot|can't escape; TARGETS @is|@was dominated; TARGETS @is|@was dominated by PIECE; dominates|dominating PIECE", make::trapped).inside().affirmed(),
    // Behind what, and whether for good, is another matter.
    Rule::nothing("TARGETS @is|@was trapped behind|between|among|inside"),
    Rule::new("TARGETS @is|@was overloaded|overworked|overburdened", make::overloaded).inside(),
    Rule::new("blocks|blocked|blocking|blockades|blockaded|blockading|obstructs|obstructing TARGETS; stands in front of TARGETS; shuts|shutting off|out|in TARGETS; in the way of TARGETS", make::blocks),
    Rule::new("TARGETS @is|@was? blocked|blockaded|obstructed by PIECE", make::blocked).inside(),
    Rule::new("x ray|rays|raying TARGETS; xrays|xray|xraying TARGETS; x ray attack|pressure on|against TARGETS; xray attack|pressure on|against TARGETS", make::x_rays),
    Rule::new("TARGETS cannot|can't|couldn't be taken|captured|touched; TARGETS @is|@was immune|untouchable|taboo|poisoned|invulnerable; TARGETS must|may|could not be taken|captured", make::immune).inside().affirmed(),
    Rule::new("TARGETS cannot|can't|couldn't move; TARGETS @is|@was immobile|paralysed|paralyzed; TARGETS cannot|can't leave the? corner|rank|square|spot; TARGETS @has no moves|move; \
         TARGETS @is|@was stuck in the? corner", make::immobile).inside().affirmed(),
    // ---- material ----
    Rule::new("PIECE up|ahead|more|plus; up PIECE; PIECE to the good", make::up),
    Rule::new("PIECE down|behind|less|minus; down PIECE", make::down),
    Rule::new("PIECE and|plus PIECE up|ahead|more|extra; up PIECE and|plus PIECE", make::up_both),
    Rule::new("PIECE and|plus PIECE down|behind|less; down PIECE and|plus PIECE", make::down_both),
    Rule::new("PIECE up|ahead|down for PIECE; @has PIECE for PIECE; @has PIECE against PIECE; @is PIECE up|down for PIECE", make::for_goods),
    // "A bishop for the rook and a pawn more"
    Rule::nothing("for|against PIECE and|plus PIECE up|ahead|more|extra|down|behind|less"),
    // Who has it for what is not said, or it is only offered.
    Rule::new("PIECE for PIECE", make::for_goods).mood(Mood::Hedged),
    Rule::new("exchange up|ahead|plus; up exchange; extra exchange", make::exchange_up),
    Rule::new("exchange down|behind|less|minus; down exchange", make::exchange_down),
    Rule::new("exchange up|ahead|down? for PIECE; exchange for PIECE", make::exchange_for),
    Rule::new("@has PIECE for exchange; @is PIECE up|ahead for exchange", make::for_exchange),
    Rule::new("material|forces|pieces @is|@was level|equal|even|balanced; level|equal|even material; material equality; materially equal|level|even; material balance; material parity", make::material_level),
    Rule::new("material up|ahead|plus; up material; @has a? material advantage|edge|superiority; material advantage|superiority; ahead on|in material", make::material_up),
    Rule::new("material down|behind|less; down material; material disadvantage; behind on|in material", make::material_down),
    Rule::new("@win PIECE; @win back PIECE; @win N PIECE; and @win PIECE", make::wins_goods),
    Rule::new("@win exchange", make::wins_exchange),
    Rule::new("@win material", make::wins_material),
    Rule::new("@lose PIECE", make::loses_goods),
    Rule::new("@lose exchange", make::loses_exchange),
    Rule::new("@lose material", make::loses_material),
    Rule::new("returns PIECE; @givenup up|back|away PIECE; @givenup PIECE up|back|away; @sacs PIECE", make::gives_goods),
    Rule::new("@givenup up|back exchange; @sacs exchange", make::gives_exchange),
    Rule::new("@takenup up PIECE; @takenup off PIECE", make::wins_goods),
    Rule::nothing("@upverb up PIECE; @upverb PIECE up; @upverb up exchange; rather|other than giving up PIECE; instead of giving up PIECE"),
    // ---- verdicts ----
    Rule::new(
        "@is|@was @total? winning|won; winning|won for SIDE; @has a? @total? winning|won|decisive position|advantage|game|attack|ending|endgame|edge; \
         @with a? @total? winning|won|decisive position|advantage|game|attack|ending|endgame|edge; winning|decisive advantage|position; with decisive effect|advantage; \
         a win for SIDE; wins easily; victory for SIDE; won position|game|ending; @has a? forced|simple|easy|trivial win; @is|@was @total? crushing; over for SIDE; it @is|@was all over; @has an? easy|simple|clear|sure way|road to victory|win; easy|simple|clear|sure way|road to victory",
        make::winning,
    ),
    Rule::new("@is|@was @total lost; @is|@was @total? lost for SIDE; @has a? @total? lost position|game|ending; lost for SIDE; hopeless for SIDE; hopelessly|completely|totally lost; lost position; @is|@was lost; @is|@was @total? busted|toast|hopeless; @is|@was dead lost; how lost SIDE @was|@is", make::lost),
    Rule::new(
        "@is|@was @much better; @is|@was quite a? bit better; @has a? @much advantage|edge|superiority|plus; @with a? @much advantage|edge|superiority|plus; @much advantage",
        make::much_better,
    ),
    Rule::new(
        "@is|@was better; @is|@was for choice; @has an? @slight? advantage|edge|initiative|plus|pull; @with an? @slight? advantage|edge|plus|pull; \
         @slight advantage|edge|plus; upper hand; @has the better|superior position|game|ending|endgame|chances; better position|game|chances; stands|standing better; has the better of it; has the edge",
        make::better,
    ),
    Rule::new("@much better for SIDE; @much advantage|edge|plus for SIDE", make::much_better).inside(),
    Rule::new("better for SIDE; @slight? advantage|edge|plus for SIDE; favours|favors SIDE; in favour|favor of SIDE; in SIDE 's favour|favor", make::better).inside(),
    Rule::new("winning|won for SIDE; a win for SIDE; victory for SIDE; @total? winning for SIDE; winning|decisive advantage for SIDE", make::winning).inside(),
    Rule::new("lost for SIDE; hopeless for SIDE; @total? lost for SIDE", make::lost).inside(),
    Rule::new("worse for SIDE; @slight worse for SIDE", make::worse).inside(),
    Rule::nothing("@is even @comparative; @is not only better; @is|@was better than LINE?"),
    // What is won or lost is no game.
    Rule::nothing("@is|@was @total? winning|won opening|positional|strategic|psychological|first? race|battle|fight|war|struggle|tournament|match|event|contest|argument|debate|tempo|tempi|space|ground|control|prize|bet|time; \
         @is|@was @total? winning|won|lost on|in|by|for time|clock|thought|tournament|match|space|tempo|forfeit|default|words|complications|translation|event|crowd|section|group; \
         @is|@was @total? winning|won|lost positionally|strategically|morally|psychologically|practically"),
    // "Black's better watch out" is advice.
    Rule::nothing("@is|had better @advice"),
    Rule::new("@is|@was @slight? worse; @is|@was quite a? bit worse; worse position|game|ending; stands worse", make::worse),
    Rule::new("@is|@was @much worse; @much worse", make::much_worse),
    Rule::new("@is|@was about|roughly|approximately|nearly|almost|fairly equal|level|balanced|even; about|roughly|approximately equal|level; @is|@was @total? equal|level|balanced|even; equal|level|balanced|even position|game|ending|chances; equality; equalises; equalizes; equalised; equalized; @total equal; holds the? balance", make::equal),
    Rule::new("@is|@was unclear; unclear position|game; with chances for both; double edged", make::unclear),
    Rule::new("@is|@was a? @total? draw|drawn; @is|@was a? bloody|clear|simple|fair|obvious|sure|straightforward|trivial|comfortable|theoretical draw; dead|theoretical|certain|easy|book draw; drawn position|ending|endgame|game; draws; holds the? draw; draw by|with LINE; dead drawn|equal|level; a draw; leads to a? draw; should be a? draw", make::drawn),
    // ---- quality of moves ----
    Rule::new("best move|reply|defence|defense|continuation|try|choice|chance|option; @is|@was best; LINE @is|@was the? best; strongest move|continuation; correct move|reply|continuation; correct @is|@was; best @is|@was; \
         correct|right|best take|capture|recapture|choice; most stubborn|tenacious|resilient|accurate|precise defence|defense|move|reply|continuation; toughest defence|defense", make::best),
    Rule::new("@is|@was better than LINE; LINE had to be played|tried|chosen; LINE @is|@was called for; LINE @is|@was indicated|necessary|essential|correct|right|obligatory; should|must have played|tried|chosen LINE; \
         ought to have played|tried|chosen LINE; LINE @is|@was? a? better try|chance|choice|option|idea; LINE @is|@was @much? better|stronger|preferable|simpler|safer; better|stronger|preferable|simpler|safer @is|@was LINE; better|stronger|preferable|simpler|safer @is|@was to? play|try|continue LINE; better LINE; stronger LINE; more accurate|precise|accurately", make::better_move).inside(),
    Rule::new("good|strong|excellent|fine|great|brilliant|accurate|precise|beautiful|nice|powerful|correct|clever move", make::good_move),
    Rule::new("LINE wins; LINE @is|@was winning; LINE wins at? once|quickly|immediately|easily; and wins; and SIDE wins; winning move; SIDE wins; also|still|too wins; wins too|also|easily|quickly|immediately", make::wins),
    Rule::new("mistake; error; misstep; inaccuracy; inaccurate; weak|bad|poor|wrong|dubious|doubtful|inferior|careless|hasty move; slip; oversight; miscalculation", make::mistake),
    Rule::new("blunder; blunders; blundered; howler; gaffe; lemon; losing move; @gross @errs; gives away the? game|win; throws away the? win|game", make::blunder),
    Rule::new("misses|missed|missing|overlooks|overlooked|overlooking a? win|mate|chance|opportunity|LINE", make::missed),
    // ---- draws ----
    Rule::new("stalemate; stalemates; stalemated; @drawn @with|because|due|owing of|to? stalemate", make::stalemate),
    Rule::new("only|merely|just perpetual check?; no|nothing more|better than perpetual check?", make::perpetual).affirmed(),
    Rule::new("perpetual check; perpetual; perpetually checks; @checks forever; check forever; checks for ever; check for ever; @drawn @with|because|due|owing of|to? perpetual check?", make::perpetual),
    Rule::new("no escape from the checks; cannot|can't escape the checks; no way out of the checks; the checks never end", make::perpetual).affirmed(),
    Rule::new("checks run|ran out; checks will run out; checks @is|@was over; out of checks", make::perpetual).denied(),
    Rule::new("repetition; repetition of moves|position; @repeats the? moves|position; position @is|@was @repeats; second time", make::repetition),
    Rule::new("threefold|triple repetition; three fold repetition; threefold|triple repetition of moves|position|positions; three fold repetition of moves|position|positions; third time; \
         @drawn @with|because|due|owing of|to? repetition; @drawn @with|because|due|owing of|to? threefold|triple repetition; @drawn @with|because|due|owing of|to? three fold repetition; \
         position has|had occurred|arisen three times; same position three times", make::threefold),
    Rule::new("fifty move|moves rule?; fifty move draw; N move|moves rule; @drawn @with|under|because|due|owing of|to? fifty move|moves rule?; @drawn @with|under|because|due|owing of|to? N move|moves rule", make::fifty),
    Rule::new("insufficient material; insufficient mating material; not enough material; not enough mating material; @drawn @with|because|due|owing of|to? insufficient mating? material; \
         neither side|player can mate|win; neither side|player has mating material", make::insufficient).affirmed(),
    Rule::new("dead position; @drawn @with|because|due|owing of|to? dead position", make::dead),
    // Players may agree on a draw anywhere.
    Rule::nothing("@drawn @with|through? agreement; @drawn agreed"),
    // ---- structure ----
    Rule::new("open FILE file; FILE file @is|@was fully|completely? open; opens|opened|opening the? FILE file; FILE file opens; fully open FILE file", make::open_file),
    Rule::new("no way to @halt PIECE; no way of @halt PIECE; no @halt PIECE; PIECE cannot|can't be @halt; PIECE @is|@was unstoppable; PIECE @queens; PIECE will queen|promote; \
         PIECE goes on to queen; nothing @halt PIECE; nothing can @halt PIECE; nothing to @halt PIECE", make::promotes).inside().affirmed(),
    Rule::new("half|semi open FILE file; semiopen|halfopen FILE file; FILE file @is|@was half|semi open", make::half_open_file),
    Rule::new("TARGETS @is|@was a? passed; a passed pawn on SQUARE; passed pawn on the? FILE file", make::passed).inside(),
    Rule::new("TARGETS @is|@was doubled", make::is_doubled).inside(),
    Rule::new("TARGETS @is|@was isolated", make::is_isolated).inside(),
    Rule::new("TARGETS @is|@was isolated and doubled; TARGETS @is|@was doubled and isolated", make::is_isolated_doubled).inside(),
    Rule::new("TARGETS @is|@was isolated and passed; TARGETS @is|@was passed and isolated", make::is_passed_isolated).inside(),
    Rule::new("TARGETS @is|@was backward", make::is_backward).inside(),
    Rule::new("SIDE @has PIECE", make::has_pieces).inside(),
    Rule::new("SIDE @has PIECE on the? queenside; SIDE @has PIECE on the? queen 's side|wing", make::has_on_queenside).inside(),
    Rule::new("SIDE @has PIECE on the? kingside; SIDE @has PIECE on the? king 's side|wing", make::has_on_kingside).inside(),
    Rule::new("both sides|players @has PIECE", make::both_have),
    Rule::new("SIDE @has no PIECE; neither side|player @has PIECE", make::has_pieces).inside().denied(),
    // "Black has a passed pawn to reckon with": it is the other side's.
    Rule::nothing("SIDE @has no? PIECE to|against|in|worth|that|which|coming|after|next|available|ready; SIDE @has no PIECE on"),
    Rule::new("queenside majority; queenside pawn majority; majority on the? queenside; pawn majority on the? queenside; majority on the? queen 's side|wing; queen 's side|wing majority", make::queenside_majority),
    Rule::new("kingside majority; kingside pawn majority; majority on the? kingside; pawn majority on the? kingside; majority on the? king 's side|wing; king 's side|wing majority", make::kingside_majority),
    Rule::new("SIDE @has|'s @adjective? queenside pawn? majority; SIDE @has|'s @adjective? pawn? majority on the? queenside; SIDE @has|'s @adjective? majority of PIECE on the? queenside; \
         SIDE @has|'s @adjective? pawn? majority on the? queen 's side|wing", make::queenside_majority).inside(),
    Rule::new("SIDE @has|'s @adjective? kingside pawn? majority; SIDE @has|'s @adjective? pawn? majority on the? kingside; SIDE @has|'s @adjective? majority of PIECE on the? kingside; \
         SIDE @has|'s @adjective? pawn? majority on the? king 's side|wing", make::kingside_majority).inside(),
    Rule::new("SIDE @has|'s @adjective? central pawn? majority; SIDE @has|'s @adjective? pawn? majority in the? centre|center", make::central_majority).inside(),
    Rule::new("majority of PIECE on the? queenside; majority of PIECE on the? queen 's side|wing", make::queenside_majority),
    Rule::new("majority of PIECE on the? kingside; majority of PIECE on the? king 's side|wing", make::kingside_majority),
    Rule::new("central pawn? majority; pawn? majority in the? centre|center; majority of PIECE in the? centre|center", make::central_majority),
    Rule::new("N pawn? islands|island", make::pawn_islands),
    Rule::new("SIDE @has only|just? N pawn? islands|island", make::pawn_islands).inside(),
    Rule::new("FILE file @is|@was blocked", make::open_file).denied(),
    Rule::new("FILE file @is|@was closed; closed FILE file", make::closed_file),
    Rule::new("N open files|file", make::open_files),
    Rule::new("N half|semi open files|file; N semiopen|halfopen files|file", make::half_open_files),
    Rule::new("only open file; FILE file @is|@was only open file|one; only open file @is|@was FILE file", make::only_open_file),
    Rule::new("no open file|files; neither side|player @has open file", make::open_file).denied(),
    Rule::nothing("no open file|files on|near|in|that|which|to"),
    Rule::new("PIECE occupies|@has an? outpost; outpost for PIECE; PIECE on an? outpost", make::piece_outpost).inside(),
    Rule::new("PIECE @is|stands|sits|arrives? on the? seventh rank|row?", make::on_seventh).inside(),
    Rule::new("SIDE @has PIECE on the? seventh rank|row?", make::on_seventh).inside(),
    Rule::new("both sides|players @has PIECE on the? seventh rank|row?", make::both_on_seventh),
    Rule::new("rooks doubled on the? seventh; PIECE @is? doubled on the? seventh", make::rooks_on_seventh),
    Rule::new("SIDE @has|'s @adjective? outpost on|at SQUARE; SIDE @has|'s @adjective? outpost square SQUARE; SIDE @has|'s SQUARE outpost", make::outpost).inside(),
    Rule::new("outpost on SQUARE; outpost at SQUARE; SQUARE outpost; outpost square SQUARE", make::outpost),
    Rule::new("opposite coloured|colored|colour|color PIECE; PIECE @is? of opposite|opposing|different|unlike colour|colours|color|colors; opposite PIECE", make::opposite_bishops),
    Rule::new("same coloured|colored PIECE; PIECE @is? of the? same colour|color", make::same_bishops),
    Rule::new("SIDE @has|'s bishop pair; SIDE @has|'s two bishops; SIDE @has|'s pair of bishops; SIDE @has|'s PIECE pair", make::bishop_pair).inside(),
    Rule::new("both sides|players @has bishop pair; both sides|players @has two bishops", make::both_bishop_pairs),
    Rule::new("bishop pair; two bishops; pair of bishops; PIECE pair", make::bishop_pair),
    Rule::new("can no longer castle; cannot|can't castle; lost the? right to castle; @lose the? right to castle; forfeits|forfeited castling; no longer castle", make::castling_rights).denied(),
    Rule::new("can still castle; may still castle; right to castle; castling rights", make::castling_rights),
    Rule::new("@has castled", make::castled),
    Rule::new("SIDE castled", make::castled).inside(),
    Rule::new("@has castled short|kingside; castled short|kingside; @has? castled on the? kingside; castled on the? king 's side|wing", make::castled_short),
    Rule::new("@has castled long|queenside; castled long|queenside; @has? castled on the? queenside; castled on the? queen 's side|wing", make::castled_long),
    Rule::new("@has not yet? castled; hasn't|haven't|hadn't yet? castled; neither side|player|king @has yet? castled; nobody|noone @has yet? castled; @is|@was uncastled", make::castled).denied(),
    Rule::new("both sides|players|kings @has castled; both @has castled; both sides|players castled", make::both_castled),
    Rule::new("PIECE @is|@was|stands|sits|hides|stood|sat in|into the? corner; PIECE in the? corner; PIECE @is|@was cornered", make::in_corner).inside(),
    Rule::new("en passant", make::en_passant),
    Rule::new("PIECE @is|@was off; without PIECE; PIECE off the? board; PIECE @is|@was exchanged|traded", make::queens_gone).affirmed(),
    Rule::new("PIECE @is|stay|stays|remain on board", make::queens_gone).denied(),
    Rule::new("can|may promote|queen; @queens next move; @queens on the? next move; promotes at? once; promotion next move", make::promotion_next),
    Rule::new("queenless position|middlegame|game|ending", make::queens_off).affirmed(),
    Rule::new("pawn ending|endgame; king and pawn ending|endgame", make::pawn_ending),
    Rule::new("rook ending|endgame; rook and pawn ending|endgame", make::rook_ending),
    Rule::new("queen ending|endgame", make::queen_ending),
    Rule::new("bishop ending|endgame; bishop 's ending", make::bishop_ending),
    Rule::new("knight ending|endgame", make::knight_ending),
    // ---- named mates ----
    Rule::new("back|eighth|last|bottom|first|seventh rank mate|checkmate; back row mate|checkmate; swallow 's? tail mate|checkmate; @matename 's? mate|checkmate;  \
         philidor 's mate|checkmate; blind swine|pigs mate; kill box mate; max lange 's? mate; kiss of death mate; dove tail mate; lawn mower mate;  \
         scholar|fool|cozio|lange|schoolboy|lucena 's mate|checkmate; double check mate; criss cross mate; rook roller mate; opera house mate;  \
         philidor 's legacy mate; damiano 's bishop mate; pawn mate; two|double bishop|bishops mate; two|double knight|knights mate; two rook|rooks mate;  \
         queen and bishop mate; king and rook mate; legal|legall 's? mate|checkmate; mate|checkmate on the? back rank; @mates|mated on the? back rank", make::pattern),
    // ---- exercises ----
    Rule::new("SIDE to play|move", make::to_play).inside(),
    // "It is time for Black to play 24...Kf8" advises.
    Rule::nothing("for SIDE to play|move; SIDE to play LINE; SIDE to move PIECE"),
    Rule::new("SIDE to play|move and win|wins; SIDE plays and wins; SIDE to play|move and win N? material?", make::to_win).inside(),
    Rule::new("SIDE to play|move and draw|draws|hold|save; SIDE plays and draws; SIDE to draw|hold", make::to_draw).inside(),
    Rule::new("SIDE to play|move and mate in N @move?; SIDE to mate in N @move?; SIDE to play|move mate in N @move?", make::to_mate).inside(),
    Rule::new("find the? best|strongest move|continuation|reply; find SIDE 's? best|strongest move|continuation; can you find|see LINE?", make::find_best),
    Rule::new("find the? only? win|winning move|continuation|line|way?; find the? only? winning|decisive move|continuation|line|way|idea|combination; find SIDE 's? win; find SIDE 's? only? winning move|continuation", make::to_win).nobody(),
    Rule::new("find the? only? draw; find the? only? drawing|saving move|line|continuation|resource|idea; find the? only? move|way to draw|hold; find SIDE 's? draw; find SIDE 's? only? drawing|saving move|line", make::to_draw).nobody(),
    Rule::new("find the? mate|checkmate; find SIDE 's? mate", make::find_mate).nobody(),
    // ---- other places ----
    Rule::new("note|notes|comment|remark|remarks to|on|at|after|under move? N; note|notes|comment|remark|remarks to|on|at|after|under SIDE 's? N move?; see|cf|compare|recall|remember move N; \
         note|notes|comment|remark|remarks to|on|at|after|under N move; see|cf|compare SIDE 's? N move; as|like on|at move N", make::move_reference),
    Rule::new("SIDE 's N? ORD move", make::nth_reference).inside(),
    Rule::new("@his N? ORD move; on|at|with|after the? N? ORD move", make::nth_reference).nobody(),
    Rule::new("on|at move N", make::on_move),
    Rule::nothing("time|clock|control|limit at|by? move N; before|until|reached|reaching|reach|by|within|around move N; move N time|clock|control; \
         agreed|resigned|resigns|ended|ends|drawn|draw|over|finished|flag|forfeited|adjourned|sealed|theory|book|novelty|known|win|wins|won|lost|mated|checkmated|time on|at|by|in|around? move N"),
    Rule::new("move N", make::move_mention),
    Rule::new("game N", make::game_reference),
    Rule::new("diagram N", make::diagram_reference),
    Rule::new("@det diagram; see|cf diagram; diagrammed position", make::the_diagram),
    Rule::new("N moves|move ago|earlier|before", make::ago_reference),
    Rule::new("N moves|move later|afterwards", make::later_reference),
];
