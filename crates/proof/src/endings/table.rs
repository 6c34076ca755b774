//! One table, in memory and as bytes.

use shakmaty::{Chess, Position, Square};

use super::distance::{ILLEGAL, TableError, plies};
use super::layout::{Layout, MOST, Node};
use super::signature::Signature;

/// The distances to mate of all positions of one signature.
#[derive(Debug)]
pub struct Table {
    signature: Signature,
    layout: Layout,
    values: Vec<u8>,
}

/// The first bytes of a stored table: a name and the version of the format.
const MAGIC: &[u8; 8] = b"gsend\0\0\x01";
const HASH: usize = blake3::OUT_LEN;

impl Table {
    pub(super) fn of(signature: Signature, values: Vec<u8>) -> Self {
        Self {
            signature,
            layout: Layout::new(signature),
            values,
        }
    }

    /// Which ending it is.
    #[must_use]
    pub const fn signature(&self) -> Signature {
        self.signature
    }

    /// The memory it takes, in bytes.
    #[must_use]
    pub const fn memory(&self) -> usize {
        self.values.len()
    }

    /// The longest distance to mate of all its positions, in plies.
    #[must_use]
    pub fn longest(&self) -> u8 {
        self.values
            .iter()
            .filter_map(|&value| plies(value))
            .max()
            .unwrap_or(0)
    }

    /// How many numbers of the table are won, drawn and lost for White (the stronger
    /// side) with White to move; used to look at a table as a whole.
    #[must_use]
    pub fn counts(&self) -> [usize; 3] {
        let half = self.values.len() / 2;
        let mut counts = [0; 3];
        for &value in self.values.iter().take(half) {
            let place = match (value, plies(value)) {
                (ILLEGAL, _) => continue,
                (_, None) => 1,
                (_, Some(ply)) if !ply.is_multiple_of(2) => 0,
                _ => 2,
            };
            if let Some(count) = counts.get_mut(place) {
                *count += 1;
            }
        }
        counts
    }

    pub(super) fn at(&self, number: usize) -> u8 {
        self.values.get(number).copied().unwrap_or(ILLEGAL)
    }

    /// The stored value of a position of this signature; `None` when it is of another or
    /// the table does not know it (castling rights).
    pub(super) fn look_up(&self, position: &Chess) -> Option<u8> {
        let board = position.board();
        let (signature, strong) = Signature::of(board)?;
        if signature != self.signature || position.castles().any() {
            return None;
        }
        let turned = |square: Square| strong.fold_wb(square, square.flip_vertical());
        let kings = [board.king_of(strong)?, board.king_of(!strong)?].map(turned);
        let mut squares = [Square::A1; MOST];
        let mut left = board.occupied() & !board.kings();
        let mut passing = None;
        let passed = position.maybe_ep_square().map(|square| {
            Square::from_coords(
                square.file(),
                (!position.turn()).relative_rank(shakmaty::Rank::Fourth),
            )
        });
        for (man, place) in squares.iter_mut().enumerate().take(self.layout.count) {
            let &(color, role) = self.layout.men.get(man)?;
            let color = strong.fold_wb(color, !color);
            let square = (left & board.by_piece(role.of(color))).first()?;
            left.discard(square);
            if passed == Some(square) {
                passing = Some(man);
            }
            *place = turned(square);
        }
        let mut node = Node {
            turn: strong.fold_wb(position.turn(), !position.turn()),
            kings,
            squares,
            passing: None,
        };
        if let Some(man) = passing
            && self
                .layout
                .can_have_passed(&node, man, self.layout.occupied(&node))
        {
            node.passing = Some(man);
        }
        Some(self.at(self.layout.number(&node))).filter(|&value| value != ILLEGAL)
    }

    /// The table as bytes: a name and version, the signature, the values with runs
    /// shortened, and a BLAKE3 checksum of all before it.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        let mut bytes = MAGIC.to_vec();
        let name = self.signature.to_string();
        bytes.extend(name.bytes().chain(std::iter::repeat(b' ')).take(8));
        bytes.extend(lz4_flex::compress_prepend_size(&self.values));
        let hash = blake3::hash(&bytes);
        bytes.extend(hash.as_bytes());
        bytes
    }

    /// Reads what [`Table::to_bytes`] wrote.
    ///
    /// # Errors
    ///
    /// [`TableError::Damaged`] when a byte is wrong, [`TableError::Signature`] when the
    /// table is of an unknown ending.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, TableError> {
        let (body, hash) = bytes
            .len()
            .checked_sub(HASH)
            .and_then(|at| bytes.split_at_checked(at))
            .ok_or(TableError::Damaged("too short"))?;
        if blake3::hash(body).as_bytes().as_slice() != hash {
            return Err(TableError::Damaged("checksum differs"));
        }
        let rest = body
            .strip_prefix(MAGIC.as_slice())
            .ok_or(TableError::Damaged("another format or version"))?;
        let (name, packed) = rest
            .split_at_checked(8)
            .ok_or(TableError::Damaged("no signature"))?;
        let name = String::from_utf8_lossy(name);
        let signature: Signature = name.trim_end().parse()?;
        let layout = Layout::new(signature);
        // The size is checked before any memory is taken for it.
        let size = packed
            .first_chunk::<4>()
            .map(|size| u32::from_le_bytes(*size) as usize);
        if size != Some(layout.len()) {
            return Err(TableError::Damaged("wrong size"));
        }
        let values = lz4_flex::decompress_size_prepended(packed)
            .map_err(|_| TableError::Damaged("cannot be unpacked"))?;
        if values.len() != layout.len() {
            return Err(TableError::Damaged("wrong size"));
        }
        Ok(Self {
            signature,
            layout,
            values,
        })
    }

    /// The position with this number, for tests that walk through a table.
    #[cfg(test)]
    pub(super) fn position(&self, number: usize) -> Option<Chess> {
        use shakmaty::{CastlingMode, Color};
        let node = self.layout.node(number)?;
        let mut setup = shakmaty::Setup::empty();
        for color in Color::ALL {
            setup
                .board
                .set_piece_at(node.kings[super::layout::seat(color)], color.king());
        }
        for man in 0..self.layout.count {
            let (color, role) = self.layout.men[man];
            setup.board.set_piece_at(node.squares[man], role.of(color));
        }
        setup.turn = node.turn;
        setup.ep_square = node.passing.map(|man| {
            let (color, _) = self.layout.men[man];
            Square::from_coords(
                node.squares[man].file(),
                color.relative_rank(shakmaty::Rank::Third),
            )
        });
        setup.position(CastlingMode::Standard).ok()
    }

    /// How many numbers the table has.
    #[cfg(test)]
    pub(super) fn len(&self) -> usize {
        self.values.len()
    }
}
