//! JUnit XML: a suite a file, a case a finding; a file without findings is one
//! passing case.

use std::{
    io::{self, Write},
    path::Path,
};

use gainsay::{Report, Severity, show::counted};
use quick_junit::{NonSuccessKind, Report as Xml, TestCase, TestCaseStatus, TestSuite};

use super::form::{Block, Output};
use crate::{print, totals::Totals};

pub(crate) struct Junit<W> {
    out: W,
    /// The least severity of a failure.
    fail_on: Severity,
    xml: Xml,
    suite: TestSuite,
    cases: u64,
    /// How many cases are left out, and whether a failure is among them.
    left_out: u64,
    fails: bool,
}

/// The format counts its cases before it lists them, so that they are all held; more are told
/// by their number.
const MOST_CASES: u64 = 10_000;

impl<W: Write> Junit<W> {
    pub(crate) fn new(out: W, fail_on: Severity) -> Self {
        Self {
            out,
            fail_on,
            xml: Xml::new("gainsay"),
            suite: TestSuite::new(""),
            cases: 0,
            left_out: 0,
            fails: false,
        }
    }
}

impl<W: Write> Output for Junit<W> {
    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        self.suite = TestSuite::new(print::name(path));
        Ok(())
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        for finding in &report.findings {
            self.cases += 1;
            if self.cases > MOST_CASES {
                self.left_out += 1;
                self.fails |= finding.severity >= self.fail_on;
                continue;
            }
            let place = block.place(finding.span.start);
            let name = format!("{} {}:{}", finding.rule.name, place.line, place.column);
            let details = finding.evidence.join("\n");
            // What makes the exit code 1 is a failure, and nothing else.
            let mut case = if finding.severity < self.fail_on {
                let mut case = TestCase::new(name, TestCaseStatus::success());
                case.set_system_out(format!("{}\n{details}", finding.message));
                case
            } else {
                let mut status = TestCaseStatus::non_success(NonSuccessKind::Failure);
                status
                    .set_message(finding.message.as_str())
                    .set_type(finding.severity.as_str())
                    .set_description(format!("{}\n{details}", finding.message));
                TestCase::new(name, status)
            };
            case.set_classname(finding.rule.name);
            self.suite.add_test_case(case);
        }
        Ok(())
    }

    fn end_file(&mut self, games: u64, plies: u64) -> io::Result<()> {
        if self.suite.test_cases.is_empty() {
            self.suite.add_test_case(TestCase::new(
                format!("{}, {}", counted(games, "game"), counted(plies, "move")),
                TestCaseStatus::success(),
            ));
        }
        let suite = std::mem::replace(&mut self.suite, TestSuite::new(""));
        self.xml.add_test_suite(suite);
        Ok(())
    }

    fn finish(&mut self, _totals: &Totals) -> io::Result<()> {
        if self.left_out > 0 {
            let told = format!("{} more findings are not listed here", self.left_out);
            let mut status = TestCaseStatus::success();
            if self.fails {
                status = TestCaseStatus::non_success(NonSuccessKind::Failure);
                status.set_message(told.as_str());
            }
            let mut suite = TestSuite::new("gainsay");
            suite.add_test_case(TestCase::new(told, status));
            self.xml.add_test_suite(suite);
        }
        let text = self.xml.to_string().map_err(io::Error::other)?;
        self.out.write_all(text.as_bytes())?;
        self.out.flush()
    }
}
