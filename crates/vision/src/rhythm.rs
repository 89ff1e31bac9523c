//! The period of a signal that was read at the frames' own times.
//!
//! The readings are put on even times, freed from slow drift, and compared with themselves some time later:
//! where that likeness (the autocorrelation) peaks again and again lies the period. A stroke has two arms, so the
//! likeness may peak at half a cycle too; [`Rhythm`] says what could be told. Nothing is offered where the signal does not
//! repeat: [`NoRhythm`] says why.
//!
//! Not for: where a cycle begins. An estimate from a motion signal is a hint for the coach, never a measure.

mod autocorrelation;
mod estimate;
mod even_times;
mod jackknife;
mod ladder;
mod student;

pub use autocorrelation::Autocorrelation;
pub use estimate::{Beats, NoRhythm, Period, Rhythm, RhythmOptions, rhythm};
pub use even_times::EvenSignal;
