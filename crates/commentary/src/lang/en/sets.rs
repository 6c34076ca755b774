//! The sets of words.

pub(super) const SETS: &[(&str, &str)] = &[
    // ---- other games ----
    (
        "contest",
        "match matches round rounds tournament tournaments championship championships olympiad cup simul simultaneous \
         correspondence blitz rapid playoff playoffs tiebreak tiebreaker qualifier candidates league event decider rubber",
    ),
    (
        "contrast",
        "here now this but unlike whereas while although though however than different differs differently current present \
         text today instead improves improvement improving deviates deviating",
    ),
    ("points", "in see cf compare like as remember recall"),
    (
        "tells",
        "in on at move moves with where which when who that and a an the his her also already even both played plays chose \
         chosen continued opened tried went was were had did when seen reached arose occurred",
    ),
    ("belongs", "of from against between versus vs v"),
    ("above", "above"),
    ("below", "below"),
    // ---- what the code knows ----
    ("goeson", "here now already and but by with"),
    ("adjacent", "next previous preceding last earlier"),
    (
        "place",
        "position diagram exercise example problem study ending lesson week month year time day issue question puzzle",
    ),
    (
        "alter",
        "put place add move shift remove replace imagine picture suppose",
    ),
    (
        "motion",
        "jumps jumping leaps hops lands landing goes going moves moving plays playing takes taking recaptures recapturing \
         captures capturing swings slides drops enters penetrates invades infiltrates retreats withdraws advances pushes \
         pushing promotes returns comes runs walks marches travels transfers switches grabs snatches collects eats removes \
         take jump go move play capture recapture come",
    ),
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
         beware danger risk risks risking risked careful generally mostly theoretically hopefully dangerously close near hint hints smell smells talk talks said says claimed claims insisted felt",
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
        "sorts sense spirit speak theory dream dreams dreamt dreamed says said writes wrote claims claimed thinks according",
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
         centralized trapped proud clumsy beautiful terrible important key far fianchettoed last first outside protected connected tripled triple \
         own same whole entire minor undeveloped hapless unfortunate helpless useless useful stray offside misplaced",
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
        "play plays played playing chose chosen continued continues opened push pushes pushed pushing advance advances advanced advancing prepare prepares try \
         tries tried allow allows allowed allowing prevent prevents prevented preventing stop stops stopped consider \
         considered",
    ),
    (
        "book",
        "chapter chapters page pages volume edition appendix magazine article column",
    ),
    ("reply", "no yes not hardly never"),
    (
        "sees",
        "see saw seen seeing notice noticed noticing reckon reckoned fear fears feared like liked consider considered realise \
         realize realised realized expect expected anticipate anticipated want wanted know knew mind believe believed spot \
         spotted foresee foresaw foreseen find found suspect suspected appreciate appreciated understand understood",
    ),
    (
        "gone",
        "gone off over disappears disappeared vanishes vanished evaporates evaporated prevented averted parried stopped \
         avoided impossible",
    ),
    ("likens", "as like"),
    ("premise", "after if on upon following"),
    (
        "whole",
        "position positions game games ending endings endgame endgames side situation camp army material",
    ),
    (
        "pawnstep",
        "push pushes break breaks advance advances thrust thrusts move moves lever levers",
    ),
    ("losing", "losing"),
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
    ("tripled", "tripled trebled triple"),
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
    (
        "give",
        "give gives giving given gave deliver delivers delivering delivered",
    ),
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
        "triviality",
        "forced easy simple trivial clear straightforward elementary technical theoretical book quick fast certain comfortable",
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
