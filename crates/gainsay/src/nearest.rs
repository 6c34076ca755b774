//! The name that was meant by one that is wrong.

/// The name that is most like a wrong one, if any is (Jaro-Winkler similarity above 0.8).
///
/// ```
/// use gainsay::nearest;
/// assert_eq!(nearest("nods", ["nodes", "memory"]), Some("nodes"));
/// assert_eq!(nearest("zzz", ["nodes", "memory"]), None);
/// ```
pub fn nearest<'n>(name: &str, names: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    const ALIKE: f64 = 0.8;
    let likeness = |known: &'n str| (strsim::jaro_winkler(name, known), known);
    let nearest = names.into_iter().map(likeness);
    let (likeness, nearest) = nearest.max_by(|one, other| one.0.total_cmp(&other.0))?;
    (likeness > ALIKE).then_some(nearest)
}
