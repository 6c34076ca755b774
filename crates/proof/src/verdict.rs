//! The three answers to a claim.

/// Whether a claim is true.
///
/// ```
/// use gainsay_proof::Verdict;
/// let verdicts = [Verdict::Holds, Verdict::Fails, Verdict::Unsettled];
/// assert_eq!(verdicts.map(Verdict::as_str), ["holds", "fails", "unsettled"]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// True, and the evidence shows it.
    Holds,
    /// False, and the evidence shows it.
    Fails,
    /// The budget did not suffice, or the values lie within the margin.
    Unsettled,
}

impl Verdict {
    /// The word for it in reports.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Fails => "fails",
            Self::Unsettled => "unsettled",
        }
    }
}
