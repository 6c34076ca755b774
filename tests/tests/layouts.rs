//! Exercises as authors lay them out: which text, number and solution belongs to which position. Each
//! layout has a book in which everything is right, where every exercise must be found with its number
//! and its printed solution, and one in which every solution is wrong, which must be told; and there
//! are books in which nothing may be judged.

use gainsay::{Format, Report, Settings, Verdict, check_as};

/// Positions with the number of moves, the key, and a first move that does not mate in time. The keys
/// are sole: `fixtures/exercises.json` has the first and brute force by hand the others.
const POSITIONS: [(&str, u32, &str, &str); 3] = [
    ("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1", 1, "Ra8#", "Ra7"),
    ("6k1/5ppp/8/8/8/8/8/1R2K3 w - - 0 1", 1, "Rb8#", "Rb7"),
    ("6k1/5ppp/8/8/8/8/8/3RK3 w - - 0 1", 1, "Rd8#", "Rd7"),
];

fn read(text: &str) -> Report {
    check_as(text.as_bytes(), Format::Markdown, &Settings::default())
}

/// The number, the printed solution and the verdict of each exercise.
fn exercises(report: &Report) -> Vec<(Option<u32>, Option<String>, Verdict)> {
    let mut all: Vec<_> = (report.claims.iter())
        .filter_map(|claim| {
            let exercise = claim.exercise.as_deref()?;
            let printed = exercise.printed.as_ref();
            let printed = printed.map(|line| gainsay::show::line(line.start(), line.moves()));
            Some((exercise.number, printed, claim.verdict))
        })
        .collect();
    all.dedup();
    all
}

fn rules(report: &Report) -> Vec<&'static str> {
    report
        .findings
        .iter()
        .map(|found| found.rule.name)
        .collect()
}

/// A book of three exercises: `exercise` gets `{n}`, `{fen}` and `{m}`, `solution` gets `{n}` and `{key}`.
fn book(head: &str, exercise: &str, between: &str, solution: &str, wrong: bool) -> String {
    let mut text = head.to_owned();
    let mut solutions = String::new();
    for (nth, (fen, _, key, other)) in POSITIONS.iter().enumerate() {
        let number = (nth + 1).to_string();
        let roman = ["I", "II", "III"][nth];
        let key = if wrong { other } else { key };
        let fill = |template: &str| {
            let filled = template.replace("{n}", &number).replace("{r}", roman);
            let filled = filled.replace("{fen}", fen).replace("{key}", key);
            filled.replace("{fence}", &format!("```fen\n{fen}\n```"))
        };
        text.push_str(&fill(exercise));
        solutions.push_str(&fill(solution));
    }
    text + between + &solutions
}

/// Everything that authors write: what stands above all, an exercise, what stands between exercises and
/// solutions, and a solution.
const LAYOUTS: &[(&str, &str, &str, &str)] = &[
    // Numbering words, bold, headings and lists.
    (
        "",
        "**Exercise {n}.** White to move and mate in one.\n\n{fence}\n\n",
        "# Solutions\n\n",
        "**{n}.** 1.{key}\n\n",
    ),
    (
        "",
        "Ex. {n}: White mates in one.\n\n{fence}\n\n",
        "# Answers\n\n",
        "Ex. {n}: 1.{key}\n\n",
    ),
    (
        "",
        "### Task {n} *\n\n{fence}\n\n> Mate in one.\n\n",
        "## Answers (no peeping)\n\n",
        "**Task {n}.** 1. {key}\n\n",
    ),
    (
        "",
        "## Problem {r}\n\n{fence}\n\nWhite to play and mate in one.\n\n",
        "# Key\n\n# Solutions\n\n",
        "{r}\n\n**Problem {r}.** 1.{key}\n\n",
    ),
    (
        "",
        "Puzzle #{n}. Mate in one.\n\n{fence}\n\n",
        "# Solutions to the puzzles\n\n",
        "{n}) 1.{key}\n",
    ),
    (
        "",
        "No. {n}. White mates in one.\n\n{fence}\n\n",
        "# Solutions\n\n",
        "No. {n}: 1 {key}\n\n",
    ),
    (
        "",
        "№ {n}. White mates in one.\n\n{fence}\n\n",
        "# Решения\n\n",
        "№ {n}. 1.{key}\n\n",
    ),
    (
        "",
        "({n}) White mates in one.\n\n{fence}\n\n",
        "# Solutions\n\n",
        "({n}) 1.{key}\n\n",
    ),
    (
        "",
        "A{n}) White mates in one.\n\n{fence}\n\n",
        "# Solutions\n\n",
        "A{n}) 1.{key}\n\n",
    ),
    (
        "",
        "{n}. White mates in one.\n\n   `{fen}`\n\n",
        "# Solutions\n\n",
        "{n}. 1.{key}\n",
    ),
    (
        "",
        "> **Question {n}**\n>\n> White mates in one.\n\n{fence}\n\n",
        "# Answers\n\n",
        "> **Answer {n}.** 1.{key}\n\n",
    ),
    (
        "",
        "**Aufgabe {n}:** Matt in einem Zug.\n\n{fence}\n\n",
        "# Lösungen\n\n",
        "**Aufgabe {n}:** 1.{key}\n\n",
    ),
    (
        "",
        "**Ejercicio {n}.** Mate in one.\n\n{fence}\n\n",
        "# Soluciones\n\n",
        "**Ejercicio {n}.** 1.{key}\n\n",
    ),
    (
        "",
        "**Exercice {n}.** Mate in one.\n\n{fence}\n\n",
        "# Solutions\n\n",
        "**Exercice {n}.** 1.{key}\n\n",
    ),
    (
        "",
        "**Задача {n}.** Мат в один ход.\n\n{fence}\n\n",
        "# Решения\n\n",
        "**{n}.** 1.{key}\n\n",
    ),
    // The task in the heading, or with the number behind it.
    (
        "",
        "## Exercise {n}: White mates in one\n\n{fence}\n\n",
        "# Solutions\n\n",
        "**{n}.** 1.{key}\n\n",
    ),
    (
        "",
        "White mates in one (No. {n})\n\n{fence}\n\n",
        "# Solutions\n\n",
        "**No. {n}.** 1.{key}\n\n",
    ),
    // Abbreviations.
    (
        "",
        "**{n}.** #1\n\n{fence}\n\n",
        "# Solutions\n\n",
        "**{n}.** 1.{key}\n\n",
    ),
    (
        "",
        "## Problem {n}\n\n{fence}\n\nM1\n\n",
        "# Solutions\n\n",
        "**{n}.** 1.{key}\n\n",
    ),
    // The number is that of a move in no other exercise.
    (
        "",
        "**Exercise {n}.** Mate in one.\n\n{fence}\n\n",
        "# Solutions\n\n",
        "{n}. {key}\n",
    ),
    (
        "",
        "**Exercise {n}.** Mate in one.\n\n{fence}\n\n",
        "# Solutions\n\n",
        "- {n}. {key}\n",
    ),
    // The solution directly below.
    (
        "",
        "**Exercise {n}.** Mate in one.\n\n{fence}\n\nSolution: 1.{key}\n\n",
        "",
        "",
    ),
    (
        "",
        "## Exercise {n}\n\nMate in one.\n\n{fence}\n\n### Solution\n\n1.{key}\n\n",
        "",
        "",
    ),
    (
        "",
        "## Exercise {n}\n\n{fence}\n\nMate in one.\n\n<details>\n<summary>Solution</summary>\n\n1.{key}\n\n</details>\n\n",
        "",
        "",
    ),
    (
        "",
        "## Exercise {n}\n\n{fence}\n\nMate in one.\n\n*Answer:* 1.{key}\n\n",
        "",
        "",
    ),
    // Solutions under headings of their own.
    (
        "",
        "## Exercise {n}\n\nMate in one.\n\n{fence}\n\n",
        "# Solutions\n\n",
        "## Exercise {n}\n\n1.{key}\n\n",
    ),
    // One task for all.
    (
        "# White mates in one\n\n",
        "**{n}.**\n\n{fence}\n\n",
        "# Solutions\n\n",
        "**{n}.** 1.{key}\n\n",
    ),
    (
        "# Exercises\n\nIn all of the following positions White mates in one.\n\n",
        "**{n}.**\n\n{fence}\n\n",
        "# Solutions\n\n",
        "**{n}.** 1.{key}\n\n",
    ),
    // A table.
    (
        "| No. | Position | Task |\n|---|---|---|\n",
        "| {n} | {fen} | Mate in one. |\n",
        "\n# Solutions\n\n",
        "**{n}.** 1.{key}\n\n",
    ),
];

#[test]
fn exercises_are_found_in_every_layout() {
    let mut lost = Vec::new();
    for (head, exercise, between, solution) in LAYOUTS {
        let text = book(head, exercise, between, solution, false);
        let report = read(&text);
        let expected: Vec<_> = (1..)
            .zip(POSITIONS)
            .map(|(number, (_, _, key, _))| {
                (Some(number), Some(format!("1. {key}")), Verdict::Holds)
            })
            .collect();
        let found = exercises(&report);
        if found != expected || !rules(&report).is_empty() {
            lost.push(format!("{text}\n{found:?} {:?}", rules(&report)));
        }
        let wrong = book(head, exercise, between, solution, true);
        let told = rules(&read(&wrong));
        if told != ["false-key"; 3] {
            lost.push(format!("{wrong}\n{told:?}"));
        }
    }
    assert!(lost.is_empty(), "{}", lost.join("\n\n======\n"));
}

#[test]
fn chapters_may_number_anew() {
    let chapter = |title: &str, wrong: bool| {
        let exercise = "**{n}.** White mates in one.\n\n{fence}\n\n";
        book(
            &format!("# {title}\n\n"),
            exercise,
            "## Solutions\n\n",
            "**{n}.** 1.{key}\n\n",
            wrong,
        )
    };
    let text = chapter("One", false) + &chapter("Two", true);
    let mut report = read(&text);
    // The chapters show the same diagrams, which is told as well.
    report
        .findings
        .retain(|found| found.rule.name != "repeated-diagram");
    assert_eq!(rules(&report), ["false-key"; 3]);
    let second = text.find("# Two").expect("the second chapter");
    assert!(
        report
            .findings
            .iter()
            .all(|found| found.span.start > second)
    );
}

/// What is no exercise with a task to be proved, or belongs to nobody knows what: neither told nor
/// ticked.
#[test]
fn what_is_not_plain_is_not_judged() {
    let fen = "```fen\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n```\n\n";
    for text in [
        // Problems that are not direct mates.
        format!("**Problem 1.** h#2\n\n{fen}"),
        format!("**Problem 1.** Helpmate in two.\n\n{fen}"),
        format!("**Problem 1.** Black helps White to mate in two.\n\n{fen}"),
        format!("**Problem 1.** s#3\n\n{fen}"),
        format!("**Problem 1.** Selfmate in three.\n\n{fen}"),
        format!("**Problem 1.** White forces Black to mate in two.\n\n{fen}"),
        format!("**Aufgabe 1.** Hilfsmatt in 2 Zügen.\n\n{fen}"),
        format!("**Aufgabe 1.** Selbstmatt in 2 Zügen.\n\n{fen}"),
        format!("# Helpmates\n\n**Problem 1.** Mate in two.\n\n{fen}"),
        format!("# Problems\n\nAll of these are selfmates.\n\n**1.** Mate in two.\n\n{fen}"),
        format!("**Problem 1.** Mate in two. b) Ke1 to g1.\n\n{fen}"),
        format!("**Problem 1.** Mate in two.\n\n{fen}Twin: the rook on b1.\n\n"),
        format!("**Problem 1.** Proof game in 14 moves.\n\n{fen}"),
        format!("**Problem 1.** Reflex mate in two.\n\n{fen}"),
        format!("**Problem 1.** ser-h#3\n\n{fen}"),
    ] {
        let report = read(&text);
        assert!(report.findings.is_empty(), "{text}\n{:?}", report.findings);
        let tasks = ["stipulation", "mate-in"];
        let judged = (report.claims.iter()).filter(|claim| tasks.contains(&claim.kind.as_ref()));
        for claim in judged {
            assert_eq!(claim.verdict, Verdict::Unsettled, "{} {text}", claim.kind);
            assert!(
                claim
                    .note
                    .as_deref()
                    .is_some_and(|note| note.ends_with("not proved here")),
                "{text}"
            );
        }
        assert!(!exercises(&report).is_empty(), "{text}");
    }
    // Which solution belongs to which exercise is not plain: its key is not compared.
    let two = |number: &str| format!("**{number}.** White mates in one.\n\n{fen}");
    for text in [
        // A number that two exercises have, and two solutions for one.
        two("1")
            + &two("2").replace("R3K3", "1R2K3")
            + &two("2")
            + "# Solutions\n\n**2.** 1.Ra7\n\n",
        two("1") + &two("2") + "# Solutions\n\n**1.** 1.Ra7\n\n**1.** 1.Ra6\n\n",
        // Moves from 1 on are the moves of one solution.
        two("1") + "# Solutions\n\n2. Ra7\n3. Ra8#\n\n",
        // "Solution" in a sentence is nobody's.
        two("1") + "The solution Ra7 was found by nobody.\n\n",
        two("5") + "# Exercises with solutions\n\n**5.** 1.Ra7\n\n",
    ] {
        let report = read(&text);
        assert!(
            !rules(&report).contains(&"false-key"),
            "{text}\n{:?}",
            report.findings
        );
    }
}

/// A problem may have as many solutions as its words say.
#[test]
fn stated_solutions_are_no_cooks() {
    let fen = "```fen\n6k1/5ppp/8/8/8/8/8/R2QK3 w - - 0 1\n```\n\n";
    let text = format!("**Problem 1.** Mate in one.\n\n{fen}");
    assert_eq!(rules(&read(&text)), ["second-solution"]);
    let text = format!("**Problem 1.** Mate in one. Two solutions.\n\n{fen}");
    let report = read(&text);
    assert!(rules(&report).is_empty(), "{:?}", report.findings);
}
