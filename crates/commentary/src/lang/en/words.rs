//! Numbers, pieces and frequent words.

use shakmaty::Role;

use crate::lang::data::Counted;

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

pub(super) const COUNTED: &[Counted] = &[Counted {
    one: "one",
    singular: &["move"],
    plural: &["moves"],
}];

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

/// Frequent words of annotators' English, about in the order of their frequency.
pub(super) const COMMON: &str = "the to a is and black this was of white for 's pawn with my it that but move now would in not game on be \
    king so time an has can bishop after play by here queen 've have like me better no played position 'm rook \
    exchange or only if moves as also attack one plan more from all still knight lost up how piece had first win \
    winning draw at out since threat file his are than much very something side mate best will what some way get \
    there could make both same thought idea been into two any just most another however which back down see \
    while every does point tempo he even take though when should being against check strong do over good think \
    enough player center ending wrong about then made because too never always away fact playing defense \
    advantage wins simple you must through line material square diagonal next weak were him such work day last \
    go without went far losing equal sacrifice pressure we before those know old off right almost opening \
    variation who them other many long little during around got put took development its these man people great \
    few place small once high less why lines rank 'd 're nothing her she said new may our years where your well \
    state between life might three again found say whether set plays defence board 'll they their did each world \
    own men under year come came used himself use part general upon don't yet centre drawn square's white's \
    black's n't";
