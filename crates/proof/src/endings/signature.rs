//! Which men an ending has.

use super::distance::TableError;
use std::fmt;
use std::str::FromStr;

use shakmaty::{Board, Color, Role};

/// The men of an ending of up to four men, kings understood, the stronger side first:
/// `KQKR` is queen against rook, whichever colour has the queen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Signature {
    /// The men of the stronger side, kings left out, most valuable first.
    strong: [Option<Role>; 2],
    /// The men of the weaker side in the same order.
    weak: [Option<Role>; 2],
}

/// The men besides kings, most valuable first.
const MEN: [Role; 5] = [
    Role::Queen,
    Role::Rook,
    Role::Bishop,
    Role::Knight,
    Role::Pawn,
];

/// A set of men of one side, if there are at most two.
fn side(mut men: Vec<Role>) -> Option<[Option<Role>; 2]> {
    men.sort_unstable_by(|a, b| b.cmp(a));
    let mut men = men.into_iter();
    let pair = [men.next(), men.next()];
    men.next().is_none().then_some(pair)
}

/// Orders sides by their number of men, then by their worth.
fn strength(men: [Option<Role>; 2]) -> (usize, [Option<Role>; 2]) {
    (men.iter().flatten().count(), men)
}

impl Signature {
    /// The signature of these men, kings left out, and whether the first side is the
    /// stronger. `None` when there are more than two men besides the kings, or a king is
    /// among them.
    pub(super) fn new(first: Vec<Role>, second: Vec<Role>) -> Option<(Self, bool)> {
        if first.iter().chain(&second).any(|&role| role == Role::King)
            || first.len() + second.len() > 2
        {
            return None;
        }
        let (first, second) = (side(first)?, side(second)?);
        let straight = strength(first) >= strength(second);
        let (strong, weak) = if straight {
            (first, second)
        } else {
            (second, first)
        };
        Some((Self { strong, weak }, straight))
    }

    /// The signature of a board and the colour of its stronger side (White when equal).
    /// `None` with more than four men.
    #[must_use]
    pub fn of(board: &Board) -> Option<(Self, Color)> {
        if board.occupied().count() > 4 {
            return None;
        }
        let men = |color: Color| {
            (board.by_color(color) & !board.kings())
                .into_iter()
                .filter_map(|square| board.role_at(square))
                .collect()
        };
        let (signature, straight) = Self::new(men(Color::White), men(Color::Black))?;
        Some((signature, Color::from_white(straight)))
    }

    /// Every signature that needs a table: three of three men, for a lone minor piece
    /// never mates, and the thirty of four.
    #[must_use]
    pub fn all() -> Vec<Self> {
        let mut found = Vec::new();
        for &first in &MEN {
            found.extend(Self::new(vec![first], Vec::new()));
        }
        for (at, &first) in MEN.iter().enumerate() {
            for &second in MEN.iter().skip(at) {
                found.extend(Self::new(vec![first, second], Vec::new()));
                found.extend(Self::new(vec![first], vec![second]));
            }
        }
        found
            .into_iter()
            .map(|(signature, _)| signature)
            .filter(|signature| !signature.is_bare())
            .collect()
    }

    /// The men besides the kings with their sides (White is the stronger), in the order
    /// of the tables.
    pub(super) fn men(self) -> Vec<(Color, Role)> {
        let of = |color, men: [Option<Role>; 2]| {
            men.into_iter().flatten().map(move |role| (color, role))
        };
        of(Color::White, self.strong)
            .chain(of(Color::Black, self.weak))
            .collect()
    }

    /// The signatures to which one capture or promotion, or both at once, leads. Chains
    /// of them end, because each has fewer men or fewer pawns.
    pub(super) fn exits(self) -> Vec<Self> {
        let men = self.men();
        let mut found = Vec::new();
        let mut add = |men: &[(Color, Role)]| {
            let of = |wanted: Color| {
                men.iter()
                    .filter(|(color, _)| *color == wanted)
                    .map(|&(_, role)| role)
                    .collect()
            };
            if let Some((signature, _)) = Self::new(of(Color::White), of(Color::Black)) {
                found.push(signature);
            }
        };
        let promotions = [Role::Queen, Role::Rook, Role::Bishop, Role::Knight];
        for (at, &(color, role)) in men.iter().enumerate() {
            let roles: &[Role] = if role == Role::Pawn { &promotions } else { &[] };
            for &new in roles {
                let mut changed = men.clone();
                if let Some(man) = changed.get_mut(at) {
                    *man = (color, new);
                }
                add(&changed);
                add(&[(color, new)]);
            }
            if men.len() == 2 {
                add(&[(color, role)]);
            }
        }
        found
    }

    /// Whether every position is drawn, or lost and won only by a mate already on the
    /// board that no table is needed for: bare kings, or one minor piece.
    pub(super) fn is_bare(self) -> bool {
        match self.men().as_slice() {
            [] => true,
            [(_, role)] => matches!(role, Role::Bishop | Role::Knight),
            _ => false,
        }
    }
}

impl fmt::Display for Signature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for men in [self.strong, self.weak] {
            f.write_str("K")?;
            for role in men.into_iter().flatten() {
                write!(f, "{}", role.upper_char())?;
            }
        }
        Ok(())
    }
}

impl FromStr for Signature {
    type Err = TableError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || TableError::Signature(text.chars().take(16).collect());
        let rest = text.strip_prefix('K').ok_or_else(wrong)?;
        let (first, second) = rest.split_once('K').ok_or_else(wrong)?;
        let roles = |letters: &str| {
            letters
                .chars()
                .map(Role::from_char)
                .collect::<Option<Vec<_>>>()
        };
        let (first, second) = roles(first).zip(roles(second)).ok_or_else(wrong)?;
        let (signature, _) = Self::new(first, second).ok_or_else(wrong)?;
        Ok(signature)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::board;

    #[test]
    fn signatures_are_read_and_written() {
        let all = Signature::all();
        assert_eq!(all.len(), 33);
        for signature in all {
            assert_eq!(
                signature.to_string().parse::<Signature>().unwrap(),
                signature
            );
        }
        assert_eq!("KRKQ".parse::<Signature>().unwrap().to_string(), "KQKR");
        for wrong in ["", "K", "QKK", "KQRKB", "KKK", "KXK", "kqk"] {
            assert!(wrong.parse::<Signature>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn boards_have_signatures() {
        let (signature, strong) = Signature::of(&board("4k3/8/8/8/3r4/8/8/3QK3")).unwrap();
        assert_eq!(
            (signature.to_string().as_str(), strong),
            ("KQKR", Color::White)
        );
        let (signature, strong) = Signature::of(&board("4k3/8/8/8/3q4/8/8/3RK3")).unwrap();
        assert_eq!(
            (signature.to_string().as_str(), strong),
            ("KQKR", Color::Black)
        );
        assert!(Signature::of(&board("4kr2/8/8/8/3q4/8/8/3RK3")).is_none());
    }
}
