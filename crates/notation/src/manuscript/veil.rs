//! The view of a text while it is made: blanks, on which what is to be read is put back.

/// A view that is written from its start to its end.
///
/// Signs that are left out in the middle of a word do not tear it: what stands behind them is
/// moved up to what stands before, `\textbf{Nf3}!` becomes `        Nf3! `.
pub(super) struct Veil<'t> {
    text: &'t [u8],
    view: Vec<u8>,
    /// Where the last word that was written ends in the view, if nothing has parted it since from
    /// what comes.
    joint: Option<usize>,
}

impl<'t> Veil<'t> {
    /// A view that shows nothing but line ends.
    pub(super) fn new(text: &'t [u8]) -> Self {
        let mut view = vec![b' '; text.len()];
        for at in memchr::memchr2_iter(b'\n', b'\r', text) {
            view[at] = text[at];
        }
        Self {
            text,
            view,
            joint: None,
        }
    }

    /// The text itself.
    pub(super) const fn text(&self) -> &'t [u8] {
        self.text
    }

    /// Shows these bytes of the text.
    pub(super) fn keep(&mut self, start: usize, end: usize) {
        let Some(shown) = self.text.get(start..end).filter(|shown| !shown.is_empty()) else {
            return;
        };
        let moved = self.joined_length(start, shown);
        if let (Some(joint), true) = (self.joint, moved > 0) {
            self.view[joint..joint + moved].copy_from_slice(&shown[..moved]);
        }
        self.view[start + moved..end].copy_from_slice(&shown[moved..]);
        self.joint = match (self.joint, moved == shown.len()) {
            (Some(joint), true) if moved > 0 => Some(joint + moved),
            _ => Some(end),
        };
    }

    /// Shows `sign` instead of the bytes of the text between `start` and `end`, right before `end`, or
    /// behind the word that it belongs to. What does not fit is not shown.
    pub(super) fn put(&mut self, start: usize, end: usize, sign: &[u8]) {
        let length = sign.len();
        if length == 0 || length > end.saturating_sub(start) {
            self.part();
            return;
        }
        let joins = self.joined_length(start + 1, sign) > 0;
        let at = match self.joint {
            Some(joint) if joins => joint,
            _ => end - length,
        };
        if let Some(place) = self.view.get_mut(at..at + length) {
            place.copy_from_slice(sign);
        }
        self.joint = Some(at + length);
    }

    /// Says that what comes is another word than what was.
    pub(super) const fn part(&mut self) {
        self.joint = None;
    }

    /// Makes a line end a blank, so that its line goes on.
    pub(super) fn blank(&mut self, at: usize) {
        if let Some(place) = self.view.get_mut(at) {
            *place = b' ';
        }
    }

    /// Writes over a place that is not shown otherwise.
    pub(super) fn write(&mut self, at: usize, sign: &[u8]) {
        if let Some(place) = self.view.get_mut(at..at + sign.len()) {
            place.copy_from_slice(sign);
        }
        self.part();
    }

    /// What the view shows between two places.
    pub(super) fn shown(&self, start: usize, end: usize) -> &[u8] {
        self.view.get(start..end).unwrap_or_default()
    }

    pub(super) fn finish(self) -> Vec<u8> {
        self.view
    }

    /// How many bytes of what is shown at `start` go on with the word before, from which signs part
    /// it.
    fn joined_length(&self, start: usize, shown: &[u8]) -> usize {
        let Some(joint) = self.joint.filter(|&joint| joint < start) else {
            return 0;
        };
        let before = joint.checked_sub(1).and_then(|at| self.view.get(at));
        let (Some(&before), Some(&first)) = (before, shown.first()) else {
            return 0;
        };
        if !is_word(before) && !is_end(before) {
            return 0;
        }
        let of = |belongs: fn(u8) -> bool| shown.iter().take_while(|&&byte| belongs(byte)).count();
        match first {
            b'\'' => {
                1 + shown
                    .iter()
                    .skip(1)
                    .take_while(|&&byte| is_word(byte))
                    .count()
            }
            _ if is_word(first) && is_word(before) => of(|byte| is_word(byte) || is_sign(byte)),
            _ if is_word(first) => 0,
            _ => of(|byte| is_sign(byte) || is_end(byte)),
        }
    }
}

/// Whether a byte is one of a word: a letter or digit of any script.
const fn is_word(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte >= 0x80
}

/// Whether a byte goes on with a move.
const fn is_sign(byte: u8) -> bool {
    matches!(byte, b'+' | b'#' | b'=' | b'-' | b'!' | b'?')
}

/// Whether a byte ends a word or a sentence.
const fn is_end(byte: u8) -> bool {
    matches!(byte, b'.' | b',' | b';' | b':' | b')') || is_sign(byte)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_not_torn() {
        let text = b"N<b>f3</b>! and <i>Qh5</i>.";
        let mut veil = Veil::new(text);
        for (start, end) in [(0, 1), (4, 6), (10, 16), (19, 22), (26, 27)] {
            veil.keep(start, end);
        }
        assert_eq!(veil.finish(), b"Nf3!        and    Qh5.    ");
    }

    #[test]
    fn a_sign_stands_for_what_is_left_out() {
        let text = b"12\\ldots Nf6\\# \\N f3";
        let mut veil = Veil::new(text);
        veil.keep(0, 2);
        veil.put(2, 9, b"...");
        veil.keep(9, 12);
        veil.put(12, 14, b"#");
        veil.keep(14, 15);
        veil.put(15, 18, b"N");
        veil.keep(18, 20);
        assert_eq!(veil.finish(), b"12...    Nf6#    Nf3");
    }
}
