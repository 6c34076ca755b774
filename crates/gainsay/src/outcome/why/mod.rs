//! Why a claim fails: what is true instead.

mod deed;
mod draw;
mod exercise;
mod line;
mod mate;
mod material;
mod moves;
mod piece;
mod place;
mod structure;

use serde::{Deserialize, Serialize};

pub use self::{
    deed::DeedWhy,
    draw::DrawWhy,
    exercise::ExerciseWhy,
    line::{Letters, LineWhy},
    mate::{Lack, Longer, MateWhy, Mated},
    material::MaterialWhy,
    moves::MoveWhy,
    piece::{CheckKind, NotPinned, PieceWhy},
    place::{OtherGame, PlaceWhy, WrongPointer},
    structure::{PawnKind, Structure, StructureWhy, Wing},
};

/// Why a claim fails: what is true instead, by families.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "family", rename_all = "kebab-case")]
pub enum Why {
    /// Why a mate, or a threat of mate, is not there.
    Mate(MateWhy),
    /// What is wrong with a cited move or line.
    Line(LineWhy),
    /// Why a move is not the only one, or a judgement is false.
    Move(MoveWhy),
    /// Why a move did not do what is told of it.
    Deed(DeedWhy),
    /// What is wrong with an exercise or its solution.
    Exercise(ExerciseWhy),
    /// Why this is no draw.
    Draw(DrawWhy),
    /// Why material is not won, lost or there.
    Material(MaterialWhy),
    /// Why a piece does not stand or do what is said.
    Piece(PieceWhy),
    /// Why the structure is another, or a side has not castled.
    Structure(StructureWhy),
    /// Why a pointer, or what is told of another game, is wrong.
    Place(PlaceWhy),
}

impl From<MateWhy> for Why {
    fn from(why: MateWhy) -> Self {
        Self::Mate(why)
    }
}

impl From<LineWhy> for Why {
    fn from(why: LineWhy) -> Self {
        Self::Line(why)
    }
}

impl From<MoveWhy> for Why {
    fn from(why: MoveWhy) -> Self {
        Self::Move(why)
    }
}

impl From<DeedWhy> for Why {
    fn from(why: DeedWhy) -> Self {
        Self::Deed(why)
    }
}

impl From<ExerciseWhy> for Why {
    fn from(why: ExerciseWhy) -> Self {
        Self::Exercise(why)
    }
}

impl From<DrawWhy> for Why {
    fn from(why: DrawWhy) -> Self {
        Self::Draw(why)
    }
}

impl From<MaterialWhy> for Why {
    fn from(why: MaterialWhy) -> Self {
        Self::Material(why)
    }
}

impl From<PieceWhy> for Why {
    fn from(why: PieceWhy) -> Self {
        Self::Piece(why)
    }
}

impl From<StructureWhy> for Why {
    fn from(why: StructureWhy) -> Self {
        Self::Structure(why)
    }
}

impl From<PlaceWhy> for Why {
    fn from(why: PlaceWhy) -> Self {
        Self::Place(why)
    }
}
