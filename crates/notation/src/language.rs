//! Piece letters of the languages that the PGN standard lists, and of Russian.

use shakmaty::Role;

/// A language whose piece letters are known.
///
/// Source: PGN Specification and Implementation Guide (1994), section 17,
/// "Alternative chesspiece identifier letters"; for Russian common practice, no source.
///
/// ```
/// use gainsay_notation::Language;
/// use shakmaty::Role;
/// assert_eq!(Language::German.letter(Role::Knight), "S");
/// assert_eq!(Language::French.role('C'), Some(Role::Knight));
/// assert_eq!(Language::Russian.piece("Крf1".as_bytes()), Some((Role::King, 4)));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Language {
    /// K Q R B N P, and figurines, which every language understands.
    #[default]
    English,
    /// K D V S J
    Czech,
    /// K D T L S
    Danish,
    /// K D T L P
    Dutch,
    /// K L V O R
    Estonian,
    /// K D T L R
    Finnish,
    /// R D T F C
    French,
    /// K D T L S
    German,
    /// K V B F H
    Hungarian,
    /// K D H B R
    Icelandic,
    /// R D T A C
    Italian,
    /// K D T L S
    Norwegian,
    /// K H W G S
    Polish,
    /// R D T B C
    Portuguese,
    /// R D T N C
    Romanian,
    /// Кр Ф Л С К
    Russian,
    /// R D T A C
    Spanish,
    /// K D T L S
    Swedish,
}

impl Language {
    /// Every language, English first.
    pub const ALL: [Self; 18] = [
        Self::English,
        Self::Czech,
        Self::Danish,
        Self::Dutch,
        Self::Estonian,
        Self::Finnish,
        Self::French,
        Self::German,
        Self::Hungarian,
        Self::Icelandic,
        Self::Italian,
        Self::Norwegian,
        Self::Polish,
        Self::Portuguese,
        Self::Romanian,
        Self::Russian,
        Self::Spanish,
        Self::Swedish,
    ];

    /// The letters of pawn, knight, bishop, rook, queen and king. Those of a king may be two.
    #[must_use]
    pub const fn letters(self) -> [&'static str; 6] {
        match self {
            Self::English => ["P", "N", "B", "R", "Q", "K"],
            Self::Czech => ["P", "J", "S", "V", "D", "K"],
            Self::Danish | Self::Norwegian | Self::German | Self::Swedish => {
                ["B", "S", "L", "T", "D", "K"]
            }
            Self::Dutch => ["O", "P", "L", "T", "D", "K"],
            Self::Estonian => ["P", "R", "O", "V", "L", "K"],
            Self::Finnish => ["P", "R", "L", "T", "D", "K"],
            Self::French => ["P", "C", "F", "T", "D", "R"],
            Self::Hungarian => ["G", "H", "F", "B", "V", "K"],
            Self::Icelandic => ["P", "R", "B", "H", "D", "K"],
            Self::Italian | Self::Spanish => ["P", "C", "A", "T", "D", "R"],
            Self::Polish => ["P", "S", "G", "W", "H", "K"],
            Self::Portuguese => ["P", "C", "B", "T", "D", "R"],
            Self::Romanian => ["P", "C", "N", "T", "D", "R"],
            Self::Russian => ["п", "К", "С", "Л", "Ф", "Кр"],
        }
    }

    /// The piece that `letter` names by itself, if any.
    #[must_use]
    pub fn role(self, letter: char) -> Option<Role> {
        let mut bytes = [0; 4];
        let letter = letter.encode_utf8(&mut bytes);
        let at = self.letters().iter().position(|&known| known == letter)?;
        Role::ALL.get(at).copied()
    }

    /// The piece whose letters stand at the start of `text`, and how many bytes they take. The
    /// letters are those of the language in their case, in UTF-8.
    #[must_use]
    pub fn piece(self, text: &[u8]) -> Option<(Role, usize)> {
        let known = self.letters().into_iter().zip(Role::ALL);
        let stands = known.filter(|(letters, _)| text.starts_with(letters.as_bytes()));
        // "Кр" is no "К".
        let longest = stands.max_by_key(|(letters, _)| letters.len())?;
        Some((longest.1, longest.0.len()))
    }

    /// Whether its letters are above ASCII.
    #[must_use]
    pub const fn is_cyrillic(self) -> bool {
        matches!(self, Self::Russian)
    }

    /// The letter of a piece.
    #[must_use]
    pub const fn letter(self, role: Role) -> &'static str {
        self.letters()[role as usize - 1]
    }

    /// Whether the letters are the English ones, which PGN files use.
    #[must_use]
    pub const fn is_english(self) -> bool {
        matches!(self, Self::English)
    }

    /// The English name of the language.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::Czech => "Czech",
            Self::Danish => "Danish",
            Self::Dutch => "Dutch",
            Self::Estonian => "Estonian",
            Self::Finnish => "Finnish",
            Self::French => "French",
            Self::German => "German",
            Self::Hungarian => "Hungarian",
            Self::Icelandic => "Icelandic",
            Self::Italian => "Italian",
            Self::Norwegian => "Norwegian",
            Self::Polish => "Polish",
            Self::Portuguese => "Portuguese",
            Self::Romanian => "Romanian",
            Self::Russian => "Russian",
            Self::Spanish => "Spanish",
            Self::Swedish => "Swedish",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_and_roles_are_inverse() {
        for language in Language::ALL {
            for role in Role::ALL {
                let letter = language.letter(role);
                let length = letter.len();
                assert_eq!(language.piece(letter.as_bytes()), Some((role, length)));
            }
        }
    }
}
