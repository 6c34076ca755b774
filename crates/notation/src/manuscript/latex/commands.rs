//! The commands of the language whose arguments are no text, or that print a sign.

/// What a command does to the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Command {
    /// It prints this sign.
    Sign(&'static str),
    /// It changes how letters look.
    Style,
    /// So many of its arguments are no text.
    Hidden(usize),
    /// It defines something.
    Definition,
    /// Its argument is a heading of this rank.
    Heading(usize),
    /// Its argument is a note.
    Footnote,
    /// It begins an item of a list.
    Item,
    /// What follows is printed as it stands, up to the next sign like its first.
    Verb,
    /// It begins an environment.
    Begin,
    /// It ends one.
    End,
}

/// What the command of this name does; `None` for one that is not known.
pub(super) fn command(name: &[u8]) -> Option<Command> {
    use Command::{Begin, Definition, End, Footnote, Heading, Hidden, Item, Sign, Style, Verb};
    Some(match name {
        b"ldots" | b"dots" | b"textellipsis" | b"cdots" => Sign("..."),
        b"pm" | b"textpm" => Sign("±"),
        b"mp" => Sign("∓"),
        b"infty" => Sign("∞"),
        b"times" | b"texttimes" => Sign("x"),
        b"equal" => Sign("="),
        b"leq" | b"le" => Sign("<="),
        b"geq" | b"ge" => Sign(">="),
        b"textonehalf" => Sign("½"),
        b"textendash" => Sign("–"),
        b"textemdash" => Sign("—"),
        b"textquoteright" => Sign("'"),
        b"ss" => Sign("ß"),
        b"ae" => Sign("æ"),
        b"oe" => Sign("œ"),
        b"o" => Sign("ø"),
        b"O" => Sign("Ø"),
        b"l" => Sign("ł"),
        b"L" => Sign("Ł"),
        b"aa" => Sign("å"),
        b"i" => Sign("i"),
        b"j" => Sign("j"),
        b"textbf" | b"textit" | b"textsl" | b"textsc" | b"texttt" | b"textrm" | b"textsf"
        | b"textup" | b"textmd" | b"textnormal" | b"emph" | b"underline" | b"mbox" | b"hbox"
        | b"text" | b"mathrm" | b"mathbf" | b"bfseries" | b"itshape" | b"scshape" | b"rmfamily"
        | b"sffamily" | b"ttfamily" | b"slshape" | b"upshape" | b"mdseries" | b"normalfont"
        | b"em" | b"bf" | b"it" | b"tt" | b"rm" | b"sc" | b"sf" | b"sl" | b"tiny" | b"small"
        | b"scriptsize" | b"footnotesize" | b"normalsize" | b"large" | b"Large" | b"LARGE"
        | b"huge" | b"Huge" | b"protect" | b"ensuremath" | b"c" | b"v" | b"u" | b"H" | b"k"
        | b"r" | b"d" | b"b" | b"xspace" | b"allowbreak" | b"nobreak" => Style,
        b"label" | b"ref" | b"pageref" | b"eqref" | b"autoref" | b"cite" | b"nocite" | b"index"
        | b"includegraphics" | b"input" | b"include" | b"usepackage" | b"documentclass"
        | b"vspace" | b"hspace" | b"bibliography" | b"bibliographystyle" | b"pagestyle"
        | b"thispagestyle" | b"pagenumbering" | b"hypertarget" | b"href" | b"url"
        | b"textcolor" | b"color" | b"cline" | b"cmidrule" | b"raisebox" | b"parbox"
        | b"colorbox" | b"rotatebox" | b"selectlanguage" | b"foreignlanguage" | b"phantom"
        | b"hphantom" | b"vphantom" | b"linespread" | b"fontfamily" | b"scalebox"
        | b"graphicspath" | b"hypersetup" | b"RequirePackage" | b"bibitem" | b"stepcounter"
        | b"refstepcounter" | b"value" | b"hyphenation" | b"typeout" | b"markright" => Hidden(1),
        b"setlength" | b"addtolength" | b"setcounter" | b"addtocounter" | b"multicolumn"
        | b"rule" | b"fontsize" | b"resizebox" | b"markboth" | b"newcounter" | b"settowidth"
        | b"fcolorbox" | b"newtheorem" => Hidden(2),
        b"addcontentsline" | b"multirow" | b"definecolor" => Hidden(3),
        b"newcommand"
        | b"renewcommand"
        | b"providecommand"
        | b"def"
        | b"gdef"
        | b"edef"
        | b"let"
        | b"newenvironment"
        | b"renewenvironment"
        | b"DeclareRobustCommand"
        | b"NewDocumentCommand"
        | b"RenewDocumentCommand"
        | b"DeclareMathOperator" => Definition,
        b"part" | b"chapter" => Heading(1),
        b"section" => Heading(2),
        b"subsection" => Heading(3),
        b"subsubsection" => Heading(4),
        b"footnote" => Footnote,
        b"item" => Item,
        b"verb" => Verb,
        b"begin" => Begin,
        b"end" => End,
        _ => return None,
    })
}
