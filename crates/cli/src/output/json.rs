//! The JSON format: one object, written as the check goes, so that a long file does
//! not pile up in memory.

use std::{
    io::{self, Seek, SeekFrom, Write},
    path::Path,
};

use gainsay::{Report, Severity};

use super::{
    data::{
        AcceptedCounts, ClaimCounts, ClaimJson, FindingCounts, FindingJson, SCHEMA, TotalsJson,
        UnreadJson,
    },
    form::{Block, Output},
};
use crate::{print, totals::Totals};

/// Claims come behind the findings of a file, so they wait here; beyond this size on
/// disk.
const HELD: usize = 8 << 20;

pub(crate) struct Json<W> {
    out: W,
    files: u64,
    findings: u64,
    claims: tempfile::SpooledTempFile,
    claim_count: u64,
    unread: tempfile::SpooledTempFile,
    unread_count: u64,
}

impl<W: Write> Json<W> {
    pub(crate) fn new(out: W) -> Self {
        Self {
            out,
            files: 0,
            findings: 0,
            claims: tempfile::SpooledTempFile::new(HELD),
            claim_count: 0,
            unread: tempfile::SpooledTempFile::new(HELD),
            unread_count: 0,
        }
    }

    fn open(&mut self) -> io::Result<()> {
        write!(self.out, "{{\"schema\":{SCHEMA},\"files\":[")
    }
}

/// Writes what waited, and empties it.
fn drain(held: &mut tempfile::SpooledTempFile, out: &mut impl Write) -> io::Result<()> {
    let mut all = std::mem::replace(held, tempfile::SpooledTempFile::new(HELD));
    all.seek(SeekFrom::Start(0))?;
    io::copy(&mut all, out)?;
    Ok(())
}

impl<W: Write> Output for Json<W> {
    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        if self.files == 0 {
            self.open()?;
        } else {
            write!(self.out, ",")?;
        }
        self.files += 1;
        self.findings = 0;
        self.claim_count = 0;
        self.unread_count = 0;
        write!(self.out, "\n{{\"path\":")?;
        print::json(&mut self.out, &path.to_string_lossy())?;
        write!(self.out, ",\"findings\":[")
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        for found in &report.findings {
            let divider = if self.findings == 0 { "\n" } else { ",\n" };
            self.findings += 1;
            self.out.write_all(divider.as_bytes())?;
            print::json(&mut self.out, &FindingJson::new(found, block))?;
        }
        for settled in &report.claims {
            let divider = if self.claim_count == 0 { "\n" } else { ",\n" };
            self.claim_count += 1;
            self.claims.write_all(divider.as_bytes())?;
            print::json(&mut self.claims, &ClaimJson::from(settled))?;
        }
        for sentence in &report.unread {
            let divider = if self.unread_count == 0 { "\n" } else { ",\n" };
            self.unread_count += 1;
            self.unread.write_all(divider.as_bytes())?;
            print::json(&mut self.unread, &UnreadJson::from(sentence))?;
        }
        Ok(())
    }

    fn end_file(&mut self, games: u64, plies: u64) -> io::Result<()> {
        write!(self.out, "],\"claims\":[")?;
        drain(&mut self.claims, &mut self.out)?;
        write!(self.out, "],\"unread\":[")?;
        drain(&mut self.unread, &mut self.out)?;
        write!(self.out, "],\"games\":{games},\"plies\":{plies}}}")
    }

    fn finish(&mut self, totals: &Totals) -> io::Result<()> {
        if self.files == 0 {
            self.open()?;
        }
        write!(self.out, "\n],\"totals\":")?;
        let totals = TotalsJson {
            findings: FindingCounts {
                error: totals.count(Severity::Error),
                warning: totals.count(Severity::Warning),
                information: totals.count(Severity::Information),
                hint: totals.count(Severity::Hint),
            },
            accepted: AcceptedCounts {
                allowed: totals.allowed,
                known: totals.known,
            },
            claims: ClaimCounts {
                holds: totals.holds,
                fails: totals.fails,
                unsettled: totals.unsettled,
            },
            unread: totals.unread,
        };
        print::json(&mut self.out, &totals)?;
        writeln!(self.out, "}}")?;
        self.out.flush()
    }
}
