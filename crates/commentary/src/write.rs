//! Numbers in the words of the author's language.

use gainsay_notation::Span;

use crate::lang::Counted;
use crate::number::{CountedNoun, NumberForm, WrittenNumber};

impl WrittenNumber {
    /// What to write where, so that the text says `value` and is well inflected: a word where
    /// the author wrote one and the language's list has it, digits otherwise. The first is
    /// the number itself. `None` where that cannot be written.
    #[must_use]
    pub fn rewritten(&self, value: u32) -> Option<Vec<(Span, String)>> {
        // "Mate in no moves" is another sentence.
        if value == 0 {
            return None;
        }
        let noun = match self.noun {
            Some(noun) => Some((noun, self.tongue.data().counted.get(noun.nth)?)),
            None => None,
        };
        let number = match self.form {
            NumberForm::Digits => value.to_string(),
            NumberForm::Word { capital } => {
                let word = self.word(value, noun.map(|(_, counted)| counted));
                word.map_or_else(|| value.to_string(), |word| begun(word, capital))
            }
        };
        let mut edits = vec![(self.span, number)];
        if let Some((CountedNoun { span, capital, .. }, counted)) = noun
            && counted.forms(self.value) != counted.forms(value)
        {
            let form = counted.forms(value).first();
            let form = form.filter(|form| self.can_write(form))?;
            edits.push((span, begun(form, capital)));
        }
        Some(edits)
    }

    /// The word for `value`.
    fn word(&self, value: u32, noun: Option<&Counted>) -> Option<&'static str> {
        let mut numbers = self.tongue.data().numbers.iter();
        let word = match noun {
            Some(noun) if value == 1 => noun.one,
            _ => numbers.find(|&&(_, known)| u32::from(known) == value)?.0,
        };
        self.can_write(word).then_some(word)
    }

    fn can_write(&self, word: &str) -> bool {
        !self.ascii_only || word.is_ascii()
    }
}

/// A word with its first letter as a capital or not.
fn begun(word: &str, capital: bool) -> String {
    let mut letters = word.chars();
    let first = letters.next().into_iter().flat_map(|first| {
        let letters: Vec<char> = if capital {
            first.to_uppercase().collect()
        } else {
            first.to_lowercase().collect()
        };
        letters
    });
    first.chain(letters).collect()
}

#[cfg(test)]
mod tests {
    use crate::read::{Context, read};

    /// The text with the number of its first claim that says one written anew.
    fn rewritten(text: &[u8], value: u32) -> Option<Vec<u8>> {
        let prose = read(text, &Context::default());
        let number = prose.claims.iter().find_map(|claim| claim.number)?;
        let mut out = text.to_vec();
        for (span, word) in number.rewritten(value)?.into_iter().rev() {
            out.splice(span.range(), word.bytes());
        }
        Some(out)
    }

    #[test]
    fn a_number_is_written_as_the_author_would() {
        for (text, value, wanted) in [
            ("White mates in two.", 1, "White mates in one."),
            ("White mates in two moves.", 1, "White mates in one move."),
            ("White mates in one move.", 3, "White mates in three moves."),
            ("White mates in 2 moves.", 1, "White mates in 1 move."),
            ("White mates in 2.", 3, "White mates in 3."),
            ("Mate in Two.", 4, "Mate in Four."),
            ("A two-move mate.", 3, "A three-move mate."),
            (
                "White to play and mate in two.",
                25,
                "White to play and mate in 25.",
            ),
            (
                "White mates in Twenty-one moves.",
                20,
                "White mates in Twenty moves.",
            ),
            (
                "Black threatens mate in two.",
                3,
                "Black threatens mate in three.",
            ),
            (
                "Weiss setzt in zwei Zügen matt.",
                1,
                "Weiss setzt in einem Zug matt.",
            ),
            (
                "Weiss setzt in einem Zug matt.",
                5,
                "Weiss setzt in fünf Zügen matt.",
            ),
            (
                "Weiss setzt in einem Zuge matt.",
                2,
                "Weiss setzt in zwei Zügen matt.",
            ),
            (
                "Weiss setzt in drei Zügen matt.",
                12,
                "Weiss setzt in zwölf Zügen matt.",
            ),
            ("Matt in drei.", 2, "Matt in zwei."),
            ("Matt in 3 Zügen.", 1, "Matt in 1 Zug."),
            ("Blancas dan mate en dos.", 1, "Blancas dan mate en uno."),
            (
                "Blancas dan mate en dos jugadas.",
                1,
                "Blancas dan mate en una jugada.",
            ),
            ("Mate en tres movimientos.", 1, "Mate en un movimiento."),
            ("Mate en una jugada.", 3, "Mate en tres jugadas."),
        ] {
            let told = rewritten(text.as_bytes(), value);
            assert_eq!(
                told.map(|told| String::from_utf8_lossy(&told).into_owned()),
                Some(wanted.to_owned()),
                "{text}"
            );
        }
    }

    #[test]
    fn nothing_is_written_that_the_text_cannot_hold() {
        let latin = b"Wei\xdf setzt in zwei Z\xfcgen matt.";
        let six = rewritten(latin, 5).expect("a number");
        assert_eq!(six, b"Wei\xdf setzt in 5 Z\xfcgen matt.");
        let one = rewritten(latin, 1).expect("a number");
        assert_eq!(one, b"Wei\xdf setzt in einem Zug matt.");
        assert_eq!(rewritten(b"Wei\xdf setzt in einem Zug matt.", 2), None);
        assert_eq!(rewritten(b"White has two legal moves.", 0), None);
        // Which of the two is wrong nobody knows.
        assert_eq!(rewritten(b"Mate in two or two moves.", 3), None);
    }
}
