//! Gathers what the check of a source gives, and writes its sheet when the source is done.

use std::{
    collections::BTreeMap,
    io,
    path::{Path, PathBuf},
};

use gainsay::{Format, Report, Severity};

use super::{
    item::{Item, items},
    page::{Sheet, page},
    titles::Titles,
};
use crate::{
    output::{Block, Output},
    totals::Totals,
    written::write,
};

/// More items are not on one page: no reader would go through them, and no browser show them.
const MOST: usize = 20_000;

/// An output that writes pages.
pub(crate) struct Collector {
    /// The page of each source, and how the source is read.
    pages: BTreeMap<PathBuf, (PathBuf, Format)>,
    least: Severity,
    path: PathBuf,
    items: Vec<Item>,
    /// How many items there is no room for.
    left_out: usize,
    /// The players of the games of the block that begins there.
    titles: Option<(usize, Titles)>,
    /// The end of the text that reports spoke of, in bytes.
    end: usize,
    /// What was written, in the order of the sources.
    pub(crate) written: Vec<Written>,
}

/// A page that was written.
#[derive(Debug)]
pub(crate) struct Written {
    pub(crate) source: PathBuf,
    pub(crate) page: PathBuf,
    /// How many items it has of each state.
    pub(crate) counts: BTreeMap<super::item::State, u64>,
}

impl Collector {
    pub(crate) const fn new(pages: BTreeMap<PathBuf, (PathBuf, Format)>, least: Severity) -> Self {
        Self {
            pages,
            least,
            path: PathBuf::new(),
            items: Vec::new(),
            left_out: 0,
            titles: None,
            end: 0,
            written: Vec::new(),
        }
    }
}

impl Output for Collector {
    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        path.clone_into(&mut self.path);
        self.items.clear();
        self.left_out = 0;
        self.titles = None;
        self.end = 0;
        Ok(())
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        let format = self.pages.get(&self.path).map(|(_, format)| *format);
        if self
            .titles
            .as_ref()
            .is_none_or(|(start, _)| *start != block.start)
        {
            let titles = Titles::of(block.bytes, block.start, format.unwrap_or_default());
            self.titles = Some((block.start, titles));
        }
        let titles = self.titles.as_ref().map(|(_, titles)| titles);
        let none = Titles::default();
        let found = items(report, block, titles.unwrap_or(&none), self.least);
        let room = MOST.saturating_sub(self.items.len());
        self.left_out += found.len().saturating_sub(room);
        self.items.extend(found.into_iter().take(room));
        self.end = self.end.max(block.start + block.bytes.len());
        Ok(())
    }

    fn end_file(&mut self, games: u64, _plies: u64) -> io::Result<()> {
        let Some((to, format)) = self.pages.get(&self.path) else {
            return Ok(());
        };
        let sheet = Sheet {
            source: &self.path,
            page: to,
            format: *format,
            items: &self.items,
            left_out: self.left_out,
            games,
            end: self.end,
        };
        write(to, page(&sheet).into_string().as_bytes()).map_err(io::Error::other)?;
        let mut counts = BTreeMap::new();
        for item in &self.items {
            *counts.entry(item.state).or_default() += 1;
        }
        self.written.push(Written {
            source: self.path.clone(),
            page: to.clone(),
            counts,
        });
        Ok(())
    }

    fn finish(&mut self, _totals: &Totals) -> io::Result<()> {
        Ok(())
    }
}
