//! A unified diff that is written while the texts come in, piece by piece.

use std::{
    collections::VecDeque,
    io::{self, Write},
};

use similar::{Algorithm, DiffTag, capture_diff_slices};

/// Lines around a change that are shown.
const CONTEXT: usize = 3;

/// Writes the difference of two texts in unified format (POSIX, `diff -u`).
pub(super) struct Unified<'o> {
    out: &'o mut dyn Write,
    name: String,
    /// Whether the names of the files have been written.
    headed: bool,
    /// Lines read of the old and of the new text.
    read: [usize; 2],
    /// The last lines that are the same, while no hunk is open.
    before: VecDeque<Vec<u8>>,
    hunk: Option<Hunk>,
    /// What is left of the texts behind their last whole line.
    rest: [Vec<u8>; 2],
}

struct Hunk {
    /// The first line in the old and in the new text, from 0.
    start: [usize; 2],
    lines: Vec<(Side, Vec<u8>)>,
    /// Lines at its end that are the same.
    same: usize,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Both,
    Old,
    New,
}

impl Side {
    const fn is_in(self, new: bool) -> bool {
        match self {
            Self::Both => true,
            Self::Old => !new,
            Self::New => new,
        }
    }
}

impl<'o> Unified<'o> {
    pub(super) fn new(out: &'o mut dyn Write, name: &str) -> Self {
        Self {
            out,
            name: name.to_owned(),
            headed: false,
            read: [0, 0],
            before: VecDeque::new(),
            hunk: None,
            rest: [Vec::new(), Vec::new()],
        }
    }

    /// Takes the next piece of both texts. They must stand at the same place, as they do
    /// where whatever is different lies within pieces.
    pub(super) fn piece(&mut self, old: &[u8], new: &[u8]) -> io::Result<()> {
        let [mut olds, mut news] = std::mem::take(&mut self.rest);
        olds.extend_from_slice(old);
        news.extend_from_slice(new);
        // Pieces end with lines, but for odd ones; both must be cut together.
        let whole = olds.ends_with(b"\n") && news.ends_with(b"\n");
        if !whole {
            if olds == news {
                let at = olds
                    .iter()
                    .rposition(|&byte| byte == b'\n')
                    .map_or(0, |at| at + 1);
                self.rest = [olds.split_off(at), news.split_off(at)];
            } else {
                self.rest = [olds, news];
                return Ok(());
            }
        }
        self.lines(&olds, &news)
    }

    /// Takes what is left and ends the last hunk.
    pub(super) fn finish(mut self) -> io::Result<()> {
        let [old, new] = std::mem::take(&mut self.rest);
        self.lines(&old, &new)?;
        self.close()
    }

    fn lines(&mut self, old: &[u8], new: &[u8]) -> io::Result<()> {
        if old == new {
            for line in split(old) {
                self.line(Side::Both, line)?;
            }
            return Ok(());
        }
        let (old, new): (Vec<&[u8]>, Vec<&[u8]>) = (split(old).collect(), split(new).collect());
        for op in capture_diff_slices(Algorithm::Myers, &old, &new) {
            let olds = old.get(op.old_range()).unwrap_or_default();
            let news = new.get(op.new_range()).unwrap_or_default();
            if op.tag() == DiffTag::Equal {
                for line in olds {
                    self.line(Side::Both, line)?;
                }
            } else {
                for line in olds {
                    self.line(Side::Old, line)?;
                }
                for line in news {
                    self.line(Side::New, line)?;
                }
            }
        }
        Ok(())
    }

    fn line(&mut self, side: Side, line: &[u8]) -> io::Result<()> {
        if side == Side::Both {
            match &mut self.hunk {
                Some(hunk) => {
                    hunk.same += 1;
                    hunk.lines.push((side, line.to_owned()));
                    if hunk.same > 2 * CONTEXT {
                        self.read_one(side);
                        return self.close();
                    }
                }
                None => {
                    if self.before.len() == CONTEXT {
                        self.before.pop_front();
                    }
                    self.before.push_back(line.to_owned());
                }
            }
        } else {
            let before = &mut self.before;
            let read = self.read;
            let hunk = self.hunk.get_or_insert_with(|| Hunk {
                start: read.map(|read| read - before.len()),
                lines: before.drain(..).map(|line| (Side::Both, line)).collect(),
                same: 0,
            });
            hunk.same = 0;
            hunk.lines.push((side, line.to_owned()));
        }
        self.read_one(side);
        Ok(())
    }

    fn read_one(&mut self, side: Side) {
        let [old, new] = &mut self.read;
        *old += usize::from(side.is_in(false));
        *new += usize::from(side.is_in(true));
    }

    /// Writes the open hunk, without what is the same far behind its last change.
    fn close(&mut self) -> io::Result<()> {
        let Some(mut hunk) = self.hunk.take() else {
            return Ok(());
        };
        let kept = hunk.lines.len() - hunk.same.saturating_sub(CONTEXT);
        let behind = hunk.lines.split_off(kept);
        let skipped = behind.len().saturating_sub(CONTEXT);
        self.before = behind
            .into_iter()
            .skip(skipped)
            .map(|(_, line)| line)
            .collect();
        if !self.headed {
            self.headed = true;
            writeln!(self.out, "--- {}\n+++ {}", self.name, self.name)?;
        }
        let [old, new] = [false, true].map(|new| {
            let count = hunk
                .lines
                .iter()
                .filter(|(side, _)| side.is_in(new))
                .count();
            let [old_start, new_start] = hunk.start;
            let start = if new { new_start } else { old_start };
            // An empty range stands behind the line before it.
            format!("{},{count}", start + usize::from(count > 0))
        });
        writeln!(self.out, "@@ -{old} +{new} @@")?;
        for (side, line) in &hunk.lines {
            let sign = match side {
                Side::Both => b" ",
                Side::Old => b"-",
                Side::New => b"+",
            };
            self.out.write_all(sign)?;
            self.out.write_all(line)?;
            if !line.ends_with(b"\n") {
                self.out.write_all(b"\n\\ No newline at end of file\n")?;
            }
        }
        Ok(())
    }
}

fn split(text: &[u8]) -> impl Iterator<Item = &[u8]> {
    text.split_inclusive(|&byte| byte == b'\n')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unified(pieces: &[(&str, &str)]) -> String {
        let mut out = Vec::new();
        let mut diff = Unified::new(&mut out, "lesson.pgn");
        for (old, new) in pieces {
            diff.piece(old.as_bytes(), new.as_bytes()).expect("written");
        }
        diff.finish().expect("written");
        String::from_utf8(out).expect("UTF-8")
    }

    #[test]
    fn changes_far_apart_are_hunks_of_their_own() {
        let same = "1\n2\n3\n4\n5\n6\n7\n8\n";
        let pieces = [(same, same), ("a\n", "b\n"), (same, same), ("c", "c\nd")];
        assert_eq!(
            unified(&pieces),
            "--- lesson.pgn\n+++ lesson.pgn\n@@ -6,7 +6,7 @@\n 6\n 7\n 8\n-a\n+b\n 1\n 2\n 3\n\
             @@ -15,4 +15,5 @@\n 6\n 7\n 8\n-c\n\\ No newline at end of file\n+c\n+d\n\
             \\ No newline at end of file\n"
        );
    }

    #[test]
    fn what_lies_near_is_one_hunk() {
        let pieces = [("a\n1\n2\n", "1\n2\n"), ("3\nb\n", "3\nc\nb\n")];
        assert_eq!(
            unified(&pieces),
            "--- lesson.pgn\n+++ lesson.pgn\n@@ -1,5 +1,5 @@\n-a\n 1\n 2\n 3\n+c\n b\n"
        );
    }

    #[test]
    fn equal_texts_have_none() {
        assert_eq!(unified(&[("a\nb", "a\nb"), ("c\n", "c\n")]), "");
    }

    #[test]
    fn pieces_that_end_within_lines_are_joined() {
        assert_eq!(
            unified(&[("a", "a"), ("b\n", "c\n"), ("d", "e"), ("f\n", "f\n")]),
            "--- lesson.pgn\n+++ lesson.pgn\n@@ -1,2 +1,2 @@\n-ab\n+ac\n-df\n+ef\n"
        );
    }
}
