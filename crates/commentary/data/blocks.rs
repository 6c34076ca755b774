//! The blocks of a data file: a head at the margin, and the lines that belong to it.

use super::mistake::{Mistakes, What};

/// A head with what stands behind its colon and in the indented lines below.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Block<'t> {
    /// The first word of the head.
    pub(crate) keyword: &'t str,
    /// What stands between it and the colon.
    pub(crate) name: &'t str,
    /// The number of the head's line.
    pub(crate) line: usize,
    /// What the block holds, with the numbers of the lines; none is empty.
    pub(crate) lines: Vec<(usize, &'t str)>,
}

impl<'t> Block<'t> {
    /// All words, with the numbers of their lines.
    pub(crate) fn words(&self) -> impl Iterator<Item = (usize, &'t str)> {
        let lines = self.lines.iter();
        lines.flat_map(|&(line, text)| text.split_whitespace().map(move |word| (line, word)))
    }
}

/// Cuts a file into blocks. Lines that begin with `#` are remarks.
pub(crate) fn blocks<'t>(text: &'t str, mistakes: &mut Mistakes) -> Vec<Block<'t>> {
    let mut blocks: Vec<Block<'t>> = Vec::new();
    for (text, line) in text.lines().zip(1..) {
        let content = text.trim();
        if content.is_empty() || content.starts_with('#') {
            continue;
        }
        if text.starts_with([' ', '\t']) {
            match blocks.last_mut() {
                Some(block) => block.lines.push((line, content)),
                None => mistakes.add(line, What::NoHead),
            }
            continue;
        }
        let Some((head, rest)) = content.split_once(':') else {
            mistakes.add(line, What::NoColon(content.to_owned()));
            continue;
        };
        let (keyword, name) = head.split_once(' ').unwrap_or((head, ""));
        let rest = Some(rest.trim()).filter(|rest| !rest.is_empty());
        blocks.push(Block {
            keyword,
            name: name.trim(),
            line,
            lines: rest.map(|rest| (line, rest)).into_iter().collect(),
        });
    }
    blocks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_is_a_head_and_what_is_indented() {
        let mut mistakes = Mistakes::of("en.txt");
        let text = "# remark\nset not: no\n    never\n\nclaim mate:\n    mate\n";
        let found = blocks(text, &mut mistakes);
        assert_eq!(mistakes.found, []);
        let [set, claim] = found.as_slice() else {
            panic!("{found:?}");
        };
        assert_eq!((set.keyword, set.name, set.line), ("set", "not", 2));
        assert_eq!(set.lines, [(2, "no"), (3, "never")]);
        assert_eq!(claim.lines, [(6, "mate")]);
    }

    #[test]
    fn lines_outside_are_told() {
        let mut mistakes = Mistakes::of("en.txt");
        assert_eq!(blocks("  lost\nset not\n", &mut mistakes), []);
        let told: Vec<String> = mistakes.found.iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "en.txt:1: this line belongs to nothing: begin it at the margin, with `set name:` or the like",
                "en.txt:2: `set not` has no colon: write `set name: words`, `claim name:` or the like",
            ]
        );
    }
}
