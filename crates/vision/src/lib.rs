//! Pictures in, plain numbers out: point tracking, motion signal, period, clearer pictures.
//!
//! Works on 8-bit luma (and RGBA where colour matters) that somebody else decoded. Results are the same bits
//! natively and in wasm.
//!
//! Points are in pixels of the picture as it is stored, and the centre of its top left pixel is (0.0, 0.0): half
//! a pixel less than counted from the corner.
//!
//! Not for: decoding, drawing, or saying what a movement means.
//!
//! Following a point from frame to frame; a lost one says why:
//! ```
//! use wetframe_vision::tracking::{Lost, LucasKanade, PointTracker, Start, TrackOptions};
//! use wetframe_vision::{Luma, Point};
//!
//! // A soft spot that moves 3 pixels to the right and 1 down.
//! let frame = |right: f64, down: f64| {
//!     let spot = |x: f64, y: f64| 200.0 / (1.0 + 0.02 * ((x - right).powi(2) + (y - down).powi(2)));
//!     let pixels = (0..120 * 160).map(|index| spot(f64::from(index % 160), f64::from(index / 160)) as u8);
//!     Luma::new(pixels.collect::<Vec<u8>>(), 160, 120, 160)
//! };
//! let mut tracker = LucasKanade::new(TrackOptions::default());
//! tracker.advance(frame(70.0, 60.0)?)?;
//! tracker.advance(frame(73.0, 61.0)?)?;
//! let steps = tracker.track(&[Point::new(70.0, 60.0).into(), Point::new(-400.0, 0.0).into()]);
//! assert!(steps[0].point.distance(Point::new(73.0, 61.0)) < 0.05);
//! assert_eq!(steps[1].lost, Some(Lost::LeftPicture));
//! # Ok::<(), wetframe_vision::PictureError>(())
//! ```
//!
//! A rhythm from readings at the frames' own times, or the reason why there is none:
//! ```
//! use time::{Clock, FrameTimes, Ticks, Timescale};
//! use wetframe_vision::rhythm::{NoRhythm, RhythmOptions, rhythm};
//!
//! let times: Vec<Ticks> = (0..300).map(|frame| Ticks(frame * 20)).collect();
//! let clock = Clock::new(Timescale::new(600)?, FrameTimes::from_starts(times.clone(), 20)?);
//! let turn = |time: Ticks| libm::sin(time.0 as f64 / 600.0 / 1.25 * std::f64::consts::TAU);
//! let readings: Vec<(Ticks, f64)> = times.iter().map(|time| (*time, turn(*time))).collect();
//! let found = rhythm(&readings, &clock, RhythmOptions::default())?;
//! assert!((found.period.value_s - 1.25).abs() < 0.01);
//!
//! let still: Vec<(Ticks, f64)> = times.iter().map(|time| (*time, 7.0)).collect();
//! assert_eq!(rhythm(&still, &clock, RhythmOptions::default()), Err(NoRhythm::Still));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod clarity;
#[doc(hidden)]
pub mod kernels;
mod luma;
pub mod motion;
mod peak;
mod pyramid;
mod region;
pub mod rhythm;
pub mod tracking;

pub use luma::{LARGEST_SIDE, Luma, PictureError};
pub use picture::Point;
pub use pyramid::Pyramid;
pub use region::Region;
