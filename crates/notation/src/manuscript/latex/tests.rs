use super::*;

/// What is shown of a text, without the blanks at the ends of its lines.
fn shown(text: &str) -> String {
    let view = view_of(text.as_bytes());
    assert_eq!(view.len(), text.len());
    let view = String::from_utf8(view).expect("no character is torn");
    let lines = view.lines().map(str::trim_end);
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn commands_are_left_out_and_their_arguments_read() {
    for (text, wanted) in [
        ("\\textbf{Nf3} is", "        Nf3  is"),
        ("\\textbf{Nf3}!", "        Nf3!"),
        ("{\\bf 12.\\,Nf3}", "     12.  Nf3"),
        ("N\\emph{f3}", "Nf3"),
        ("1.~e4 e5", "1. e4 e5"),
        ("12\\ldots Nf6", "12...    Nf6"),
        ("12\\ldots{} Nf6", "12...      Nf6"),
        ("Qh7\\# and 5\\,\\%", "Qh7#  and 5   %"),
        ("18 Rd1 $+-$, $\\pm$", "18 Rd1  +-,    ±"),
        ("M\\\"uller", "Muller"),
        ("\\unknown{White mates}", "         White mates"),
        (
            "\\label{sec:x}Text\\index{Text}.",
            "             Text.           ",
        ),
        ("a\\footnote{He won.} b", "a         (He won.) b"),
        ("% 1. e4\nText % more\nend", "        Text\nend"),
        ("one\n% two\nthree", "one\n      three"),
        ("one\n% two\n\nthree", "one\n\n\nthree"),
        ("\\verb|1. e4| x", "      1. e4  x"),
        (
            "\\newcommand{\\x}[1]{Not #1} yes",
            "                           yes",
        ),
    ] {
        let wanted: Vec<_> = wanted.lines().map(str::trim_end).collect();
        assert_eq!(shown(text), wanted.join("\n"), "{text}");
    }
}

#[test]
fn commands_of_the_author_are_shown_as_what_they_print() {
    let head = "\\newcommand{\\N}{N}\\newcommand{\\task}[2]{\\par Exercise~#1. #2\\par}\n\
                \\newcommand{\\mv}[1]{\\textbf{#1}}\n";
    for (text, wanted) in [
        ("12.\\N f3 x", "12.  Nf3 x"),
        ("12.\\N{}f3", "12.   Nf3"),
        ("\\mv{12.N}f3", "    12.Nf3"),
        ("\\task{4}{Mate.}", "  No. 4. Mate."),
        (
            "\\begin{enumerate}\\setcounter{enumi}{9}\n\\item One",
            "\n  10. One",
        ),
    ] {
        let shown = shown(&format!("{head}{text}"));
        assert_eq!(shown.strip_prefix("\n\n"), Some(wanted), "{text}");
    }
}
