//! What an author has set, as the parts of the server need it.

use std::{path::Path, sync::Arc};

use gainsay::Settings;
use gainsay_files::{ClosedFiles, KnownFindings, Layer, Manuscripts, Verdicts};

use crate::aids::Wanted;

/// The settings of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Options {
    /// What the core library is to do.
    pub(crate) settings: Settings,
    /// What the solvers are to have.
    pub(crate) wanted: Wanted,
    /// What the editor is to show.
    pub(crate) editor: EditorOptions,
}

/// The settings that only an editor has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct EditorOptions {
    /// Which verdicts are shown behind claims.
    pub(crate) verdict_hints: Verdicts,
    /// Whether missing numbers are shown in long lines.
    pub(crate) number_hints: bool,
    /// Whether sentences that were not understood are shown faintly.
    pub(crate) unread_hints: bool,
    /// Whether hovers draw the board as a picture.
    pub(crate) pictures: bool,
    /// What is done about files that are not open.
    pub(crate) closed_files: ClosedFiles,
    /// Which manuscripts that are not open are looked at.
    pub(crate) manuscripts: Manuscripts,
    /// The findings that are known, which are shown as hints.
    pub(crate) known: Arc<KnownFindings>,
    /// The address in front of a rule's name where its page is found.
    pub(crate) rule_pages: Option<String>,
}

impl Default for Options {
    fn default() -> Self {
        Self::of(Layer::default())
    }
}

impl Options {
    /// What all layers of settings together come to.
    pub(crate) fn of(layer: Layer) -> Self {
        Self {
            settings: layer.settings(),
            wanted: Wanted {
                syzygy: layer.syzygy_in(Path::new("")),
                engine: layer.engine.filter(|words| !words.is_empty()),
                memory: layer.memory,
                forgetful: !layer.cache.unwrap_or(true),
            },
            editor: EditorOptions {
                verdict_hints: layer.hints.verdicts.unwrap_or_default(),
                number_hints: layer.hints.numbers.unwrap_or(true),
                unread_hints: layer.hints.unread.unwrap_or(false),
                pictures: layer.pictures.unwrap_or(false),
                closed_files: layer.closed_files.unwrap_or_default(),
                manuscripts: layer.manuscripts.unwrap_or_default(),
                known: Arc::default(),
                rule_pages: layer.rule_pages.filter(|address| !address.is_empty()),
            },
        }
    }
}

/// On what terms claims are settled.
#[derive(Clone, Debug, Default)]
pub(crate) struct Terms {
    pub(crate) settings: Settings,
    pub(crate) wanted: Wanted,
}

impl Terms {
    pub(crate) fn of(options: &Options) -> Self {
        Self {
            settings: options.settings.clone(),
            wanted: options.wanted.clone(),
        }
    }
}
