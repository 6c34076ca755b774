//! What phrases claim, whatever the language: the lines of `lang/claims.txt`.

use super::mistake::{Mistakes, What};

/// A claim as phrases make it, by its name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Claim {
    pub(crate) name: String,
    /// The line that it stands in.
    pub(crate) line: usize,
    /// The name of the function that makes it of what stands in the slots.
    pub(crate) maker: String,
    /// Where its subject stands, if not in front: a variant of `Who`.
    pub(crate) subject: Option<&'static str>,
    /// What a line is to it, if it does not stand at its end: a variant of `Tie`.
    pub(crate) tie: Option<&'static str>,
    /// A variant of `Polarity`.
    pub(crate) polarity: Option<&'static str>,
    /// A variant of `Mood`.
    pub(crate) mood: Option<&'static str>,
    /// A variant of `Tense`.
    pub(crate) tense: Option<&'static str>,
    /// Whether it calls a mate by its name.
    pub(crate) named: bool,
    /// Whether nothing is claimed.
    pub(crate) silent: bool,
    /// Whether shorter phrases are read where it makes nothing of its slots.
    pub(crate) picky: bool,
    /// Whether it tells of other games only.
    pub(crate) of_games: bool,
}

/// All claims, in the order of the file.
#[derive(Debug, Default)]
pub(crate) struct Claims(pub(crate) Vec<Claim>);

impl Claims {
    /// Reads the file.
    pub(crate) fn parse(file: &str, text: &str) -> (Self, Vec<super::Mistake>) {
        let mut mistakes = Mistakes::of(file);
        let mut claims = Self::default();
        for (text, line) in text.lines().zip(1..) {
            let text = text.trim();
            if text.is_empty() || text.starts_with('#') {
                continue;
            }
            let read = claim(text, line);
            let Some(claim) = mistakes.keep(line, read) else {
                continue;
            };
            match claims.0.iter().find(|known| known.name == claim.name) {
                Some(known) => {
                    let (name, first) = (claim.name, known.line);
                    mistakes.add(line, What::Twice { name, first });
                }
                None => claims.0.push(claim),
            }
        }
        (claims, mistakes.found)
    }

    /// The number of the claim with a name.
    pub(crate) fn named(&self, name: &str) -> Option<usize> {
        self.0.iter().position(|claim| claim.name == name)
    }
}

/// One line: `name = maker, property, property`.
fn claim(text: &str, line: usize) -> Result<Claim, What> {
    let (name, rest) = text
        .split_once('=')
        .ok_or_else(|| What::NoMaker(text.to_owned()))?;
    let mut parts = rest.split(',').map(str::trim);
    let maker = parts.next().filter(|maker| !maker.is_empty());
    let maker = maker.ok_or_else(|| What::NoMaker(text.to_owned()))?;
    let mut claim = Claim {
        name: name.trim().to_owned(),
        line,
        maker: maker.to_owned(),
        ..Claim::default()
    };
    for property in parts {
        match property {
            "subject inside" => claim.subject = Some("Inside"),
            "subject victim" => claim.subject = Some("Victim"),
            "subject sufferer" => claim.subject = Some("Sufferer"),
            "subject nobody" => claim.subject = Some("Nobody"),
            "line shows" => claim.tie = Some("Shown"),
            "first line shows" => claim.tie = Some("First"),
            "affirmed" => claim.polarity = Some("Affirmed"),
            "denied" => claim.polarity = Some("Denied"),
            "hedged" => claim.mood = Some("Hedged"),
            "prevented" => claim.mood = Some("Prevented"),
            "past" => claim.tense = Some("Past"),
            "names a mate" => claim.named = true,
            "silent" => claim.silent = true,
            "picky" => claim.picky = true,
            "of games" => claim.of_games = true,
            _ => return Err(What::UnknownProperty(property.to_owned())),
        }
    }
    Ok(claim)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_claim_is_a_name_a_maker_and_properties() {
        let text = "# head\nmate-in = mate-in\nmate-shown = mate-now, subject victim, line shows\n";
        let (claims, mistakes) = Claims::parse("claims.txt", text);
        assert_eq!(mistakes, []);
        assert_eq!(claims.named("mate-in"), Some(0));
        let shown = claims.named("mate-shown").and_then(|at| claims.0.get(at));
        let shown = shown.map(|claim| (claim.line, claim.maker.as_str(), claim.subject, claim.tie));
        assert_eq!(shown, Some((3, "mate-now", Some("Victim"), Some("Shown"))));
    }

    #[test]
    fn mistakes_are_told_with_their_lines() {
        let text = "mate\nmate = mate-now, loud\ndraw = \npin = pins\npin = pins, denied\n";
        let (_, mistakes) = Claims::parse("claims.txt", text);
        let told: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "claims.txt:1: `mate` says not what it makes: write `name = maker, properties`",
                "claims.txt:2: `loud` says nothing about a claim: see the head of lang/claims.txt",
                "claims.txt:3: `draw =` says not what it makes: write `name = maker, properties`",
                "claims.txt:5: `pin` stands in line 4 already: add to that line",
            ]
        );
    }
}
