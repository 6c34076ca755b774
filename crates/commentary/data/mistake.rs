//! What can be wrong with a data file.

use thiserror::Error;

/// A mistake, and where it stands.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{file}:{line}: {what}")]
pub(crate) struct Mistake {
    /// The path of the file from the crate's folder.
    pub(crate) file: String,
    /// The line, from 1.
    pub(crate) line: usize,
    /// What is wrong, and what to do.
    pub(crate) what: What,
}

/// What is wrong with a line, and what to do.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub(crate) enum What {
    /// An indented line before any head.
    #[error("this line belongs to nothing: begin it at the margin, with `set name:` or the like")]
    NoHead,
    /// A head without a colon.
    #[error("`{0}` has no colon: write `set name: words`, `claim name:` or the like")]
    NoColon(String),
    /// A head with a word that no reader knows.
    #[error("`{0}` begins nothing that is known: see the table in lang/README.md")]
    UnknownHead(String),
    /// A head that lacks its name.
    #[error("`{0}` needs a name in front of the colon")]
    NoName(String),
    /// A setting with another value than those that it can have.
    #[error("`{value}` is none of {known}")]
    UnknownValue {
        /// What is written.
        value: String,
        /// What can be.
        known: &'static str,
    },
    /// A name that is given twice.
    #[error("`{name}` stands in line {first} already: add to that line")]
    Twice {
        /// The name.
        name: String,
        /// Where it stood first.
        first: usize,
    },
    /// A word of a list that was made, which already has its meaning.
    #[error("`{name}` has its meaning in {file} already: leave it out here")]
    Known {
        /// The word.
        name: String,
        /// The file that knows it.
        file: String,
    },
    /// A word that stands twice where once is enough.
    #[error("`{0}` stands here twice: leave one out")]
    WordTwice(String),
    /// A word that no text is compared with.
    #[error(
        "`{0}` cannot be read: write small letters without accents (`laufer`, `dont` as `don't`), 16 at most"
    )]
    NotFolded(String),
    /// A claim that `lang/claims.txt` does not have.
    #[error("no claim is called `{0}`: see lang/claims.txt for the names")]
    UnknownClaim(String),
    /// A property of a claim that is not known.
    #[error("`{0}` says nothing about a claim: see the head of lang/claims.txt")]
    UnknownProperty(String),
    /// A claim without a maker.
    #[error("`{0}` says not what it makes: write `name = maker, properties`")]
    NoMaker(String),
    /// A set that the file does not have.
    #[error("no set is called `{0}`: add `set {0}: words`, or use words with `|` between")]
    UnknownSet(String),
    /// A set without words.
    #[error("`{0}` has no words: give it some or leave it out")]
    EmptySet(String),
    /// A set that nothing asks for.
    #[error("nothing asks for the set `{0}`: use it in a phrase or leave it out")]
    UnusedSet(String),
    /// A pattern that anything would match.
    #[error("nothing is required in `{0}`: an element without `?` is needed")]
    NothingRequired(String),
    /// A pattern with more slots than are kept.
    #[error("too many slots in `{text}`: {most} at most")]
    TooManySlots {
        /// The pattern.
        text: String,
        /// How many there may be.
        most: usize,
    },
    /// An alternative that is neither word nor set.
    #[error(
        "`{0}` is no alternative: write a word in small letters, `@set`, `word/v`, or a slot alone"
    )]
    NoAlternative(String),
    /// A class of inflected words that the file does not have.
    #[error("`{written}` is inflected as `{class}`, which is not there: add `inflect {class}:`")]
    UnknownClass {
        /// The word.
        written: String,
        /// Its class.
        class: String,
    },
    /// A form that the class does not have.
    #[error("`{written}` asks for the form `{form}`: the class has {known}")]
    UnknownForm {
        /// The word.
        written: String,
        /// The form.
        form: String,
        /// Those that there are.
        known: String,
    },
    /// A word that no line of its class inflects.
    #[error("no line of the class inflects `{0}`: add its forms to the class")]
    NotInflected(String),
    /// A line of a class with too few forms or too many.
    #[error("{found} forms: the class has {wanted}")]
    Forms {
        /// How many stand there.
        found: usize,
        /// How many there must be.
        wanted: usize,
    },
    /// A number that is none, or too large.
    #[error("`{0}` is no number from 0 to 255")]
    NoNumber(String),
    /// A noun for what is counted, without its forms.
    #[error("write `counted one: move / moves`: the singular, a stroke, the plural")]
    NoPlural,
    /// A setting that must be there.
    #[error("the file says nothing about `{0}`: add a line `{0}: …`")]
    Missing(&'static str),
    /// An indented line that ends with a colon.
    #[error("`{0}` is no pattern: write `reads:` or `not:` and a sentence, or a pattern")]
    NoTest(String),
    /// A line of reviewed words without a class.
    #[error("`{0}` has no class: write `plain: words`, `clause: words` or the like")]
    NoClass(String),
}

/// Mistakes as they are found in one file.
#[derive(Debug)]
pub(crate) struct Mistakes {
    file: String,
    pub(crate) found: Vec<Mistake>,
}

impl Mistakes {
    pub(crate) fn of(file: &str) -> Self {
        Self {
            file: file.to_owned(),
            found: Vec::new(),
        }
    }

    pub(crate) fn add(&mut self, line: usize, what: What) {
        self.found.push(Mistake {
            file: self.file.clone(),
            line,
            what,
        });
    }

    /// The value; where it is a mistake, that is added.
    pub(crate) fn keep<T>(&mut self, line: usize, result: Result<T, What>) -> Option<T> {
        result.map_err(|what| self.add(line, what)).ok()
    }
}
