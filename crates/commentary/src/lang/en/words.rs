//! Numbers, pieces and frequent words.

use shakmaty::Role;

pub(super) const NUMBERS: &[(&str, u8)] = &[
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

pub(super) const ORDINALS: &[(&str, u8)] = &[
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

pub(super) const PIECES: &[(&str, Option<Role>, bool)] = &[
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
    ("isolani", Some(Role::Pawn), false),
    ("piece", None, false),
    ("pieces", None, true),
];

/// Frequent words of English, after what annotators write most.
pub(super) const COMMON: &str = "the of and to a in is that it was for on as with his he be at by this had not are but from or have an \
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
