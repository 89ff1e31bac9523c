//! The filters that are switched on, one after the other, in kept memory.

use super::deband::{DebandOptions, deband};
use super::equalise::{EqualiseOptions, equalise};
use super::grey_world::grey_world;
use super::red::compensate_red;
use super::rgba::Rgba;

/// Which filters are on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Clarity {
    /// Strength with which red is made up for; `None` is off.
    pub red: Option<f64>,
    /// Whether the colours' means are evened out.
    pub grey_world: bool,
    /// How contrast is spread; `None` is off.
    pub equalise: Option<EqualiseOptions>,
    /// How steps are smoothed; `None` is off.
    pub deband: Option<DebandOptions>,
}

impl Clarity {
    /// What helps most pictures of murky water.
    #[must_use]
    pub fn all() -> Self {
        Self {
            red: Some(1.0),
            grey_world: true,
            equalise: Some(EqualiseOptions::default()),
            deband: Some(DebandOptions::default()),
        }
    }
}

/// Applies filters to frame after frame.
#[derive(Clone, Debug, Default)]
pub struct Clarifier {
    present: Vec<u8>,
    next: Vec<u8>,
}

impl Clarifier {
    /// With no memory taken yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The picture with the filters of `clarity` applied, in bytes as the source has them; the source is left
    /// as it is.
    pub fn apply(&mut self, source: &Rgba<'_>, clarity: Clarity) -> &[u8] {
        self.present.clear();
        self.present.extend_from_slice(source.bytes());
        if let Some(alpha) = clarity.red {
            self.step(source, |picture, out| compensate_red(picture, out, alpha));
        }
        if clarity.grey_world {
            self.step(source, grey_world);
        }
        if let Some(options) = clarity.equalise {
            self.step(source, |picture, out| equalise(picture, out, options));
        }
        if let Some(options) = clarity.deband {
            self.step(source, |picture, out| deband(picture, out, options));
        }
        &self.present
    }

    fn step(&mut self, source: &Rgba<'_>, filter: impl FnOnce(&Rgba<'_>, &mut Vec<u8>)) {
        // The size was checked when the source was made.
        if let Ok(picture) = Rgba::new(&self.present, source.width(), source.height()) {
            filter(&picture, &mut self.next);
            std::mem::swap(&mut self.present, &mut self.next);
        }
    }
}
