//! How far a check has come.

use crate::{files::Source, print::name};

/// A progress bar, on a terminal only, for files that take their time.
pub(crate) struct Bar(Option<indicatif::ProgressBar>);

impl Bar {
    pub(crate) fn new(source: &Source) -> Self {
        const SMALL: u64 = 8 << 20;
        let size = source.size().filter(|&size| size > SMALL);
        Self(size.map(|size| {
            let bar = indicatif::ProgressBar::new(size);
            if let Ok(style) = indicatif::ProgressStyle::with_template(
                "{msg} {wide_bar} {percent}% of {total_bytes}",
            ) {
                bar.set_style(style);
            }
            bar.set_message(name(&source.path));
            bar
        }))
    }

    pub(crate) fn at(&self, offset: usize) {
        if let Some(bar) = &self.0 {
            bar.set_position(offset as u64);
        }
    }
}

impl Drop for Bar {
    fn drop(&mut self) {
        if let Some(bar) = &self.0 {
            bar.finish_and_clear();
        }
    }
}
